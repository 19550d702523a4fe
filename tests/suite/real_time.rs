//! How long people wait: every feed move with real acceleration, against the
//! least that the limits allow at the feed.

use std::fs;

use crate::harness::{Workshop, shipped};

/// The most on any example and shipped machine, and the median.
const WORST: f64 = 2.2;
const MEDIAN: f64 = 1.92;

const MACHINES: [&str; 2] = ["benchtop-mm.toml", "benchtop-in.toml"];

/// Example and machine, and of each program that has a bound the seconds of its feed
/// moves and the bound.
fn times() -> Vec<(String, [f64; 2])> {
    let workshop = Workshop::new();
    let mut found = Vec::new();
    for entry in fs::read_dir(shipped("examples")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let Some(stem) = name.strip_suffix(".toml") else {
            continue;
        };
        let text = workshop.read(&format!("examples/{name}"));
        let own = MACHINES.iter().find(|machine| text.contains(*machine));
        for machine in MACHINES {
            let varied = format!("examples/{stem}-on-{machine}");
            workshop.write(&varied, &text.replace(own.unwrap(), machine));
            let report = workshop
                .run(&["generate", &varied, "--format", "json"])
                .json();
            for program in report["programs"].as_array().unwrap() {
                let seconds = |key: &str| program[key].as_f64().unwrap();
                if seconds("bound_seconds") > 0.0 {
                    let times = [seconds("feed_seconds"), seconds("bound_seconds")];
                    found.push((varied.clone(), times));
                }
            }
        }
    }
    found
}

#[test]
fn feed_moves_take_little_longer_than_the_least_on_every_example_and_machine() {
    let found = times().into_iter();
    let mut found: Vec<_> = found
        .map(|(job, [feed, bound])| (job, feed / bound))
        .collect();
    found.sort_by(|one, other| one.1.total_cmp(&other.1));
    assert!(found.len() >= 12, "{found:?}");
    let (median, worst) = (found[found.len() / 2].1, found[found.len() - 1].1);
    assert!(worst <= WORST, "{found:#?}");
    assert!(median <= MEDIAN, "{found:#?}");
}

/// One program with a pause for the drill or two: the pockets are cut with the same
/// bit at the same limits, at 2540 or at 3000 mm/min.
#[test]
fn the_bound_is_that_of_the_bit_that_cuts_the_pockets() {
    let found = times();
    let bound = |machine: &str| {
        let job = format!("examples/tea-box-on-{machine}");
        let (_, [_, bound]) = found.iter().find(|(name, _)| *name == job).unwrap();
        *bound
    };
    let ratio = bound("benchtop-in.toml") / bound("benchtop-mm.toml");
    assert!((ratio / (3000.0 / 2540.0) - 1.0).abs() < 1e-6, "{ratio}");
}
