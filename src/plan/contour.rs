//! A kerf round a piece that is cut free: down along the bit's own path,
//! then the finishing pass along the piece.
//!
//! Outside a piece climb is clockwise travel.

use std::f64::consts::PI;

use crate::geometry::Point;
use crate::job::Part;
use crate::job::contour::{Contour, Edge};

use super::cutter::Cutter;
use super::heights::Heights;
use super::layout::Placement;
use super::motion::Pace;
use super::outside_finish::{self, Pass};
use super::path::Loop;
use super::segment::Segment;
use super::spiral::Spiral;
use super::trace::ToolPath;
use super::{Piece, outside, score};

/// Shorter edges are none.
const NOTHING: f64 = 1e-6;

pub(super) fn piece(
    part: &Part,
    contour: &Contour,
    placement: &Placement,
    cutter: &Cutter,
) -> Piece {
    let mut trace = ToolPath::new(placement, cutter.radius);
    trace.note(format!("{} piece {}", part.name, contour.number));
    let heights = Heights {
        top: placement.top,
        floor: placement.top - contour.depth.as_mm(),
    };
    if heights.depth() > NOTHING {
        cut(&mut trace, &outline(contour, placement), heights, cutter);
    }
    trace.piece(part, placement)
}

fn cut(trace: &mut ToolPath, outline: &[Segment], heights: Heights, cutter: &Cutter) {
    // With the allowance for the finishing pass, and along the piece.
    let rough = outside::path(outline, cutter.radius + cutter.finish);
    let close = outside::path(outline, cutter.radius);
    let (Some(rough), Some(close)) = (rough, close) else {
        return;
    };
    let passes = outside_finish::passes(outline, cutter);
    for (index, slice) in heights.slices(cutter.edge).enumerate() {
        let aim = aim(&rough, &passes, cutter);
        let scored = cutter.score.filter(|_| index == 0);
        let scored = scored.map_or(0.0, |depth| depth.min(slice.depth()));
        let spiral = Spiral::new(&rough, slice, scored, cutter).clear_of_joints(&rough, aim);
        let start = aim - spiral.way();
        let first = rough.point(start);
        if index > 0 {
            trace.go_round(&rough, first);
        } else if scored > 0.0 {
            let z = slice.top - scored;
            score::lap(trace, &close, first, [slice.top, z], cutter);
            trace.line(first, z, Pace::Rough);
        } else {
            trace.enter(first, slice.top);
        }
        spiral.cut(trace, &rough, start);
        for pass in &passes {
            pass.run(trace, &rough, cutter.care.direction);
        }
    }
}

/// Where the descent ends: where the finishing begins, or in the middle of a leg.
fn aim(rough: &Loop, passes: &[Pass], cutter: &Cutter) -> f64 {
    let begin = passes
        .first()
        .and_then(|pass| pass.begin(cutter.care.direction));
    let leg = rough.longest_leg(rough.point(0.0));
    begin.map_or_else(
        || leg.map_or(0.0, |(start, length)| start + length / 2.0),
        |begin| rough.nearest(begin),
    )
}

/// The outline where the part lies.
fn outline(contour: &Contour, placement: &Placement) -> Vec<Segment> {
    let segments = contour.outline.iter().map(|edge| {
        let (from, to) = (placement.point(edge.from()), placement.point(edge.to()));
        let Edge::Arc { center, bulges, .. } = *edge else {
            return Segment::Line { from, to };
        };
        let center = placement.point(center);
        let angle = |at: Point| (at.y - center.y).atan2(at.x - center.x);
        let (start, end) = (angle(from), angle(to));
        let sign = if bulges { 1.0 } else { -1.0 };
        Segment::Arc {
            center,
            radius: center.distance(from).as_mm(),
            start,
            sweep: sign * (sign * (end - start)).rem_euclid(2.0 * PI),
        }
    });
    segments
        .filter(|segment| segment.start().distance(segment.end()).as_mm() > NOTHING)
        .collect()
}

#[cfg(test)]
mod tests;
