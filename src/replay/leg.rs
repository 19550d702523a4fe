//! One move as a path in space, with the questions a judge asks of it.
//!
//! Everything is exact up to rounding, but for one thing: an arc whose end
//! radius differs from its start radius (the standard allows 0.002 mm) is
//! taken with a radius that changes evenly, and its extreme points with the
//! larger one.

use std::f64::consts::{PI, TAU};

use crate::rs274::event::{Move, Path};

/// A path from one point to another; z moves evenly along it. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Leg {
    pub(crate) from: [f64; 3],
    pub(crate) to: [f64; 3],
    pub(crate) turn: Option<Turn>,
}

/// The round part of an arc, seen from above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Turn {
    pub(crate) center: [f64; 2],
    pub(crate) radius: f64,
    pub(crate) end_radius: f64,
    /// Direction from the centre to the start, in radians.
    pub(crate) start: f64,
    /// Signed, counter-clockwise positive.
    pub(crate) sweep: f64,
}

/// An upright box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Extent {
    pub(crate) min: [f64; 3],
    pub(crate) max: [f64; 3],
}

impl Extent {
    pub(crate) fn nothing() -> Self {
        Self {
            min: [f64::INFINITY; 3],
            max: [f64::NEG_INFINITY; 3],
        }
    }

    pub(crate) fn add(&mut self, other: &Self) {
        for axis in 0..3 {
            self.min[axis] = self.min[axis].min(other.min[axis]);
            self.max[axis] = self.max[axis].max(other.max[axis]);
        }
    }

    pub(crate) fn is_nothing(&self) -> bool {
        self.min[0] > self.max[0]
    }
}

impl Leg {
    pub(crate) const fn line(from: [f64; 3], to: [f64; 3]) -> Self {
        Self {
            from,
            to,
            turn: None,
        }
    }

    pub(crate) fn arc(from: [f64; 3], to: [f64; 3], center: [f64; 2], sweep: f64) -> Self {
        let arm = [from[0] - center[0], from[1] - center[1]];
        let end = [to[0] - center[0], to[1] - center[1]];
        Self {
            from,
            to,
            turn: Some(Turn {
                center,
                radius: arm[0].hypot(arm[1]),
                end_radius: end[0].hypot(end[1]),
                start: arm[1].atan2(arm[0]),
                sweep,
            }),
        }
    }

    /// The path of a move whose ends are known in all three axes.
    pub(crate) fn of(motion: &Move) -> Option<Self> {
        let known = |point: [Option<f64>; 3]| Some([point[0]?, point[1]?, point[2]?]);
        let (from, to) = (known(motion.from)?, known(motion.to)?);
        Some(match motion.path {
            Path::Rapid | Path::Line => Self::line(from, to),
            Path::Arc { center, sweep } => Self::arc(from, to, center, sweep),
        })
    }

    /// The point at `t` of 0 … 1.
    pub(crate) fn at(&self, t: f64) -> [f64; 3] {
        if t <= 0.0 {
            return self.from;
        }
        if t >= 1.0 {
            return self.to;
        }
        let z = self.z(t);
        match &self.turn {
            None => [
                self.from[0] + (self.to[0] - self.from[0]) * t,
                self.from[1] + (self.to[1] - self.from[1]) * t,
                z,
            ],
            Some(turn) => {
                let radius = turn.radius + (turn.end_radius - turn.radius) * t;
                let (sin, cos) = (turn.start + turn.sweep * t).sin_cos();
                [
                    turn.center[0] + radius * cos,
                    turn.center[1] + radius * sin,
                    z,
                ]
            }
        }
    }

    pub(crate) fn z(&self, t: f64) -> f64 {
        self.from[2] + (self.to[2] - self.from[2]) * t
    }

    pub(crate) fn lowest(&self) -> f64 {
        self.from[2].min(self.to[2])
    }

    /// Length seen from above.
    pub(crate) fn level_length(&self) -> f64 {
        match &self.turn {
            None => (self.to[0] - self.from[0]).hypot(self.to[1] - self.from[1]),
            Some(turn) => turn.radius.max(turn.end_radius) * turn.sweep.abs(),
        }
    }

    pub(crate) fn length(&self) -> f64 {
        self.level_length().hypot(self.to[2] - self.from[2])
    }

    /// Where along 0 … 1 the height is in `low ..= high`; `None` where never.
    pub(crate) fn between_heights(&self, low: f64, high: f64) -> Option<(f64, f64)> {
        let (start, rise) = (self.from[2], self.to[2] - self.from[2]);
        if rise == 0.0 {
            return (low <= start && start <= high).then_some((0.0, 1.0));
        }
        let (a, b) = ((low - start) / rise, (high - start) / rise);
        let (first, last) = (a.min(b).max(0.0), a.max(b).min(1.0));
        (first <= last).then_some((first, last))
    }

