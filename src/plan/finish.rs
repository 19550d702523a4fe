//! The finishing pass: once round at full depth, climbing unless
//! the bit is told otherwise, off the roughing path and back onto it without a
//! corner, or in and out by quarter turns, so that neither leaves a mark.

use crate::geometry::{Point, RoundedRectangle};
use crate::shop::bit::Direction;

use super::cutter::Cutter;
use super::motion::Pace;
use super::path::Loop;
use super::segment::{Segment, aside};
use super::sidestep;
use super::trace::ToolPath;

/// Radius of quarter turns in and out, where there is room.
const LEAD: f64 = 1.0;
/// How far the pass runs over its own beginning.
const OVERLAP: f64 = 1.0;
/// A smaller arc is none.
const LEAST_LEAD: f64 = 0.05;
/// Further than any leg is long.
const FAR: f64 = 1e4;
/// Without room for an arc the bit joins along the path, over this length.
const JOIN: f64 = 3.0;

/// A sidestep on tighter arcs is none.
const LEAST_BEND: f64 = 1.0;

/// Where a finishing pass begins.
#[derive(Clone, Copy, Debug)]
enum Start {
    /// So far past the middle of a leg, on the side away from the show face.
    Middle(f64),
    /// At the end of a leg that is nearest to where the bit stands.
    End(Point),
}

/// A finishing pass on one contour: the way in, round and out again,
/// counter-clockwise.
struct Pass {
    way: Vec<Segment>,
}

impl Pass {
    /// On `contour`, which leaves `room` between itself and the middle and whose
    /// ends turn about `turn`; the roughing has been `gap` inside it.
    fn new(contour: &Loop, [room, turn, gap]: [f64; 3], from: Start, cutter: &Cutter) -> Self {
        let near = match from {
            Start::Middle(_) => aside(contour.point(0.0), cutter.inward, 0.0, FAR),
            Start::End(end) => end,
        };
        let leg = contour.longest_leg(near).unwrap_or((0.0, 0.0));
        match from {
            Start::Middle(shift) if slack(leg.1, gap, cutter).is_some() => {
                Self::beside(contour, leg, gap, shift, cutter)
            }
            _ => Self::turning(contour, leg, [room, turn], from),
        }
    }

    /// Off the roughing path and onto it again, without a corner.
    fn beside(contour: &Loop, leg: (f64, f64), gap: f64, shift: f64, cutter: &Cutter) -> Self {
        let run = run(leg.1, gap, cutter);
        let start = leg.0 + (leg.1 - OVERLAP) / 2.0 + shift;
        let round = contour.length() + OVERLAP;
        let tangent = contour.tangent(start);
        let first = aside(contour.point(start), tangent, gap, -run);
        let last = contour.point(start + round);
        let mut way = sidestep::segments(first, tangent, -gap, run).to_vec();
        way.extend(contour.walk(start, round));
        way.extend(sidestep::segments(last, tangent, gap, run));
        Self { way }
    }

    /// In and out by quarter turns, or a short way along where they have no room.
    fn turning(
        contour: &Loop,
        (leg, length): (f64, f64),
        [room, turn]: [f64; 2],
        from: Start,
    ) -> Self {
        // A leg shorter than the arcs leaves them to the round ends, whose
        // radius then bounds them.
        let radius = LEAD.min(room).min((length / 4.0).max(turn / 2.0));
        let overlap = OVERLAP.min((length - 2.0 * radius).max(turn)).max(0.0);
        let is_arc = radius >= LEAST_LEAD;
        let middle = leg + (length - overlap) / 2.0;
        let lead = if is_arc { radius } else { JOIN };
        let start = match from {
            Start::Middle(_) => middle,
            Start::End(_) => middle.min(leg + lead),
        };
        let round = contour.length() + overlap;
        let first = (contour.point(start), contour.tangent(start));
        let last = (contour.point(start + round), contour.tangent(start + round));
        let mut way = Vec::new();
        if !is_arc {
            let back = JOIN.min((start - leg).max(0.0));
            way.push(Segment::Line {
                from: aside(first.0, first.1, room, -back),
                to: first.0,
            });
        } else {
            way.push(Segment::quarter_to(first.0, first.1, radius));
        }
        way.extend(contour.walk(start, round));
        if is_arc {
            way.push(Segment::quarter_from(last.0, last.1, radius));
        }
        Self { way }
    }

