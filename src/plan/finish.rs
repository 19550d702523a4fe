//! The finishing pass: once round at full depth, climbing, in and out by
//! tangent arcs so that neither leaves a mark.

use crate::geometry::{Point, RoundedRectangle};

use super::cutter::Cutter;
use super::motion::Pace;
use super::path::Loop;
use super::trace::Trace;

/// Radius of the arcs in and out, where there is room.
const LEAD: f64 = 1.0;
/// How far the pass runs over its own beginning.
const OVERLAP: f64 = 1.0;
/// A smaller arc is none.
const LEAST_LEAD: f64 = 0.05;
/// Without room for an arc the bit joins along the path, over this length.
const JOIN: f64 = 3.0;

/// Where a finishing pass begins and how it gets there.
pub(super) struct Lead {
    /// Along the contour.
    start: f64,
    radius: f64,
    overlap: f64,
    /// Where the bit is before it.
    pub(super) from: Point,
}

impl Lead {
    pub(super) fn new(outline: &RoundedRectangle, contour: &Loop, cutter: &Cutter) -> Self {
        let room = outline.half_x.min(outline.half_y) - cutter.radius;
        let turn = outline.corner - cutter.radius;
        let (leg, length) = contour.longest_leg().unwrap_or((0.0, 0.0));
        // A leg shorter than the arcs leaves them to the round ends, whose
        // radius then bounds them.
        let radius = LEAD.min(room).min((length / 4.0).max(turn / 2.0));
        let overlap = OVERLAP.min((length - 2.0 * radius).max(turn)).max(0.0);
        let start = leg + (length - overlap) / 2.0;
        let at = contour.point(start);
        let way = contour.tangent(start);
        let from = if radius < LEAST_LEAD {
            let back = JOIN.min((start - leg).max(0.0));
            aside(at, way, room, -back)
        } else {
            aside(at, way, radius, -radius)
        };
        Self {
            start,
            radius,
            overlap,
            from,
        }
    }
}

/// From `at`, `inward` to the left of the way and `on` along it.
fn aside(at: Point, way: Point, inward: f64, on: f64) -> Point {
    Point::from_mm(
        at.x - way.y * inward + way.x * on,
        at.y + way.x * inward + way.y * on,
    )
}

/// From wherever the bit stands on the cleared floor at `z`.
pub(super) fn pass(
    trace: &mut Trace,
    outline: &RoundedRectangle,
    contour: &Loop,
    z: f64,
    cutter: &Cutter,
) {
    let lead = Lead::new(outline, contour, cutter);
    let Lead {
        start,
        radius,
        overlap,
        from,
    } = lead;
    trace.line(from, z, Pace::Rough);
    let first = contour.point(start);
    if radius < LEAST_LEAD {
        trace.line(first, z, Pace::Finish);
    } else {
        let center = aside(first, contour.tangent(start), radius, 0.0);
        trace.arc(first, z, center, Pace::Finish);
    }
    let round = contour.length() + overlap;
    trace.follow(contour, start, round, z, Pace::Finish);
    let (last, way) = (contour.point(start + round), contour.tangent(start + round));
    if radius >= LEAST_LEAD {
        let center = aside(last, way, radius, 0.0);
        trace.arc(aside(last, way, radius, radius), z, center, Pace::Finish);
    }
}
