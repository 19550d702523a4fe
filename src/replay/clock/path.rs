//! What the machine's axes allow along one move.

use super::ramp::{Segment, ramp_seconds};
use crate::geometry::norm;
use crate::rs274::event::{Move, Path};
use crate::shop::machine::Machine;
use crate::units::Feed;

/// How far a corner may be rounded, in millimetres: what a small controller
/// is commonly set to (common practice, no source).
const CORNER_DEVIATION: f64 = 0.01;

/// The machine's limits in millimetres and seconds.
#[derive(Clone, Debug)]
pub(super) struct AxisLimits {
    feed: [f64; 3],
    rapid: [f64; 3],
    acceleration: [f64; 3],
    spin_up: f64,
}

impl AxisLimits {
    pub(super) fn new(machine: &Machine) -> Self {
        Self {
            feed: machine.feed_max.map(per_second),
            rapid: machine.rapid.map(per_second),
            acceleration: machine.acceleration,
            spin_up: machine.spindle.spin_up.as_seconds(),
        }
    }

    /// Seconds from a standing spindle to one at speed.
    pub(super) fn spin_up(&self) -> f64 {
        self.spin_up
    }

    /// Seconds for a move if acceleration has no limit.
    pub(super) fn steady(&self, motion: &Move) -> f64 {
        if motion.path == Path::Rapid {
            let axes = way(motion).into_iter().zip(self.rapid);
            return axes
                .map(|(way, speed)| way.abs() / speed)
                .fold(0.0, f64::max);
        }
        let Course { length, shape, .. } = Course::of(motion);
        let speed = self.speed(&shape, motion.feed);
        if speed > 0.0 { length / speed } else { 0.0 }
    }

    /// Seconds for a rapid from rest to rest, each axis on its own.
    pub(super) fn rapid(&self, motion: &Move) -> f64 {
        let seconds = |axis: usize, way: f64| {
            ramp_seconds(
                way.abs(),
                0.0,
                0.0,
                self.rapid[axis],
                self.acceleration[axis],
            )
        };
        let axes = way(motion).into_iter().enumerate();
        axes.map(|(axis, way)| seconds(axis, way))
            .fold(0.0, f64::max)
    }

    /// A feed move as the lane takes it; none if it goes nowhere or has no feed.
    pub(super) fn segment(&self, motion: &Move) -> Option<Segment> {
        let course = Course::of(motion);
        let acceleration = self.along(&course.shape, self.acceleration);
        let mut speed = self.speed(&course.shape, motion.feed);
        if let Shape::Arc { radius, level, .. } = course.shape {
            let sideways = self.acceleration[0].min(self.acceleration[1]);
            speed = speed.min((sideways * radius).sqrt() / level);
        }
        (course.length > 0.0 && speed > 0.0).then_some(Segment {
            length: course.length,
            speed,
            commanded: motion.feed.as_mm_per_minute() / 60.0,
            least: 0.0,
            acceleration,
            entry: 0.0,
            start: course.start,
            end: course.end,
        })
    }

    /// The fastest through the corner between two directions: on a curve that
    /// leaves the corner by the deviation, at v² / r = acceleration.
    pub(super) fn corner(&self, before: [f64; 3], after: [f64; 3]) -> f64 {
        let cosine = dot(before, after);
        let half = ((1.0 + cosine).max(0.0) / 2.0).sqrt();
        if half >= 1.0 {
            return f64::INFINITY;
        }
        let radius = CORNER_DEVIATION * half / (1.0 - half);
        // The curve pulls square to the old direction first, then along the
        // bisector, then square to the new one.
        let pulls = [
            minus(after, before.map(|part| part * cosine)),
            minus(after, before),
            minus(after.map(|part| part * cosine), before),
        ];
        let acceleration = pulls
            .into_iter()
            .map(|pull| within(pull, self.acceleration) * norm(pull))
            .fold(f64::INFINITY, f64::min);
        (acceleration * radius).sqrt()
    }

    fn speed(&self, shape: &Shape, feed: Feed) -> f64 {
        per_second(feed).min(self.along(shape, self.feed))
    }

    /// The most along a path when no axis may pass its own limit. An arc is
    /// taken to point every way.
    fn along(&self, shape: &Shape, limits: [f64; 3]) -> f64 {
        match *shape {
            Shape::Line { direction } => within(direction, limits),
            Shape::Arc { level, steep, .. } => {
                let sideways = limits[0].min(limits[1]);
                within([level, 0.0, steep], [sideways, 0.0, limits[2]])
            }
        }
    }
}

/// A feed move's path.
struct Course {
    length: f64,
    shape: Shape,
    /// Directions at its ends, of length one.
    start: [f64; 3],
    end: [f64; 3],
}

