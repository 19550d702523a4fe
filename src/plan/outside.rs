//! Round the outside of a piece at one distance from it.
//!
//! Every edge is set off outward, and about every corner that juts out the
//! path turns. Where that comes too near another edge, in a corner that juts
//! in or a hollow too tight for the bit, it is cut off where it crosses the rest.

use std::f64::consts::{FRAC_PI_2, PI};

use super::crossing;
use super::path::Loop;
use super::segment::{Segment, aside};

/// Two edges that meet at a smaller turn, in radians, go over into each other.
const SMOOTH: f64 = 1e-3;
/// A path may be this much too near.
const NEAR: f64 = 1e-6;
/// A crossing this near the end of a stretch is its end.
const AT_THE_END: f64 = 1e-4;
/// Shorter stretches between two crossings are left out.
const SHORT: f64 = 5e-3;
/// So far from its end the next stretch of a path may begin.
const REACH: f64 = 0.02;

/// The path `distance` outside `outline`, which has the piece to its left;
/// clockwise. None where there is no way round.
pub(super) fn path(outline: &[Segment], distance: f64) -> Option<Loop> {
    let set_off = set_off(outline, distance);
    let mut free: Vec<Segment> = Vec::new();
    for (index, segment) in set_off.iter().enumerate() {
        free.extend(split(segment, index, &set_off));
    }
    free.retain(|piece| {
        let middle = piece.point(piece.length() / 2.0);
        let away = |edge: &Segment| edge.point(edge.nearest(middle)).distance(middle).as_mm();
        outline.iter().map(away).fold(f64::INFINITY, f64::min) > distance - NEAR
    });
    let round = closed(free)
        .into_iter()
        .max_by(|one, other| area(one).total_cmp(&area(other)))?;
    Loop::closed(round.iter().rev().map(Segment::reversed).collect())
}

/// The edges set off and turns about the corners, in the outline's order.
fn set_off(outline: &[Segment], distance: f64) -> Vec<Segment> {
    let mut result = Vec::new();
    for (index, edge) in outline.iter().enumerate() {
        result.extend(beside(edge, distance));
        let next = &outline[(index + 1) % outline.len()];
        let (last, first) = (edge.tangent(edge.length()), next.tangent(0.0));
        let cross = last.x * first.y - last.y * first.x;
        let sweep = cross.atan2(last.x * first.x + last.y * first.y);
        if sweep > SMOOTH {
            result.push(Segment::Arc {
                center: next.start(),
                radius: distance,
                start: last.y.atan2(last.x) - FRAC_PI_2,
                sweep: sweep.min(PI),
            });
        }
    }
    result
}

/// `edge` set off to its right; none where a hollow leaves nothing.
fn beside(edge: &Segment, distance: f64) -> Option<Segment> {
    match *edge {
        Segment::Line { .. } => {
            let way = edge.tangent(0.0);
            let right = |at| aside(at, way, -distance, 0.0);
            Some(Segment::Line {
                from: right(edge.start()),
                to: right(edge.end()),
            })
        }
        Segment::Arc {
            center,
            radius,
            start,
            sweep,
        } => {
            let radius = radius + sweep.signum() * distance;
            (radius > NEAR).then_some(Segment::Arc {
                center,
                radius,
                start,
                sweep,
            })
        }
    }
}

/// The stretches of one segment between its crossings with the others.
fn split(segment: &Segment, index: usize, all: &[Segment]) -> Vec<Segment> {
    let length = segment.length();
    let mut cuts = vec![0.0, length];
    for (other, crossed) in all.iter().enumerate() {
        if other != index {
            let places = crossing::of(segment, crossed);
            cuts.extend(places.into_iter().map(|place| segment.nearest(place)));
        }
    }
    cuts.retain(|cut| *cut == 0.0 || *cut == length || is_within(*cut, length));
    cuts.sort_by(f64::total_cmp);
    let pieces = cuts.windows(2).filter(|pair| pair[1] - pair[0] > SHORT);
    pieces
        .map(|pair| segment.part(pair[0], pair[1] - pair[0]))
        .collect()
}

fn is_within(cut: f64, length: f64) -> bool {
    cut > AT_THE_END && cut < length - AT_THE_END
}

