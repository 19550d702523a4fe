//! What lies inside what in a hinge: each step in the one before, each screw in a step.

use crate::diagnostic::Diagnostic;
use crate::geometry::{Point, RoundedRectangle};
use crate::input::hinge::{HingeSpec, StepSpec};
use crate::input::limits::SLACK_MM;
use crate::input::source::Sink;
use crate::units::{Length, Units, text};

/// Every deeper step lies inside every shallower one.
pub(super) fn steps_nest(hinge: &HingeSpec, sink: &Sink<'_>, units: Units) {
    for steps in [Some(&hinge.steps), hinge.lid_steps.as_ref()]
        .into_iter()
        .flatten()
    {
        for (index, step) in steps.iter().enumerate().skip(1) {
            let Some(outer) = steps.get(index - 1) else {
                continue;
            };
            let number = index + 1;
            let report = |message: String| {
                let help = "list the shallowest step first, each deeper one inside it";
                let diagnostic = Diagnostic::new("steps-do-not-nest", message).help(help);
                sink.report(&step.span, diagnostic);
            };
            if step.depth <= outer.depth {
                report(format!(
                    "step {number} is {} deep, allowed is more than the {} of step {index}",
                    text::short(step.depth, units),
                    text::short(outer.depth, units)
                ));
            } else if let Some(outside) = outside(step, outer) {
                report(format!(
                    "step {number} reaches {} past step {index}, allowed is inside it",
                    text::short(outside, units)
                ));
            }
        }
    }
}

/// How far `inner` reaches past `outer`, where it does. A rounded rectangle is
/// the hull of four discs at its corners, so it lies inside a convex outline
/// exactly when each of those discs does.
fn outside(inner: &StepSpec, outer: &StepSpec) -> Option<Length> {
    let outline = outline(outer);
    let (along, across) = (
        inner.length / 2.0 - inner.corner,
        inner.width / 2.0 - inner.corner,
    );
    let corners = [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)];
    let reach = corners.map(|(side_u, side_v)| {
        let center = Point::new(inner.shift + along * side_u, across * side_v);
        outline.signed_distance(center) + inner.corner
    });
    let most = reach.into_iter().fold(Length::ZERO, Length::max);
    (most.as_mm() > SLACK_MM).then_some(most)
}

/// Every screw lies inside a step of both parts.
pub(super) fn screws_inside(hinge: &HingeSpec, sink: &Sink<'_>) {
    let both = [Some(&hinge.steps), hinge.lid_steps.as_ref()];
    for screw in &hinge.screws {
        let at = Point::new(screw.along, screw.across);
        let is_inside = |steps: &Vec<StepSpec>| {
            let mut steps = steps.iter();
            steps.any(|step| outline(step).signed_distance(at).as_mm() <= SLACK_MM)
        };
        if !both.into_iter().flatten().all(is_inside) {
            let message = "the screw lies outside every step of the pocket";
            let help = "`along` and `across` count from the pocket's centre";
            let diagnostic = Diagnostic::new("screw-outside", message).help(help);
            sink.report(&screw.span, diagnostic);
        }
    }
}

fn outline(step: &StepSpec) -> RoundedRectangle {
    let center = Point::new(step.shift, Length::ZERO);
    RoundedRectangle::new(center, step.length, step.width, step.corner)
}
