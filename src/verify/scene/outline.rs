//! The closed outline of a piece that is cut free: lines and arcs.
//!
//! The distance of a point is that to the nearest edge; whether it lies inside
//! is told by how often a ray along X from it crosses the edges, each arc
//! split where it turns back along Y. Both are exact up to rounding. How near
//! and how far a stretch of a path comes is bounded edge by edge: exactly
//! along an edge, and the closer the shorter the stretch at its ends.

use std::f64::consts::{FRAC_PI_2, TAU};

use crate::geometry::norm;
use crate::job::contour::Edge;
use crate::replay::segment::Segment;

/// A closed outline in X and Y. Millimetres.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Outline {
    sides: Vec<Side>,
    legs: Vec<Leg>,
    pub(crate) min: [f64; 2],
    pub(crate) max: [f64; 2],
}

/// One edge, in the order of the outline, with the piece to its left.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Side {
    from: [f64; 2],
    to: [f64; 2],
    length: f64,
    shape: Shape,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Shape {
    /// The direction of its way.
    Line([f64; 2]),
    Arc(Arc),
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Arc {
    center: [f64; 2],
    radius: f64,
    bulges: bool,
    /// Directions from the centre to its ends, counter-clockwise from the first.
    first: [f64; 2],
    last: [f64; 2],
    /// Angle of the first, and from there to the last.
    start: f64,
    sweep: f64,
}

/// Part of an edge that goes only up or only down along Y, between two heights.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Leg {
    ends: [f64; 2],
    shape: LegShape,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum LegShape {
    Line {
        from: [f64; 2],
        run: f64,
    },
    Arc {
        center: [f64; 2],
        radius: f64,
        side: f64,
    },
}

/// A point of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Place {
    pub(crate) at: [f64; 2],
    /// Straight out of the piece.
    pub(crate) outward: [f64; 2],
}

/// A path that ends where an edge does lies beside it for all this, in millimetres.
const ROUNDED: f64 = 1e-9;
const A_LITTLE: f64 = 0.01;

/// Least and greatest of something.
type Range = (f64, f64);