    fn begin(&self, direction: Direction) -> Option<Point> {
        match direction {
            Direction::Climb => self.way.first().map(Segment::start),
            Direction::Conventional => self.way.last().map(Segment::end),
        }
    }

    fn run(&self, trace: &mut ToolPath, z: f64, direction: Direction) {
        let Some(begin) = self.begin(direction) else {
            return;
        };
        trace.line(begin, z, Pace::Rough);
        match direction {
            Direction::Climb => trace.along(&self.way, Pace::Finish),
            Direction::Conventional => trace.back_along(&self.way, Pace::Finish),
        }
    }
}

/// The run of a sidestep on a leg of `length`: one that keeps the feed, or what
/// there is room for.
fn run(length: f64, gap: f64, cutter: &Cutter) -> f64 {
    sidestep::run(gap, cutter.bend).min((length - OVERLAP) / 2.0)
}

/// How far from the middle of a leg of `length` a pass may begin that steps
/// aside by `gap`; none where there is no room for it at all.
fn slack(length: f64, gap: f64, cutter: &Cutter) -> Option<f64> {
    let tightest = sidestep::run(gap, LEAST_BEND);
    let room = (length - OVERLAP) / 2.0;
    (gap > 0.0 && room >= tightest).then(|| room - run(length, gap, cutter))
}

/// The passes that finish a wall, in order: one on the outline, perhaps one
/// half the allowance before it and once more for what the bit sprang back.
/// Where the roughing has left nothing there is nothing to finish.
fn passes(outline: &RoundedRectangle, from: Start, left: f64, cutter: &Cutter) -> Vec<Pass> {
    let pass = |allowance: f64| {
        let inset = cutter.radius + allowance;
        let room = outline.half_x.min(outline.half_y) - inset;
        let turn = (outline.corner - inset).max(0.0);
        let gap = left - allowance;
        Loop::inside(outline, inset)
            .map(|contour| Pass::new(&contour, [room.max(0.0), turn, gap], from, cutter))
    };
    let is_left = left > 0.0;
    let half = (is_left && cutter.care.second_finish).then_some(cutter.finish / 2.0);
    let last = is_left.then_some(0.0);
    let spring = cutter.care.spring_pass.then_some(0.0);
    let insets = half.into_iter().chain(last).chain(spring);
    insets.filter_map(pass).collect()
}

/// Where the finishing of a wall with `left` on it begins if it is moved by
/// `shift` along its leg: roughing had better end there.
pub(super) fn begin(outline: &RoundedRectangle, left: f64, shift: f64, cutter: &Cutter) -> Point {
    let passes = passes(outline, Start::Middle(shift), left, cutter);
    let first = passes.first();
    first
        .and_then(|pass| pass.begin(cutter.care.direction))
        .unwrap_or(outline.center)
}

/// By how much the beginning may be moved either way.
pub(super) fn reach(outline: &RoundedRectangle, left: f64, cutter: &Cutter) -> f64 {
    let leg = Loop::inside(outline, cutter.radius)
        .and_then(|contour| contour.longest_leg(outline.center))
        .and_then(|(_, length)| slack(length, left, cutter));
    leg.unwrap_or(0.0)
}

/// From [`begin`], or wherever the bit stands on the cleared floor at `z`.
pub(super) fn wall(
    trace: &mut ToolPath,
    outline: &RoundedRectangle,
    [left, shift, z]: [f64; 3],
    cutter: &Cutter,
) {
    let passes = passes(outline, Start::Middle(shift), left, cutter);
    run_all(trace, passes, z, cutter);
}

/// The same from an end of the pocket, where the bit stands.
pub(super) fn wall_from_end(
    trace: &mut ToolPath,
    outline: &RoundedRectangle,
    z: f64,
    cutter: &Cutter,
) {
    let from = Start::End(trace.at().plan());
    let room = outline.half_x.min(outline.half_y) - cutter.radius;
    run_all(trace, passes(outline, from, room, cutter), z, cutter);
}

fn run_all(trace: &mut ToolPath, passes: Vec<Pass>, z: f64, cutter: &Cutter) {
    for pass in passes {
        pass.run(trace, z, cutter.care.direction);
    }
}
