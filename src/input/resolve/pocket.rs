//! A pocket as it is cut: clearance, room under the body and recess go in,
//! and the screws find the step that holds them.

use crate::geometry::{Point, RoundedRectangle};
use crate::input::hinge::{ScrewSpec, StepSpec};
use crate::job::{Fit, Hole, Pilot, Pocket, PocketKind, ScrewInWood, Step};
use crate::units::Length;

/// The steps of one part, grown by the clearance (half on each side, so a
/// corner grows by half of it) and sunk by what fit and recess ask.
pub(super) fn steps(steps: &[StepSpec], fit: &Fit, recess: Length) -> Vec<Step> {
    let cut = |(index, step): (usize, &StepSpec)| {
        let under = if index == 0 { Length::ZERO } else { fit.under };
        Step {
            length: step.length + fit.clearance,
            width: step.width + fit.clearance,
            corner: step.corner + fit.clearance / 2.0,
            shift: step.shift,
            depth: step.depth + under + recess + fit.depth,
        }
    };
    steps.iter().enumerate().map(cut).collect()
}

/// What is cut at each hinge of a part.
pub(super) struct Cut<'s> {
    pub(super) steps: Vec<Step>,
    pub(super) recess: Length,
    pub(super) screws: &'s [ScrewSpec],
    pub(super) pilot: Option<&'s Pilot>,
}

impl Cut<'_> {
    pub(super) fn pocket(&self, hinge: usize, center: Point) -> Pocket {
        let screws: Vec<ScrewInWood> = self
            .screws
            .iter()
            .filter_map(|screw| self.screw(screw, center))
            .collect();
        let hole = |screw: &ScrewInWood| self.pilot.map(|pilot| hole(screw, pilot));
        Pocket {
            hinge,
            kind: PocketKind::Pocket,
            center,
            steps: self.steps.clone(),
            holes: screws.iter().filter_map(hole).collect(),
            screws,
        }
    }

    fn screw(&self, screw: &ScrewSpec, center: Point) -> Option<ScrewInWood> {
        let at = Point::new(center.x() + screw.along, center.y() + screw.across);
        Some(ScrewInWood {
            center: at,
            diameter: screw.diameter,
            root: screw.root,
            length: screw.length,
            from: self.holder(screw)?.depth,
            tip: self.recess + screw.length,
        })
    }

    /// The deepest step whose outline holds the screw's centre.
    fn holder(&self, screw: &ScrewSpec) -> Option<&Step> {
        let at = Point::new(screw.along, screw.across);
        self.steps.iter().rev().find(|step| {
            let center = Point::new(step.shift, Length::ZERO);
            let outline = RoundedRectangle::new(center, step.length, step.width, step.corner);
            outline.signed_distance(at) <= Length::ZERO
        })
    }
}

fn hole(screw: &ScrewInWood, pilot: &Pilot) -> Hole {
    Hole {
        center: screw.center,
        diameter: pilot.bit.cutting_diameter(),
        from: screw.from,
        tip: screw.from + pilot.depth,
        point_height: pilot.bit.point_height(),
    }
}
