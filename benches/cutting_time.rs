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
    println!("cutting seconds over the least possible, all limits held");
    println!("kind           width  steps   bound s   ours  levels   helix");
    let mut ratios = Vec::new();
    for case in near_bound::cases() {
        let measured = case.measure();
        let (levels, helix) = textbook(&case, &measured);
        ratios.push(measured.ratio());
        println!(
            "{:13} {:6.2} {:6} {:9.2} {:6.2} {levels:7.2} {}",
            case.kind,
            case.width,
            case.steps,
            measured.bound,
            measured.ratio(),
            helix.map_or_else(|| "      -".to_owned(), |ratio| format!("{ratio:7.2}")),
        );
    }
    ratios.sort_by(f64::total_cmp);
    println!(
        "median {:.2}, worst {:.2}",
        ratios[ratios.len() / 2],
        ratios[ratios.len() - 1]
    );
}

/// Straight levels with a ramp at each, and a helical entry with level loops
/// (none where the bit has no room to turn): time over the bound, links and
/// leads left out. Two pockets, as in the job.
fn textbook(case: &Case, measured: &Measured) -> (f64, Option<f64>) {
    let bit = near_bound::DIAMETER;
    let (length, width) = (near_bound::LENGTH * bit, case.width * bit);
    let room = (width - bit) / 2.0;
    let straight = 2.0 * (length - width);
    let around = |inset: f64| straight + 2.0 * PI * (room - inset).max(0.0);
    let contour = if room < 0.02 { 0.0 } else { around(0.0) };
    let mut loops = Vec::new();
    let mut inset = 0.2;
    while inset < room {
        loops.push(around(inset));
        inset += TEXTBOOK_STEPOVER * bit;
    }
    if loops.is_empty() {
        loops.push(straight / 2.0);
    }
    let level: f64 = loops.iter().sum();
    let descent = near_bound::DEPTH * measured.stepdown / measured.slope;
    // A helix ends in a level turn; it fits where the bit can circle.
    let turn = 2.0 * PI * room.min(TEXTBOOK_STEPOVER * bit);
    let path = near_bound::DEPTH * level + descent + contour * f64::from(case.steps);
    let ratio = |path: f64| 2.0 * path / measured.feed * 60.0 / measured.bound;
    let helix = ratio(path + near_bound::DEPTH * turn);
    (ratio(path), (room >= 0.15 * bit).then_some(helix))
}
