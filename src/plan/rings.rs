//! A wide pocket: nested loops, the innermost by one continuous descent, the
//! others from the open middle outward, level by level; then the wall.

use crate::geometry::{Point, RoundedRectangle};

use super::cutter::Cutter;
use super::finish;
use super::heights::Heights;
use super::motion::Pace;
use super::path::Loop;
use super::score;
use super::spiral::{Spiral, levels};
use super::trace::ToolPath;

/// The innermost loop is no further from the middle than this share of the
/// bit; a little under half, so that no thread of wood stays.
const INNERMOST: f64 = 0.48;
/// How far the bit moves off the wood beside it before it sinks in the open.
const OFF: f64 = 0.1;

/// The loops of a pocket, the outermost first.
struct Nest {
    loops: Vec<Loop>,
    /// Whether an island stays inside the innermost loop.
    island: bool,
}

impl Nest {
    fn new(outline: &RoundedRectangle, finish: f64, cutter: &Cutter) -> Self {
        let half = outline.half_x.min(outline.half_y);
        let outer = cutter.radius + finish;
        let reach = (half - outer).max(0.0);
        let (bit, widest) = (cutter.diameter(), cutter.spacing);
        let gaps = |left: f64| (left / widest - 1e-9).ceil().max(0.0);
        // Loops right into the middle, or a centre line for the last of it.
        let plain = gaps(reach - INNERMOST * bit);
        let lined = gaps(reach - widest.min(WITH_LINE * bit));
        let island = lined < plain;
        let (count, innermost) = if island {
            (lined, widest.min(WITH_LINE * bit))
        } else {
            (plain, INNERMOST * bit)
        };
        let spacing = if count > 0.0 {
            (reach - innermost.min(reach)) / count
        } else {
            0.0
        };
        let loops = (0..=count as u32)
            .filter_map(|ring| Loop::inside(outline, outer + spacing * f64::from(ring)))
            .collect();
        Self { loops, island }
    }
}

/// A loop this far from a centre line, in bits, still overlaps its cut.
const WITH_LINE: f64 = 0.85;

pub(super) fn cut(
    trace: &mut ToolPath,
    outline: &RoundedRectangle,
    heights: Heights,
    rim: Option<f64>,
    cutter: &Cutter,
) {
    let Some(contour) = Loop::inside(outline, cutter.radius) else {
        return;
    };
    let room = outline.half_x.min(outline.half_y) - cutter.radius;
    // Too little room for an allowance: the loop runs on the final outline.
    let finish = if room > cutter.finish + 1e-6 {
        cutter.finish
    } else {
        0.0
    };
    let nest = Nest::new(outline, finish, cutter);
    let begin = finish::begin(outline, cutter);
    let Some((innermost, outward)) = nest.loops.split_last() else {
        return;
    };
    let aim = if nest.island {
        far_end(outline, innermost)
    } else {
        begin
    };
    descend(trace, &contour, innermost, aim, heights, rim, cutter);
    if nest.island {
        island(trace, outline, aim, heights, cutter);
    }
    let mut inner = innermost;
    for ring in outward.iter().rev() {
        widen(trace, inner, ring, begin, heights, cutter);
        inner = ring;
    }
    finish::wall(trace, outline, heights.floor, cutter);
}

/// The end of a loop on the outline's long axis.
fn far_end(outline: &RoundedRectangle, path: &Loop) -> Point {
    let Point { x, y } = outline.center;
    let beyond = if outline.half_x >= outline.half_y {
        Point::from_mm(x - outline.half_x, y)
    } else {
        Point::from_mm(x, y - outline.half_y)
    };
    path.point(path.nearest(beyond))
}

/// Round and round `path` down to the floor, ending next to `aim`.
fn descend(
    trace: &mut ToolPath,
    contour: &Loop,
    path: &Loop,
    aim: Point,
    heights: Heights,
    rim: Option<f64>,
    cutter: &Cutter,
) {
    let scored = rim.unwrap_or(0.0);
    let spiral = Spiral::new(path, heights, scored, cutter);
    let end = path.nearest(aim);
    let start = end - spiral.way();
    let first = path.point(start);
    if scored > 0.0 {
        let z = heights.top - scored;
        score::lap(trace, contour, first, [heights.top, z], cutter);
        trace.line(first, z, Pace::Rough);
    } else {
        trace.enter(first, heights.top);
    }
    spiral.cut(trace, path, start);
}

/// What stays in the middle is taken level by level along the long axis,
/// turning in the open loop around it.
fn island(
    trace: &mut ToolPath,
    outline: &RoundedRectangle,
    from: Point,
    heights: Heights,
    cutter: &Cutter,
) {
    let Point { x, y } = outline.center;
    let to = Point::from_mm(2.0 * x - from.x, 2.0 * y - from.y);
    trace.line(from, trace.at().z, Pace::Rough);
    for (level, z) in levels(heights, cutter).enumerate() {
        let (here, there) = if level % 2 == 0 {
            (from, to)
        } else {
            (to, from)
        };
        if trace.at().z < z {
            trace.rapid(here.x, here.y, z);
        }
        trace.line(here, z, Pace::Rough);
        trace.line(there, z, Pace::Rough);
    }
}

/// A loop outside an open one: in from the open side, once round, back out,
/// for each level.
fn widen(
    trace: &mut ToolPath,
    inner: &Loop,
    ring: &Loop,
    aim: Point,
    heights: Heights,
    cutter: &Cutter,
) {
    let start = ring.nearest(aim);
    let first = ring.point(start);
    let beside = inner.nearest(first);
    let (at, way) = (inner.point(beside), inner.tangent(beside));
    let open = Point::from_mm(at.x - way.y * OFF, at.y + way.x * OFF);
    for z in levels(heights, cutter) {
        trace.line(open, trace.at().z, Pace::Rough);
        trace.rapid(open.x, open.y, z);
        trace.line(first, z, Pace::Rough);
        trace.follow(ring, start, ring.length(), z, Pace::Rough);
    }
}
