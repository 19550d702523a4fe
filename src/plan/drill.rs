//! Screw holes: straight down in pecks, out of the hole after each.

use crate::geometry::Point;
use crate::job::{Hole, Part, Pocket};

use super::Piece;
use super::layout::Placement;
use super::motion::Pace;
use super::trace::ToolPath;

/// A rapid stops this far above a face that may be cupped, and above a floor that is cut.
const ABOVE_FACE: f64 = 2.0;
const AIR: f64 = 1.0;
/// The first bite spots the hole: so much of the diameter, about the height of the point.
const SPOT: f64 = 0.5;
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
    let below = wood_above(pocket, hole, placement, at);
    let floor = placement.top - below;
    let depth = floor - (placement.top - hole.tip.as_mm());
    trace.note(format!("{} pocket {} screw hole", part.name, pocket.hinge));
    let air = if below > 0.0 { AIR } else { ABOVE_FACE };
    let above = (floor + air).min(placement.safe);
    trace.start(at, above);
    let mut last = 0.0;
    for down in bites(depth, peck, SPOT * hole.diameter.as_mm()) {
        if last > 0.0 {
            trace.rapid(at.x, at.y, (floor - last + ABOVE_BOTTOM).min(above));
        }
        trace.line(at, floor - down, Pace::Plunge);
        trace.rapid(at.x, at.y, above);
        last = down;
    }
    trace.piece(part, placement)
}

/// How deep the hole is after each bite: one to spot it, then even pecks.
fn bites(depth: f64, peck: f64, spot: f64) -> Vec<f64> {
    let spot = spot.min(peck).min(depth);
    let pecks = ((depth - spot) / peck.max(1e-3) - 1e-9).ceil();
    let even = (1..=pecks as u32).map(|number| spot + (depth - spot) * f64::from(number) / pecks);
    std::iter::once(spot).chain(even).collect()
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

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 6.5 mm with a 2 mm drill, a peck of 2: a millimetre, then three of 1.833.
    #[test]
    fn a_hole_is_spotted_by_a_short_first_bite() {
        let found = bites(6.5, 2.0, 1.0);
        let wanted = [1.0, 1.0 + 5.5 / 3.0, 1.0 + 11.0 / 3.0, 6.5];
        assert_eq!(found.len(), wanted.len(), "{found:?}");
        for (down, wanted) in found.iter().zip(wanted) {
            assert!((down - wanted).abs() < 1e-9, "{found:?}");
        }
        assert_eq!(bites(0.6, 2.0, 1.0), [0.6]);
    }
}
