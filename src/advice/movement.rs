//! Wood that moves with the seasons, against the clearance.

use super::{Advice, Topic};
use crate::job::{Closing, Job, Part, PartName};
use crate::shop::wood::{Cut, Grain};
use crate::units::{Length, text};

/// A year's swing of moisture in a heated house, in percent.
const SWING: f64 = 6.0;

const BASIS: &str = "D × C × 6 %, flatsawn board, Wood Handbook Table 13-5; the year's swing \
indoors is common practice, no source";

pub(super) fn advise(job: &Job, advice: &mut Vec<Advice>) {
    for part in &job.parts {
        advice.extend(across_pocket(job, part));
    }
    advice.extend(between_hinges(job));
}

/// How much `length` of the part's wood moves across the grain over a year.
fn moves(part: &Part, cut: Cut, length: Length) -> Option<Length> {
    let from = part.wood.moisture;
    let moved = part.wood.movement(length, cut, from, from + SWING)?;
    Some(moved.abs())
}

/// Grain along the hinged edge: the pocket's width moves, and its leaf does not.
fn across_pocket(job: &Job, part: &Part) -> Option<Advice> {
    if part.wood.grain != Grain::Along {
        return None;
    }
    // A pocket in the rim of a wall or the edge of a lid lies through the board's
    // thickness, one in a face across its width. A flatsawn board is radial
    // through its thickness as a quartersawn one is across its width.
    let cut = match (job.closing, part.name) {
        (Closing::Overlay, PartName::Box) | (Closing::Inset, PartName::Lid) => Cut::Quartersawn,
        _ => Cut::Flatsawn,
    };
    let moved = moves(part, cut, job.hinge.width)?;
    let clearance = job.fit.clearance;
    let binds = moved > clearance;
    let show = |length| text::decimal_with_unit(length, job.units);
    let consequence = if binds {
        "; drying wood closes on the leaf: cut it at its driest, or give it more"
    } else {
        ""
    };
    Some(Advice {
        topic: Topic::Movement,
        parts: vec![part.name],
        warns: binds,
        text: format!(
            "across the pocket {} moves {} over a year, the clearance is {}{consequence}",
            part.wood.name,
            show(moved),
            show(clearance)
        ),
        basis: BASIS,
    })
}

/// Grain across the hinged edge: the distance from hinge to hinge moves, in
/// one part more than in the other.
fn between_hinges(job: &Job) -> Option<Advice> {
    let centers = job.hinge.centers.iter().map(|center| center.as_mm());
    let (least, most) = centers.fold((f64::MAX, f64::MIN), |(least, most), at| {
        (least.min(at), most.max(at))
    });
    let apart = Length::from_mm((most - least).max(0.0));
    let moved = |part: &Part| match part.wood.grain {
        Grain::Across => moves(part, Cut::Flatsawn, apart),
        Grain::Along => Some(Length::ZERO),
    };
    let [body, lid] = job.parts.as_slice() else {
        return None;
    };
    let differ = (moved(body)? - moved(lid)?).abs();
    if apart == Length::ZERO || (body.wood.grain, lid.wood.grain) == (Grain::Along, Grain::Along) {
        return None;
    }
    let binds = differ > job.fit.clearance;
    let show = |length| text::decimal_with_unit(length, job.units);
    let consequence = if binds {
        ": more than the clearance, the hinges will bind; turn the grain of one part, or slot the holes of one hinge"
    } else {
        ""
    };
    Some(Advice {
        topic: Topic::Movement,
        parts: Vec::new(),
        warns: binds,
        text: format!(
            "from hinge to hinge, {} apart, box and lid move {} apart over a year{consequence}",
            show(apart),
            show(differ)
        ),
        basis: BASIS,
    })
}
