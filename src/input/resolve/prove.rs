//! What must hold before anything is planned, each mistake with its place.
//! What a check of the judge covers is left to the judge.

use std::collections::BTreeSet;

use crate::diagnostic::Diagnostic;
use crate::input::hinge::StepSpec;
use crate::input::job::Written;
use crate::input::limits::{HINGE_DEPTH, SLACK_MM};
use crate::input::resolve::centers;
use crate::input::source::Sink;
use crate::job::{Closing, Part, PartName, Pocket, Step};
use crate::shop::bit::Bit;
use crate::units::{Length, text};

/// A pocket this much narrower than the bit still counts as wide as the bit.
const AS_WIDE_MM: f64 = 0.02;

/// What fit and recess leave of each step is still a pocket.
pub(super) fn steps_cut(
    spec: &Written,
    sink: &Sink<'_>,
    part: PartName,
    stated: &[StepSpec],
    cut: &[Step],
) {
    for (number, (stated, cut)) in (1..).zip(stated.iter().zip(cut)) {
        if HINGE_DEPTH.hold(cut.depth.as_mm()) {
            continue;
        }
        let message = format!(
            "step {number} of the {part} would be cut {} deep, allowed is {}",
            text::short(cut.depth, spec.units),
            HINGE_DEPTH.words(Some(spec.units))
        );
        let help = "correct `fit.gap`, `fit.box_share` or `fit.depth`";
        let diagnostic = Diagnostic::new("step-too-shallow", message).help(help);
        sink.report(&stated.span, diagnostic);
    }
}

/// An inset lid closes between the walls at both ends.
pub(super) fn lid_between_walls(spec: &Written, sink: &Sink<'_>) {
    let lid = &spec.parts.lid;
    if lid.closing != Closing::Inset || lid.open_ends {
        return;
    }
    let help = "where the box has no walls at the ends, set `lid.open_ends = true`";
    let report = |span, message: String| {
        sink.report(span, Diagnostic::new("lid-past-walls", message).help(help));
    };
    if lid.end_inset.value <= Length::ZERO {
        let found = text::short(lid.end_inset.value, spec.units);
        let message = format!("`lid.end_inset` is {found}, allowed is more than 0");
        report(&lid.end_inset.span, message);
    }
    if let Some(length) = &lid.length
        && lid.end_inset.value + length.value >= spec.parts.body.length.value
    {
        let message = format!(
            "`lid.length` and `lid.end_inset` make {}, allowed is less than the box's length, {}",
            text::short(lid.end_inset.value + length.value, spec.units),
            text::short(spec.parts.body.length.value, spec.units)
        );
        report(&length.span, message);
    }
}

/// A pocket's extent along u.
struct Extent {
    index: usize,
    from: f64,
    to: f64,
}

/// No hinge past an end of its part or into its neighbour. What is wrong in
/// both parts is reported once.
pub(super) fn pockets_fit(spec: &Written, sink: &Sink<'_>, parts: &[Part]) {
    let mut reported = BTreeSet::new();
    for part in parts {
        let mut extents: Vec<Extent> = part.pockets.iter().enumerate().map(extent).collect();
        let past_ends: Vec<(usize, Diagnostic)> = extents
            .iter()
            .filter_map(|extent| Some((extent.index, past_end(spec, parts, part, extent)?)))
            .collect();
        extents.sort_by(|left, right| left.from.total_cmp(&right.from));
        // Evenly spaced hinges overlap all alike.
        let alike = centers::inset(spec).is_some();
        let overlaps = extents.windows(2).filter_map(|pair| match pair {
            [left, right] => Some((right.index, overlap(spec, part, left, right)?)),
            _ => None,
        });
        let overlaps = overlaps.take(if alike { 1 } else { usize::MAX });
        for (index, diagnostic) in past_ends.into_iter().chain(overlaps) {
            if reported.insert((index, diagnostic.code)) {
                sink.report(&centers::place(spec, index), diagnostic);
            }
        }
    }
}

/// A pocket whose middle is no longer over its part is a slip of the pen in
/// `hinge.setback`, or a board measured wrongly: told once for both parts.
pub(super) fn pockets_over_parts(spec: &Written, sink: &Sink<'_>, parts: &[Part]) {
    let setback = &spec.parts.hinge.setback;
    let beside = parts.iter().find_map(|part| {
        let pocket = part.pockets.first()?;
        (pocket.center.y() > part.across).then_some((part, pocket))
    });
    let Some((part, pocket)) = beside else {
        return;
    };
    let fits = |other: Length| pocket.center.y() - setback.value + other < part.across;
    let units = spec.units;
    let written = setback.value.as_units(units);
    let in_the_other = Some(units.other().one() * written).filter(|other| fits(*other));
    let tenth = Some(setback.value / 10.0).filter(|tenth| fits(*tenth));
    let help = match (in_the_other, tenth) {
        (Some(other), _) => format!(
            "if {} were meant, write \"{}\"",
            units.other().name(),
            text::short(other, units.other())
        ),
        (None, Some(tenth)) => format!("was {} meant?", text::short(tenth, units)),
        (None, None) => "lessen `hinge.setback`, or take a thicker board".to_owned(),
    };
    let message = format!(
        "a setback of {} puts the middle of the pocket {} into the {}, which is only {} there",
        text::short(setback.value, units),
        text::short(pocket.center.y(), units),
        part.name,
        text::short(part.across, units)
    );
    let diagnostic = Diagnostic::new("pocket-beside-part", message).help(help);
    sink.report(&setback.span, diagnostic);
}