fn minus(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

fn toward(angle: f64) -> [f64; 2] {
    let (sin, cos) = angle.sin_cos();
    [cos, sin]
}

impl Outline {
    /// The outline of `edges`, each edge's points laid where `place` puts them;
    /// it may move and turn them, not mirror them. None without an area.
    pub(crate) fn of(edges: &[Edge], place: impl Fn(f64, f64) -> [f64; 2]) -> Option<Self> {
        let laid = |point: crate::geometry::Point| place(point.x, point.y);
        let starts: Vec<[f64; 2]> = edges.iter().map(|edge| laid(edge.from())).collect();
        let mut sides = Vec::with_capacity(edges.len());
        for (index, edge) in edges.iter().enumerate() {
            let (from, to) = (starts[index], starts[(index + 1) % starts.len()]);
            let side = match *edge {
                Edge::Line { .. } => Side::line(from, to),
                Edge::Arc { center, bulges, .. } => Side::arc(from, to, laid(center), bulges),
            };
            sides.extend(side);
        }
        let legs: Vec<Leg> = sides.iter().flat_map(Side::legs).collect();
        let (mut min, mut max) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for point in sides.iter().flat_map(Side::extremes) {
            for axis in 0..2 {
                min[axis] = min[axis].min(point[axis]);
                max[axis] = max[axis].max(point[axis]);
            }
        }
        (min[0] < max[0] && min[1] < max[1]).then_some(Self {
            sides,
            legs,
            min,
            max,
        })
    }

    /// Distance from a point to the outline, negative inside.
    pub(crate) fn signed_distance(&self, point: [f64; 2]) -> f64 {
        let distances = self.sides.iter().map(|side| side.distance(point));
        let distance = distances.fold(f64::INFINITY, f64::min);
        if self.contains(point) {
            -distance
        } else {
            distance
        }
    }

    fn contains(&self, point: [f64; 2]) -> bool {
        let outside_box =
            (0..2).any(|axis| point[axis] < self.min[axis] || point[axis] > self.max[axis]);
        if outside_box {
            return false;
        }
        let crossed = self.legs.iter().filter(|leg| leg.is_right_of(point));
        crossed.count() % 2 == 1
    }

    /// Between which distances all of a path lies, negative inside.
    pub(crate) fn distances(&self, path: &Segment) -> Range {
        let (mut least, mut most) = (f64::INFINITY, f64::INFINITY);
        for side in &self.sides {
            let (near, far) = side.distances(path);
            least = least.min(near);
            most = most.min(far);
        }
        if least <= 0.0 {
            return (-most, most);
        }
        let [x, y, _] = path.at(0.5);
        if self.contains([x, y]) {
            (-most, -least)
        } else {
            (least, most)
        }
    }

    /// How many edges there are, and how long each is.
    pub(crate) fn lengths(&self) -> impl Iterator<Item = f64> + '_ {
        self.sides.iter().map(|side| side.length)
    }

    /// The point so far along an edge, 0 … 1.
    pub(crate) fn place(&self, edge: usize, along: f64) -> Option<Place> {
        self.sides.get(edge).map(|side| side.place(along))
    }

    /// How much faster than along the edge a point goes that is so far outside it.
    pub(crate) fn widening(&self, edge: usize, out: f64) -> f64 {
        let arc = self.sides.get(edge).and_then(Side::as_arc);
        arc.map_or(1.0, |arc| {
            let signed = if arc.bulges { out } else { -out };
            ((arc.radius + signed) / arc.radius).abs()
        })
    }

    /// Its edges as level paths.
    pub(crate) fn paths(&self) -> impl Iterator<Item = Segment> + '_ {
        self.sides.iter().map(|side| {
            let level = |[x, y]: [f64; 2]| [x, y, 0.0];
            match side.as_arc() {
                None => Segment::line(level(side.from), level(side.to)),
                Some(arc) => {
                    let sweep = if arc.bulges { arc.sweep } else { -arc.sweep };
                    Segment::arc(level(side.from), level(side.to), arc.center, sweep)
                }
            }
        })
    }

    /// The way round it at a distance outside, as far as a bit of that radius comes.
    pub(crate) fn way_round(&self, out: f64) -> f64 {
        let edges = self.sides.iter().map(|side| {
            side.as_arc().map_or(side.length, |arc| {
                let signed = if arc.bulges { out } else { -out };
                (arc.radius + signed).max(0.0) * arc.sweep
            })
        });
        let next = self.sides.iter().cycle().skip(1);
        let corners = self.sides.iter().zip(next).map(|(side, next)| {
            let (ends, begins) = (side.direction(1.0), next.direction(0.0));
            let turn = cross(ends, begins).atan2(dot(ends, begins));
            if turn >= 0.0 {
                out * turn
            } else {
                // Two ways meet inside a corner before either comes to its end.
                2.0 * out * (turn / 2.0).max(-FRAC_PI_2 * 0.9).tan()
            }
        });
        (edges.sum::<f64>() + corners.sum::<f64>()).max(0.0)
    }
}

impl Side {
    fn line(from: [f64; 2], to: [f64; 2]) -> Option<Self> {
        let way = minus(to, from);
        let length = norm(way);
        (length > 0.0).then(|| Self {
            from,
            to,
            length,
            shape: Shape::Line(way.map(|part| part / length)),
        })
    }

    fn arc(from: [f64; 2], to: [f64; 2], center: [f64; 2], bulges: bool) -> Option<Self> {
        let arms = [minus(from, center), minus(to, center)];
        let radius = norm(arms[0]);
        if radius <= 0.0 || from == to {
            return None;
        }
        let unit = |arm: [f64; 2]| {
            let size = norm(arm).max(f64::MIN_POSITIVE);
            arm.map(|part| part / size)
        };
        let [begin, end] = arms.map(unit);
        let (first, last) = if bulges { (begin, end) } else { (end, begin) };
        let start = first[1].atan2(first[0]);
        let sweep = (last[1].atan2(last[0]) - start).rem_euclid(TAU);
        Some(Self {
            from,
            to,
            length: radius * sweep,
            shape: Shape::Arc(Arc {
                center,
                radius,
                bulges,
                first,
                last,
                start,
                sweep,
            }),
        })
    }

