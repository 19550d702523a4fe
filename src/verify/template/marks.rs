//! Where the text puts what the plate is laid by: grooves and centre lines.

use crate::job::template::{Groove, Opening, Template};
use crate::job::{Part, Plate};
use crate::verify::template::moves::{PlateMoves, Window};

/// How far from its wanted place something still counts as that thing, in millimetres.
const ASTRAY: f64 = 1.0;

/// A floor may lie so much higher, in millimetres.
const SHALLOWER: f64 = 0.05;

/// Lines nearer to each other are one line, in millimetres.
const SAME: f64 = 0.01;

/// What is cut of a groove, at its depth.
pub(crate) fn groove(groove: &Groove, moves: &PlateMoves) -> Option<Window> {
    let wanted = Window {
        min: [groove.min.x, groove.min.y],
        max: [groove.max.x, groove.max.y],
    };
    let depth = groove.depth.as_mm() - SHALLOWER;
    within(moves, wanted, depth)
}

/// X of every mark on the line that the middle of an opening lies on, `shift`
/// from that middle.
pub(crate) fn line(
    plate: &Plate,
    part: &Part,
    template: &Template,
    (opening, shift): (&Opening, f64),
    (moves, radius): (&PlateMoves, f64),
) -> Vec<f64> {
    let x = opening.center.x - shift;
    let is_on_it = |other: f64| (other - x).abs() < SAME;
    let holes = plate.features.sight_holes.iter();
    let holes = holes.filter(|hole| is_on_it(hole.x)).filter_map(|hole| {
        let wanted = Window {
            min: [hole.x - radius, hole.y - radius],
            max: [hole.x + radius, hole.y + radius],
        };
        within(moves, wanted, template.plate_thickness.as_mm())
    });
    let ticks = part.ticks.iter();
    let ticks = ticks.filter(|tick| is_on_it(tick.from.x) && is_on_it(tick.to.x));
    let ticks = ticks.filter_map(|tick| {
        let ends = [tick.from.y, tick.to.y];
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
