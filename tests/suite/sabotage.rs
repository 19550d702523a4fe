//! Good programs damaged at random: every harmful one must be refused, and
//! hardly any harmless one.
//!
//! A run is reproducible: program `n` of example `e` is always the same. A
//! part runs with the other tests; `STEPWELL_SABOTAGE=2100 cargo test --release
//! --test suite sabotage -- --nocapture` runs over two thousand, for some damages
//! change nothing, and prints the figures. `lines` damages every single line in turn.

mod damage;
mod lines;
mod opinion;
mod plates;
mod reader;

use std::collections::BTreeMap;
use std::fs;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use stepwell::input::{self, Overrides};
use stepwell::job::{Job, ZeroPoint};
use stepwell::report::{Report, Verdict};
use stepwell::shop::machine::{
    ArcSupport, CommentStyle, DustRelay, DwellUnit, EndWord, SafeZ, SpindleControl, ToolChange,
};
use stepwell::units::{Length, Units};
use stepwell::verify::Judge;
use stepwell::{plan, post, settings};

use crate::harness::{examples, shipped};
use damage::{Dice, Kind};

/// Programs damaged by the ordinary test.
const ORDINARY: usize = 350;

/// An example with its programs.
struct Bench {
    name: String,
    job: Job,
    texts: Vec<String>,
}

fn benches() -> Vec<Bench> {
    let names = examples().into_iter();
    names.map(|name| bench(&shipped(&name), |_| {})).collect()
}

/// The examples, and one of them in each dialect and set-up that a machine may have.
fn all_benches() -> Vec<Bench> {
    let tea_box = shipped("examples").join("tea-box.toml");
    let mut all = benches();
    for (name, change) in VARIATIONS {
        let mut bench = bench(&tea_box, change);
        bench.name = format!("tea-box, {name}");
        all.push(bench);
    }
    all
}

/// What is set otherwise.
type Change = fn(&mut Job);

const VARIATIONS: [(&str, Change); 11] = [
    ("inches", |job| {
        job.machine.dialect.units = Units::Inch;
        job.machine.dialect.decimals = 4;
    }),
    ("five decimals", |job| job.machine.dialect.decimals = 5),
    ("no arcs", |job| job.machine.dialect.arcs = ArcSupport::None),
    ("helices", |job| {
        job.machine.dialect.arcs = ArcSupport::Helix
    }),
    ("no comments, numbered, M2", |job| {
        job.machine.dialect.comments = CommentStyle::None;
        job.machine.dialect.line_numbers = true;
        job.machine.dialect.end = EndWord::M2;
    }),
    ("semicolons, percent, milliseconds, M8", |job| {
        job.machine.dialect.comments = CommentStyle::Semicolon;
        job.machine.dialect.percent = true;
        job.machine.dialect.dwell = DwellUnit::Milliseconds;
        job.machine.dialect.dust = DustRelay::M8;
    }),
    ("M6", |job| job.machine.dialect.tool_change = ToolChange::M6),
    ("a pause for the bit", |job| {
        job.machine.dialect.tool_change = ToolChange::Pause;
        job.machine.dialect.rezero_at_pause = true;
    }),
    ("machine heights", |job| {
        job.machine.dialect.safe_z = SafeZ::Machine;
        job.fixture.machine_zero = Some([60.0, 200.0, -60.0].map(Length::from_mm));
    }),
    ("a dial", |job| {
        job.machine.spindle.control = SpindleControl::Manual
    }),
    ("a zero for each part", |job| {
        job.fixture.zero = ZeroPoint::Each
    }),
];

