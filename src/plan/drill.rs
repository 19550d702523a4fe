//! Screw holes: straight down in pecks, out of the hole after each.

use crate::geometry::Point;
use crate::job::{Hole, Part, Pocket};

use super::Piece;
use super::layout::Placement;
use super::motion::Pace;
use super::trace::ToolPath;

/// A rapid stops this far above wood.
const AIR: f64 = 1.0;
/// And this far above the bottom of its own hole.
const ABOVE_BOTTOM: f64 = 0.5;

pub(super) fn piece(
    part: &Part,
    pocket: &Pocket,
    hole: &Hole,
    placement: &Placement,
    peck: f64,
) -> Piece {
    let mut trace = ToolPath::new(placement, hole.diameter.as_mm() / 2.0);
    let at = placement.point(hole.center);
    let floor = placement.top - wood_above(pocket, hole, placement, at);
    let depth = floor - (placement.top - hole.tip.as_mm());
    trace.note(format!("{} pocket {} screw hole", part.name, pocket.hinge));
    let above = (floor + AIR).min(placement.safe);
    trace.start(at, above);
    let pecks = (depth / peck.max(1e-3) - 1e-9).ceil().max(1.0);
    for number in 1..=pecks as u32 {
        let down = depth * f64::from(number) / pecks;
        if number > 1 {
            let last = depth * f64::from(number - 1) / pecks;
            trace.rapid(at.x, at.y, (floor - last + ABOVE_BOTTOM).min(above));
        }
        trace.line(at, floor - down, Pace::Plunge);
        trace.rapid(at.x, at.y, above);
    }
    trace.piece(part, placement)
}

/// Where the drill first meets wood, below the mating face: the floor of the
/// deepest step that holds its whole width.
fn wood_above(pocket: &Pocket, hole: &Hole, placement: &Placement, at: Point) -> f64 {
    let radius = hole.diameter.as_mm() / 2.0;
    pocket
        .steps
        .iter()
        .take_while(|step| placement.outline(pocket, step).signed_distance_mm(at) <= -radius)
        .fold(0.0, |_, step| step.depth.as_mm())
}
