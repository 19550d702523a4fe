//! A hole as wide as the bit and no longer: there is no room for a ramp.

use crate::geometry::Point;

use super::cutter::Cutter;
use super::heights::Heights;
use super::motion::Pace;
use super::trace::ToolPath;

/// Pecks down. A bit that does not plunge cannot do it; the judge says so.
pub(super) fn cut(trace: &mut ToolPath, at: Point, heights: Heights, cutter: &Cutter) {
    trace.enter(at, heights.top);
    let pecks = (heights.depth() / cutter.bite).ceil().max(1.0);
    for peck in 1..=pecks as u32 {
        let depth = heights.depth() * f64::from(peck) / pecks;
        trace.line(at, heights.top - depth, Pace::Plunge);
        trace.line(at, heights.top, Pace::Rough);
    }
}
