//! The finishing pass round the outside of a piece, in a kerf that leaves no room for
//! arcs: off the roughing path at a flat angle, once round and back onto it.

use crate::geometry::Point;
use crate::shop::bit::Direction;

use super::cutter::Cutter;
use super::motion::{Pace, Turn};
use super::outside;
use super::path::Loop;
use super::segment::{Segment, aside};
use super::trace::ToolPath;

/// How far the pass runs over its own beginning.
const OVERLAP: f64 = 1.0;
/// The bit joins over this length where the leg is long enough.
const JOIN: f64 = 3.0;
/// And never steeper than this share of the length.
const STEEPEST: f64 = 0.2;
/// A lesser allowance is none.
const NOTHING: f64 = 1e-6;

/// The way from the roughing path, round and onto it again, clockwise.
pub(super) struct Pass {
    way: Vec<Segment>,
}

/// Where a pass begins, and how it comes there.
struct Start {
    at: f64,
    overlap: f64,
    /// From so far back along the tangent.
    join: f64,
    /// And so far outside.
    left: f64,
}

impl Start {
    /// On the longest leg; without one on the longest bulge, where the tangent
    /// itself leaves the piece.
    fn on(path: &Loop, gap: f64) -> Self {
        let leg = path.longest_leg(path.point(0.0));
        let room = leg.map_or(0.0, |(_, length)| (length - OVERLAP) / 2.0);
        if let Some((leg, _)) = leg.filter(|_| room > gap / STEEPEST) {
            return Self {
                at: leg + room,
                overlap: OVERLAP,
                join: JOIN.min(room),
                left: gap,
            };
        }
        let bulge = path.longest_arc(Turn::Clockwise);
        bulge.map_or(
            Self {
                at: 0.0,
                overlap: 0.0,
                join: 0.0,
                left: gap,
            },
            |(start, length, radius)| {
                let overlap = OVERLAP.min(length / 2.0);
                Self {
                    at: start + (length - overlap) / 2.0,
                    overlap,
                    join: (2.0 * radius * gap + gap * gap).sqrt(),
                    left: 0.0,
                }
            },
        )
    }
}

impl Pass {
    fn new(path: &Loop, gap: f64) -> Self {
        let start = Start::on(path, gap);
        if gap < NOTHING {
            let way = path.walk(start.at, path.length());
            return Self { way };
        }
        let round = path.length() + start.overlap;
        let end = start.at + round;
        let (first, last) = (path.point(start.at), path.point(end));
        let (on, off) = (path.tangent(start.at), path.tangent(end));
        let mut way = vec![Segment::Line {
            from: aside(first, on, start.left, -start.join),
            to: first,
        }];
        way.extend(path.walk(start.at, round));
        way.push(Segment::Line {
            from: last,
            to: aside(last, off, start.left, start.join),
        });
        Self { way }
    }

    /// Where it begins.
    pub(super) fn begin(&self, direction: Direction) -> Option<Point> {
        match direction {
            Direction::Climb => self.way.first().map(Segment::start),
            Direction::Conventional => self.way.last().map(Segment::end),
        }
    }

    /// At the height where the bit stands, on the roughing path `rough`.
    pub(super) fn run(&self, trace: &mut ToolPath, rough: &Loop, direction: Direction) {
        let Some(begin) = self.begin(direction) else {
            return;
        };
        trace.go_round(rough, begin);
        match direction {
            Direction::Climb => trace.along(&self.way, Pace::Finish),
            Direction::Conventional => trace.back_along(&self.way, Pace::Finish),
        }
    }
}

/// The passes in order: one along the piece, perhaps one half the allowance before
/// it and once more for what the bit sprang back. Without an allowance the
/// roughing has been along the piece.
pub(super) fn passes(outline: &[Segment], cutter: &Cutter) -> Vec<Pass> {
    let is_left = cutter.finish > NOTHING;
    let half = (is_left && cutter.care.second_finish).then_some(cutter.finish / 2.0);
    let last = is_left.then_some(0.0);
    let spring = cutter.care.spring_pass.then_some(0.0);
    let allowances = half.into_iter().chain(last).chain(spring);
    let passes = allowances.filter_map(|allowance| {
        let path = outside::path(outline, cutter.radius + allowance)?;
        Some(Pass::new(&path, cutter.finish - allowance))
    });
    passes.collect()
}
