//! A wide pocket: nested loops, the innermost by one continuous descent, the
//! others from the open middle outward, level by level; then the wall.

use crate::geometry::{Point, RoundedRectangle};

use super::cutter::{Cutter, Ends};
use super::finish;
use super::heights::Heights;
use super::motion::Pace;
use super::path::Loop;
use super::score;
use super::sidestep;
use super::spiral::{Spiral, levels};
use super::trace::ToolPath;

/// The innermost loop is no further from the middle than this share of the
/// bit; a little under half, so that no thread of wood stays.
const INNERMOST: f64 = 0.48;
/// How far the bit moves off the wood beside it before it sinks in the open.
const OFF: f64 = 0.1;

/// A pocket up to this share of two bits wide has no wood in its middle once its
/// contour is cut.
const BARE: f64 = 0.98;
/// The end of a descent is moved in such steps.
const SHIFT: f64 = 0.5;
/// What a stretch too short costs, and a corner, as a way at the feed.
const SHORT: f64 = 100.0;
const BEND: f64 = 15.0;
/// And each millimetre of the leg off the end that is preferred.
const PREFERRED: f64 = 0.05;

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
    let Some((innermost, outward)) = nest.loops.split_last() else {
        return;
    };
    let descent = Descent::new(outline, innermost, heights, rim, cutter);
    let descent = Descent {
        beside: outward.is_empty().then_some(finish),
        ..descent
    };
    let begin_at = |shift: f64| finish::begin(outline, finish, shift, cutter);
    let shift = if outward.is_empty() && !nest.island {
        let reach = finish::reach(outline, finish, cutter);
        descent.best_shift(trace, reach, begin_at, cutter)
    } else {
        0.0
    };
    let begin = begin_at(shift);
    let aim = if nest.island {
        far_end(outline, innermost)
    } else {
        begin
    };
    descent.cut(trace, &contour, aim, cutter);
    if nest.island {
        island(trace, outline, aim, heights, cutter);
    }
    let mut inner = innermost;
    for ring in outward.iter().rev() {
        widen(trace, inner, ring, begin, heights, cutter);
        inner = ring;
    }
    finish::wall(trace, outline, [finish, shift, heights.floor], cutter);
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

/// Round and round the innermost loop down to the floor.
struct Descent<'a> {
    path: &'a Loop,
    spiral: Spiral,
    /// Top of the wood, and how deep its rim is scored first.
    top: f64,
    scored: f64,
    /// How far from the final contour the loop is, where nothing lies between them.
    beside: Option<f64>,
}

impl<'a> Descent<'a> {
    fn new(
        outline: &RoundedRectangle,
        path: &'a Loop,
        heights: Heights,
        rim: Option<f64>,
        cutter: &Cutter,
    ) -> Self {
        let scored = rim.unwrap_or(0.0);
        // The scoring lap takes the whole top of a pocket that is no wider than two bits.
        let is_bare = outline.half_x.min(outline.half_y) < 2.0 * cutter.radius * BARE;
        let spiral = if is_bare {
            let left = Heights {
                top: heights.top - scored,
                ..heights
            };
            Spiral::new(path, left, 0.0, cutter)
        } else {
            Spiral::new(path, heights, scored, cutter)
        };
        Self {
            path,
            spiral,
            top: heights.top,
            scored,
            beside: None,
        }
    }

    /// How far the place where it ends is best moved along its leg, by `reach` either
    /// way at most: no short stretches, a straight way in, begun ahead of the bit.
    fn best_shift(
        &self,
        trace: &ToolPath,
        reach: f64,
        end: impl Fn(f64) -> Point,
        cutter: &Cutter,
    ) -> f64 {
        let faults = |shift: f64| {
            let start = self.start(end(shift));
            let is_short = !self.spiral.is_clear_of_joints(self.path, start);
            let is_bent = self.scored > 0.0 && self.aside(start, cutter).is_none();
            let over = trace.low().map_or(0.0, |at| self.way_over(at, start));
            let preferred = match cutter.ends {
                Ends::Early => shift,
                Ends::Middle => shift.abs(),
                Ends::Late => -shift,
            };
            let preferred = PREFERRED * preferred;
            SHORT * f64::from(u8::from(is_short))
                + BEND * f64::from(u8::from(is_bent))
                + over
                + preferred
        };
        let mut best = (faults(0.0), 0.0);
        for step in 1..=(reach / SHIFT) as u32 {
            for shift in [1.0, -1.0].map(|sign| sign * SHIFT * f64::from(step)) {
                let found = faults(shift);
                if found < best.0 - 1e-9 {
                    best = (found, shift);
                }
            }
        }
        best.1
    }

    /// What it costs to come from `at` to the beginning: straight on along a leg the
    /// way alone, else a corner too.
    fn way_over(&self, at: Point, start: f64) -> f64 {
        let (to, way) = (self.path.point(start), self.path.tangent(start));
        let (x, y) = (to.x - at.x, to.y - at.y);
        let (on, aside) = (x * way.x + y * way.y, x * way.y - y * way.x);
        let is_straight = on >= 0.0 && aside.abs() < 1e-6;
        x.hypot(y) + if is_straight { 0.0 } else { BEND }
    }

    /// Where on the loop it begins to end next to `aim`.
    fn start(&self, aim: Point) -> f64 {
        self.path.nearest(aim) - self.spiral.way()
    }

    /// The run of a sidestep from the final contour to the beginning.
    fn aside(&self, start: f64, cutter: &Cutter) -> Option<f64> {
        let gap = self.beside.filter(|gap| *gap > 0.0)?;
        let run = sidestep::run(gap, cutter.bend);
        self.path.is_straight(start - run, run).then_some(run)
    }

    /// Down to the floor, ending next to `aim`.
    fn cut(&self, trace: &mut ToolPath, contour: &Loop, aim: Point, cutter: &Cutter) {
        let start = self.start(aim);
        let first = self.path.point(start);
        if self.scored > 0.0 {
            let z = self.top - self.scored;
            let run = self.aside(start, cutter);
            let before = self.path.point(start - run.unwrap_or(0.0));
            score::lap(trace, contour, before, [self.top, z], cutter);
            if let (Some(run), Some(gap)) = (run, self.beside) {
                let (at, way) = (trace.at().plan(), self.path.tangent(start - run));
                trace.along(&sidestep::segments(at, way, gap, run), Pace::Rough);
            }
            trace.line(first, z, Pace::Rough);
        } else {
            trace.enter(first, self.top);
        }
        self.spiral.cut(trace, self.path, start);
    }
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
