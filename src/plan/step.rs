//! One step: which strategy its width asks for.

use crate::geometry::{Point, RoundedRectangle};

use super::bore;
use super::cutter::Cutter;
use super::heights::Heights;
use super::nearly_slot;
use super::rings;
use super::slot;
use super::trace::ToolPath;

/// Within this much of the bit's width a pocket is as wide as the bit, on each side.
const SAME: f64 = 0.01 + 1e-9;
/// Shorter centre lines give a ramp no room.
const SHORTEST_LINE: f64 = 0.02;
/// Up to this much over the finishing allowance the centre line still does:
/// in a sharp corner what stays is √2 times as thick.
const OVER_FINISH: f64 = 0.02;
/// With a shorter centre line a loop descends faster.
const SHORT_LINE: f64 = 1.0;

/// Cuts the wood inside `outline` between two heights; `rim` is the depth of
/// the scoring lap, where one is wanted.
pub(super) fn cut(
    trace: &mut ToolPath,
    outline: &RoundedRectangle,
    heights: Heights,
    rim: Option<f64>,
    cutter: &Cutter,
) {
    let mut rim = rim.map(|depth| depth.min(heights.depth()));
    for slice in heights.slices(cutter.edge) {
        let room = outline.half_x.min(outline.half_y) - cutter.radius;
        let (from, to) = center_line(outline);
        let line = from.distance(to).as_mm();
        if room <= SAME {
            let (from, to) = if line < SHORTEST_LINE {
                (outline.center, outline.center)
            } else {
                (from, to)
            };
            if line < SHORTEST_LINE {
                bore::cut(trace, from, slice, cutter);
            } else {
                slot::cut(trace, from, to, slice, rim, cutter);
            }
        } else if room <= cutter.finish + OVER_FINISH && line >= SHORT_LINE {
            nearly_slot::cut(trace, outline, (from, to), slice, rim, cutter);
        } else {
            rings::cut(trace, outline, slice, rim, cutter);
        }
        rim = None;
        trace.clear(*outline, slice.floor);
    }
}

/// The line in the middle of an outline, from end to end as far as a circle
/// that touches both sides reaches.
pub(super) fn center_line(outline: &RoundedRectangle) -> (Point, Point) {
    let Point { x, y } = outline.center;
    let reach = outline.half_x - outline.half_y;
    if reach >= 0.0 {
        (Point::from_mm(x - reach, y), Point::from_mm(x + reach, y))
    } else {
        (Point::from_mm(x, y + reach), Point::from_mm(x, y - reach))
    }
}