fn bench(path: &std::path::Path, change: Change) -> Bench {
    let text = fs::read_to_string(path).unwrap();
    let name = path.display().to_string();
    let spec = input::job(&name, &text).unwrap();
    let beside = |file: &str| {
        let path = path.parent().unwrap().join(file);
        (
            path.display().to_string(),
            fs::read_to_string(&path).unwrap(),
        )
    };
    let (machine_name, machine_text) = beside(spec.machine_path());
    let machine = input::machine(&machine_name, &machine_text).unwrap();
    let (bits_name, bits_text) = beside(spec.bits_path());
    let rack = input::bits(&bits_name, &bits_text).unwrap();
    let drawer = spec.hinges_path().map(beside);
    let spec = match drawer {
        Some((name, text)) => spec.with_hinges(input::hinges(&name, &text).unwrap()),
        None => spec,
    };
    let mut job = spec.resolve(machine, rack, &Overrides::default()).unwrap();
    change(&mut job);
    let settings = settings::for_job(&job);
    let plan = plan::job(&job, &settings);
    let texts = post::programs(&plan, &job, &settings, &[])
        .into_iter()
        .map(|program| program.text)
        .collect();
    Bench { name, job, texts }
}

fn judge(job: &Job, texts: &[String]) -> Report {
    let settings = settings::for_job(job);
    let mut judge = Judge::new(job, &settings);
    for text in texts {
        judge.begin("program.nc", None);
        judge.push(text.as_bytes());
        judge.end();
    }
    judge.finish().report
}

fn refusals(report: &Report) -> Vec<&'static str> {
    report
        .checks
        .iter()
        .filter(|check| check.verdict == Verdict::Fail)
        .map(|check| check.id.name())
        .collect()
}

/// How often each thing happened.
#[derive(Clone, Debug, Default)]
struct Count {
    harmful: usize,
    accepted_harm: usize,
    harmless: usize,
    refused_harmless: usize,
    open: usize,
    notes: Vec<String>,
}

impl Count {
    fn add(&mut self, other: &Self) {
        self.harmful += other.harmful;
        self.accepted_harm += other.accepted_harm;
        self.harmless += other.harmless;
        self.refused_harmless += other.refused_harmless;
        self.open += other.open;
        self.notes.extend_from_slice(&other.notes);
    }
}

/// Damages one program and asks the judge and the second opinion.
fn one(benches: &[Bench], seed: usize) -> Option<(Kind, Count)> {
    let bench = &benches[seed % benches.len()];
    let kind = Kind::ALL[seed / benches.len() % Kind::ALL.len()];
    let mut dice = Dice::new(seed as u64);
    let which = dice.below(bench.texts.len());
    let other = &benches[dice.below(benches.len())];
    let other = &other.texts[dice.below(other.texts.len())];
    let unit = match bench.job.machine.dialect.units {
        Units::Millimetre => 1.0,
        Units::Inch => 25.4,
    };
    let damaged = kind.apply(&bench.texts[which], other, unit, &mut dice)?;
    let mut texts = bench.texts.clone();
    texts[which] = damaged;
    let opinion = opinion::of(&bench.job, &texts);
    let refused = refusals(&judge(&bench.job, &texts));
    let mut count = Count::default();
    if !opinion.broken.is_empty() {
        count.harmful = 1;
        if refused.is_empty() {
            count.accepted_harm = 1;
            count.notes.push(format!(
                "ACCEPTED seed {seed} {kind:?} {}: harm {:?}: {}",
                bench.name,
                opinion.broken,
                difference(&bench.texts[which], &texts[which])
            ));
        }
    } else if opinion.open.is_empty() {
        count.harmless = 1;
        if !refused.is_empty() {
            count.refused_harmless = 1;
            count.notes.push(format!(
                "refused seed {seed} {kind:?} {}: {refused:?}: {}",
                bench.name,
                difference(&bench.texts[which], &texts[which])
            ));
        }
    } else {
        count.open = 1;
    }
    Some((kind, count))
}

