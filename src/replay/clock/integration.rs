//! The clock against a fine-step numerical integration: the path is sampled
//! every two micrometres; directions and curvature are taken by differences,
//! each axis held to its limits at every sample, and time added up step by
//! step. Shares no code with the clock.

use super::tests::times;

const STEP: f64 = 0.002;
const DEVIATION: f64 = 0.01;
const FEED: [f64; 3] = [50.0, 50.0, 20.0];
const ACCELERATION: [f64; 3] = [250.0, 250.0, 150.0];

type Point = [f64; 3];

/// A cut: points of a polyline or a finely sampled curve, and its feed in mm/s.
struct Cut {
    points: Vec<Point>,
    feed: f64,
}

fn line(from: Point, to: Point, feed: f64) -> Cut {
    let count = (distance(from, to) / STEP).ceil().max(1.0) as usize;
    let points = (0..=count).map(|index| between(from, to, index as f64 / count as f64));
    Cut {
        points: points.collect(),
        feed,
    }
}

fn arc(from: Point, center: [f64; 2], degrees: f64, rise: f64, feed: f64) -> Cut {
    let (x, y) = (from[0] - center[0], from[1] - center[1]);
    let count = (x.hypot(y) * degrees.to_radians().abs() / STEP).ceil() as usize;
    let points = (0..=count).map(|index| {
        let share = index as f64 / count as f64;
        let (sin, cos) = (degrees.to_radians() * share).sin_cos();
        let (x, y) = (x * cos - y * sin, x * sin + y * cos);
        [center[0] + x, center[1] + y, from[2] + rise * share]
    });
    Cut {
        points: points.collect(),
        feed,
    }
}

fn between(from: Point, to: Point, share: f64) -> Point {
    std::array::from_fn(|axis| from[axis] + (to[axis] - from[axis]) * share)
}

fn minus(a: Point, b: Point) -> Point {
    std::array::from_fn(|axis| a[axis] - b[axis])
}

fn distance(a: Point, b: Point) -> f64 {
    minus(a, b)
        .iter()
        .map(|part| part * part)
        .sum::<f64>()
        .sqrt()
}

/// Direction from `a` to `b`, of length one.
fn direction(a: Point, b: Point) -> Point {
    minus(b, a).map(|part| part / distance(a, b))
}

fn dot(a: Point, b: Point) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Millimetres a second through a corner: on a circle that leaves it by the
/// deviation, sampled, each axis held to its acceleration.
fn through_corner(arriving: Point, leaving: Point) -> f64 {
    let turn = dot(arriving, leaving).clamp(-1.0, 1.0).acos();
    if turn < 1e-6 {
        return f64::INFINITY;
    }
    let radius = DEVIATION / (1.0 / (turn / 2.0).cos() - 1.0);
    let across = minus(leaving, arriving.map(|part| part * turn.cos()));
    let normal = across.map(|part| part / turn.sin());
    let pull = |index: u32| -> Point {
        let angle = turn * f64::from(index) / 64.0;
        std::array::from_fn(|axis| angle.cos() * normal[axis] - angle.sin() * arriving[axis])
    };
    let allowed = (0..=64).map(|index| axes(ACCELERATION, pull(index)));
    (allowed.fold(f64::INFINITY, f64::min) * radius).sqrt()
}

/// The largest factor of `parts` that keeps every axis within its limit.
fn axes(limits: Point, parts: Point) -> f64 {
    let allowed = limits.iter().zip(parts);
    allowed.fold(f64::INFINITY, |least, (limit, part)| {
        least.min(limit / part.abs().max(1e-12))
    })
}

/// Millimetres a second on the curve through three samples: v² / r is at most
/// the lower acceleration of X and Y.
fn through_curve(samples: &[Point]) -> f64 {
    let bend = minus(
        direction(samples[1], samples[2]),
        direction(samples[0], samples[1]),
    );
    let curvature = dot(bend, bend).sqrt() / distance(samples[0], samples[1]);
    (ACCELERATION[0].min(ACCELERATION[1]) / curvature.max(1e-12)).sqrt()
}

/// Seconds from rest to rest along one row of cuts.
fn integrate(cuts: &[Cut]) -> f64 {
    let (mut points, mut speeds) = (vec![cuts[0].points[0]], vec![0.0]);
    let mut arriving: Option<Point> = None;
    for cut in cuts {
        let count = cut.points.len();
        if let (Some(arriving), Some(speed)) = (arriving, speeds.last_mut()) {
            let leaving = direction(cut.points[0], cut.points[1]);
            *speed = through_corner(arriving, leaving).min(cut.feed).min(*speed);
        }
        let middle = cut.points.windows(3).map(through_curve);
        let edge = cut.points[count.saturating_sub(3)..]
            .windows(3)
            .map(through_curve);
        speeds.extend(middle.chain(edge).map(|speed| speed.min(cut.feed)));
        speeds.resize(points.len() + count - 1, cut.feed);
        points.extend(&cut.points[1..]);
        arriving = Some(direction(cut.points[count - 2], cut.points[count - 1]));
    }
    add_up(&points, speeds)
}

