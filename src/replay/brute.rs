//! The stock against a bit that is put down at place after place of its path.
//! Shares no code with the stock but its points.

use super::height_map::{HeightMap, SLIVER, Witness};
use super::sample_row::FEW;
use super::segment::Segment;
use super::tip::Tip;

const TOP: f64 = 2.5;

/// How far apart the places lie that stand for a path, in millimetres.
const APART: f64 = 0.04;

/// Points this near the side of the swept stretch may be swept or not: chords
/// and places leave the path by that much, in millimetres.
const EDGE: f64 = 0.02;

const FLAT: Tip = Tip {
    radius: 3.0,
    point: 0.0,
};

const DRILL: Tip = Tip {
    radius: 1.5,
    point: 0.9,
};

fn stock() -> HeightMap {
    HeightMap::new([-4.0, 7.0], [36.0, 19.0], 0.5)
}

/// Level and sloping, along, across and aslant, both ways; straight down; round.
fn segments() -> Vec<(Segment, Tip)> {
    let line = |from, to| (Segment::line(from, to), FLAT);
    vec![
        line([3.0, 12.0, 0.5], [28.0, 12.0, 0.5]),
        line([28.0, 13.0, 0.0], [3.0, 13.0, -2.0]),
        line([3.1, 10.3, -2.2], [27.3, 15.7, 1.1]),
        line([27.3, 10.3, -0.2], [3.1, 15.7, -1.1]),
        line([15.2, 16.4, 0.7], [15.2, 9.1, -1.7]),
        line([15.2, 8.4, -3.0], [12.9, 17.6, -3.0]),
        line([20.2, 12.4, 5.0], [20.2, 12.4, -3.0]),
        (Segment::line([9.2, 12.4, 5.0], [9.2, 12.4, -3.0]), DRILL),
        (
            Segment::arc(
                [20.0, 12.0, 0.0],
                [16.0, 16.0, -2.0],
                [16.0, 12.0],
                std::f64::consts::FRAC_PI_2,
            ),
            FLAT,
        ),
        (
            Segment::arc(
                [20.0, 12.0, -2.0],
                [16.0, 16.0, 0.0],
                [16.0, 12.0],
                -4.712_389,
            ),
            FLAT,
        ),
        // Level and round: narrower and wider than the bit, either way, over
        // one quadrant, two and all.
        bow(1.9, 90.0, 180.0),
        bow(1.9, 60.0, -170.0),
        bow(4.2, -40.0, 75.0),
        bow(4.2, 200.0, -290.0),
        bow(3.6, 0.0, 360.0),
        bow(3.0, 45.0, -360.0),
        bow(6.0, 10.0, 25.0),
        // Out over the edges of the stock.
        line([-6.0, 20.0, 0.0], [-1.0, 3.0, -1.0]),
        line([40.0, 18.0, -1.0], [30.0, 18.0, -1.0]),
    ]
}

/// About (16.1, 12.7), of a radius, from a direction on by an angle in degrees.
fn bow(radius: f64, start: f64, sweep: f64) -> (Segment, Tip) {
    let place = |degrees: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        [16.1 + radius * cos, 12.7 + radius * sin, -1.5]
    };
    let (from, to) = (place(start), place(start + sweep));
    let segment = Segment::arc(from, to, [16.1, 12.7], sweep.to_radians());
    (segment, FLAT)
}

fn places(segment: &Segment) -> impl Iterator<Item = [f64; 3]> {
    let segment = *segment;
    let count = (segment.length() / APART).ceil().max(1.0) as u32;
    (0..=count).map(move |place| segment.at(f64::from(place) / f64::from(count)))
}

fn apart(point: [f64; 2], place: [f64; 3]) -> f64 {
    (point[0] - place[0]).hypot(point[1] - place[1])
}

/// What a move is told to have taken: the sum of heights, the greatest, how
/// many samples were lowered together.
#[derive(Default)]
struct Told {
    sum: f64,
    most: f64,
    together: usize,
}

impl Witness for Told {
    fn few(&mut self, first: usize, before: &[f32; FEW], after: &[f32; FEW]) {
        for (place, (&old, &new)) in before.iter().zip(after).enumerate() {
            self.one(first + place, old, new);
        }
    }

    fn one(&mut self, _: usize, before: f32, after: f32) {
        let height = f64::from(after) - f64::from(before);
        self.sum += height;
        self.most = self.most.max(height);
    }

    fn even(&mut self, samples: std::ops::Range<usize>, before: f32, after: f32) {
        self.together += samples.len();
        for index in samples {
            self.one(index, before, after);
        }
    }
}