fn overlap(spec: &Written, part: &Part, left: &Extent, right: &Extent) -> Option<Diagnostic> {
    let shared = left.to - right.from;
    if shared <= SLACK_MM {
        return None;
    }
    let message = format!(
        "hinges {} and {} run {} into each other in the {}",
        left.index + 1,
        right.index + 1,
        text::short(Length::from_mm(shared), spec.units),
        part.name
    );
    let help = "set them further apart, or use fewer hinges";
    Some(Diagnostic::new("hinges-overlap", message).help(help))
}

fn extent((index, pocket): (usize, &Pocket)) -> Extent {
    let (from, to) = pocket.extent_u();
    Extent {
        index,
        from: from.as_mm(),
        to: to.as_mm(),
    }
}

impl Extent {
    /// How far it reaches past the nearer end of its part; negative inside.
    fn past(&self, part: &Part) -> f64 {
        (-self.from).max(self.to - part.length.as_mm())
    }
}

fn past_end(spec: &Written, parts: &[Part], part: &Part, extent: &Extent) -> Option<Diagnostic> {
    let past = extent.past(part);
    if past <= SLACK_MM {
        return None;
    }
    let end = if -extent.from > SLACK_MM {
        "stop end"
    } else {
        "far end"
    };
    let message = format!(
        "hinge {} reaches {} past the {end} of the {}, which is {} long",
        extent.index + 1,
        text::short(Length::from_mm(past), spec.units),
        part.name,
        text::short(part.length, spec.units)
    );
    let help = places_that_do(spec, parts, extent.index);
    Some(Diagnostic::new("hinge-past-end", message).help(help))
}

/// Where the hinge may sit so that the wood that the job wants is left at the
/// ends of both parts.
fn places_that_do(spec: &Written, parts: &[Part], index: usize) -> String {
    let show = |millimetres: f64| text::short(Length::from_mm(millimetres), spec.units);
    let left = spec.parts.fit.min_left.as_mm();
    // How far the centre may move towards the stop end, and away from it.
    let room = parts.iter().filter_map(|part| {
        let pocket = part.pockets.get(index)?;
        let Extent { from, to, .. } = extent((index, pocket));
        Some((from - left, part.length.as_mm() - left - to))
    });
    let (back, on) = room.fold((f64::INFINITY, f64::INFINITY), |least, room| {
        (least.0.min(room.0), least.1.min(room.1))
    });
    if back + on < 0.0 {
        return format!(
            "the hinge and {} of wood at each end are longer than the part: take a shorter hinge",
            show(left)
        );
    }
    match centers::inset(spec) {
        Some(inset) => format!(
            "`placement.inset` of at least {} keeps the {} of wood at the ends that `fit.min_left` asks for",
            show(inset.as_mm() - back.min(on)),
            show(left)
        ),
        None => {
            let centre = centers::written(spec, index).as_mm();
            format!(
                "from {} to {} its centre keeps the {} of wood at the ends that `fit.min_left` asks for",
                show(centre - back),
                show(centre + on),
                show(left)
            )
        }
    }
}

/// The bit goes into every step and every corner.
pub(super) fn bit_fits(spec: &Written, sink: &Sink<'_>, bit: &Bit, parts: &[Part]) {
    let hinge = &spec.parts.hinge;
    for part in parts {
        let written = match (part.name, &hinge.lid_steps) {
            (PartName::Lid, Some(steps)) => steps,
            (PartName::Lid, None) => continue,
            (PartName::Box | PartName::Scrap | PartName::Plate, _) => &hinge.steps,
        };
        let Some(pocket) = part.pockets.first() else {
            continue;
        };
        for (index, (step, written)) in pocket.steps.iter().zip(written).enumerate() {
            if let Some(diagnostic) = too_wide(spec, bit, pocket.steps.as_slice(), index, step) {
                sink.report(&written.span, diagnostic);
            }
        }
    }
}

fn too_wide(
    spec: &Written,
    bit: &Bit,
    steps: &[Step],
    index: usize,
    step: &Step,
) -> Option<Diagnostic> {
    let number = index + 1;
    let diameter = bit.cutting_diameter();
    let show = |length| text::short(length, spec.units);
    let width = step.width.min(step.length);
    let room = diameter.as_mm() - AS_WIDE_MM - SLACK_MM;
    let (code, message) = if width.as_mm() < room {
        let message = format!(
            "step {number} is cut {} wide, the bit `{}` cuts {}",
            show(width),
            bit.name,
            show(diameter)
        );
        ("bit-too-wide", message)
    } else if step.corner.as_mm() * 2.0 < room {
        let message = format!(
            "step {number} has corners of radius {}, the bit `{}` leaves {}",
            show(step.corner),
            bit.name,
            show(diameter / 2.0)
        );
        ("corner-too-tight", message)
    } else {
        return None;
    };
    let largest = steps
        .iter()
        .map(|step| step.width.min(step.length).min(step.corner * 2.0))
        .fold(diameter, Length::min);
    const CHISEL: &str = "leave `corner` out and square the corners with a chisel";
    let help = match (largest.as_mm() < 0.2, code) {
        (true, _) => format!("no bit cuts square corners: {CHISEL}"),
        (false, "corner-too-tight") => {
            let largest = show(largest);
            format!("the largest bit that does it is {largest}; or {CHISEL}")
        }
        (false, _) => format!("the largest bit that does it is {}", show(largest)),
    };
    Some(Diagnostic::new(code, message).help(help))
}
