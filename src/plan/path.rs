//! Paths of the bit's centre, seen from above.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::geometry::{Point, RoundedRectangle};

use super::motion::Turn;
use super::segment::{Segment, polar};

/// Shorter stretches are left out.
const NOTHING: f64 = 1e-9;

/// A closed path, turning either way.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Loop {
    segments: Vec<Segment>,
    length: f64,
}

impl Loop {
    /// The path `inset` inside `outline`, counter-clockwise; none where nothing is
    /// left of it.
    pub(super) fn inside(outline: &RoundedRectangle, inset: f64) -> Option<Self> {
        let half = [outline.half_x - inset, outline.half_y - inset];
        if half[0] < 0.0 || half[1] < 0.0 {
            return None;
        }
        let radius = (outline.corner - inset).max(0.0).min(half[0]).min(half[1]);
        let reach = [half[0] - radius, half[1] - radius];
        let signs = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
        let corners = signs.map(|(x, y)| {
            let Point { x: cx, y: cy } = outline.center;
            Point::from_mm(cx + x * reach[0], cy + y * reach[1])
        });
        let mut segments = Vec::new();
        for side in 0..4 {
            // The leg that follows the corner: bottom, right, top, left.
            let facing = f64::from(side as u8) * FRAC_PI_2 - FRAC_PI_2;
            let (here, next) = (corners[side], corners[(side + 1) % 4]);
            segments.push(Segment::Line {
                from: polar(here, radius, facing),
                to: polar(next, radius, facing),
            });
            segments.push(Segment::Arc {
                center: next,
                radius,
                start: facing,
                sweep: FRAC_PI_2,
            });
        }
        Self::closed(segments)
    }

    /// The path of `segments`, each of which begins where the one before ends, the
    /// first where the last does; none where nothing is left of it.
    pub(super) fn closed(mut segments: Vec<Segment>) -> Option<Self> {
        segments.retain(|segment| segment.length() > NOTHING);
        let segments = joined(segments);
        let length: f64 = segments.iter().map(Segment::length).sum();
        (length > NOTHING).then_some(Self { segments, length })
    }

    pub(super) fn length(&self) -> f64 {
        self.length
    }

    pub(super) fn point(&self, along: f64) -> Point {
        let (segment, along) = self.locate(along);
        segment.point(along)
    }

    pub(super) fn tangent(&self, along: f64) -> Point {
        let (segment, along) = self.locate(along);
        segment.tangent(along)
    }

    /// How far along the path the place next to `point` is.
    pub(super) fn nearest(&self, point: Point) -> f64 {
        let mut best = (f64::INFINITY, 0.0);
        let mut before = 0.0;
        for segment in &self.segments {
            let along = segment.nearest(point);
            let distance = segment.point(along).distance(point).as_mm();
            if distance < best.0 - NOTHING {
                best = (distance, before + along);
            }
            before += segment.length();
        }
        best.1
    }

    /// Start and length of the longest straight leg, if there is one; of two as
    /// long the one that starts nearer to `point`.
    pub(super) fn longest_leg(&self, point: Point) -> Option<(f64, f64)> {
        let mut before = 0.0;
        let mut legs = Vec::new();
        for segment in &self.segments {
            let length = segment.length();
            if matches!(segment, Segment::Line { .. }) {
                legs.push((before, length));
            }
            before += length;
        }
        let longest = legs.iter().map(|(_, length)| *length).fold(0.0, f64::max);
        legs.retain(|(_, length)| *length >= longest - NOTHING);
        let away = |leg: &(f64, f64)| self.point(leg.0).distance(point).as_mm();
        // Of two as near the first: `min_by` keeps it.
        legs.into_iter()
            .min_by(|one, other| away(one).total_cmp(&away(other)))
    }

    /// Start, length and radius of the longest arc that turns this way, the first of two as long.
    pub(super) fn longest_arc(&self, wanted: Turn) -> Option<(f64, f64, f64)> {
        let mut before = 0.0;
        let mut longest: Option<(f64, f64, f64)> = None;
        for segment in &self.segments {
            let length = segment.length();
            if let (Some((_, turn)), Segment::Arc { radius, .. }) = (segment.turn(), segment)
                && turn == wanted
                && longest.is_none_or(|(_, most, _)| length > most + NOTHING)
            {
                longest = Some((before, length, *radius));
            }
            before += length;
        }
        longest
    }

    /// Whether `distance` from `start` on lies on one leg.
    pub(super) fn is_straight(&self, start: f64, distance: f64) -> bool {
        let (segment, offset) = self.locate(start);
        matches!(segment, Segment::Line { .. }) && offset + distance <= segment.length()
    }