fn told(stock: &mut HeightMap, segment: &Segment, tip: Tip) -> Told {
    let mut told = Told::default();
    stock.cut(segment, TOP, tip, &mut told);
    told
}

/// How deep a point is cut, and how near the path comes to it.
fn depth_at(point: [f64; 2], segment: &Segment, tip: Tip) -> (f64, f64) {
    let (mut deepest, mut nearest) = (0.0_f64, f64::INFINITY);
    for place in places(segment) {
        let away = apart(point, place);
        nearest = nearest.min(away);
        if away <= tip.radius {
            deepest = deepest.max(TOP - place[2] - tip.point * away / tip.radius);
        }
    }
    (deepest, nearest)
}

fn points(stock: &HeightMap) -> Vec<([f64; 2], f64)> {
    let grid = &stock.grid;
    (0..grid.rows)
        .flat_map(|row| (0..grid.columns).map(move |column| (column, row)))
        .map(|(column, row)| {
            let depth = stock.depth[row * grid.columns + column];
            (grid.point(column, row), f64::from(depth))
        })
        .collect()
}

#[test]
fn a_move_cuts_what_the_bit_covers_at_some_place_of_its_path() {
    for (segment, tip) in segments() {
        let mut stock = stock();
        let told = told(&mut stock, &segment, tip).sum;
        let (mut least, mut most) = (0.0, 0.0);
        for (point, found) in points(&stock) {
            let (depth, nearest) = depth_at(point, &segment, tip);
            let beside = nearest - tip.radius;
            if beside.abs() > EDGE {
                assert!(
                    (found - depth).abs() < 0.02,
                    "{segment:?} at {point:?}: {found}"
                );
            }
            // What is told of leaves out a sliver at the side.
            least += if beside < -SLIVER - EDGE { found } else { 0.0 };
            most += if beside < -SLIVER + EDGE { found } else { 0.0 };
        }
        assert!(most > 5.0, "{segment:?} cuts next to nothing");
        // Each chord of an arc leaves out a sliver at its end too.
        let least = if segment.turn.is_some() {
            0.95 * least
        } else {
            least
        };
        assert!(
            least - 1e-3 <= told && told <= most + 1e-3,
            "{segment:?}: {told} told of {least} to {most}"
        );
    }
}

#[test]
fn a_move_takes_only_what_is_left() {
    let mut stock = stock();
    let mut before = points(&stock);
    for (segment, tip) in segments() {
        let told = told(&mut stock, &segment, tip).sum;
        let after = points(&stock);
        let taken: f64 = before
            .iter()
            .zip(&after)
            .map(|(old, new)| new.1 - old.1)
            .sum();
        assert!(before.iter().zip(&after).all(|(old, new)| old.1 <= new.1));
        assert!(
            told <= taken + 1e-3 && told > 0.9 * taken - 0.5,
            "{told} of {taken}"
        );
        before = after;
    }
}

/// From a floor as deep as the drill stands: its cone, not the floor, goes down.
#[test]
fn a_drill_that_starts_on_a_floor_leaves_its_cone() {
    let mut stock = stock();
    let at = |z: f64| [16.2, 12.4, z];
    stock.cut(&Segment::line(at(TOP), at(0.5)), TOP, FLAT, &mut ());
    stock.cut(&Segment::line(at(0.5), at(-1.0)), TOP, DRILL, &mut ());
    for (point, found) in points(&stock) {
        let away = (point[0] - 16.2).hypot(point[1] - 12.4);
        if away < FLAT.radius - EDGE {
            let cone = TOP + 1.0 - DRILL.point * away / DRILL.radius;
            let expected = if away <= DRILL.radius { cone } else { 2.0 };
            assert!(
                (found - expected.max(2.0)).abs() < 1e-4,
                "{point:?}: {found}"
            );
        }
    }
}

/// Down a spiral in moves of 0.3 mm, a hundredth deeper each, then level, then
/// up: most of it lowers a floor that the bit stands on.
fn spiral() -> Vec<Segment> {
    let place = |step: i32| {
        let angle = f64::from(step) * 0.3 / 2.0;
        let depth = f64::from(step.min(120)) * 0.01 - f64::from((step - 165).max(0)) * 0.02;
        [
            16.0 + 2.0 * angle.cos(),
            13.0 + 2.0 * angle.sin(),
            TOP - 1.0 - depth,
        ]
    };
    (0..175)
        .map(|step| Segment::line(place(step), place(step + 1)))
        .collect()
}

