//! A pocket as wide as the bit: to and fro along its centre line.

use crate::geometry::Point;

use super::cutter::Cutter;
use super::descent;
use super::heights::Heights;
use super::score;
use super::trace::ToolPath;

pub(super) fn cut(
    trace: &mut ToolPath,
    from: Point,
    to: Point,
    heights: Heights,
    rim: Option<f64>,
    cutter: &Cutter,
) {
    // Begin at the end that is nearer.
    let here = trace.at().plan();
    let (from, to) = if here.distance(to) < here.distance(from) {
        (to, from)
    } else {
        (from, to)
    };
    trace.enter(from, heights.top);
    if let Some(depth) = rim {
        score::line(trace, to, heights.top - depth, cutter);
    }
    descent::sink(trace, to, heights.floor, cutter);
}
