//! The scoring lap: the top fibres are cut on the final outline before a
//! spiral that lifts can tear them.

use crate::geometry::Point;

use super::cutter::Cutter;
use super::descent;
use super::motion::Pace;
use super::path::Loop;
use super::trace::ToolPath;

/// Once round `contour`, climbing, down to `z`, ending next to `aim`.
pub(super) fn lap(
    trace: &mut ToolPath,
    contour: &Loop,
    aim: Point,
    heights: [f64; 2],
    cutter: &Cutter,
) {
    let [top, z] = heights;
    let ramp = (top - z) / cutter.slope;
    let start = contour.nearest(aim) - ramp;
    trace.enter(contour.point(start), top);
    trace.follow(contour, start, ramp, z, Pace::Finish);
    trace.follow(contour, start + ramp, contour.length(), z, Pace::Finish);
}

/// To `to` and back again along a slot, down to `z`.
pub(super) fn line(trace: &mut ToolPath, to: Point, z: f64, cutter: &Cutter) {
    let from = trace.at().plan();
    let length = from.distance(to).as_mm();
    let drop = trace.at().z - z;
    let ramp = drop / cutter.slope;
    if ramp < length {
        let share = ramp / length;
        let bottom = Point::from_mm(
            from.x + (to.x - from.x) * share,
            from.y + (to.y - from.y) * share,
        );
        trace.line(bottom, z, Pace::Finish);
        trace.line(to, z, Pace::Finish);
        trace.line(from, z, Pace::Finish);
    } else {
        descent::sink(trace, to, z, cutter);
        trace.line(from, z, Pace::Finish);
    }
}
