//! Where two stretches of a path cross.

use crate::geometry::Point;

use super::segment::Segment;

/// A crossing may lie this far off a stretch.
const ON: f64 = 1e-6;

/// What a stretch is part of.
#[derive(Clone, Copy)]
enum Carrier {
    /// Through a point, one way.
    Line { at: Point, way: Point },
    /// About a centre.
    Circle { center: Point, radius: f64 },
}

impl Carrier {
    fn of(segment: &Segment) -> Self {
        match *segment {
            Segment::Line { from, .. } => Self::Line {
                at: from,
                way: segment.tangent(0.0),
            },
            Segment::Arc { center, radius, .. } => Self::Circle { center, radius },
        }
    }
}

/// The places that lie on both.
pub(super) fn of(one: &Segment, other: &Segment) -> Vec<Point> {
    let mut places = match (Carrier::of(one), Carrier::of(other)) {
        (Carrier::Line { at, way }, Carrier::Line { at: on, way: along }) => {
            lines((at, way), (on, along))
        }
        (Carrier::Line { at, way }, Carrier::Circle { center, radius })
        | (Carrier::Circle { center, radius }, Carrier::Line { at, way }) => {
            line_and_circle((at, way), (center, radius))
        }
        (
            Carrier::Circle { center, radius },
            Carrier::Circle {
                center: about,
                radius: reach,
            },
        ) => circles((center, radius), (about, reach)),
    };
    let lies_on = |segment: &Segment, place: Point| {
        let nearest = segment.point(segment.nearest(place));
        nearest.distance(place).as_mm() < ON
    };
    places.retain(|place| lies_on(one, *place) && lies_on(other, *place));
    places
}

fn lines((at, way): (Point, Point), (on, along): (Point, Point)) -> Vec<Point> {
    let turn = way.x * along.y - way.y * along.x;
    if turn.abs() < 1e-9 {
        return Vec::new();
    }
    let distance = ((on.x - at.x) * along.y - (on.y - at.y) * along.x) / turn;
    vec![further(at, way, distance)]
}

fn line_and_circle((at, way): (Point, Point), (center, radius): (Point, f64)) -> Vec<Point> {
    let middle = (center.x - at.x) * way.x + (center.y - at.y) * way.y;
    let foot = further(at, way, middle);
    both_sides(foot, way, radius, foot.distance(center).as_mm())
}

fn circles((center, radius): (Point, f64), (about, reach): (Point, f64)) -> Vec<Point> {
    let apart = center.distance(about).as_mm();
    if apart < 1e-9 {
        return Vec::new();
    }
    let way = Point::from_mm((about.x - center.x) / apart, (about.y - center.y) / apart);
    let along = (apart * apart + radius * radius - reach * reach) / (2.0 * apart);
    let across = Point::from_mm(-way.y, way.x);
    both_sides(further(center, way, along), across, radius, along.abs())
}

/// The ends of the chord of a circle that runs `way` through `foot`, its middle,
/// `away` from the circle's centre.
fn both_sides(foot: Point, way: Point, radius: f64, away: f64) -> Vec<Point> {
    let square = radius * radius - away * away;
    if square < 0.0 {
        return Vec::new();
    }
    let half = square.sqrt();
    vec![further(foot, way, -half), further(foot, way, half)]
}

fn further(at: Point, way: Point, distance: f64) -> Point {
    Point::from_mm(at.x + way.x * distance, at.y + way.y * distance)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;

    fn line(from: (f64, f64), to: (f64, f64)) -> Segment {
        Segment::Line {
            from: Point::from_mm(from.0, from.1),
            to: Point::from_mm(to.0, to.1),
        }
    }

    /// The upper half of a circle.
    fn half(x: f64, y: f64, radius: f64) -> Segment {
        Segment::Arc {
            center: Point::from_mm(x, y),
            radius,
            start: 0.0,
            sweep: PI,
        }
    }

    #[track_caller]
    fn assert_cross(one: Segment, other: Segment, wanted: &[(f64, f64)]) {
        for (one, other) in [(one, other), (other, one), (one.reversed(), other)] {
            let mut found = of(&one, &other);
            found.sort_by(|a, b| a.x.total_cmp(&b.x));
            assert_eq!(found.len(), wanted.len(), "{found:?}");
            for (place, (x, y)) in found.iter().zip(wanted) {
                assert!(place.distance(Point::from_mm(*x, *y)).as_mm() < 1e-9);
            }
        }
    }

    /// By hand, with triangles of 3, 4 and 5.
    #[test]
    fn stretches_cross_where_both_are() {
        let cross = line((-10.0, 3.0), (10.0, 3.0));
        assert_cross(cross, line((2.0, 0.0), (2.0, 9.0)), &[(2.0, 3.0)]);
        assert_cross(cross, line((2.0, 4.0), (2.0, 9.0)), &[]);
        assert_cross(cross, half(0.0, 0.0, 5.0), &[(-4.0, 3.0), (4.0, 3.0)]);
        assert_cross(cross, half(0.0, 4.0, 5.0), &[]);
        assert_cross(half(0.0, 0.0, 5.0), half(6.0, 0.0, 5.0), &[(3.0, 4.0)]);
        assert_cross(half(0.0, 0.0, 5.0), half(11.0, 0.0, 5.0), &[]);
    }
}
