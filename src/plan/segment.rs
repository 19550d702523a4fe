//! Stretches of the way of the bit's centre, seen from above.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::geometry::Point;

use super::motion::Turn;

/// Straight, or about a centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Segment {
    Line {
        from: Point,
        to: Point,
    },
    Arc {
        center: Point,
        radius: f64,
        start: f64,
        /// Counter-clockwise positive.
        sweep: f64,
    },
}

impl Segment {
    pub(super) fn length(&self) -> f64 {
        match *self {
            Self::Line { from, to } => (to.x - from.x).hypot(to.y - from.y),
            Self::Arc { radius, sweep, .. } => radius * sweep.abs(),
        }
    }

    pub(super) fn start(&self) -> Point {
        self.point(0.0)
    }

    pub(super) fn end(&self) -> Point {
        match *self {
            Self::Line { to, .. } => to,
            Self::Arc { .. } => self.point(self.length()),
        }
    }

    /// What an arc turns about, and which way.
    pub(super) fn turn(&self) -> Option<(Point, Turn)> {
        match *self {
            Self::Line { .. } => None,
            Self::Arc { center, sweep, .. } if sweep < 0.0 => Some((center, Turn::Clockwise)),
            Self::Arc { center, .. } => Some((center, Turn::CounterClockwise)),
        }
    }

    /// The quarter turn to the left that ends at `to`, going `way` there.
    pub(super) fn quarter_to(to: Point, way: Point, radius: f64) -> Self {
        let at = way.y.atan2(way.x) - FRAC_PI_2;
        Self::Arc {
            center: aside(to, way, radius, 0.0),
            radius,
            start: at - FRAC_PI_2,
            sweep: FRAC_PI_2,
        }
    }

    /// The quarter turn to the left that begins at `from`, going `way` there.
    pub(super) fn quarter_from(from: Point, way: Point, radius: f64) -> Self {
        Self::Arc {
            center: aside(from, way, radius, 0.0),
            radius,
            start: way.y.atan2(way.x) - FRAC_PI_2,
            sweep: FRAC_PI_2,
        }
    }

    pub(super) fn point(&self, along: f64) -> Point {
        match *self {
            Self::Line { from, .. } if along <= 0.0 => from,
            Self::Line { from, to } => {
                let share = along / self.length();
                Point::from_mm(
                    from.x + (to.x - from.x) * share,
                    from.y + (to.y - from.y) * share,
                )
            }
            Self::Arc {
                center,
                radius,
                start,
                sweep,
            } => polar(center, radius, start + sweep.signum() * along / radius),
        }
    }

    /// Direction of travel, one long.
    pub(super) fn tangent(&self, along: f64) -> Point {
        match *self {
            Self::Line { from, to } => {
                let length = self.length();
                Point::from_mm((to.x - from.x) / length, (to.y - from.y) / length)
            }
            Self::Arc {
                radius,
                start,
                sweep,
                ..
            } => {
                let sign = sweep.signum();
                let angle = start + sign * along / radius;
                Point::from_mm(-angle.sin() * sign, angle.cos() * sign)
            }
        }
    }

    /// How far along the place next to `point` is.
    pub(super) fn nearest(&self, point: Point) -> f64 {
        match *self {
            Self::Line { from, .. } => {
                let way = self.tangent(0.0);
                let along = (point.x - from.x) * way.x + (point.y - from.y) * way.y;
                along.clamp(0.0, self.length())
            }
            Self::Arc {
                center,
                radius,
                start,
                sweep,
            } => {
                let angle = (point.y - center.y).atan2(point.x - center.x) - start;
                let turn = (sweep.signum() * angle).rem_euclid(2.0 * PI);
                let whole = sweep.abs();
                let past = if turn <= whole {
                    turn
                } else if turn - whole < 2.0 * PI - turn {
                    whole
                } else {
                    0.0
                };
                past * radius
            }
        }
    }

    /// The part of it that begins `from` along and is `length` long.
    pub(super) fn part(&self, from: f64, length: f64) -> Self {
        match *self {
            Self::Line { .. } => Self::Line {
                from: self.point(from),
                to: self.point(from + length),
            },
            Self::Arc {
                center,
                radius,
                start,
                sweep,
            } => Self::Arc {
                center,
                radius,
                start: start + sweep.signum() * from / radius,
                sweep: sweep.signum() * length / radius,
            },
        }
    }

    /// The same the other way.
    pub(super) fn reversed(&self) -> Self {
        match *self {
            Self::Line { from, to } => Self::Line { from: to, to: from },
            Self::Arc {
                center,
                radius,
                start,
                sweep,
            } => Self::Arc {
                center,
                radius,
                start: start + sweep,
                sweep: -sweep,
            },
        }
    }
}

/// From `at`, `left` of the way and `on` along it.
pub(super) fn aside(at: Point, way: Point, left: f64, on: f64) -> Point {
    Point::from_mm(
        at.x - way.y * left + way.x * on,
        at.y + way.x * left + way.y * on,
    )
}

/// `radius` from `center` at that angle.
pub(super) fn polar(center: Point, radius: f64, angle: f64) -> Point {
    Point::from_mm(
        center.x + radius * angle.cos(),
        center.y + radius * angle.sin(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_arc_the_other_way_passes_the_same_places_backwards() {
        let arc = Segment::Arc {
            center: Point::from_mm(1.0, 2.0),
            radius: 4.0,
            start: 0.3,
            sweep: 2.0,
        };
        let back = arc.reversed();
        assert_eq!(
            back.turn(),
            Some((Point::from_mm(1.0, 2.0), Turn::Clockwise))
        );
        for along in [0.0, 1.0, 5.5, 8.0] {
            let (here, there) = (arc.point(along), back.point(8.0 - along));
            assert!(here.distance(there).as_mm() < 1e-9);
            let (on, off) = (arc.tangent(along), back.tangent(8.0 - along));
            assert!((on.x + off.x).abs() < 1e-9 && (on.y + off.y).abs() < 1e-9);
            assert!((back.nearest(here) - (8.0 - along)).abs() < 1e-9);
            let rest = back.part(8.0 - along, along);
            assert!(rest.start().distance(here).as_mm() < 1e-9);
            assert!(rest.end().distance(arc.start()).as_mm() < 1e-9);
        }
    }
}