    fn as_arc(&self) -> Option<&Arc> {
        match &self.shape {
            Shape::Line(_) => None,
            Shape::Arc(arc) => Some(arc),
        }
    }

    fn distance(&self, point: [f64; 2]) -> f64 {
        let arm = minus(point, self.from);
        match &self.shape {
            Shape::Line(way) => {
                let along = dot(arm, *way).clamp(0.0, self.length);
                norm([arm[0] - way[0] * along, arm[1] - way[1] * along])
            }
            Shape::Arc(arc) => {
                let from_center = minus(point, arc.center);
                if arc.faces(from_center) {
                    (norm(from_center) - arc.radius).abs()
                } else {
                    norm(arm).min(norm(minus(point, self.to)))
                }
            }
        }
    }

    /// Between which distances from the edge all of a path lies.
    fn distances(&self, path: &Segment) -> Range {
        match &self.shape {
            Shape::Line(way) => {
                let (first, last) = offsets(path, self.from, *way);
                // Past an end, or so little short of it, that end is the nearest.
                for (short, end) in [(last, self.from), (self.length - first, self.to)] {
                    if short <= A_LITTLE {
                        let (near, far) = reaches(path, end);
                        let short = short.max(0.0);
                        return ((near * near - short * short).max(0.0).sqrt(), far);
                    }
                }
                let (low, high) = offsets(path, self.from, [-way[1], way[0]]);
                let beside = (low.max(-high).max(0.0), high.max(-low));
                let past = (
                    (first - self.length).max(-last).max(0.0),
                    (last - self.length).max(-first).max(0.0),
                );
                (norm([beside.0, past.0]), norm([beside.1, past.1]))
            }
            Shape::Arc(arc) => {
                let after = offsets(path, arc.center, [-arc.first[1], arc.first[0]]);
                let before = offsets(path, arc.center, [arc.last[1], -arc.last[0]]);
                let ring = || {
                    let (near, far) = reaches(path, arc.center);
                    let (low, high) = (near - arc.radius, far - arc.radius);
                    (low.max(-high).max(0.0), high.max(-low))
                };
                // A little past its ends it is that little further away.
                let past = (-after.0).max(-before.0).max(0.0);
                if past <= A_LITTLE && (past <= ROUNDED || arc.is_before(path)) {
                    let (near, far) = ring();
                    return (near, far + 2.0 * past);
                }
                let [from, to] = [self.from, self.to].map(|end| reaches(path, end));
                let ends = (from.0.min(to.0), from.1.min(to.1));
                if after.1 < 0.0 || before.1 < 0.0 {
                    return ends;
                }
                (ring().0.min(ends.0), ends.1)
            }
        }
    }

    fn place(&self, along: f64) -> Place {
        match &self.shape {
            Shape::Line(way) => Place {
                at: [0, 1].map(|axis| self.from[axis] + way[axis] * self.length * along),
                outward: [way[1], -way[0]],
            },
            Shape::Arc(arc) => {
                let (share, sign) = if arc.bulges {
                    (along, 1.0)
                } else {
                    (1.0 - along, -1.0)
                };
                let away = toward(arc.start + arc.sweep * share);
                Place {
                    at: [0, 1].map(|axis| arc.center[axis] + arc.radius * away[axis]),
                    outward: away.map(|part| sign * part),
                }
            }
        }
    }

    /// The direction of the way at its start or end.
    fn direction(&self, along: f64) -> [f64; 2] {
        let [x, y] = self.place(along).outward;
        [-y, x]
    }

    /// Points that reach as far as the edge does along X and Y.
    fn extremes(&self) -> Vec<[f64; 2]> {
        let mut points = vec![self.from, self.to];
        if let Some(arc) = self.as_arc() {
            let crests = [[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]];
            let passed = crests.into_iter().filter(|&crest| arc.faces(crest));
            points.extend(
                passed.map(|crest| [0, 1].map(|axis| arc.center[axis] + arc.radius * crest[axis])),
            );
        }
        points
    }