/// The first line that differs.
fn difference(before: &str, after: &str) -> String {
    let (mut old, mut new) = (before.lines(), after.lines());
    for line in 1.. {
        match (old.next(), new.next()) {
            (a, b) if a == b && a.is_some() => {}
            (a, b) => {
                return format!(
                    "line {line}: {:?} became {:?}",
                    a.unwrap_or("-"),
                    b.unwrap_or("-")
                );
            }
        }
    }
    String::new()
}

fn run(programs: usize) -> BTreeMap<Kind, Count> {
    let benches = all_benches();
    let next = AtomicUsize::new(0);
    let counts = Mutex::new(BTreeMap::<Kind, Count>::new());
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                loop {
                    let seed = next.fetch_add(1, Ordering::Relaxed);
                    if seed >= programs {
                        break;
                    }
                    if let Some((kind, count)) = one(&benches, seed) {
                        counts.lock().unwrap().entry(kind).or_default().add(&count);
                    }
                }
            });
        }
    });
    counts.into_inner().unwrap()
}

#[test]
fn undamaged_programs_are_harmless_to_judge_and_second_opinion() {
    for bench in all_benches() {
        let opinion = opinion::of(&bench.job, &bench.texts);
        assert!(
            opinion.broken.is_empty(),
            "{}: {:?}",
            bench.name,
            opinion.broken
        );
        assert_eq!(opinion.open, [].into(), "{}", bench.name);
        assert_eq!(
            refusals(&judge(&bench.job, &bench.texts)),
            [""; 0],
            "{}",
            bench.name
        );
    }
}

/// Zeros at the end of a number change nothing.
#[test]
fn zeros_after_the_last_digit_count_for_nothing() {
    for bench in benches() {
        let padded: Vec<String> = bench.texts.iter().map(|text| padded(text)).collect();
        assert!(padded.iter().zip(&bench.texts).all(|(new, old)| new != old));
        let report = judge(&bench.job, &padded);
        // Some lines grow past what the controller takes.
        let refused = refusals(&report);
        assert!(
            refused.iter().all(|id| *id == "dialect"),
            "{}: {refused:?}",
            bench.name
        );
    }
}

/// Every coordinate with five decimals.
fn padded(text: &str) -> String {
    let word = |word: &str| match word.split_once('.') {
        Some((whole, fraction)) if word.starts_with(['X', 'Y', 'Z', 'I', 'J']) => {
            format!("{whole}.{fraction:0<5}")
        }
        _ => word.to_owned(),
    };
    let line = |line: &str| line.split(' ').map(word).collect::<Vec<_>>().join(" ") + "\n";
    text.lines().map(line).collect()
}

#[test]
fn harmful_programs_are_refused_and_harmless_ones_are_not() {
    let programs = std::env::var("STEPWELL_SABOTAGE")
        .ok()
        .and_then(|count| count.parse().ok())
        .unwrap_or(ORDINARY);
    let counts = run(programs);
    let mut total = Count::default();
    let mut table = format!(
        "{:16} {:>8} {:>8} {:>8} {:>8} {:>8}\n",
        "damage", "harmful", "accepted", "harmless", "refused", "open"
    );
    for (kind, count) in &counts {
        table += &line(&format!("{kind:?}"), count);
        total.add(count);
    }
    table += &line("all", &total);
    total.notes.sort();
    println!("{table}{}", total.notes.join("\n"));
    assert!(
        total.harmful * 3 > programs,
        "too few are harmful:\n{table}"
    );
    assert!(
        total.harmless * 20 > programs,
        "too few are harmless:\n{table}"
    );
    assert_eq!(total.accepted_harm, 0, "{table}{}", total.notes.join("\n"));
    assert!(
        total.refused_harmless * 20 <= total.harmless,
        "{table}{}",
        total.notes.join("\n")
    );
}

fn line(name: &str, count: &Count) -> String {
    format!(
        "{name:16} {:>8} {:>8} {:>8} {:>8} {:>8}\n",
        count.harmful, count.accepted_harm, count.harmless, count.refused_harmless, count.open
    )
}
