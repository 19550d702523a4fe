//! Wood that moves with the seasons, against the clearance.

use super::{Advice, Topic};
use crate::job::{Closing, Job, Part, PartName};
use crate::shop::wood::{Confidence, Cut, Family, Grain};
use crate::units::{Length, text};

/// A year's swing of moisture in a heated house, in percent.
const SWING: f64 = 6.0;

const PRINTED: &str = "D × C × 6 %, flatsawn board, Wood Handbook Table 13-5; the year's swing \
indoors is common practice, no source";
const QUOTED: &str = "D × C × 6 %, flatsawn board, a coefficient that a second text quotes; the \
year's swing indoors is common practice, no source";
const RECALLED: &str = "D × C × 6 %, flatsawn board, Wood Handbook Table 13-5, from memory; the \
year's swing indoors is common practice, no source";
const DERIVED: &str = "D × C × 6 %, flatsawn board, C from the shrinkage (Wood Handbook ch. 13); \
the year's swing indoors is common practice, no source";
const UNKNOWN: &str =
    "no coefficient for this wood and this way through the rings was read in a source";

/// A dimension's movement over a year, and how sure the coefficient is.
#[derive(Clone, Copy)]
struct Moved {
    by: Length,
    seen: Confidence,
}

impl Moved {
    const NOT: Self = Self {
        by: Length::ZERO,
        seen: Confidence::First,
    };

    const fn basis(self) -> &'static str {
        match self.seen {
            Confidence::First => PRINTED,
            Confidence::Second => QUOTED,
            Confidence::Memory | Confidence::Practice => RECALLED,
            Confidence::Derived => DERIVED,
        }
    }
}

pub(super) fn advise(job: &Job, advice: &mut Vec<Advice>) {
    for part in &job.parts {
        advice.extend(across_pocket(job, part));
    }
    advice.extend(between_hinges(job));
}

/// How much `length` of the part's wood moves across the grain over a year.
fn moves(part: &Part, cut: Cut, length: Length) -> Option<Moved> {
    let from = part.wood.moisture;
    let by = part.wood.movement(length, cut, from, from + SWING)?.abs();
    let seen = part.wood.species()?.movement_seen(cut)?;
    Some(Moved { by, seen })
}

/// Boards of layers or fibres hardly move; nothing is said of them.
const fn is_solid(part: &Part) -> bool {
    matches!(part.wood.family, Family::Hardwood | Family::Softwood)
}

const fn movement(parts: Vec<PartName>, warns: bool, text: String, basis: &'static str) -> Advice {
    Advice {
        topic: Topic::Movement,
        parts,
        warns,
        text,
        basis,
    }
}

/// Grain along the hinged edge: the pocket's width moves, and its leaf does not.
fn across_pocket(job: &Job, part: &Part) -> Option<Advice> {
    if part.wood.grain != Grain::Along || !is_solid(part) {
        return None;
    }
    // A pocket in the rim of a wall or the edge of a lid lies through the board's
    // thickness, one in a face across its width. A flatsawn board is radial
    // through its thickness as a quartersawn one is across its width.
    let cut = match (job.closing, part.name) {
        (Closing::Overlay, PartName::Box) | (Closing::Inset, PartName::Lid) => Cut::Quartersawn,
        _ => Cut::Flatsawn,
    };
    let name = &part.wood.name;
    let advice = |warns, text, basis| movement(vec![part.name], warns, text, basis);
    let Some(moved) = moves(part, cut, job.hinge.width) else {
        let text = format!(
            "how much {name} moves across the pocket over a year is not known: cut it at its driest"
        );
        return Some(advice(true, text, UNKNOWN));
    };
    let clearance = job.fit.clearance;
    let binds = moved.by > clearance;
    let show = |length| text::decimal_with_unit(length, job.units);
    let consequence = if binds {
        "; drying wood closes on the leaf: cut it at its driest, or give it more"
    } else {
        ""
    };
    let text = format!(
        "across the pocket {name} moves {} over a year, the clearance is {}{consequence}",
        show(moved.by),
        show(clearance)
    );
    Some(advice(binds, text, moved.basis()))
}

/// Grain across the hinged edge: the distance from hinge to hinge moves, in
/// one part more than in the other.
fn between_hinges(job: &Job) -> Option<Advice> {
    let centers = job.hinge.centers.iter().map(|center| center.as_mm());
    let (least, most) = centers.fold((f64::MAX, f64::MIN), |(least, most), at| {
        (least.min(at), most.max(at))
    });
    let apart = Length::from_mm((most - least).max(0.0));
    let [body, lid] = job.parts.as_slice() else {
        return None;
    };
    let across = |part: &&Part| part.wood.grain == Grain::Across;
    if apart == Length::ZERO || ![body, lid].iter().any(across) {
        return None;
    }
    let show = |length| text::decimal_with_unit(length, job.units);
    let advice = |warns, text, basis| movement(Vec::new(), warns, text, basis);
    let moved = |part: &Part| match part.wood.grain {
        Grain::Across => moves(part, Cut::Flatsawn, apart),
        Grain::Along => Some(Moved::NOT),
    };
    let (Some(of_body), Some(of_lid)) = (moved(body), moved(lid)) else {
        let unknown = [body, lid]
            .into_iter()
            .find(|part| moved(part).is_none() && is_solid(part))?;
        if body.wood == lid.wood {
            return None;
        }
        let text = format!(
            "from hinge to hinge, {} apart, box and lid do not move alike over a year; by how much \
             is not known of {}",
            show(apart),
            unknown.wood.name
        );
        return Some(advice(true, text, UNKNOWN));
    };
    let differ = (of_body.by - of_lid.by).abs();
    let binds = differ > job.fit.clearance;
    let consequence = if binds {
        ": more than the clearance, the hinges will bind; turn the grain of one part, or slot the holes of one hinge"
    } else {
        ""
    };
    let text = format!(
        "from hinge to hinge, {} apart, box and lid move {} apart over a year{consequence}",
        show(apart),
        show(differ)
    );
    let least_sure = if of_lid.seen > of_body.seen {
        of_lid
    } else {
        of_body
    };
    Some(advice(binds, text, least_sure.basis()))
}