    fn legs(&self) -> Vec<Leg> {
        match &self.shape {
            Shape::Line(way) => vec![Leg {
                ends: [self.from[1], self.to[1]],
                shape: LegShape::Line {
                    from: self.from,
                    run: way[0] / way[1],
                },
            }],
            Shape::Arc(arc) => {
                let (first, last) = if arc.bulges {
                    (self.from, self.to)
                } else {
                    (self.to, self.from)
                };
                arc.legs(first[1], last[1])
            }
        }
    }
}

impl Arc {
    /// Whether what lies that way from the centre faces the arc, which is no
    /// more than half a turn.
    fn faces(&self, arm: [f64; 2]) -> bool {
        cross(self.first, arm) >= 0.0 && cross(arm, self.last) >= 0.0
    }

    /// Whether all of a path lies on the arc's side of its centre.
    fn is_before(&self, path: &Segment) -> bool {
        let middle = [0, 1].map(|axis| self.first[axis] + self.last[axis]);
        offsets(path, self.center, middle).0 >= -ROUNDED
    }

    fn legs(&self, first_height: f64, last_height: f64) -> Vec<Leg> {
        let mut turns: Vec<(f64, f64)> = [(FRAC_PI_2, 1.0), (-FRAC_PI_2, -1.0)]
            .into_iter()
            .map(|(angle, up)| {
                let along = (angle - self.start).rem_euclid(TAU);
                (along, self.center[1] + up * self.radius)
            })
            .filter(|&(along, _)| along > 0.0 && along < self.sweep)
            .collect();
        turns.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut before = (0.0, first_height);
        let mut legs = Vec::with_capacity(3);
        for next in turns.into_iter().chain([(self.sweep, last_height)]) {
            let middle = self.start + f64::midpoint(before.0, next.0);
            legs.push(Leg {
                ends: [before.1, next.1],
                shape: LegShape::Arc {
                    center: self.center,
                    radius: self.radius,
                    side: middle.cos().signum(),
                },
            });
            before = next;
        }
        legs
    }
}

impl Leg {
    /// Whether a ray from the point towards greater X crosses it.
    fn is_right_of(&self, [x, y]: [f64; 2]) -> bool {
        if (self.ends[0] > y) == (self.ends[1] > y) {
            return false;
        }
        let met = match self.shape {
            LegShape::Line { from, run } => from[0] + (y - from[1]) * run,
            LegShape::Arc {
                center,
                radius,
                side,
            } => {
                let above = y - center[1];
                center[0] + side * (radius * radius - above * above).max(0.0).sqrt()
            }
        };
        met > x
    }
}

/// Between which offsets from a point along a direction all of a path lies.
fn offsets(path: &Segment, from: [f64; 2], direction: [f64; 2]) -> Range {
    let offset = |[x, y]: [f64; 2]| dot(minus([x, y], from), direction);
    let plan = |point: [f64; 3]| [point[0], point[1]];
    let (begin, end) = (offset(plan(path.from)), offset(plan(path.to)));
    let (mut low, mut high) = (begin.min(end), begin.max(end));
    if let Some(turn) = &path.turn {
        let angle = direction[1].atan2(direction[0]);
        if turn.passes(angle) {
            high = high.max(offset(turn.toward(angle)));
        }
        let back = angle + std::f64::consts::PI;
        if turn.passes(back) {
            low = low.min(offset(turn.toward(back)));
        }
    }
    (low, high)
}

