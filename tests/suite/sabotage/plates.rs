//! Templates' programs damaged as the others are. The second opinion is a raster: a
//! good program's wood against the damaged one's, sample by sample, with a reader
//! and a sweep of its own.

use stepwell::job::Job;
use stepwell::units::Units;
use stepwell::{plan, post, settings, template};

use super::damage::{Dice, Kind};
use super::{Bench, bench, difference, judge, refusals};
use crate::harness::shipped;
use crate::rolled::cuts;

/// Programs damaged.
const COUNT: usize = 75;
/// Distance of samples.
const CELL: f64 = 0.4;
/// Wood that differs by less is not counted, nor wood that differs at a wall by less
/// than a sample's width.
const DEEP: f64 = 0.3;
/// So many samples make a difference that no rounding makes.
const MANY: usize = 12;

fn plates() -> Vec<Bench> {
    let of = |name: &str| {
        let Bench { name, job, .. } = bench(&shipped("examples").join(name), |_| {});
        let job = template::job(&job).unwrap();
        let settings = settings::for_job(&job);
        let plan = plan::job(&job, &settings);
        let programs = post::programs(&plan, &job, &settings, &[]);
        let texts = programs.into_iter().map(|program| program.text).collect();
        Bench { name, job, texts }
    };
    ["blanket-chest.toml", "wall-cabinet.toml"].map(of).into()
}

/// Depth below the plate's face at each sample, and the ten millimetres about it.
fn wood(job: &Job, text: &str) -> Vec<f32> {
    let part = &job.parts[0];
    let radius = job.bit.cutting_diameter().as_mm() / 2.0;
    let around = 10.0;
    let size =
        [part.length, part.across].map(|length| ((length.as_mm() + 2.0 * around) / CELL) as usize);
    let mut depth = vec![0.0_f32; size[0] * size[1]];
    let cell = |value: f64| (value + around) / CELL;
    for place in cuts(text).iter().flat_map(|cut| cut.places(CELL)) {
        if place[2] >= 0.0 {
            continue;
        }
        let below = -place[2] as f32;
        let [low, high] =
            [-radius, radius].map(|side| [cell(place[0] + side), cell(place[1] + side)]);
        let range = |axis: usize| {
            let from = low[axis].ceil().max(0.0) as usize;
            let to = high[axis].floor().min(size[axis] as f64 - 1.0);
            from..(to + 1.0).max(0.0) as usize
        };
        for row in range(1) {
            for column in range(0) {
                let off = [column as f64 - cell(place[0]), row as f64 - cell(place[1])];
                if off[0].hypot(off[1]) * CELL <= radius {
                    let sample = &mut depth[row * size[0] + column];
                    *sample = sample.max(below);
                }
            }
        }
    }
    depth
}

fn differs(one: &[f32], other: &[f32]) -> usize {
    let pairs = one.iter().zip(other);
    pairs
        .filter(|(one, other)| f64::from((*one - *other).abs()) > DEEP)
        .count()
}

#[test]
fn a_template_that_cuts_other_wood_is_refused() {
    let benches = plates();
    let good: Vec<Vec<f32>> = benches
        .iter()
        .map(|bench| wood(&bench.job, &bench.texts[0]))
        .collect();
    for bench in &benches {
        let refused = refusals(&judge(&bench.job, &bench.texts));
        assert_eq!(refused, [""; 0], "{}", bench.name);
    }
    let (mut harmful, mut accepted) = (0, Vec::new());
    for seed in 0..COUNT {
        let which = seed % benches.len();
        let (bench, other) = (&benches[which], &benches[1 - which]);
        let kind = Kind::ALL[seed / benches.len() % Kind::ALL.len()];
        let unit = match bench.job.machine.dialect.units {
            Units::Millimetre => 1.0,
            Units::Inch => 25.4,
        };
        let mut dice = Dice::new(seed as u64 + 7000);
        let text = &bench.texts[0];
        let Some(damaged) = kind.apply(text, &other.texts[0], unit, &mut dice) else {
            continue;
        };
        if differs(&good[which], &wood(&bench.job, &damaged)) < MANY {
            continue;
        }
        harmful += 1;
        let change = difference(text, &damaged);
        if refusals(&judge(&bench.job, &[damaged])).is_empty() {
            accepted.push(format!("seed {seed} {kind:?} {}: {change}", bench.name));
        }
    }
    assert!(harmful * 5 > COUNT, "only {harmful} cut other wood");
    assert!(accepted.is_empty(), "{}", accepted.join("\n"));
}