    /// How far from `along` the nearest end of a stretch is.
    pub(super) fn to_joint(&self, along: f64) -> f64 {
        let (segment, offset) = self.locate(along);
        offset.min(segment.length() - offset)
    }

    /// The stretches passed from `start` over `distance`, round and round.
    pub(super) fn walk(&self, start: f64, distance: f64) -> Vec<Segment> {
        let mut pieces = Vec::new();
        let mut left = distance;
        let (mut index, mut offset) = self.index(start);
        while left > NOTHING {
            let segment = &self.segments[index];
            let here = left.min(segment.length() - offset);
            if here > NOTHING {
                pieces.push(segment.part(offset, here));
            }
            left -= here;
            offset = 0.0;
            index = (index + 1) % self.segments.len();
        }
        pieces
    }

    fn locate(&self, along: f64) -> (&Segment, f64) {
        let (index, offset) = self.index(along);
        (&self.segments[index], offset)
    }

    fn index(&self, along: f64) -> (usize, f64) {
        let mut left = along.rem_euclid(self.length);
        for (index, segment) in self.segments.iter().enumerate() {
            let length = segment.length();
            if left < length {
                return (index, left);
            }
            left -= length;
        }
        (0, 0.0)
    }
}

/// Quarter turns about the same centre become half turns, never more.
fn joined(segments: Vec<Segment>) -> Vec<Segment> {
    let mut result: Vec<Segment> = Vec::new();
    for segment in segments {
        if let (
            Some(Segment::Arc {
                center: last,
                sweep,
                ..
            }),
            Segment::Arc {
                center,
                sweep: more,
                ..
            },
        ) = (result.last_mut(), segment)
            && last.distance(center).as_mm() < NOTHING
            && sweep.signum() == more.signum()
            && (*sweep + more).abs() < PI + NOTHING
        {
            *sweep += more;
            continue;
        }
        result.push(segment);
    }
    result
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    fn outline(length: f64, width: f64, corner: f64) -> RoundedRectangle {
        let mm = Length::from_mm;
        RoundedRectangle::new(
            Point::from_mm(10.0, 20.0),
            mm(length),
            mm(width),
            mm(corner),
        )
    }

    #[test]
    fn a_path_inside_an_obround_has_two_legs_and_two_half_turns() {
        let path = Loop::inside(&outline(40.0, 10.0, 5.0), 3.0).expect("room");
        assert_eq!(path.segments.len(), 4);
        assert!((path.length() - (60.0 + 2.0 * PI * 2.0)).abs() < 1e-9);
    }

    #[test]
    fn every_point_of_a_path_is_as_far_inside_as_asked() {
        for (outline, inset) in [
            (outline(40.0, 10.0, 5.0), 3.2),
            (outline(40.0, 10.0, 4.0), 3.0),
            (outline(12.0, 12.0, 6.0), 2.0),
            (outline(8.0, 30.0, 4.0), 3.0),
        ] {
            let path = Loop::inside(&outline, inset).expect("room");
            for step in 0..100 {
                let point = path.point(path.length() * f64::from(step) / 100.0);
                let depth = outline.signed_distance_mm(point);
                assert!((depth + inset).abs() < 1e-9, "{depth} at {point:?}");
            }
        }
    }

    #[test]
    fn a_path_turns_counter_clockwise() {
        let path = Loop::inside(&outline(40.0, 10.0, 5.0), 3.0).expect("room");
        let pieces = path.walk(0.0, path.length());
        let Segment::Line { from, to } = pieces[0] else {
            panic!("the first leg is straight");
        };
        // The bottom leg is travelled towards greater X.
        assert!(from.y < 20.0 && to.y < 20.0 && from.x < to.x);
    }

    #[test]
    fn a_walk_of_two_rounds_passes_every_leg_twice() {
        let path = Loop::inside(&outline(40.0, 10.0, 5.0), 3.0).expect("room");
        let pieces = path.walk(7.0, 2.0 * path.length());
        let total: f64 = pieces.iter().map(Segment::length).sum();
        assert!((total - 2.0 * path.length()).abs() < 1e-6);
        let lines = pieces
            .iter()
            .filter(|piece| matches!(piece, Segment::Line { .. }));
        assert_eq!(lines.count(), 5);
    }

    #[test]
    fn nothing_is_inside_a_pocket_narrower_than_the_bit() {
        assert!(Loop::inside(&outline(40.0, 10.0, 5.0), 5.1).is_none());
    }
}
