//! Box and lid, each in its own frame.

use crate::geometry::Point;
use crate::input::hinge::StepSpec;
use crate::input::job::Written;
use crate::input::resolve::pocket::{self, Cut};
use crate::input::resolve::prove;
use crate::input::source::Sink;
use crate::job::position::Position;
use crate::job::{Closing, Fit, Hinge, Part, PartName, Pilot};
use crate::shop::wood::Wood;
use crate::units::Length;

/// What tells one part from the other.
struct Side<'s> {
    name: PartName,
    length: Length,
    across: Length,
    below: Length,
    depth_for_drawing: Option<Length>,
    wood: &'s Wood,
    /// Taken off each hinge's place along the box.
    end_inset: Length,
    /// From the outside face to the near side of the leaf.
    near_side: Length,
    correction: (Length, Length),
    steps: &'s [StepSpec],
    /// This part's share of the recess.
    share: f64,
}

pub(super) fn resolve(
    spec: &Written,
    sink: &Sink<'_>,
    (hinge, positions): (&Hinge, &[Position]),
    fit: &Fit,
    pilot: Option<&Pilot>,
) -> Vec<Part> {
    let (body, lid) = sides(spec, hinge, fit);
    [(body, Some(sink)), (lid, None)]
        .into_iter()
        .map(|(side, sink)| part(spec, sink, side, (hinge, positions), fit, pilot))
        .collect()
}

/// The rows of the geometry table: where v starts and how much wood there is.
fn sides<'s>(spec: &'s Written, hinge: &Hinge, fit: &Fit) -> (Side<'s>, Side<'s>) {
    let (body, lid) = (&spec.parts.body, &spec.parts.lid);
    let (body_across, body_below, body_near) = match lid.closing {
        Closing::Overlay => (body.wall.value, body.height.value, hinge.setback),
        Closing::Inset => (body.height.value, body.wall.value, lid.drop + hinge.setback),
    };
    let (lid_across, lid_below, lid_near) = match lid.closing {
        Closing::Overlay => {
            let across = lid.wall.as_ref().unwrap_or(&lid.width).value;
            (across, lid.thickness.value, lid.overhang + hinge.setback)
        }
        Closing::Inset => (lid.thickness.value, lid.width.value, hinge.setback),
    };
    let is_overlay = lid.closing == Closing::Overlay;
    let corrections = &spec.parts.fit;
    let steps = &spec.parts.hinge.steps;
    let body_side = Side {
        name: PartName::Box,
        length: body.length.value,
        across: body_across,
        below: body_below,
        depth_for_drawing: body
            .width
            .as_ref()
            .filter(|_| is_overlay)
            .map(|width| width.value),
        wood: &body.wood,
        end_inset: Length::ZERO,
        near_side: body_near,
        correction: (corrections.box_u, corrections.box_v),
        steps,
        share: fit.box_share,
    };
    let lid_side = Side {
        name: PartName::Lid,
        length: lid.length.as_ref().unwrap_or(&body.length).value,
        across: lid_across,
        below: lid_below,
        depth_for_drawing: lid.wall.as_ref().map(|_| lid.width.value),
        wood: &lid.wood,
        end_inset: lid.end_inset.value,
        near_side: lid_near,
        correction: (corrections.lid_u, corrections.lid_v),
        steps: spec.parts.hinge.lid_steps.as_ref().unwrap_or(steps),
        share: 1.0 - fit.box_share,
    };
    (body_side, lid_side)
}

fn part(
    spec: &Written,
    sink: Option<&Sink<'_>>,
    side: Side<'_>,
    (hinge, positions): (&Hinge, &[Position]),
    fit: &Fit,
    pilot: Option<&Pilot>,
) -> Part {
    let recess = (hinge.closed_gap - fit.gap) * side.share;
    let cut = Cut {
        steps: pocket::steps(side.steps, fit, recess),
        recess,
        screws: &spec.parts.hinge.screws,
        pilot,
    };
    if let Some(sink) = sink {
        prove::steps_cut(spec, sink, side.name, side.steps, &cut.steps);
    }
    let (correction_u, correction_v) = side.correction;
    let v = side.near_side + hinge.width / 2.0 + correction_v;
    let pockets = hinge.centers.iter().enumerate().map(|(index, center)| {
        let mut positions = positions.iter();
        let position = positions.find(|position| position.holds(index + 1));
        let own = position.map_or(Length::ZERO, |position| match side.name {
            PartName::Lid => position.lid_u,
            PartName::Box | PartName::Scrap | PartName::Plate => position.box_u,
        });
        let u = *center - side.end_inset + correction_u + own;
        cut.pocket(index + 1, Point::new(u, v))
    });
    Part {
        name: side.name,
        length: side.length,
        across: side.across,
        below: side.below,
        wood: side.wood.clone(),
        pockets: pockets.collect(),
        ticks: Vec::new(),
        contours: Vec::new(),
        board_below: None,
        correction_u,
        correction_v,
        depth_for_drawing: side.depth_for_drawing,
    }
}
