//! How near to the least possible time the planned programs cut, as the judge
//! measures it, and what two textbook ways would take at the same limits.
//!
//! `cargo bench --bench cutting_time`

#![allow(clippy::print_stdout)]

#[allow(dead_code)]
#[path = "../tests/suite/sketch.rs"]
mod sketch;

#[path = "../tests/suite/near_bound.rs"]
mod near_bound;

use std::f64::consts::PI;

use near_bound::{Case, Measured};

/// Spacing of loops that textbooks advise, as a share of the diameter.
const TEXTBOOK_STEPOVER: f64 = 0.45;

fn main() {
    println!("seconds over the least possible, all limits held: at the feed, then on the machine");
    println!("                                    at the feed            with acceleration");
    println!("kind           width  steps   bound s   ours  levels   helix   ours  levels   helix");
    let (mut steady, mut real) = (Vec::new(), Vec::new());
    for case in near_bound::cases() {
        let measured = case.measure();
        let (levels, helix) = textbook(&case, &measured);
        let ratio = measured.real / measured.bound;
        steady.push(measured.ratio());
        real.push(ratio);
        let told =
            |way: Option<f64>| way.map_or_else(|| "      -".to_owned(), |way| format!("{way:7.2}"));
        println!(
            "{:13} {:6.2} {:6} {:9.2} {:6.2} {:7.2} {} {ratio:6.2} {:7.2} {}",
            case.kind,
            case.width,
            case.steps,
            measured.bound,
            measured.ratio(),
            levels.steady,
            told(helix.as_ref().map(|way| way.steady)),
            levels.real,
            told(helix.as_ref().map(|way| way.real)),
        );
    }
    for (name, mut ratios) in [("at the feed", steady), ("with acceleration", real)] {
        ratios.sort_by(f64::total_cmp);
        println!(
            "{name}: median {:.2}, worst {:.2}",
            ratios[ratios.len() / 2],
            ratios[ratios.len() - 1]
        );
    }
}

/// A textbook way's time over the bound.
struct Way {
    steady: f64,
    /// With acceleration.
    real: f64,
}

/// Straight levels with a ramp at each, and a helical entry with level loops
/// (none where the bit has no room to turn): time over the bound, links,
/// leads and scoring left out. Two pockets, as in the job.
fn textbook(case: &Case, measured: &Measured) -> (Way, Option<Way>) {
    let bit = near_bound::DIAMETER;
    let (length, width) = (near_bound::LENGTH * bit, case.width * bit);
    let room = (width - bit) / 2.0;
    let straight = 2.0 * (length - width);
    // Way and seconds of a loop at that inset.
    let around = |inset: f64| {
        let radius = (room - inset).max(0.0);
        let round = 2.0 * PI * radius;
        let speed = (measured.acceleration * radius)
            .sqrt()
            .min(measured.feed / 60.0);
        let turning = if speed > 0.0 { round / speed } else { 0.0 };
        let legs = 2.0 * leg(straight / 2.0, speed, measured);
        [straight + round, legs + turning]
    };
    let contour = if room < 0.02 { [0.0; 2] } else { around(0.0) };
    let mut loops = Vec::new();
    let mut inset = 0.2;
    while inset < room {
        loops.push(around(inset));
        inset += TEXTBOOK_STEPOVER * bit;
    }
    if loops.is_empty() {
        let along = straight / 2.0;
        loops.push([along, leg(along, 0.0, measured)]);
    }
    let feed = measured.feed / 60.0;
    let descent = near_bound::DEPTH * measured.stepdown / measured.slope;
    // A helix ends in a level turn; it fits where the bit can circle.
    let radius = room.min(TEXTBOOK_STEPOVER * bit);
    let turn = near_bound::DEPTH * 2.0 * PI * radius;
    let turning = turn / (measured.acceleration * radius).sqrt().min(feed).max(1e-9);
    let sum = |part: usize, extra: f64| {
        let level: f64 = loops.iter().map(|found| found[part]).sum();
        near_bound::DEPTH * level + contour[part] * f64::from(case.steps) + extra
    };
    let way = |steady: f64, real: f64| Way {
        steady: 2.0 * steady / measured.bound,
        real: 2.0 * real / measured.bound,
    };
    let levels = way(sum(0, descent) / feed, sum(1, descent / feed));
    let helix = way(
        sum(0, descent + turn) / feed,
        sum(1, descent / feed + turning),
    );
    (levels, (room >= 0.15 * bit).then_some(helix))
}

/// Seconds over a straight leg that begins and ends at `speed`, in mm/s.
fn leg(length: f64, speed: f64, measured: &Measured) -> f64 {
    let (feed, acceleration) = (measured.feed / 60.0, measured.acceleration);
    let peak = (acceleration * length + speed * speed).sqrt().min(feed);
    let ramps = (peak * peak - speed * speed) / acceleration;
    2.0 * (peak - speed) / acceleration + (length - ramps).max(0.0) / peak.max(1e-9)
}
