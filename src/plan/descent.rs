//! Down along a line, to and fro.

use crate::geometry::Point;

use super::cutter::Cutter;
use super::motion::Pace;
use super::trace::ToolPath;
use super::zigzag::{self, Visit};

/// From where the bit is down to `floor`, to and fro between here and `to`,
/// the last run level.
pub(super) fn sink(trace: &mut ToolPath, to: Point, floor: f64, cutter: &Cutter) {
    let (near, top) = (trace.at().plan(), trace.at().z);
    let length = near.distance(to).as_mm();
    let mut at = Visit {
        far: false,
        depth: 0.0,
    };
    for visit in zigzag::schedule(length, top - floor, cutter) {
        let (here, there) = if at.far { (to, near) } else { (near, to) };
        if visit.far == at.far {
            dither(
                trace,
                here,
                there,
                [top - at.depth, top - visit.depth],
                cutter,
            );
        } else {
            trace.line(there, top - visit.depth, Pace::Rough);
        }
        at = visit;
    }
}

/// Down at one end by a way forth and back, as often as the line's length asks.
fn dither(trace: &mut ToolPath, here: Point, there: Point, z: [f64; 2], cutter: &Cutter) {
    let length = here.distance(there).as_mm();
    let drop = z[0] - z[1];
    let trips = (drop / (2.0 * cutter.slope * length) - 1e-9)
        .ceil()
        .max(1.0);
    let share = (drop / trips / (2.0 * cutter.slope * length)).min(1.0);
    let turn = Point::from_mm(
        here.x + (there.x - here.x) * share,
        here.y + (there.y - here.y) * share,
    );
    let halves = 2 * trips as u32;
    for half in 1..=halves {
        let to = if half % 2 == 1 { turn } else { here };
        let depth = drop * f64::from(half) / f64::from(halves);
        trace.line(to, z[0] - depth, Pace::Rough);
    }
}