    /// The part from `first` to `last` of 0 … 1.
    pub(crate) fn part(&self, first: f64, last: f64) -> Self {
        if first <= 0.0 && last >= 1.0 {
            return *self;
        }
        let turn = self.turn.map(|turn| {
            let radius = |t: f64| turn.radius + (turn.end_radius - turn.radius) * t;
            Turn {
                center: turn.center,
                radius: radius(first),
                end_radius: radius(last),
                start: turn.start + turn.sweep * first,
                sweep: turn.sweep * (last - first),
            }
        });
        Self {
            from: self.at(first),
            to: self.at(last),
            turn,
        }
    }

    pub(crate) fn extent(&self) -> Extent {
        let mut extent = Extent {
            min: [0, 1, 2].map(|axis| self.from[axis].min(self.to[axis])),
            max: [0, 1, 2].map(|axis| self.from[axis].max(self.to[axis])),
        };
        if let Some(turn) = &self.turn {
            let radius = turn.radius.max(turn.end_radius);
            for quarter in 0..4_u8 {
                let (axis, sign) = (usize::from(quarter % 2), 1.0 - f64::from(quarter / 2) * 2.0);
                if turn.passes(f64::from(quarter) * PI / 2.0) {
                    let reach = turn.center[axis] + sign * radius;
                    extent.min[axis] = extent.min[axis].min(reach);
                    extent.max[axis] = extent.max[axis].max(reach);
                }
            }
        }
        extent
    }

    /// Least distance from `point` to the path, seen from above.
    pub(crate) fn distance(&self, point: [f64; 2]) -> f64 {
        match &self.turn {
            None => {
                let (run, rise) = (self.to[0] - self.from[0], self.to[1] - self.from[1]);
                let (x, y) = (point[0] - self.from[0], point[1] - self.from[1]);
                let square = run * run + rise * rise;
                let t = if square > 0.0 {
                    ((x * run + y * rise) / square).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                let (x, y) = (x - run * t, y - rise * t);
                // `hypot` guards against sizes that no move has, and is ten times as slow.
                (x * x + y * y).sqrt()
            }
            Some(turn) => {
                let (x, y) = (point[0] - turn.center[0], point[1] - turn.center[1]);
                if turn.passes(y.atan2(x)) {
                    return (x.hypot(y) - turn.radius).abs();
                }
                let to_end = |end: [f64; 3]| (point[0] - end[0]).hypot(point[1] - end[1]);
                to_end(self.from).min(to_end(self.to))
            }
        }
    }

    /// The lowest height the path has while it is within `radius` of
    /// `point`, seen from above; `None` where it never is.
    pub(crate) fn lowest_within(&self, point: [f64; 2], radius: f64) -> Option<f64> {
        if radius < 0.0 {
            return None;
        }
        match &self.turn {
            None => self
                .line_within(point, radius)
                .map(|(first, last)| self.z(first).min(self.z(last))),
            Some(turn) => turn.lowest_within(self, point, radius),
        }
    }

    fn line_within(&self, point: [f64; 2], radius: f64) -> Option<(f64, f64)> {
        let (run, rise) = (self.to[0] - self.from[0], self.to[1] - self.from[1]);
        let (x, y) = (point[0] - self.from[0], point[1] - self.from[1]);
        let square = run * run + rise * rise;
        let rest = x * x + y * y - radius * radius;
        if square == 0.0 {
            return (rest <= 0.0).then_some((0.0, 1.0));
        }
        let along = (x * run + y * rise) / square;
        let discriminant = along * along - rest / square;
        if discriminant < 0.0 {
            return None;
        }
        let half = discriminant.sqrt();
        let (first, last) = ((along - half).max(0.0), (along + half).min(1.0));
        (first <= last).then_some((first, last))
    }

    /// Straight pieces that leave the path by no more than `sagitta`.
    pub(crate) fn chords(&self, sagitta: f64) -> impl Iterator<Item = Leg> + use<> {
        let pieces = match &self.turn {
            None => 1,
            Some(turn) => {
                let radius = turn.radius.max(1e-9);
                let angle = 2.0 * (1.0 - (sagitta / radius).min(1.0)).acos();
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                let count = (turn.sweep.abs() / angle.max(1e-3)).ceil() as u32;
                count.clamp(1, 10_000)
            }
        };
        let leg = *self;
        (0..pieces).map(move |piece| {
            let t = |index: u32| f64::from(index) / f64::from(pieces);
            Leg::line(leg.at(t(piece)), leg.at(t(piece + 1)))
        })
    }
}

impl Turn {
    /// Whether the arc passes the direction `angle` from its centre.
    pub(crate) fn passes(&self, angle: f64) -> bool {
        let along = if self.sweep >= 0.0 {
            angle - self.start
        } else {
            self.start - angle
        };
        along.rem_euclid(TAU) <= self.sweep.abs()
    }