/// The closed ways that `pieces` make, each piece in one at most.
fn closed(pieces: Vec<Segment>) -> Vec<Vec<Segment>> {
    let mut left = pieces;
    let mut ways = Vec::new();
    while !left.is_empty() {
        let mut way = vec![left.remove(0)];
        loop {
            let end = way[way.len() - 1].end();
            let gap = |segment: &Segment| segment.start().distance(end).as_mm();
            let home = gap(&way[0]);
            let nearest = (0..left.len()).min_by(|a, b| gap(&left[*a]).total_cmp(&gap(&left[*b])));
            match nearest.filter(|next| gap(&left[*next]) < home.min(REACH)) {
                Some(next) => way.push(left.remove(next)),
                None if home < REACH => {
                    ways.push(way);
                    break;
                }
                None => break,
            }
        }
    }
    ways
}

/// What a closed way goes round, counter-clockwise positive.
fn area(way: &[Segment]) -> f64 {
    let swept = |segment: &Segment| {
        let (from, to) = (segment.start(), segment.end());
        let chord = (from.x * to.y - to.x * from.y) / 2.0;
        match *segment {
            Segment::Line { .. } => chord,
            Segment::Arc { radius, sweep, .. } => {
                chord + radius * radius * (sweep - sweep.sin()) / 2.0
            }
        }
    };
    way.iter().map(swept).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    fn polygon(corners: &[(f64, f64)]) -> Vec<Segment> {
        let at = |index: usize| {
            let (x, y) = corners[index % corners.len()];
            Point::from_mm(x, y)
        };
        let edges = 0..corners.len();
        edges
            .map(|index| Segment::Line {
                from: at(index),
                to: at(index + 1),
            })
            .collect()
    }

    fn turns_clockwise(path: &Loop) -> bool {
        area(&path.walk(0.0, path.length())) < 0.0
    }

    /// By hand: the square's edges and a full turn about its corners.
    #[test]
    fn a_sharp_corner_is_turned_about() {
        let square = polygon(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]);
        let path = path(&square, 3.0).expect("a way round");
        assert!((path.length() - (40.0 + 6.0 * PI)).abs() < 1e-9);
        assert!(turns_clockwise(&path));
    }

    /// By hand: the path cuts 3 mm off both edges that meet at (10, 10).
    #[test]
    fn a_corner_that_juts_in_is_cut_off() {
        let corners = [
            (0.0, 0.0),
            (20.0, 0.0),
            (20.0, 10.0),
            (10.0, 10.0),
            (10.0, 20.0),
            (0.0, 20.0),
        ];
        let path = path(&polygon(&corners), 3.0).expect("a way round");
        assert!((path.length() - (80.0 - 6.0 + 5.0 * 1.5 * PI)).abs() < 1e-9);
        assert!(turns_clockwise(&path));
    }

    /// By hand: a hollow of 2 mm radius in the top edge. The bit of 3 mm rolls over
    /// its two corners: 2 mm off the middle, each turn is asin(2 / 3).
    #[test]
    fn a_hollow_too_tight_is_rolled_over() {
        let mut outline = polygon(&[(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (12.0, 10.0)]);
        outline.pop();
        outline.push(Segment::Arc {
            center: Point::from_mm(10.0, 10.0),
            radius: 2.0,
            start: 0.0,
            sweep: -PI,
        });
        outline.extend(polygon(&[(8.0, 10.0), (0.0, 10.0), (0.0, 0.0)]).drain(..2));
        let path = path(&outline, 3.0).expect("a way round");
        let over = 2.0 * 3.0 * (2.0f64 / 3.0).asin();
        let wanted = 20.0 + 10.0 + 8.0 + 8.0 + 10.0 + 6.0 * PI + over;
        assert!((path.length() - wanted).abs() < 1e-6, "{}", path.length());
        assert!(turns_clockwise(&path));
    }

    #[test]
    fn an_outline_that_does_not_close_has_no_way_round() {
        let mut open = polygon(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]);
        open.pop();
        assert!(path(&open, 3.0).is_none());
        assert!(path(&[], 3.0).is_none());
    }
}
