//! A pocket a little wider than the bit: rough along the centre line, then
//! one finishing loop.

use crate::geometry::{Point, RoundedRectangle};

use super::cutter::Cutter;
use super::descent;
use super::finish;
use super::heights::Heights;
use super::motion::Pace;
use super::path::Loop;
use super::score;
use super::slot;
use super::trace::ToolPath;

pub(super) fn cut(
    trace: &mut ToolPath,
    outline: &RoundedRectangle,
    line: (Point, Point),
    heights: Heights,
    rim: Option<f64>,
    cutter: &Cutter,
) {
    let contour = Loop::inside(outline, cutter.radius);
    let (from, to) = line;
    match (rim, &contour) {
        (Some(depth), Some(contour)) => {
            let z = heights.top - depth;
            score::lap(trace, contour, from, [heights.top, z], cutter);
            trace.line(from, z, Pace::Rough);
            descent::sink(trace, to, heights.floor, cutter);
        }
        _ => slot::cut(trace, from, to, heights, None, cutter),
    }
    finish::wall_from_end(trace, outline, heights.floor, cutter);
}
