//! What was taken as meant though nobody said so, and figures that are likely
//! slips: told, not refused.

use crate::input::job::Written;
use crate::job::{Closing, Fit};
use crate::units::{Length, Units, text};

/// A looser fit is unusual (common practice, no source).
const LOOSE: Length = Length::from_mm(0.3);
/// Two readings this near are likely one reading.
const ALIKE: Length = Length::from_mm(0.05);
/// A lid this much shorter than its box is meant to be.
const SHORTER: Length = Length::from_mm(0.5);

/// A sentence each.
pub(super) fn of(spec: &Written, fit: &Fit) -> Vec<String> {
    let show = |length| text::short(length, spec.units);
    let mut told = Vec::new();
    if !spec.units_stated {
        let unit = match spec.units {
            Units::Millimetre => "millimetres",
            Units::Inch => "inches",
        };
        told.push(format!(
            "lengths are {unit}, since the file names no `units`"
        ));
    }
    let (body, lid) = (&spec.parts.body, &spec.parts.lid);
    if lid.closing == Closing::Inset && !lid.drop_stated {
        told.push(
            "the lid's show face is taken as level with the rim, since `lid.drop` is left out"
                .to_owned(),
        );
    }
    if let Some(length) = &lid.length
        && lid.closing == Closing::Overlay
        && !lid.end_inset_stated
        && body.length.value - length.value > SHORTER
    {
        told.push(format!(
            "the lid is {} shorter than the box, and both are taken to begin at the stop end, \
             since `lid.end_inset` is left out",
            show(body.length.value - length.value)
        ));
    }
    let hinge = &spec.parts.hinge;
    if fit.clearance > LOOSE {
        told.push(format!(
            "a clearance of {} is loose: {} to {} is usual (common practice, no source)",
            show(fit.clearance),
            show(Length::from_mm(0.05)),
            show(Length::from_mm(0.2))
        ));
    }
    let proud = fit.gap - hinge.closed_gap.value;
    if proud > Length::ZERO {
        told.push(format!(
            "the leaves stand proud of box and lid, {} in all, as `fit.proud` allows",
            show(proud)
        ));
    }
    let Some(leaf) = hinge.steps.first() else {
        return told;
    };
    if hinge.closed_gap.value > leaf.depth * 2.0 - ALIKE {
        told.push(format!(
            "the closed gap, {}, is as much as both leaves are thick: `closed_gap` is what is \
             left between the parts, so take the depth of the first step off twice",
            show(hinge.closed_gap.value)
        ));
    }
    for (number, step) in (2..).zip(hinge.steps.iter().skip(1)) {
        if step.depth < leaf.depth * 2.0 {
            told.push(format!(
                "step {number} reaches {} below the leaf: its `depth` counts from the leaf's \
                 face, as step 1's does, not from the leaf's back",
                show(step.depth - leaf.depth)
            ));
        }
    }
    if leaf.depth.is_near(hinge.closed_gap.value, ALIKE) {
        told.push(format!(
            "the leaf is as deep as the closed gap, {}: `depth` of the first step is one leaf's \
             thickness, `closed_gap` what is left between the parts",
            show(leaf.depth)
        ));
    }
    told
}