fn add_up(points: &[Point], mut speeds: Vec<f64>) -> f64 {
    let last = points.len() - 1;
    speeds[last] = 0.0;
    for index in 0..last {
        let limit = axes(FEED, direction(points[index], points[index + 1]));
        speeds[index] = speeds[index].min(limit);
        speeds[index + 1] = speeds[index + 1].min(limit);
    }
    let gain = |index: usize| {
        let (from, to) = (points[index], points[index + 1]);
        2.0 * axes(ACCELERATION, direction(from, to)) * distance(from, to)
    };
    for index in 0..last {
        speeds[index + 1] = speeds[index + 1].min((speeds[index].powi(2) + gain(index)).sqrt());
    }
    for index in (0..last).rev() {
        speeds[index] = speeds[index].min((speeds[index + 1].powi(2) + gain(index)).sqrt());
    }
    let step = |index: usize| {
        2.0 * distance(points[index], points[index + 1]) / (speeds[index] + speeds[index + 1])
    };
    (0..last).map(step).sum()
}

#[track_caller]
fn agrees(program: &str, cuts: &[Cut]) {
    let clock = times(program).total.as_seconds();
    let integrated = integrate(cuts);
    assert!(
        (clock / integrated - 1.0).abs() < 0.02,
        "clock {clock} s, integrated {integrated} s"
    );
}

#[test]
fn a_straight_cut_agrees_with_the_integration() {
    agrees("G1 X100 F3000", &[line([0.0; 3], [100.0, 0.0, 0.0], 50.0)]);
    agrees("G1 X3 Y1 F3000", &[line([0.0; 3], [3.0, 1.0, 0.0], 50.0)]);
}

#[test]
fn a_zigzag_down_a_slot_agrees_with_the_integration() {
    let mut text = String::new();
    let mut cuts = Vec::new();
    let mut at = [0.0; 3];
    for pass in 1..=12 {
        let to = [
            if pass % 2 == 1 { 34.0 } else { 0.0 },
            0.0,
            -0.4 * f64::from(pass),
        ];
        text += &format!("G1 X{} Z{:.3} F1500\n", to[0], to[2]);
        cuts.push(line(at, to, 25.0));
        at = to;
    }
    agrees(&text, &cuts);
}

#[test]
fn a_rectangle_with_sharp_corners_agrees_with_the_integration() {
    let corners = [
        [20.0, 0.0, 0.0],
        [20.0, 8.0, 0.0],
        [0.0, 8.0, 0.0],
        [0.0; 3],
    ];
    let mut at = [0.0; 3];
    let cuts: Vec<Cut> = corners
        .into_iter()
        .map(|to| line(std::mem::replace(&mut at, to), to, 40.0))
        .collect();
    agrees("G1 X20 F2400\nY8\nX0\nY0", &cuts);
}

#[test]
fn an_obround_of_lines_and_arcs_agrees_with_the_integration() {
    let cuts = [
        line([0.0; 3], [20.0, 0.0, 0.0], 50.0),
        arc([20.0, 0.0, 0.0], [20.0, 2.0], 180.0, 0.0, 50.0),
        line([20.0, 4.0, 0.0], [0.0, 4.0, 0.0], 50.0),
        arc([0.0, 4.0, 0.0], [0.0, 2.0], 180.0, 0.0, 50.0),
    ];
    agrees("G1 X20 F3000\nG3 X20 Y4 J2\nG1 X0\nG3 X0 Y0 J-2", &cuts);
}

#[test]
fn a_helix_and_a_circle_agree_with_the_integration() {
    agrees(
        "G3 X0 Z-3 I5 F3000",
        &[arc([0.0; 3], [5.0, 0.0], 360.0, -3.0, 50.0)],
    );
    let both = [
        arc([0.0; 3], [5.0, 0.0], 360.0, -3.0, 50.0),
        arc([0.0, 0.0, -3.0], [5.0, 0.0], 360.0, 0.0, 50.0),
    ];
    agrees("G3 X0 Z-3 I5 F3000\nX0 I5", &both);
    agrees(
        "G2 X0 J-0.5 F1200",
        &[arc([0.0; 3], [0.0, -0.5], -360.0, 0.0, 20.0)],
    );
}

#[test]
fn chords_of_an_arc_agree_with_the_integration() {
    let (mut text, mut cuts) = (String::new(), Vec::new());
    let mut at = [8.0, 0.0, 0.0];
    text += "G0 X8\n";
    for step in 1..=48 {
        let (sin, cos) = (f64::from(step) * 7.5f64.to_radians()).sin_cos();
        let to = [8.0 * cos, 8.0 * sin, 0.0];
        text += &format!("G1 X{:.5} Y{:.5} F1800\n", to[0], to[1]);
        cuts.push(line(at, to, 30.0));
        at = to;
    }
    let reach = times("G0 X8").total.as_seconds();
    let clock = times(&text).total.as_seconds() - reach;
    let integrated = integrate(&cuts);
    assert!(
        (clock / integrated - 1.0).abs() < 0.02,
        "clock {clock} s, integrated {integrated} s"
    );
}

#[test]
fn a_change_of_feed_agrees_with_the_integration() {
    let cuts = [
        line([0.0; 3], [15.0, 0.0, 0.0], 10.0),
        line([15.0, 0.0, 0.0], [30.0, 0.0, 0.0], 50.0),
        line([30.0, 0.0, 0.0], [40.0, 3.0, -1.0], 20.0),
    ];
    agrees("G1 X15 F600\nX30 F3000\nX40 Y3 Z-1 F1200", &cuts);
}
