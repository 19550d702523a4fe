//! One move as a path in space, with the questions a judge asks of it.
//!
//! Everything is exact up to rounding, but for one thing: an arc whose end
//! radius differs from its start radius (the standard allows 0.002 mm) is
//! taken with a radius that changes evenly, and its extreme points with the
//! larger one.

use std::f64::consts::{PI, TAU};

use crate::geometry::norm;
use crate::rs274::event::{Move, Path};

/// A path from one point to another; z moves evenly along it. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Segment {
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
}

impl Segment {
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
                radius: norm(arm),
                end_radius: norm(end),
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
            None => norm([self.to[0] - self.from[0], self.to[1] - self.from[1]]),
            Some(turn) => turn.radius.max(turn.end_radius) * turn.sweep.abs(),
        }
    }

    pub(crate) fn length(&self) -> f64 {
        norm([self.level_length(), self.to[2] - self.from[2]])
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
                norm([x - run * t, y - rise * t])
            }
            Some(turn) => {
                let (x, y) = (point[0] - turn.center[0], point[1] - turn.center[1]);
                if turn.passes(y.atan2(x)) {
                    return (norm([x, y]) - turn.radius).abs();
                }
                let to_end = |end: [f64; 3]| norm([point[0] - end[0], point[1] - end[1]]);
                to_end(self.from).min(to_end(self.to))
            }
        }
    }

    /// Greatest distance from `point` to the path, seen from above.
    pub(crate) fn farthest(&self, point: [f64; 2]) -> f64 {
        let to_end = |end: [f64; 2]| norm([point[0] - end[0], point[1] - end[1]]);
        let ends = to_end([self.from[0], self.from[1]]).max(to_end([self.to[0], self.to[1]]));
        let Some(turn) = &self.turn else {
            return ends;
        };
        let away = (turn.center[1] - point[1]).atan2(turn.center[0] - point[0]);
        if turn.passes(away) {
            ends.max(to_end(turn.toward(away)))
        } else {
            ends
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
    pub(crate) fn chords(&self, sagitta: f64) -> impl Iterator<Item = Segment> + use<> {
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
        let segment = *self;
        (0..pieces).map(move |piece| {
            let t = |index: u32| f64::from(index) / f64::from(pieces);
            Segment::line(segment.at(t(piece)), segment.at(t(piece + 1)))
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

    fn lowest_within(&self, segment: &Segment, point: [f64; 2], radius: f64) -> Option<f64> {
        let (x, y) = (point[0] - self.center[0], point[1] - self.center[1]);
        let away = norm([x, y]);
        if away + self.radius <= radius {
            return Some(segment.lowest());
        }
        if (away - self.radius).abs() > radius {
            return None;
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
            if first <= last {
                // An arc without a sweep is its first point.
                let height = |angle: f64| segment.z(angle / sweep.max(f64::MIN_POSITIVE));
                let z = height(first).min(height(last));
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
    fn half_turn() -> Segment {
        Segment::arc([5.0, 0.0, 0.0], [-5.0, 0.0, -1.0], [0.0, 0.0], PI)
    }

    /// 8 along X and 6 along Y, 10 in all, down by 1 mm for each.
    fn slope() -> Segment {
        Segment::line([2.0, 3.0, 0.0], [10.0, 9.0, -10.0])
    }

    /// About (4, -1), radius 5, by `degrees` from the direction of X, down by 10.
    fn round(degrees: f64) -> Segment {
        let (sin, cos) = degrees.to_radians().sin_cos();
        Segment::arc(
            [9.0, -1.0, 0.0],
            [4.0 + 5.0 * cos, -1.0 + 5.0 * sin, -10.0],
            [4.0, -1.0],
            degrees.to_radians(),
        )
    }

    /// The point `away` from the centre of [`round`], in a direction.
    fn about(away: f64, degrees: f64) -> [f64; 2] {
        let (sin, cos) = degrees.to_radians().sin_cos();
        [4.0 + away * cos, -1.0 + away * sin]
    }

    #[track_caller]
    fn near<const N: usize>(found: [f64; N], expected: [f64; N]) {
        let apart = |axis: usize| (found[axis] - expected[axis]).abs();
        assert!(
            (0..N).all(|axis| apart(axis) < 1e-9),
            "{found:?} is not {expected:?}"
        );
    }

    #[test]
    fn a_move_is_a_leg_once_its_ends_are_known() {
        let mut motion = Move {
            from: [Some(9.0), Some(-1.0), Some(0.0)],
            to: [Some(4.0), Some(4.0), None],
            named: [true; 3],
            path: Path::Arc {
                center: [4.0, -1.0],
                sweep: PI / 2.0,
            },
            feed: crate::units::Feed::from_mm_per_minute(1000.0),
            machine_frame: false,
            resolution: 0.001,
        };
        assert_eq!(Segment::of(&motion), None);
        motion.to[2] = Some(-2.0);
        let segment = Segment::of(&motion).unwrap();
        assert_eq!(segment.turn.unwrap().center, [4.0, -1.0]);
        motion.path = Path::Line;
        let line = Segment::line([9.0, -1.0, 0.0], [4.0, 4.0, -2.0]);
        assert_eq!(Segment::of(&motion), Some(line));
    }

    // Hand-computed: arms of a 3-4-5 triangle, 6-8-10 at the end.
    #[test]
    fn an_arc_knows_both_radii_and_where_it_starts() {
        let arc = Segment::arc([7.0, 3.0, 0.0], [-2.0, 7.0, 0.0], [4.0, -1.0], 2.0);
        let turn = arc.turn.unwrap();
        near([turn.radius, turn.end_radius], [5.0, 10.0]);
        near([turn.start.sin(), turn.start.cos()], [0.8, 0.6]);
    }

    #[test]
    fn extents_grow_by_what_is_added() {
        let mut extent = Extent::nothing();
        assert!(extent.min[0] > extent.max[0]);
        let point = Segment::line([1.0, 2.0, 3.0], [1.0, 2.0, 3.0]).extent();
        extent.add(&point);
        assert_eq!(extent, point);
        assert!(extent.min[0] <= extent.max[0]);
        extent.add(&Segment::line([0.0, 5.0, 3.0], [2.0, 4.0, -3.0]).extent());
        assert_eq!(extent.min, [0.0, 2.0, -3.0]);
        assert_eq!(extent.max, [2.0, 5.0, 3.0]);
    }

    #[test]
    fn points_lie_evenly_along_the_path() {
        near(slope().at(0.25), [4.0, 4.5, -2.5]);
        near([slope().z(0.3)], [-3.0]);
        let rising = Segment::line([0.0, 0.0, -4.0], [0.0, 0.0, 1.0]);
        near([rising.z(0.2)], [-3.0]);
        let [x, y] = about(5.0, 30.0);
        near(round(120.0).at(0.25), [x, y, -2.5]);
        let [x, y] = about(5.0, -30.0);
        near(round(-120.0).at(0.25), [x, y, -2.5]);
        // The radius grows from 5 to 7 over half a turn.
        let spiral = Segment::arc([9.0, -1.0, 0.0], [-3.0, -1.0, 0.0], [4.0, -1.0], PI);
        let [x, y] = about(5.5, 45.0);
        near(spiral.at(0.25), [x, y, 0.0]);
    }

    #[test]
    fn lengths_are_along_the_path_and_seen_from_above() {
        // 3-4-5 seen from above, 5-12-13 in space.
        let line = Segment::line([2.0, 3.0, -1.0], [5.0, 7.0, -13.0]);
        assert_eq!((line.level_length(), line.length()), (5.0, 13.0));
        assert_eq!(line.lowest(), -13.0);
        let back = Segment::line([5.0, 7.0, -13.0], [2.0, 3.0, -1.0]);
        assert_eq!(back.lowest(), -13.0);
        let arc = round(-90.0);
        near([arc.level_length()], [2.5 * PI]);
        near([arc.length()], [(6.25 * PI * PI + 100.0).sqrt()]);
    }

    #[test]
    fn heights_are_passed_where_they_are() {
        let between = |from: f64, to: f64, low: f64, high: f64| {
            let segment = Segment::line([0.0, 0.0, from], [9.0, 0.0, to]);
            segment.between_heights(low, high)
        };
        let (first, last) = between(1.0, -4.0, -2.0, 0.0).unwrap();
        near([first, last], [0.2, 0.6]);
        let (first, last) = between(-4.0, 1.0, -2.0, 0.0).unwrap();
        near([first, last], [0.4, 0.8]);
        assert_eq!(between(1.0, -4.0, 1.0, 5.0), Some((0.0, 0.0)));
        assert_eq!(between(1.0, -4.0, 2.0, 3.0), None);
        assert_eq!(between(1.0, -4.0, -9.0, -5.0), None);
        for (low, high) in [(-4.0, -2.0), (-3.0, -2.0), (-4.0, -3.0)] {
            assert_eq!(between(-3.0, -3.0, low, high), Some((0.0, 1.0)));
        }
        assert_eq!(between(-3.0, -3.0, -2.0, 0.0), None);
        assert_eq!(between(-3.0, -3.0, -6.0, -4.0), None);
    }

    #[test]
    fn a_part_is_where_the_whole_is() {
        let spiral = Segment::arc([9.0, -1.0, 0.0], [4.0, 6.0, -2.0], [4.0, -1.0], -1.5 * PI);
        for (first, last) in [(0.0, 0.5), (0.25, 0.75), (0.5, 1.0)] {
            let part = spiral.part(first, last);
            for t in [0.0, 0.5, 1.0] {
                near(part.at(t), spiral.at(first + (last - first) * t));
            }
        }
        assert_eq!(spiral.part(0.0, 1.0), spiral);
    }

    #[test]
    fn an_arc_reaches_as_far_as_the_directions_it_passes() {
        let whole = round(360.0).extent();
        near(whole.min, [-1.0, -6.0, -10.0]);
        near(whole.max, [9.0, 4.0, 0.0]);
        // From 45 degrees to 135: only the direction of Y is passed.
        let [x, y] = about(5.0, 45.0);
        let [end_x, _] = about(5.0, 135.0);
        let arc = Segment::arc([x, y, 0.0], [end_x, y, 0.0], [4.0, -1.0], PI / 2.0);
        near(arc.extent().min, [end_x, y, 0.0]);
        near(arc.extent().max, [x, 4.0, 0.0]);
        // The long way round all others, none of them Y.
        let arc = Segment::arc([x, y, 0.0], [end_x, y, 0.0], [4.0, -1.0], -1.5 * PI);
        near(arc.extent().min, [-1.0, -6.0, 0.0]);
        near(arc.extent().max, [9.0, y, 0.0]);
    }

    // Hand-computed on the line through (2, 3) and (10, 9), of slope 3 in 4.
    #[test]
    fn distance_to_a_line_is_square_to_it_or_to_an_end() {
        near([slope().distance([4.0, 7.0])], [2.0]);
        near([slope().distance([13.0, 13.0])], [5.0]);
        near([slope().distance([-1.0, -1.0])], [5.0]);
        let point = Segment::line([2.0, 3.0, 0.0], [2.0, 3.0, -5.0]);
        near([point.distance([5.0, 7.0])], [5.0]);
    }

    #[test]
    fn distance_to_an_arc_off_the_origin() {
        for (degrees, sign) in [(90.0, 1.0), (-90.0, -1.0)] {
            let arc = round(degrees);
            near([arc.distance(about(8.0, sign * 40.0))], [3.0]);
            near([arc.distance(about(1.0, sign * 40.0))], [4.0]);
            // 3-4-5 from the start, and from the end.
            near([arc.distance([12.0, -1.0 - sign * 4.0])], [5.0]);
            near([arc.distance([1.0, -1.0 + sign * 9.0])], [5.0]);
        }
    }

    // The point lies 2 mm beside the line 4 mm along it; a circle of √8 covers
    // the line from 2 mm to 6 mm.
    #[test]
    fn lowest_within_counts_along_the_line() {
        let within = |segment: Segment, point, radius| segment.lowest_within(point, radius);
        let back = Segment::line(slope().to, slope().from);
        for segment in [slope(), back] {
            near(
                [within(segment, [4.0, 7.0], 8.0_f64.sqrt()).unwrap()],
                [-6.0],
            );
            assert_eq!(within(segment, [4.0, 7.0], 1.9), None);
            // Beyond either end by 5 mm.
            assert_eq!(within(segment, [14.0, 12.0], 4.9), None);
            assert_eq!(within(segment, [-2.0, 0.0], 4.9), None);
        }
        let level = Segment::line([0.0, 0.0, 0.0], [10.0, 0.0, -1.0]);
        assert_eq!(within(level, [5.0, 0.0], 0.0), Some(-0.5));
        assert_eq!(within(level, [5.0, 0.0], -1.0), None);
        let down = Segment::line([2.0, 3.0, 0.0], [2.0, 3.0, -5.0]);
        assert_eq!(within(down, [5.0, 7.0], 5.0), Some(-5.0));
        assert_eq!(within(down, [5.0, 7.0], 4.9), None);
    }

    // A circle about a point 6 mm from the centre meets the arc of 5 mm 30
    // degrees to both sides: by the law of cosines √(25 + 36 - 60 cos 30°).
    #[test]
    fn lowest_within_counts_along_an_arc() {
        let reach = (61.0 - 60.0 * 30.0_f64.to_radians().cos()).sqrt();
        for sign in [1.0, -1.0] {
            let within = |degrees: f64, radius| {
                round(180.0 * sign).lowest_within(about(6.0, sign * degrees), radius)
            };
            // From 60 to 120 degrees of 180, from 0 to 30, from 150 to the end.
            near([within(90.0, reach).unwrap()], [-10.0 * 120.0 / 180.0]);
            near([within(0.0, reach).unwrap()], [-10.0 * 30.0 / 180.0]);
            near([within(180.0, reach).unwrap()], [-10.0]);
            near([within(-25.0, reach).unwrap()], [-10.0 * 5.0 / 180.0]);
            assert_eq!(within(-45.0, reach), None);
            assert_eq!(within(90.0, 0.9), None);
            near([within(90.0, 11.0).unwrap()], [-10.0]);
        }
        // Rising, it is lowest where it comes near.
        let start = [9.0, -1.0, -10.0];
        let rising = Segment::arc(start, [-1.0, -1.0, 0.0], [4.0, -1.0], PI);
        let lowest = rising.lowest_within(about(6.0, 90.0), reach);
        near([lowest.unwrap()], [-10.0 * 120.0 / 180.0]);
        // A whole turn comes back to its start.
        let lowest = round(360.0).lowest_within(about(6.0, 0.0), reach);
        near([lowest.unwrap()], [-10.0]);
        // Just touching.
        near(
            [round(180.0).lowest_within([12.0, -1.0], 3.0).unwrap()],
            [0.0],
        );
        // Every point of an arc is as far from its centre.
        assert_eq!(round(180.0).lowest_within([4.0, -1.0], 4.9), None);
        let lowest = round(180.0).lowest_within([4.0, -1.0], 5.0);
        assert_eq!(lowest, Some(-10.0));
        let none = round(180.0).part(0.5, 0.5);
        near([none.lowest_within(about(6.0, 90.0), 1.5).unwrap()], [-5.0]);
    }

    #[test]
    fn an_arc_passes_the_directions_between_its_ends() {
        for sign in [1.0, -1.0] {
            let [x, y] = about(5.0, sign * 30.0);
            let [end_x, end_y] = about(7.0, sign * 120.0);
            let (from, to) = ([x, y, 0.0], [end_x, end_y, 0.0]);
            let arc = Segment::arc(from, to, [4.0, -1.0], sign * PI / 2.0);
            let turn = arc.turn.unwrap();
            for (degrees, passed) in [
                (29.0, false),
                (31.0, true),
                (119.0, true),
                (121.0, false),
                (-60.0, false),
            ] {
                let angle: f64 = sign * degrees;
                assert_eq!(turn.passes(angle.to_radians()), passed, "{angle}");
            }
            // The larger radius counts.
            near(turn.toward(0.5), about(7.0, 0.5_f64.to_degrees()));
        }
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
        let line = Segment::line([0.0, 0.0, 0.0], [10.0, 0.0, 0.0]);
        assert!((line.distance([13.0, 4.0]) - 5.0).abs() < 1e-12);
    }

    #[test]
    fn lowest_within_is_where_the_path_leaves_the_circle() {
        // Descends 1 mm over 10 mm; within 2 mm of (4, 0) until x = 6.
        let line = Segment::line([0.0, 0.0, 0.0], [10.0, 0.0, -1.0]);
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
        let chords: Vec<Segment> = half_turn().chords(0.01).collect();
        for chord in &chords {
            let middle = chord.at(0.5);
            assert!(5.0 - middle[0].hypot(middle[1]) <= 0.010_001);
        }
        // π over 2 acos(1 - 0.01 / 5) is 24.8.
        assert_eq!(chords.len(), 25);
        assert_eq!(chords[0].from, [5.0, 0.0, 0.0]);
        assert_eq!(chords[chords.len() - 1].to, [-5.0, 0.0, -1.0]);
    }

    /// About (20, 30), radius 10: a shape 0.4 rad to either side of a direction.
    #[test]
    fn an_arc_passes_all_of_a_shape_between_its_ends() {
        let center = [20.0, 30.0];
        let at = |radius: f64, angle: f64| {
            let (sin, cos) = angle.sin_cos();
            [center[0] + radius * cos, center[1] + radius * sin]
        };
        let passes = |start: f64, sweep: f64, middle: f64| {
            let [from, to] = [start, start + sweep].map(|angle| at(10.0, angle));
            let segment = Segment::arc([from[0], from[1], 0.0], [to[0], to[1], 0.0], center, sweep);
            let corner = |radius, side| at(radius, middle + side);
            let corners = [
                corner(8.0, -0.4),
                corner(8.0, 0.4),
                corner(12.0, 0.4),
                corner(12.0, -0.4),
            ];
            segment.turn.unwrap().passes_all(corners)
        };
        for start in [0.0, 1.0, 2.5, -1.5] {
            assert!(passes(start, 1.5, start + 0.5));
            assert!(!passes(start, 1.5, start + 1.2));
            assert!(!passes(start, 1.5, start - 0.5));
            assert!(passes(start, -1.5, start - 0.5));
            assert!(!passes(start, -1.5, start - 1.2));
            assert!(!passes(start, -1.5, start + 0.5));
            // Where the arc begins in the midst of it only a full turn does.
            assert!(!passes(start, 6.0, start) && !passes(start, -6.0, start));
            assert!(passes(start, TAU, start) && passes(start, -TAU, start));
        }
    }
}