    /// Whether the arc passes every direction from its centre to the convex
    /// shape with these corners, the centre not being inside the shape.
    pub(crate) fn passes_all(&self, corners: [[f64; 2]; 4]) -> bool {
        let sign = if self.sweep >= 0.0 { 1.0 } else { -1.0 };
        let (mut first, mut last) = (f64::INFINITY, f64::NEG_INFINITY);
        for corner in corners {
            let (x, y) = (corner[0] - self.center[0], corner[1] - self.center[1]);
            let along = (sign * (y.atan2(x) - self.start)).rem_euclid(TAU);
            first = first.min(along);
            last = last.max(along);
        }
        // A shape seen from outside spans less than half a turn; more means
        // that the start of the arc lies between its corners.
        last <= self.sweep.abs() && (last - first < PI || self.sweep.abs() >= TAU)
    }

    /// The point of the arc in the direction of `angle`.
    pub(crate) fn toward(&self, angle: f64) -> [f64; 2] {
        let radius = self.radius.max(self.end_radius);
        [
            self.center[0] + radius * angle.cos(),
            self.center[1] + radius * angle.sin(),
        ]
    }

    fn lowest_within(&self, leg: &Leg, point: [f64; 2], radius: f64) -> Option<f64> {
        let (x, y) = (point[0] - self.center[0], point[1] - self.center[1]);
        let away = x.hypot(y);
        let lowest = leg.lowest();
        let (least, most) = ((away - self.radius).abs(), away + self.radius);
        if most <= radius {
            return Some(lowest);
        }
        if least > radius || self.radius == 0.0 || away == 0.0 {
            return (least <= radius).then_some(lowest);
        }
        let cos = (self.radius * self.radius + away * away - radius * radius)
            / (2.0 * self.radius * away);
        let half = cos.clamp(-1.0, 1.0).acos();
        let middle = y.atan2(x);
        let sweep = self.sweep.abs();
        let sign = if self.sweep >= 0.0 { 1.0 } else { -1.0 };
        // Angles travelled from the start to where the path comes near and leaves.
        let enter = (sign * (middle - self.start) - half).rem_euclid(TAU);
        let leave = enter + 2.0 * half;
        let mut best: Option<f64> = None;
        for turn in [-TAU, 0.0] {
            let (first, last) = ((enter + turn).max(0.0), (leave + turn).min(sweep));
            if first <= last && sweep > 0.0 {
                let z = leg.z(first / sweep).min(leg.z(last / sweep));
                best = Some(best.map_or(z, |other: f64| other.min(z)));
            }
        }
        best
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half a turn, counter-clockwise, from (5, 0) to (-5, 0), down by 1.
    fn half_turn() -> Leg {
        Leg::arc([5.0, 0.0, 0.0], [-5.0, 0.0, -1.0], [0.0, 0.0], PI)
    }

    #[test]
    fn an_arc_reaches_its_axis_extreme() {
        let extent = half_turn().extent();
        assert_eq!(extent.max[1], 5.0);
        assert_eq!(extent.min[1], 0.0);
        assert_eq!(extent.min[2], -1.0);
    }

    #[test]
    fn distance_to_an_arc_is_radial_beside_it_and_to_an_end_elsewhere() {
        assert!((half_turn().distance([0.0, 7.0]) - 2.0).abs() < 1e-12);
        assert!((half_turn().distance([5.0, -3.0]) - 3.0).abs() < 1e-12);
        let line = Leg::line([0.0, 0.0, 0.0], [10.0, 0.0, 0.0]);
        assert!((line.distance([13.0, 4.0]) - 5.0).abs() < 1e-12);
    }

    #[test]
    fn lowest_within_is_where_the_path_leaves_the_circle() {
        // Descends 1 mm over 10 mm; within 2 mm of (4, 0) until x = 6.
        let line = Leg::line([0.0, 0.0, 0.0], [10.0, 0.0, -1.0]);
        let lowest = line.lowest_within([4.0, 0.0], 2.0).unwrap();
        assert!((lowest + 0.6).abs() < 1e-12);
        assert_eq!(line.lowest_within([4.0, 3.0], 2.0), None);
        // On a half turn the chord 5√2 subtends 90°, so from the start it lasts half the sweep.
        let lowest = half_turn()
            .lowest_within([5.0, 0.0], 50.0_f64.sqrt())
            .unwrap();
        assert!((lowest + 0.5).abs() < 1e-9);
    }

    #[test]
    fn a_part_of_an_arc_keeps_its_ends() {
        let part = half_turn().part(0.5, 1.0);
        assert!(part.from[0].abs() < 1e-12 && (part.from[1] - 5.0).abs() < 1e-12);
        assert!((part.level_length() - 2.5 * PI).abs() < 1e-9);
    }

    #[test]
    fn chords_stay_within_the_sagitta() {
        let chords: Vec<Leg> = half_turn().chords(0.01).collect();
        for chord in &chords {
            let middle = chord.at(0.5);
            assert!(5.0 - middle[0].hypot(middle[1]) <= 0.010_001);
        }
        assert_eq!(chords[0].from, [5.0, 0.0, 0.0]);
        assert_eq!(chords[chords.len() - 1].to, [-5.0, 0.0, -1.0]);
    }
}