/// Between which distances from a point all of a path lies.
fn reaches(path: &Segment, point: [f64; 2]) -> Range {
    let rounded = path
        .turn
        .map_or(0.0, |turn| (turn.end_radius - turn.radius).abs());
    let near = (path.distance(point) - rounded).max(0.0);
    (near, path.farthest(point))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, RoundedRectangle};
    use crate::job::{contour, sample};
    use std::f64::consts::PI;

    fn rectangle() -> Vec<Edge> {
        contour::of_rectangle(&RoundedRectangle {
            center: Point::from_mm(20.0, 10.0),
            half_x: 20.0,
            half_y: 9.0,
            corner: 4.0,
        })
    }

    fn of(edges: &[Edge]) -> Outline {
        Outline::of(edges, |u, v| [u, v]).unwrap()
    }

    /// Points of an outline no more than a hundredth apart, by themselves.
    fn dense(edges: &[Edge]) -> Vec<[f64; 2]> {
        let mut points = Vec::new();
        for edge in edges {
            let (from, to) = (edge.from(), edge.to());
            for step in 0..5000 {
                let t = f64::from(step) / 5000.0;
                points.push(match *edge {
                    Edge::Line { .. } => {
                        [from.x + (to.x - from.x) * t, from.y + (to.y - from.y) * t]
                    }
                    Edge::Arc { center, bulges, .. } => {
                        let angle = |end: Point| (end.y - center.y).atan2(end.x - center.x);
                        let (start, mut end) = (angle(from), angle(to));
                        if bulges && end < start {
                            end += TAU;
                        } else if !bulges && end > start {
                            end -= TAU;
                        }
                        let angle = start + (end - start) * t;
                        let radius = (from.x - center.x).hypot(from.y - center.y);
                        [
                            center.x + radius * angle.cos(),
                            center.y + radius * angle.sin(),
                        ]
                    }
                });
            }
        }
        points
    }

    /// The angle under which the outline is seen all round is a whole turn from inside.
    fn by_points(points: &[[f64; 2]], [x, y]: [f64; 2]) -> f64 {
        let arms = || points.iter().map(|point| [point[0] - x, point[1] - y]);
        let turned: f64 = arms()
            .zip(arms().cycle().skip(1))
            .map(|(one, next)| cross(one, next).atan2(dot(one, next)))
            .sum();
        let least = arms().map(norm).fold(f64::INFINITY, f64::min);
        if turned.abs() > PI { -least } else { least }
    }

    #[test]
    fn the_signed_distance_is_that_to_the_nearest_of_many_points() {
        for edges in [rectangle(), sample::end_piece(20.0, 10.0)] {
            let (outline, points) = (of(&edges), dense(&edges));
            for step in 0..400_u32 {
                let x = -10.0 + 70.0 * (f64::from(step) * 0.618_034).fract();
                let y = -10.0 + 40.0 * f64::from(step) / 400.0;
                let (found, expected) =
                    (outline.signed_distance([x, y]), by_points(&points, [x, y]));
                assert!(
                    (found - expected).abs() < 0.005,
                    "({x}, {y}): {found} is not {expected}"
                );
            }
        }
    }

    /// Heights and places at which a ray meets an end of an edge or a crest, and points on
    /// the chords of arcs.
    #[test]
    fn what_lies_level_with_a_corner_or_on_a_chord_is_inside_or_not() {
        let outline = of(&sample::end_piece(0.0, 0.0));
        let inside = |x: f64, y: f64| outline.signed_distance([x, y]) < 0.0;
        let inner = 12.7 - 2.0;
        let horn = 30.0 - (12.7_f64 * 12.7 - inner * inner).sqrt();
        assert!(inside(0.0, 0.0) && inside(0.0, 12.0) && inside(-12.0, 0.0));
        assert!(inside(horn - 1.0, inner) && inside(horn - 1.0, -inner));
        assert!(inside(17.2, 0.0) && !inside(17.4, 0.0));
        assert!(!inside(horn, 0.0) && !inside(horn, inner - 1.0) && !inside(30.0, 0.0));
        assert!(!inside(-20.0, inner) && !inside(-20.0, 0.0) && !inside(-13.0, -12.7));
        assert!(!inside(horn + 0.1, 12.0) && inside(horn - 0.1, 12.0));
        let outline = of(&rectangle());
        let inside = |x: f64, y: f64| outline.signed_distance([x, y]) < 0.0;
        assert!(inside(4.0, 5.0) && inside(1.0, 15.0) && inside(20.0, 18.9));
        assert!(!inside(-1.0, 5.0) && !inside(-1.0, 15.0) && !inside(-1.0, 1.0));
    }

    #[test]
    fn an_outline_reaches_as_far_as_its_arcs() {
        let outline = of(&sample::end_piece(0.0, 0.0));
        let near = |found: [f64; 2], expected: [f64; 2]| {
            assert!((0..2).all(|axis| (found[axis] - expected[axis]).abs() < 1e-9));
        };
        near(outline.min, [-12.7, -12.7]);
        near(outline.max, [30.0 - 46.8_f64.sqrt(), 12.7]);
        assert_eq!(Outline::of(&[], |u, v| [u, v]), None);
    }

    fn some_paths() -> Vec<Segment> {
        let horn = 30.0 - 46.8_f64.sqrt();
        vec![
            // Beside a side, past both ends of it.
            Segment::line([-4.0, -15.7, 0.0], [40.0, -15.7, -1.0]),
            Segment::line([0.0, -15.7, 0.0], [horn, -15.7, 0.0]),
            Segment::line([-30.0, 3.0, 0.0], [40.0, 5.0, 0.0]),
            Segment::line([-5.0, 2.0, 0.0], [12.0, 2.5, 0.0]),
            Segment::line([29.0, -4.0, 0.0], [26.0, 6.0, 0.0]),
            // Round the outer end, into the hollow, and a whole turn.
            Segment::arc([0.0, 15.7, 0.0], [0.0, -15.7, 0.0], [0.0, 0.0], PI),
            Segment::arc([20.3, 0.0, 0.0], [30.0, -9.7, 0.0], [30.0, 0.0], PI / 2.0),
            Segment::arc([9.0, 0.0, 0.0], [9.0, 0.0, 0.0], [5.0, 0.0], -TAU),
            Segment::arc(
                [horn, 14.0, 0.0],
                [horn + 3.0, 11.0, 0.0],
                [horn, 11.0],
                -PI / 2.0,
            ),
            Segment::line([7.0, 20.0, 0.0], [7.0, 20.0, -4.0]),
        ]
    }

    /// Cut into short stretches the bounds close in on what they bound.
    #[test]
    fn a_path_lies_between_its_bounds() {
        let outline = of(&sample::end_piece(0.0, 0.0));
        for path in some_paths() {
            for pieces in [1_u32, 7, 400] {
                for piece in 0..pieces {
                    let t = |step: u32| f64::from(step) / f64::from(pieces);
                    let stretch = path.part(t(piece), t(piece + 1));
                    let (least, most) = outline.distances(&stretch);
                    let found = (0..=20).map(|step| {
                        let [x, y, _] = stretch.at(f64::from(step) / 20.0);
                        outline.signed_distance([x, y])
                    });
                    let (low, high) = found
                        .fold((f64::INFINITY, f64::NEG_INFINITY), |ends, one| {
                            (ends.0.min(one), ends.1.max(one))
                        });
                    assert!(least <= low + 1e-8 && high <= most + 1e-8, "{path:?}");
                    if pieces == 400 && low > 0.0 {
                        let slack = 2.0 * stretch.length() + 1e-9;
                        assert!(most - high <= slack && low - least <= slack, "{path:?}");
                    }
                }
            }
        }
    }

    /// Along its own edges a way at the bit's radius is bounded at once.
    #[test]
    fn beside_an_edge_the_bounds_are_the_distance() {
        let outline = of(&sample::end_piece(0.0, 0.0));
        let paths = some_paths();
        for path in [&paths[1], &paths[5]] {
            let (least, most) = outline.distances(path);
            assert!((least - 3.0).abs() < 1e-8 && (most - 3.0).abs() < 1e-8);
        }
    }

    /// 40 × 18 with corners of 4: 64 - 8 and 20 of straights twice and a whole
    /// circle; the end piece by its own two arcs and four corners.
    #[test]
    fn the_way_round_is_straights_and_rounds() {
        let rectangle = of(&rectangle()).way_round(3.0);
        assert!((rectangle - (2.0 * (32.0 + 10.0) + TAU * 7.0)).abs() < 1e-9);
        let horn = 30.0 - 46.8_f64.sqrt();
        let half_hollow = (10.7_f64 / 12.7).asin();
        let expected = 2.0 * horn + 4.0 + PI * 15.7 + 9.7 * 2.0 * half_hollow;
        // Two square corners, and two as far round as the hollow falls short of half a turn.
        let turns = 3.0 * (PI + 2.0 * half_hollow);
        let found = of(&sample::end_piece(0.0, 0.0)).way_round(3.0);
        assert!((found - expected - turns).abs() < 1e-9, "{found}");
    }
}