enum Shape {
    Line {
        direction: [f64; 3],
    },
    Arc {
        radius: f64,
        /// Share of the path's speed in the XY plane.
        level: f64,
        /// Share along Z.
        steep: f64,
    },
}

impl Course {
    fn of(motion: &Move) -> Self {
        let way = way(motion);
        match motion.path {
            Path::Arc { center, sweep } => Self::arc(motion, center, sweep, way[2]),
            Path::Rapid | Path::Line => Self::line(way),
        }
    }

    fn line(way: [f64; 3]) -> Self {
        let length = norm(way);
        // None where it goes nowhere, and no segment comes of that.
        let direction = way.map(|part| part / length);
        Self {
            length,
            shape: Shape::Line { direction },
            start: direction,
            end: direction,
        }
    }

    fn arc(motion: &Move, center: [f64; 2], sweep: f64, rise: f64) -> Self {
        let spoke = [0, 1].map(|axis| motion.from[axis].unwrap_or(0.0) - center[axis]);
        let radius = norm(spoke);
        let around = radius * sweep.abs();
        let length = norm([around, rise]);
        let (level, steep) = (around / length, rise / length);
        let angle = spoke[1].atan2(spoke[0]);
        let tangent = |angle: f64| {
            let turn = sweep.signum() * level;
            [-angle.sin() * turn, angle.cos() * turn, steep]
        };
        Self {
            length,
            shape: Shape::Arc {
                radius,
                level,
                steep,
            },
            start: tangent(angle),
            end: tangent(angle + sweep),
        }
    }
}

/// How far each axis goes; an axis not known before counts as standing.
fn way(motion: &Move) -> [f64; 3] {
    std::array::from_fn(|axis| match (motion.from[axis], motion.to[axis]) {
        (Some(from), Some(to)) => to - from,
        _ => 0.0,
    })
}

/// The largest factor of `direction` that keeps every part within its limit.
fn within(direction: [f64; 3], limits: [f64; 3]) -> f64 {
    let axes = direction.into_iter().zip(limits);
    axes.map(|(part, limit)| limit / part.abs())
        .fold(f64::INFINITY, f64::min)
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn per_second(feed: Feed) -> f64 {
    feed.as_mm_per_minute() / 60.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    #[track_caller]
    fn near(found: f64, expected: f64) {
        let apart = (found / expected - 1.0).abs();
        assert!(apart < 1e-5, "{found} is not {expected}");
    }

    // By hand, for 250, 250 and 150 mm/s². In the plane: 45 degrees leave
    // cos 22.5° = 0.92388, a curve of 0.01 × 0.92388 / 0.07612 = 0.12137 mm, and the
    // pull square to X is the weakest, 250. In space: the cosine is 36/49, the
    // pull square to (3, 6, 2) the weakest, 157.224.
    #[test]
    fn a_corner_holds_every_axis_to_its_limit() {
        let limits = AxisLimits::new(&sample::machine());
        let (along, aslant) = ([1.0, 0.0, 0.0], [0.5_f64.sqrt(), 0.5_f64.sqrt(), 0.0]);
        near(limits.corner(along, aslant), 5.508_419);
        near(limits.corner(aslant, along), 5.508_419);
        let steep = [2.0, 3.0, 6.0].map(|part: f64| part / 7.0);
        let shallow = [3.0, 6.0, 2.0].map(|part: f64| part / 7.0);
        near(limits.corner(steep, shallow), 4.617_159);
        near(limits.corner(shallow, steep), 4.617_159);
    }

    // By hand: a quarter turn about (4, -1) from the direction of X, 2.5 π mm
    // around and three quarters of that down, so 4 in 5 level and 3 in 5 steep.
    #[test]
    fn a_helix_points_along_its_tangents() {
        for sign in [1.0, -1.0] {
            let around = 2.5 * std::f64::consts::PI;
            let motion = Move {
                from: [9.0, -1.0, 0.0].map(Some),
                to: [4.0, -1.0 + sign * 5.0, -0.75 * around].map(Some),
                named: [true; 3],
                path: Path::Arc {
                    center: [4.0, -1.0],
                    sweep: sign * std::f64::consts::FRAC_PI_2,
                },
                feed: Feed::from_mm_per_minute(600.0),
                machine_frame: false,
                resolution: 0.001,
            };
            let course = Course::of(&motion);
            near(course.length, 1.25 * around);
            for (found, expected) in [
                (course.start, [0.0, 0.8 * sign, -0.6]),
                (course.end, [-0.8, 0.0, -0.6]),
            ] {
                assert!(norm(minus(found, expected)) < 1e-9, "{found:?}");
            }
            let limits = AxisLimits::new(&sample::machine());
            assert!(limits.segment(&motion).is_some());
            let feed = Feed::from_mm_per_minute(0.0);
            assert!(limits.segment(&Move { feed, ..motion }).is_none());
        }
    }
}
