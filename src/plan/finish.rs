//! The finishing pass: once round at full depth, climbing unless
//! the bit is told otherwise, in and out by
//! tangent arcs so that neither leaves a mark.

use crate::geometry::{Point, RoundedRectangle};
use crate::shop::bit::Direction;

use super::cutter::Cutter;
use super::motion::Pace;
use super::path::Loop;
use super::segment::{Segment, aside};
use super::trace::ToolPath;

/// Radius of the arcs in and out, where there is room.
const LEAD: f64 = 1.0;
/// How far the pass runs over its own beginning.
const OVERLAP: f64 = 1.0;
/// A smaller arc is none.
const LEAST_LEAD: f64 = 0.05;
/// Without room for an arc the bit joins along the path, over this length.
const JOIN: f64 = 3.0;

/// Where a finishing pass begins.
#[derive(Clone, Copy, Debug)]
enum Start {
    /// In the middle of a leg.
    Middle,
    /// At the end of a leg that is nearest to where the bit stands.
    End(Point),
}

/// A finishing pass on one contour: the way in, round and out again,
/// counter-clockwise.
struct Pass {
    way: Vec<Segment>,
}

impl Pass {
    /// `room` is what the contour leaves between itself and the middle.
    fn new(contour: &Loop, room: f64, turn: f64, from: Start) -> Self {
        let near = match from {
            Start::Middle => contour.point(0.0),
            Start::End(end) => end,
        };
        let (leg, length) = contour.longest_leg(near).unwrap_or((0.0, 0.0));
        // A leg shorter than the arcs leaves them to the round ends, whose
        // radius then bounds them.
        let radius = LEAD.min(room).min((length / 4.0).max(turn / 2.0));
        let overlap = OVERLAP.min((length - 2.0 * radius).max(turn)).max(0.0);
        let is_arc = radius >= LEAST_LEAD;
        let middle = leg + (length - overlap) / 2.0;
        let lead = if is_arc { radius } else { JOIN };
        let start = match from {
            Start::Middle => middle,
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

/// The passes that finish a wall, in order: one on the outline, perhaps one
/// half the allowance before it and once more for what the bit sprang back.
fn passes(outline: &RoundedRectangle, from: Start, cutter: &Cutter) -> Vec<Pass> {
    let pass = |allowance: f64| {
        let inset = cutter.radius + allowance;
        let room = outline.half_x.min(outline.half_y) - inset;
        let turn = (outline.corner - inset).max(0.0);
        Loop::inside(outline, inset).map(|contour| Pass::new(&contour, room.max(0.0), turn, from))
    };
    let half = cutter.care.second_finish.then_some(cutter.finish / 2.0);
    let spring = cutter.care.spring_pass.then_some(0.0);
    let insets = half.into_iter().chain([0.0]).chain(spring);
    insets.filter_map(pass).collect()
}

/// Where the finishing begins: roughing had better end nearby.
pub(super) fn begin(outline: &RoundedRectangle, cutter: &Cutter) -> Point {
    let passes = passes(outline, Start::Middle, cutter);
    let first = passes.first();
    first
        .and_then(|pass| pass.begin(cutter.care.direction))
        .unwrap_or(outline.center)
}

/// From [`begin`], or wherever the bit stands on the cleared floor at `z`.
pub(super) fn wall(trace: &mut ToolPath, outline: &RoundedRectangle, z: f64, cutter: &Cutter) {
    run(trace, passes(outline, Start::Middle, cutter), z, cutter);
}

/// The same from an end of the pocket, where the bit stands.
pub(super) fn wall_from_end(
    trace: &mut ToolPath,
    outline: &RoundedRectangle,
    z: f64,
    cutter: &Cutter,
) {
    let from = Start::End(trace.at().plan());
    run(trace, passes(outline, from, cutter), z, cutter);
}

fn run(trace: &mut ToolPath, passes: Vec<Pass>, z: f64, cutter: &Cutter) {
    for pass in passes {
        pass.run(trace, z, cutter.care.direction);
    }
}
