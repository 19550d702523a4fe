//! Where the text puts what the plate is laid by: grooves and centre lines.

use crate::job::template::{Groove, Opening, Template};
use crate::job::{Part, Plate};
use crate::verify::template::moves::{PlateMoves, Window};

/// How far from its wanted place something still counts as that thing, in millimetres.
const ASTRAY: f64 = 1.0;

/// A floor may lie so much higher, in millimetres.
const SHALLOWER: f64 = 0.05;

/// A line that goes aside by less is straight, in millimetres.
const STRAIGHT: f64 = 0.01;

/// Half of a sight hole's length along its line, at most, in the cutter's radii.
const LONG_HOLE: f64 = 4.0;

/// What is cut of a groove, at its depth.
pub(crate) fn groove(groove: &Groove, moves: &PlateMoves) -> Option<Window> {
    let wanted = Window {
        min: [groove.min.x, groove.min.y],
        max: [groove.max.x, groove.max.y],
    };
    let depth = groove.depth.as_mm() - SHALLOWER;
    within(moves, wanted, depth)
}

/// X of every mark on the line across an opening: of sight holes and of lines that run
/// out over the plate's edges.
pub(crate) fn line(
    plate: &Plate,
    part: &Part,
    template: &Template,
    opening: &Opening,
    (moves, radius): (&PlateMoves, f64),
) -> Vec<f64> {
    let half = [opening.length.as_mm() / 2.0, opening.width.as_mm() / 2.0];
    let is_across = |x: f64| (x - opening.center.x).abs() < half[0];
    let holes = plate.features.sight_holes.iter();
    let holes =
        holes.filter(|hole| is_across(hole.x) && (hole.y - opening.center.y).abs() > half[1]);
    let holes = holes.filter_map(|hole| {
        // A bit that does not plunge goes down along the line.
        let long = LONG_HOLE * radius;
        let wanted = Window {
            min: [hole.x - radius, hole.y - long],
            max: [hole.x + radius, hole.y + long],
        };
        within(moves, wanted, template.plate_thickness.as_mm())
    });
    let plate_width = template.plate_width.as_mm();
    let ticks = part.ticks.iter().filter(|tick| {
        let is_on_plate = tick.from.y.min(tick.to.y) < plate_width;
        is_on_plate && is_across(tick.from.x) && (tick.from.x - tick.to.x).abs() < STRAIGHT
    });
    let ticks = ticks.filter_map(|tick| {
        let (x, ends) = (tick.from.x, [tick.from.y, tick.to.y]);
        let wanted = Window {
            min: [x - radius, ends[0].min(ends[1]) - radius],
            max: [x + radius, ends[0].max(ends[1]) + radius],
        };
        within(moves, wanted, tick.depth.as_mm() - SHALLOWER)
    });
    holes.chain(ticks).map(|found| found.middle(0)).collect()
}

/// The extent of what is cut so deep within a window and little more.
fn within(moves: &PlateMoves, wanted: Window, depth: f64) -> Option<Window> {
    let window = wanted.grown(ASTRAY);
    let swept = moves.as_deep_as(depth, window);
    let extents = swept.iter().map(|swept| swept.extent());
    let found = Window::about(extents.filter(|extent| window.holds(*extent)));
    found.is_something().then_some(found)
}
