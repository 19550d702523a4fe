//! Strength and movement, as advice: what the handbooks say to the job's own
//! figures, each with its formula and source. Nothing here blocks cutting.
//!
//! Clear-wood averages scatter: about a tenth in specific gravity, a fifth in
//! hardness (from memory). None of this is a design value.

mod countersink;
mod hinges;
mod lead;
mod movement;
pub mod screws;
mod set_up;

use std::fmt;

pub use hinges::hinges_wanted;
pub use set_up::set_up;

use crate::job::{Closing, Job, Part, PartName};
use crate::shop::wood::{Family, Grain};

/// One piece of advice.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// What it is about.
    pub topic: Topic,
    /// The parts it is about; none where it is about both together.
    pub parts: Vec<PartName>,
    /// Whether something looks wrong, or cannot be told for want of a figure.
    pub warns: bool,
    /// The finding with its figures.
    pub text: String,
    /// Formula and source, and how sure they are.
    pub basis: &'static str,
}

impl fmt::Display for Advice {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} ({})", self.text, self.basis)
    }
}

/// What a piece of advice is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Topic {
    /// What the leaf's screws hold.
    Withdrawal,
    /// Holes for the screws.
    LeadHole,
    /// Room for the screws' heads.
    Countersink,
    /// Wood between a screw and the edge or end.
    EdgeDistance,
    /// How many hinges.
    HingeCount,
    /// Wood that moves with the seasons.
    Movement,
}

/// All advice on the parts of a job that are cut, in the order of [`Topic`],
/// once where it is the same for both; nothing for a test piece.
pub fn of(job: &Job) -> Vec<Advice> {
    let mut advice = Vec::new();
    if job.part(PartName::Lid).is_none() {
        return advice;
    }
    screws::advise(job, &mut advice);
    lead::advise(job, &mut advice);
    countersink::advise(job, &mut advice);
    hinges::advise(job, &mut advice);
    movement::advise(job, &mut advice);
    advice.retain(|advice| match advice.parts.as_slice() {
        [] => job.selection.part.is_none(),
        parts => parts.iter().all(|part| job.is_selected(*part)),
    });
    advice.sort_by_key(|advice| advice.topic);
    once(advice)
}

/// Advice that is the same for several parts joined into one, the parts named
/// in front.
fn once(advice: Vec<Advice>) -> Vec<Advice> {
    let mut joined: Vec<Advice> = Vec::new();
    for one in advice {
        let same = joined.iter_mut().find(|other| {
            (other.topic, other.warns, &other.text, other.basis)
                == (one.topic, one.warns, &one.text, one.basis)
        });
        match same {
            Some(other) => other.parts.extend(one.parts),
            None => joined.push(one),
        }
    }
    for one in &mut joined {
        let names: Vec<String> = one.parts.iter().map(PartName::to_string).collect();
        if !names.is_empty() {
            one.text = format!("{}: {}", names.join(" and "), one.text);
        }
    }
    joined
}

/// What a screw driven into a part's mating face meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// Across the grain.
    SideGrain,
    /// Along the grain.
    EndGrain,
    /// The face of a board made of layers or fibres.
    BoardFace,
    /// The edge of such a board.
    BoardEdge,
}

/// What the screws in `part` meet. The mating face of an overlay box is the
/// rim of its wall, that of an inset lid its back edge: a grain across the
/// hinged edge runs straight down from both.
pub fn hold(part: &Part, closing: Closing) -> Hold {
    let is_edge = matches!(
        (closing, part.name),
        (Closing::Overlay, PartName::Box) | (Closing::Inset, PartName::Lid)
    );
    match (part.wood.family, part.wood.grain, is_edge) {
        (Family::Plywood | Family::Fibreboard, _, true) => Hold::BoardEdge,
        (Family::Plywood | Family::Fibreboard, _, false) => Hold::BoardFace,
        (_, Grain::Across, true) => Hold::EndGrain,
        (_, Grain::Across | Grain::Along, _) => Hold::SideGrain,
    }
}

#[cfg(test)]
mod tests;