#[test]
fn short_moves_down_a_spiral_leave_what_the_bit_left() {
    let (segments, mut stock) = (spiral(), stock());
    let (mut lowered, mut down, mut level) = (0, 0.0_f64, 0.0_f64);
    let (mut taken, mut sum) = (0.0, 0.0);
    for (step, segment) in segments.iter().enumerate() {
        let before: f64 = points(&stock).iter().map(|(_, depth)| depth).sum();
        let told = told(&mut stock, segment, FLAT);
        let after: f64 = points(&stock).iter().map(|(_, depth)| depth).sum();
        assert!(told.sum <= after - before + 1e-4, "{step}: {}", told.sum);
        taken += after - before;
        sum += told.sum;
        lowered += told.together;
        // After a whole turn, 42 moves, each finds 0.42 mm of wood before it, and
        // when the floor is as deep all around none; see [`spiral`].
        match step {
            45..120 => down = down.max(told.most),
            165.. => level = level.max(told.most),
            _ => {}
        }
    }
    assert!(sum > 0.94 * taken, "{sum} of {taken}");
    assert!((0.40..0.44).contains(&down), "{down}");
    assert!(level == 0.0, "{level}");
    assert!(lowered > 120 * 70, "{lowered}");
    for (point, found) in points(&stock) {
        let reached = segments
            .iter()
            .map(|segment| depth_at(point, segment, FLAT));
        let nothing = (0.0, f64::INFINITY);
        let (depth, nearest) = reached.fold(nothing, |(depth, nearest), (other, near)| {
            (other.max(depth), near.min(nearest))
        });
        if (nearest - FLAT.radius).abs() > EDGE {
            assert!((found - depth).abs() < 0.011, "{point:?}: {found} {depth}");
        }
    }
}

/// A floor that is nowhere as deep as elsewhere.
fn hilly() -> HeightMap {
    let mut stock = stock();
    for (segment, tip) in segments() {
        stock.cut(&segment, TOP, tip, &mut ());
    }
    stock
}

/// How far `away` each point is, with its depth.
fn by_distance(stock: &HeightMap, away: impl Fn([f64; 2]) -> f64) -> Vec<(f64, f64)> {
    let points = points(stock).into_iter();
    points.map(|(point, depth)| (away(point), depth)).collect()
}

/// The least depth of the points within a radius by enough, and of those by a little less.
fn least(points: &[(f64, f64)], radius: f64) -> (f64, f64) {
    let least = |reach: f64| {
        points
            .iter()
            .filter(|(away, _)| *away <= reach)
            .map(|(_, depth)| *depth)
            .fold(f64::INFINITY, f64::min)
    };
    (least(radius + EDGE), least(radius - EDGE))
}

#[test]
fn the_highest_wood_beside_a_path_is_found() {
    let stock = hilly();
    for (segment, _) in segments() {
        let points = by_distance(&stock, |point| {
            let away = places(&segment).map(|place| apart(point, place));
            away.fold(f64::INFINITY, f64::min)
        });
        for radius in [0.6, 1.1, 2.0, 5.0] {
            let (low, high) = least(&points, radius);
            let found = stock
                .highest_beside(&segment, radius)
                .map_or(f64::INFINITY, f64::from);
            assert!(
                low <= found && found <= high,
                "{segment:?} within {radius}: {found} is not {low} to {high}"
            );
        }
    }
}

#[test]
fn the_highest_wood_about_a_rectangle_is_found() {
    let stock = hilly();
    for (min, max) in [
        ([8.0, 11.0], [12.0, 13.0]),
        ([14.3, 9.2], [14.3, 16.1]),
        ([20.2, 12.4], [20.2, 12.4]),
        ([10.1, 9.7], [25.2, 14.4]),
        ([-9.0, 2.0], [-2.0, 8.0]),
        ([30.0, 18.0], [50.0, 18.0]),
        ([50.0, 18.0], [60.0, 18.0]),
    ] {
        let points = by_distance(&stock, |point| {
            let beside = |axis: usize| {
                (min[axis] - point[axis])
                    .max(point[axis] - max[axis])
                    .max(0.0)
            };
            beside(0).hypot(beside(1))
        });
        for radius in [0.6, 1.1, 2.0, 5.0] {
            let (low, high) = least(&points, radius);
            let found = stock
                .highest_wood(min, max, radius)
                .map_or(f64::INFINITY, f64::from);
            assert!(
                low <= found && found <= high,
                "{min:?} {max:?} within {radius}: {found} is not {low} to {high}"
            );
        }
    }
}
