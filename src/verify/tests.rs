//! Every check with a program that passes and one that does not.
//!
//! The programs are written here, by hand: slots as wide as the bit, ramped
//! to and fro along the middle line, one level pass at the end of each step.

mod bit_change;
mod bit_condition;
mod dialect;
mod kerf;
mod spindle;
mod travel;
mod wood;
mod words;

use std::fmt::Write;

use super::*;
use crate::cutting;
use crate::job::{Clamp, Hole, PartName, Pilot, Selection, ZeroPoint, sample};
use crate::report::{Check, CheckId, Verdict};
use crate::settings;
use crate::shop::bit::{Bit, BitKind};
use crate::shop::machine::{SpindleControl, ToolChange};
use crate::units::{Angle, Feed, SpindleSpeed};

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

/// The sample's box and lid with pockets 10 mm wide and a bit of 10 mm:
/// centres at Y -14.5 and 14.5, steps 44 × 4.7 and 27 × 12.4 mm.
fn slot_job() -> Job {
    let mut job = sample::job();
    let mut bit = sample::bit(BitKind::UpSpiral, 10.0);
    bit.stepdown = Some(mm(3.0));
    bit.ramp = Some(Angle::from_degrees(3.0));
    bit.chip_min = Some(mm(0.02));
    bit.chip_max = Some(mm(0.2));
    job.machine.spindle.power_w = Some(2000.0);
    job.rack = vec![bit.clone()];
    job.bit = bit;
    for part in &mut job.parts {
        for pocket in &mut part.pockets {
            for (step, length) in pocket.steps.iter_mut().zip([44.0, 27.0]) {
                step.length = mm(length);
                step.width = mm(10.0);
                step.corner = mm(5.0);
            }
        }
    }
    job
}

const HEAD: &str = "G21 G17 G40 G49 G90 G94 G54\nG0 Z5.\nS12000 M3\nG4 P4.\n";
const TAIL: &str = "G0 Z5.\nM5\nM30\n";

/// One pocket of the slot job about (x, y), its face at Z0.
fn pocket(x: f64, y: f64) -> String {
    let mut text = format!("G0 X{:.3} Y{y:.3}\nG0 Z0.5\nG1 Z0. F1200.\n", x - 17.0);
    step(&mut text, x, 17.0, 0.0, 4.7);
    let _ = writeln!(text, "G1 X{:.3}", x + 8.5);
    step(&mut text, x, -8.5, 4.7, 12.4);
    text.push_str("G0 Z5.\n");
    text
}

/// To and fro between x - half and x + half, from the first end, down by at
/// most 1 mm each way, and a level pass.
fn step(text: &mut String, x: f64, half: f64, from: f64, to: f64) {
    let fall = half.abs() * 2.0 * 2.0_f64.to_radians().tan();
    let (mut depth, mut end) = (from, half);
    while depth < to {
        depth = (depth + fall.min(1.0)).min(to);
        let _ = writeln!(text, "G1 X{:.3} Z{:.3}", x + end, -depth);
        end = -end;
    }
    let _ = writeln!(text, "G1 X{:.3}", x + end);
    let _ = writeln!(text, "G1 X{:.3}", x - end);
    let _ = writeln!(text, "G1 X{:.3}", x - half);
}

fn program() -> String {
    let mut text = HEAD.to_owned();
    for y in [-14.5, 14.5] {
        for x in [45.0, 215.0] {
            text += &pocket(x, y);
        }
    }
    text + TAIL
}

fn lone(text: &str) -> String {
    format!("{HEAD}{text}{TAIL}")
}

fn judge_all(job: &Job, programs: &[&str]) -> Outcome {
    judge_with_pictures(job, programs, &[])
}

fn judge_with_pictures(job: &Job, programs: &[&str], pictured: &[(PartName, usize)]) -> Outcome {
    let settings = settings::for_job(job);
    let mut judge = Judge::new(job, &settings);
    for (index, text) in programs.iter().enumerate() {
        judge.begin(&format!("{}.nc", index + 1), None);
        judge.push(text.as_bytes());
        judge.end();
    }
    judge.finish_with_pictures(pictured)
}

fn judged(job: &Job, text: &str) -> Report {
    judge_all(job, &[text]).report
}

fn row(report: &Report, id: CheckId) -> &Check {
    report.check(id).unwrap()
}

#[track_caller]
fn passes(report: &Report) {
    for check in &report.checks {
        assert!(
            check.verdict != Verdict::Fail,
            "{}: {} {:?}",
            check.id,
            check.message,
            check.findings
        );
    }
}

/// The check fails with these words, and nothing else is asserted.
#[track_caller]
fn fails(report: &Report, id: CheckId, words: &str) {
    let check = row(report, id);
    assert_eq!(
        check.verdict,
        Verdict::Fail,
        "{id} passes: {}",
        check.message
    );
    assert!(
        check
            .findings
            .iter()
            .any(|found| found.message.contains(words)),
        "{id}: {:?}",
        check.findings
    );
}

/// Only this check fails.
#[track_caller]
fn fails_alone(report: &Report, id: CheckId, words: &str) {
    fails(report, id, words);
    for check in &report.checks {
        assert!(
            check.id == id || check.verdict != Verdict::Fail,
            "{} fails too: {}",
            check.id,
            check.message
        );
    }
}

/// The good program with one stretch of text replaced, which must be there.
#[track_caller]
fn with(from: &str, to: &str) -> String {
    let text = program();
    assert!(text.contains(from), "no `{from}` in the program");
    text.replacen(from, to, 1)
}

#[test]
fn a_good_program_passes_every_check() {
    let report = judged(&slot_job(), &program());
    passes(&report);
    assert_eq!(report.checks.len(), 28);
    assert_eq!(report.pockets.len(), 4);
    for pocket in &report.pockets {
        assert!(pocket.gouge_mm.as_mm() < 1e-3);
        assert!(pocket.residual_mm.as_mm() < 2e-3);
    }
    let ids: Vec<&str> = report
        .checks
        .iter()
        .filter(|check| check.verdict == Verdict::None)
        .map(|check| check.id.name())
        .collect();
    assert_eq!(ids, ["clamp-clearance", "opening"]);
}

#[test]
fn the_report_gives_figures_of_program_and_pockets() {
    let text = program();
    let report = judged(&slot_job(), &text);
    let figures = &report.programs[0];
    assert_eq!(figures.bytes, text.len() as u64);
    assert_eq!(figures.lines, text.lines().count() as u64);
    assert_eq!(figures.sha256.len(), 64);
    let bounds = figures.bounds;
    assert_eq!(bounds.min.map(Length::as_mm), [28.0, -14.5, -12.4]);
    assert_eq!(bounds.max.map(Length::as_mm), [232.0, 14.5, 5.0]);
    let lid = &report.pockets[2];
    assert_eq!((lid.part, lid.hinge), (PartName::Lid, 1));
    assert_eq!(lid.center.map(Length::as_mm), [45.0, 14.5]);
    assert_eq!(lid.steps[1].length.as_mm(), 27.0);
    assert_eq!(lid.steps[1].depth.as_mm(), 12.4);
    // 18 mm of lid, 12.4 mm deep.
    assert!((lid.left.below.as_mm() - 5.6).abs() < 1e-9);
}

/// Source: FIPS 180-4, the digest of "abc".
#[test]
fn the_digest_is_sha_256_of_the_bytes() {
    let report = judged(&slot_job(), "abc");
    assert_eq!(
        report.programs[0].sha256,
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
}

/// Worked by hand for one slot of 44 × 10 × 4.7 and 27 × 10 × 12.4 at 1000 mm/min,
/// stepdown 3, ramp 3°: first step area 34 × 10 + 25 pi = 418.54, volume 1967.1,
/// over 30 = 65.57, depth over tan 89.68, the greater plus a traverse of 34;
/// second step area 248.54, volume 1913.8, over 30 = 63.79, depth 7.7 over tan
/// 146.93, plus 17: 287.6 mm in all.
#[test]
fn the_bound_is_the_contracts_formula() {
    let mut job = slot_job();
    job.selection = Selection {
        part: Some(PartName::Box),
        hinge: Some(1),
        step: None,
    };
    let mut chosen = settings::for_job(&job);
    chosen.feed = Feed::from_mm_per_minute(1000.0);
    chosen.limits.stepdown = mm(3.0);
    chosen.limits.ramp = Angle::from_degrees(3.0);
    let mut judge = Judge::new(&job, &chosen);
    judge.begin("a.nc", None);
    judge.push(format!("{HEAD}{}{TAIL}", pocket(45.0, -14.5)).as_bytes());
    judge.end();
    let seconds = judge.finish().report.programs[0].bound_seconds.as_seconds();
    assert!((seconds - 287.6 / 1000.0 * 60.0).abs() < 0.01, "{seconds}");
}

#[test]
fn syntax_refuses_what_is_outside_the_subset() {
    let report = judged(&slot_job(), &with("G1 X53.500\n", "G1 X53.500 E3\n"));
    fails(&report, CheckId::Syntax, "column");
    let report = judged(&slot_job(), "");
    fails(&report, CheckId::Syntax, "");
    let report = judged(&slot_job(), &with("S12000", "T7 S12000"));
    fails(&report, CheckId::Syntax, "T7 names no bit");
}

#[test]
fn preamble_wants_every_mode_before_the_first_motion() {
    for word in ["G21 ", "G17 ", "G40 ", "G49 ", "G90 ", "G94 ", " G54"] {
        let report = judged(&slot_job(), &with(word, ""));
        fails_alone(&report, CheckId::Preamble, "not stated before");
    }
    let late = with(" G54\nG0 Z5.\n", "\nG0 Z5.\nG54\n");
    fails_alone(&judged(&slot_job(), &late), CheckId::Preamble, "G54");
}

#[test]
fn preamble_refuses_an_offset_without_a_zero() {
    let report = judged(&slot_job(), &with("S12000", "G55 S12000"));
    fails(&report, CheckId::Preamble, "G54 is the only zero");
}

#[test]
fn spindle_must_turn_where_wood_is_taken() {
    let job = slot_job();
    let off = judged(&job, &with("S12000 M3\n", "S12000\n"));
    fails_alone(&off, CheckId::SpindleOn, "spindle off");
    let early = judged(&job, &with("G4 P4.\n", ""));
    fails_alone(&early, CheckId::SpindleOn, "up to speed");
    let short = judged(&job, &with("G4 P4.\n", "G4 P0.5\n"));
    fails_alone(&short, CheckId::SpindleOn, "up to speed");
    let no_speed = judged(&job, &with("S12000 M3", "M3"));
    fails(&no_speed, CheckId::SpindleOn, "no speed");
}

#[test]
fn spindle_may_not_stop_or_change_below_the_rim() {
    let job = slot_job();
    let level = "G1 X36.500\n";
    for (code, words) in [
        ("G4 P1.", "a dwell"),
        ("M0", "a pause"),
        ("M5\nM3\nG4 P4.", "stops"),
        ("S11000", "the speed changes"),
        ("M5\nT1 M6\nG43 H1\nM3", "the bit is changed"),
    ] {
        let report = judged(&job, &with(level, &format!("{level}{code}\n")));
        fails(&report, CheckId::SpindleOn, words);
        // The same at the safe height is allowed.
        let up = with("G0 X198.000", &format!("{code}\nG4 P4.\nG0 X198.000"));
        assert_eq!(
            row(&judged(&job, &up), CheckId::SpindleOn).verdict,
            Verdict::Pass
        );
    }
}

#[test]
fn a_rapid_may_not_meet_wood() {
    let job = slot_job();
    // The first ramp as a rapid.
    let line = "G1 X62.000 Z-1.000";
    fails(
        &judged(&job, &with(line, "G0 X62.000 Z-1.000")),
        CheckId::RapidInWood,
        "a rapid meets wood",
    );
    // Straight down into a face.
    fails(
        &judged(&job, &with("G0 Z0.5", "G0 Z-0.5")),
        CheckId::RapidInWood,
        "0.500 mm",
    );
    // Up and along at once: each axis at its own speed drags the bit through the wall.
    let up = with("G1 X53.500\nG0 Z5.\n", "G1 X53.500\nG0 X70. Z5.\n");
    fails(
        &judged(&job, &up),
        CheckId::RapidInWood,
        "a rapid meets wood",
    );
    // Along the slot that is cut already it may.
    let inside = with(
        "G1 X53.500\nG0 Z5.\n",
        "G1 X53.500\nG0 X50. Z-11.\nG0 Z5.\n",
    );
    assert_eq!(
        row(&judged(&job, &inside), CheckId::RapidInWood).verdict,
        Verdict::Pass
    );
}

#[test]
fn travel_keeps_to_the_safe_height() {
    let job = slot_job();
    let low = with("G0 Z5.\nG0 X198", "G0 Z4.\nG0 X198");
    fails_alone(
        &judged(&job, &low),
        CheckId::TravelHeight,
        "sideways at Z4.000",
    );
    let first = judged(&job, &program().replacen("G0 Z5.", "G0 Z3.", 1));
    fails(
        &first,
        CheckId::TravelHeight,
        "the first move goes to Z3.000",
    );
    let sideways = judged(&job, &program().replacen("G0 Z5.", "G0 X28. Y-14.5", 1));
    fails(&sideways, CheckId::TravelHeight, "X or Y moves before Z");
    let blind = judged(&job, &with("G0 X28.000 Y-14.500\n", ""));
    fails(&blind, CheckId::TravelHeight, "before X and Y are known");
}

#[test]
fn the_offset_changes_only_at_the_safe_height() {
    let mut job = slot_job();
    job.fixture.zero = ZeroPoint::Each;
    // Each part counts from its own corner: 6 mm less than half the divider.
    let text = |height: &str| {
        let mut text = HEAD.to_owned();
        for x in [45.0, 215.0] {
            text += &pocket(x, -8.5);
        }
        let _ = writeln!(text, "G0 Z{height}\nG55\nG0 Z5.");
        for x in [45.0, 215.0] {
            text += &pocket(x, 8.5);
        }
        text + TAIL
    };
    passes(&judged(&job, &text("5.")));
    fails_alone(
        &judged(&job, &text("3.")),
        CheckId::TravelHeight,
        "the work offset changes at Z3.000",
    );
}

#[test]
fn pocket_bounds_are_kept_to_two_hundredths() {
    let job = slot_job();
    // The end of the last level pass of the deep step, 0.01 and 0.03 mm too far.
    let near = judged(
        &job,
        &with("G1 X53.500\nG1 X36.500\n", "G1 X53.510\nG1 X36.500\n"),
    );
    assert_eq!(row(&near, CheckId::PocketBounds).verdict, Verdict::Pass);
    let far = judged(
        &job,
        &with("G1 X53.500\nG1 X36.500\n", "G1 X53.530\nG1 X36.500\n"),
    );
    fails(&far, CheckId::PocketBounds, "0.030 mm");
    assert!((far.pockets[0].gouge_mm.as_mm() - 0.03).abs() < 1e-4);
    let deep = judged(&job, &program().replace("Z-12.400", "Z-12.430"));
    fails(&deep, CheckId::PocketBounds, "0.030 mm");
    let away = judged(
        &job,
        &with(TAIL, "G0 X130. Y60.\nG1 Z-1.\nG0 Z5.\nM5\nM30\n"),
    );
    fails(&away, CheckId::PocketBounds, "away from every pocket");
}

#[test]
fn pocket_complete_finds_wood_left() {
    let job = slot_job();
    let shallow = judged(&job, &program().replace("Z-12.400", "Z-12.370"));
    fails(&shallow, CheckId::PocketComplete, "0.030 mm of wood left");
    assert!((shallow.pockets[0].residual_mm.as_mm() - 0.03).abs() < 0.002);
    let nearly = judged(&job, &program().replace("Z-12.400", "Z-12.390"));
    assert_eq!(row(&nearly, CheckId::PocketComplete).verdict, Verdict::Pass);
    let missing = program().replace(&pocket(215.0, 14.5), "");
    fails_alone(
        &judged(&job, &missing),
        CheckId::PocketComplete,
        "lid pocket 2",
    );
}

#[test]
fn stepdown_limits_the_height_of_wood_a_move_takes() {
    let mut job = slot_job();
    // Ramps fall 0.59 to 1 mm each way, so up to 2 mm meet at a turning point.
    job.bit.stepdown = Some(mm(2.1));
    passes(&judged(&job, &program()));
    job.bit.stepdown = Some(mm(1.5));
    fails_alone(
        &judged(&job, &program()),
        CheckId::Stepdown,
        "at most 1.500",
    );
}

#[test]
fn plunges_are_for_bits_that_plunge() {
    let mut job = slot_job();
    let text = with("G1 Z0. F1200.\n", "G1 Z-0.5 F1200.\n");
    let report = judged(&job, &text);
    fails(&report, CheckId::Plunge, "straight down into 0.500 mm");
    job.bit.plunges = true;
    let report = judged(&job, &text);
    assert_eq!(row(&report, CheckId::Plunge).verdict, Verdict::Pass);
    assert_eq!(row(&report, CheckId::RampAngle).verdict, Verdict::Pass);
    // Into air that was wood it is no plunge.
    let air = with(
        "G1 X53.500\nG0 Z5.\n",
        "G1 X53.500\nG1 Z-1.\nG1 Z-12.\nG0 Z5.\n",
    );
    job.bit.plunges = false;
    assert_eq!(
        row(&judged(&job, &air), CheckId::Plunge).verdict,
        Verdict::Pass
    );
}

/// 34 mm at 3° falls 1.7818 mm, and three thousandths are 1.5 last digits.
#[test]
fn ramps_keep_to_the_limit_and_one_and_a_half_digits() {
    let job = slot_job();
    let steep = |z: &str| with("G1 X62.000 Z-1.000", &format!("G1 X62.000 Z{z}"));
    let good = judged(&job, &steep("-1.783"));
    assert_eq!(row(&good, CheckId::RampAngle).verdict, Verdict::Pass);
    let report = judged(&job, &steep("-1.785"));
    fails(&report, CheckId::RampAngle, "at most 3.00");
}

#[test]
fn feed_limits_hold_for_each_axis() {
    let mut job = slot_job();
    job.machine.feed_max = [1200.0, 600.0, 100.0].map(Feed::from_mm_per_minute);
    let report = judged(&job, &program().replace("F1200.", "F100."));
    assert_eq!(row(&report, CheckId::FeedLimit).verdict, Verdict::Pass);
    fails(
        &judged(&job, &program()),
        CheckId::FeedLimit,
        "Z axis, at most 100",
    );
    job.machine.feed_max[2] = Feed::from_mm_per_minute(1200.0);
    passes(&judged(&job, &program()));
    let across = with("G1 X53.500\n", "G1 Y-14.511\nG1 X53.500\n");
    fails(
        &judged(&job, &across),
        CheckId::FeedLimit,
        "Y axis, at most 600",
    );
    let arc = with(
        TAIL,
        "G1 X0. Y40. F1000.\nG3 X20. Y40. I10.\nG0 Z5.\nM5\nM30\n",
    );
    fails(
        &judged(&job, &arc),
        CheckId::FeedLimit,
        "Y axis, at most 600",
    );
}

#[test]
fn spindle_limits_hold_for_s_words() {
    let job = slot_job();
    fails(
        &judged(&job, &with("S12000", "S30000")),
        CheckId::SpindleLimit,
        "8000 to 24000",
    );
    fails(
        &judged(&job, &with("S12000", "S4000")),
        CheckId::SpindleLimit,
        "S4000",
    );
}

/// 1200 mm/min at 12000 rpm with two flutes is 0.05 mm a tooth.
#[test]
fn chip_load_keeps_within_the_bits_window() {
    let mut job = slot_job();
    job.bit.chip_min = Some(mm(0.04));
    job.bit.chip_max = Some(mm(0.06));
    passes(&judged(&job, &program()));
    job.bit.chip_max = Some(mm(0.045));
    fails(
        &judged(&job, &program()),
        CheckId::ChipLoad,
        "0.0500 mm (0.0020 in) a tooth, at most",
    );
    job.bit.chip_min = Some(mm(0.055));
    job.bit.chip_max = Some(mm(0.2));
    fails(
        &judged(&job, &program()),
        CheckId::ChipLoad,
        "rubs and burns",
    );
}

#[test]
fn power_and_deflection_come_from_the_true_bite() {
    let mut job = slot_job();
    let feed = Feed::from_mm_per_minute(1200.0);
    let speed = SpindleSpeed::from_rpm(12_000.0);
    let full = cutting::load(&job.bit, &job.parts[0].wood, mm(2.0), mm(10.0), feed, speed);
    job.machine.spindle.power_w = Some(full.power_w * 1.1);
    passes(&judged(&job, &program()));
    job.machine.spindle.power_w = Some(full.power_w * 0.4);
    fails_alone(
        &judged(&job, &program()),
        CheckId::SpindlePower,
        "W, the spindle has",
    );
    job.machine.spindle.power_w = None;
    let report = judged(&job, &program());
    assert_eq!(row(&report, CheckId::SpindlePower).verdict, Verdict::None);
    job.bit.stickout = mm(120.0);
    job.bit.shank = mm(4.0);
    fails(
        &judged(&job, &program()),
        CheckId::Deflection,
        "bends the bit",
    );
}

#[test]
fn the_edge_must_be_as_long_as_the_pocket_is_deep() {
    let mut job = slot_job();
    job.bit.shank = mm(10.0);
    passes(&judged(&job, &program()));
    job.bit.cutting_length = mm(12.0);
    let report = judged(&job, &program());
    fails_alone(
        &report,
        CheckId::FluteReach,
        "12.40 mm deep with an edge of 12.00",
    );
    assert_eq!(row(&report, CheckId::FluteReach).count, 4);
    job.bit.shank = mm(8.0);
    passes(&judged(&job, &program()));
}

#[test]
fn nut_and_shank_keep_clear_of_wood_and_fixture() {
    let mut job = slot_job();
    job.bit.stickout = mm(12.0);
    job.bit.cutting_length = mm(12.0);
    job.bit.shank = mm(8.0);
    fails(
        &judged(&job, &program()),
        CheckId::NutClearance,
        "the nut meets wood",
    );
    let mut job = slot_job();
    job.bit.cutting_length = mm(10.0);
    job.bit.shank = mm(12.0);
    fails(
        &judged(&job, &program()),
        CheckId::NutClearance,
        "the shank meets wood",
    );
    let mut job = slot_job();
    // The nut (radius 10) passes 4.5 mm from the divider's face, its lower face at 17.6.
    job.fixture.divider_height = mm(17.5);
    let text = program().replace("G0 Z5.", "G0 Z22.5");
    passes(&judged(&job, &text));
    job.fixture.divider_height = mm(17.7);
    let text = program().replace("G0 Z5.", "G0 Z22.7");
    fails_alone(
        &judged(&job, &text),
        CheckId::NutClearance,
        "into the divider",
    );
}

#[test]
fn clamps_are_kept_clear_of() {
    let mut job = slot_job();
    let clamp = |right: f64, height: f64| Clamp {
        name: "left clamp".to_owned(),
        min: Point::from_mm(-20.0, -40.0),
        max: Point::from_mm(right, 40.0),
        height: mm(height),
    };
    let text = program().replace("G0 Z5.", "G0 Z31.");
    // The nut comes to 28 - 10 = 18.
    job.fixture.clamps = vec![clamp(17.9, 26.0)];
    passes(&judged(&job, &text));
    job.fixture.clamps = vec![clamp(18.2, 26.0)];
    fails_alone(
        &judged(&job, &text),
        CheckId::ClampClearance,
        "the nut comes 0.20 mm into the left clamp",
    );
    // A rapid may take the other way round the corner of its box.
    job.fixture.clamps = vec![Clamp {
        name: "far clamp".to_owned(),
        min: Point::from_mm(300.0, 50.0),
        max: Point::from_mm(320.0, 80.0),
        height: mm(25.0),
    }];
    let dive = text.replace(
        "M5\n",
        "G0 X280. Y30.\nG0 Z100.\nG0 X350. Y120. Z10.\nG0 Z31.\nM5\n",
    );
    fails(&judged(&job, &dive), CheckId::ClampClearance, "far clamp");
}

#[test]
fn the_envelope_is_travel_position_and_daylight() {
    let mut job = slot_job();
    // To 232 from 5, where a bit of 10 mm touches the stop.
    job.machine.travel[0] = mm(227.0);
    passes(&judged(&job, &program()));
    job.machine.travel[0] = mm(226.0);
    fails_alone(
        &judged(&job, &program()),
        CheckId::Envelope,
        "227.00 mm, the travel is 226.00",
    );
    let mut job = slot_job();
    job.fixture.machine_zero = Some([60.0, 150.0, -40.0].map(mm));
    passes(&judged(&job, &program()));
    job.fixture.machine_zero = Some([60.0, 10.0, -40.0].map(mm));
    fails_alone(&judged(&job, &program()), CheckId::Envelope, "-4.50");
    job.fixture.machine_zero = Some([60.0, 150.0, -4.0].map(mm));
    fails_alone(
        &judged(&job, &program()),
        CheckId::Envelope,
        "Z goes from -16.40 to 1.00",
    );
    let mut job = slot_job();
    // Lid 18 mm on a bed 10 mm lower: safe height 5 + 30 of stick-out + 28.
    job.fixture.lid_base = Some(mm(10.0));
    job.machine.daylight = Some(mm(63.0));
    passes(&judged(&job, &program()));
    job.machine.daylight = Some(mm(62.0));
    fails_alone(
        &judged(&job, &program()),
        CheckId::Envelope,
        "63.00 mm above the bed",
    );
}

#[test]
fn fold_match_wants_the_lid_to_land_on_the_box() {
    let mut job = slot_job();
    let report = judged(&job, &program());
    assert!(
        row(&report, CheckId::FoldMatch)
            .message
            .contains("4 steps folded closed")
    );
    // The lid's first pocket 0.03 mm further along.
    let moved = program().replace(&pocket(45.0, 14.5), &pocket(45.03, 14.5));
    let report = judged(&job, &moved);
    fails(
        &report,
        CheckId::FoldMatch,
        "+0.030 mm along and +0.000 mm across",
    );
    // The same as a correction of the lid is taken off again.
    for pocket in &mut job.parts[1].pockets {
        pocket.center.x += 0.3;
    }
    job.parts[1].correction_u = mm(0.3);
    let mut text = HEAD.to_owned();
    for (x, y) in [(45.0, -14.5), (215.0, -14.5), (45.3, 14.5), (215.3, 14.5)] {
        text += &pocket(x, y);
    }
    passes(&judged(&job, &(text + TAIL)));
    job.selection.part = Some(PartName::Box);
    let report = judged(&job, &program());
    assert_eq!(row(&report, CheckId::FoldMatch).verdict, Verdict::None);
}

#[test]
fn a_program_ends_with_the_bit_up_and_the_spindle_off() {
    let job = slot_job();
    let low = judged(&job, &with(TAIL, "G0 Z3.\nM5\nM30\n"));
    fails_alone(&low, CheckId::ProgramEnd, "stands at Z3.000");
    let turning = judged(&job, &with(TAIL, "G0 Z5.\nM30\n"));
    fails_alone(&turning, CheckId::ProgramEnd, "still turns");
    let cut_short = judged(&job, &with(TAIL, "G0 Z5.\nM5\n"));
    fails(
        &cut_short,
        CheckId::ProgramEnd,
        "does not end with M2 or M30",
    );
    passes(&judged(&job, &with(TAIL, "G0 Z5.\nM5\nM2\n")));
}

#[test]
fn a_partial_run_may_not_touch_the_rest() {
    let mut job = slot_job();
    job.selection = Selection {
        part: Some(PartName::Box),
        hinge: Some(1),
        step: Some(1),
    };
    let mut first = format!("{HEAD}G0 X28. Y-14.5\nG0 Z0.5\nG1 Z0. F1200.\n");
    step(&mut first, 45.0, 17.0, 0.0, 4.7);
    passes(&judged(&job, &format!("{first}{TAIL}")));
    let whole = format!("{HEAD}{}{TAIL}", pocket(45.0, -14.5));
    fails(
        &judged(&job, &whole),
        CheckId::PocketBounds,
        "beyond the wanted pocket",
    );
    // The second step alone starts from the first one's floor.
    job.selection.step = Some(2);
    let mut second = format!("{HEAD}G0 X53.5 Y-14.5\nG0 Z-4.5\nG1 Z-4.7 F1200.\n");
    step(&mut second, 45.0, -8.5, 4.7, 12.4);
    passes(&judged(&job, &format!("{second}{TAIL}")));
    fails(
        &judged(&job, &format!("{HEAD}{}{TAIL}", pocket(215.0, -14.5))),
        CheckId::PocketBounds,
        "that this run does not cut",
    );
}

/// A drill of 2.5 mm in the second program, pecking 2 mm at a time.
fn drill_job() -> Job {
    let mut job = slot_job();
    let drill = Bit {
        tool: 2,
        stepdown: Some(mm(2.5)),
        point_angle: Some(Angle::from_degrees(118.0)),
        cutting_length: mm(30.0),
        stickout: mm(40.0),
        shank: mm(2.5),
        chip_min: Some(mm(0.005)),
        chip_max: Some(mm(0.1)),
        rpm_max: Some(SpindleSpeed::from_rpm(12_000.0)),
        ..sample::bit(BitKind::Drill, 2.5)
    };
    for part in &mut job.parts {
        for pocket in &mut part.pockets {
            pocket.holes = vec![Hole {
                center: Point::from_mm(pocket.center.x + 18.0, pocket.center.y),
                diameter: mm(2.5),
                from: mm(4.7),
                tip: mm(13.7),
                point_height: drill.point_height(),
            }];
        }
    }
    job.rack.push(drill.clone());
    job.pilot = Some(Pilot {
        bit: drill,
        depth: mm(9.0),
    });
    job
}

fn drilling(peck: f64) -> String {
    let mut text = HEAD.replace("S12000", "T2 S12000");
    for (x, y) in [(63.0, -14.5), (233.0, -14.5), (63.0, 14.5), (233.0, 14.5)] {
        let _ = writeln!(text, "G0 X{x:.3} Y{y:.3}\nG0 Z-4.2");
        let mut depth = 4.7;
        while depth < 13.7 {
            depth = f64::min(depth + peck, 13.7);
            let _ = writeln!(
                text,
                "G1 Z{:.3} F600.\nG0 Z-4.2\nG0 Z{:.3}",
                -depth,
                0.5 - depth
            );
        }
        text += "G0 Z5.\n";
    }
    text + TAIL
}

#[test]
fn holes_are_drilled_by_pecks() {
    let job = drill_job();
    let outcome = judge_all(&job, &[&program(), &drilling(2.0)]);
    passes(&outcome.report);
    assert_eq!(outcome.report.programs[1].bit, "2.5 mm drill");
    let deep = judge_all(&job, &[&program(), &drilling(3.0)]);
    fails_alone(&deep.report, CheckId::Stepdown, "a peck of 3.0");
    let undrilled = judge_all(&job, &[&program()]).report;
    assert_eq!(
        row(&undrilled, CheckId::PocketComplete).verdict,
        Verdict::Warn
    );
    let short = drilling(2.0).replace("Z-13.700", "Z-13.600");
    let report = judge_all(&job, &[&program(), &short]).report;
    fails_alone(&report, CheckId::PocketComplete, "0.100 mm short");
    // One begun, and another left out.
    let all = drilling(2.0);
    let second = all.find("G0 X233.000 Y-14.500").unwrap();
    let third = all.find("G0 X63.000 Y14.500").unwrap();
    let left_out = format!("{}{}", &all[..second], &all[third..]);
    let outcome = judge_all(&job, &[&program(), &left_out]);
    fails(
        &outcome.report,
        CheckId::PocketComplete,
        "a screw hole of box pocket 2 is 13.700 mm",
    );
    // None begun is a matter of another run.
    let outcome = judge_all(&job, &[&program()]);
    assert_eq!(
        row(&outcome.report, CheckId::PocketComplete).verdict,
        Verdict::Warn
    );
    let beside = drilling(2.0).replace("X63.000", "X63.100");
    let report = judge_all(&job, &[&program(), &beside]).report;
    fails(&report, CheckId::PocketBounds, "0.100 mm");
}

#[test]
fn the_bit_is_the_one_named_then_the_t_word_then_the_jobs() {
    let job = drill_job();
    let settings = settings::for_job(&job);
    let name = |text: &str, bit: Option<&Bit>| {
        let mut judge = Judge::new(&job, &settings);
        judge.begin("a.nc", bit);
        judge.push(text.as_bytes());
        judge.end();
        judge.finish().report.programs[0].bit.clone()
    };
    let with_tool = HEAD.replace("S12000", "T2 S12000") + TAIL;
    assert_eq!(name(&(HEAD.to_owned() + TAIL), None), "10 mm up-spiral");
    assert_eq!(name(&with_tool, None), "2.5 mm drill");
    assert_eq!(name(&with_tool, Some(&job.bit)), "10 mm up-spiral");
}

#[test]
fn pictures_show_each_pocket_that_was_cut_and_asked_for() {
    let job = slot_job();
    let one = format!("{HEAD}{}{TAIL}", pocket(45.0, -14.5));
    let maps = |pictured: &[(PartName, usize)]| judge_with_pictures(&job, &[&one], pictured).maps;
    assert!(maps(&[]).is_empty());
    // The second is not cut, and there is no third.
    assert!(maps(&[(PartName::Box, 2), (PartName::Lid, 1), (PartName::Box, 3)]).is_empty());
    let maps = maps(&[(PartName::Box, 2), (PartName::Box, 1)]);
    assert_eq!(maps.len(), 1);
    let map = &maps[0];
    assert_eq!((map.part, map.hinge), (PartName::Box, 1));
    assert_eq!(map.depth.len(), map.columns * map.rows);
    let at = |x: f64, y: f64| {
        let column = ((x - map.origin.x) / map.cell.as_mm()).round() as usize;
        let row = ((y - map.origin.y) / map.cell.as_mm()).round() as usize;
        map.depth[row * map.columns + column]
    };
    assert!((at(45.0, -14.5) - 12.4).abs() < 1e-4);
    assert!((at(62.0, -14.5) - 4.7).abs() < 1e-4);
    assert_eq!(at(67.1, -14.5), 0.0);
}

#[test]
fn without_a_job_the_machine_is_judged() {
    let machine = sample::machine();
    let report = |text: &str| {
        let mut judge = MachineJudge::new(&machine);
        judge.begin("a.nc");
        judge.push(text.as_bytes());
        judge.end();
        judge.finish()
    };
    let good = report(&program());
    passes(&good);
    assert_eq!(good.checks.len(), 7);
    assert!(good.pockets.is_empty() && good.feeds.is_none());
    fails(
        &report(&with("X198", "X998")),
        CheckId::Envelope,
        "the travel is 400.00",
    );
    fails(&report(&with("G90 ", "")), CheckId::Preamble, "distance");
    fails(
        &report(&with("S12000", "S90000")),
        CheckId::SpindleLimit,
        "S90000",
    );
    fails(
        &report(&with("F1200.", "F9000.")),
        CheckId::FeedLimit,
        "axis",
    );
}

#[test]
fn a_thousand_faults_print_ten_of_each_kind_and_the_count() {
    let job = slot_job();
    let mut text = HEAD.to_owned();
    for index in 0..1000 {
        let _ = writeln!(text, "G0 Z-1.\nG0 Z5.\nG0 X{}.5 Q1", index % 200);
    }
    let report = judged(&job, &(text + TAIL));
    let syntax = row(&report, CheckId::Syntax);
    assert_eq!((syntax.count, syntax.findings.len()), (1000, 10));
    let travel = row(&report, CheckId::TravelHeight);
    assert_eq!((travel.count, travel.findings.len()), (1000, 10));
    assert_eq!(travel.findings[9].line, 5 + 9 * 3);
}

/// The box's pocket worked from the other end, in the other layout and
/// elsewhere along the board gives the same figures.
#[test]
fn figures_do_not_change_when_the_part_is_moved_or_turned_end_for_end() {
    let mut job = slot_job();
    job.selection.part = Some(PartName::Box);
    job.selection.hinge = Some(1);
    // 0.015 mm too far at one end, 0.013 mm too shallow.
    let text = format!("{HEAD}{}{TAIL}", pocket(45.0, -14.5))
        .replace("X62.000", "X62.015")
        .replace("Z-12.400", "Z-12.387");
    let figures = |job: &Job, text: &str| {
        let pocket = judged(job, text).pockets.remove(0);
        (pocket.gouge_mm.as_mm(), pocket.residual_mm.as_mm())
    };
    let here = figures(&job, &text);
    assert!((here.0 - 0.015).abs() < 1e-4 && (here.1 - 0.013).abs() < 0.002);
    let moved_text = format!("{HEAD}{}{TAIL}", pocket(78.125, -14.5))
        .replace("X95.125", "X95.140")
        .replace("Z-12.400", "Z-12.387");
    let mut moved = job.clone();
    moved.parts[0].pockets[0].center.x = 78.125;
    let there = figures(&moved, &moved_text);
    // End to end: u counts down along X, v up along Y.
    let mut turned = job.clone();
    turned.fixture.layout = crate::job::Layout::EndToEnd;
    let mut turned_text = String::new();
    for line in text.lines() {
        let words: Vec<String> = line
            .split(' ')
            .map(|word| match word.chars().next() {
                Some('X') => format!("X{:.3}", -6.0 - word[1..].parse::<f64>().unwrap()),
                Some('Y') => "Y8.500".to_owned(),
                _ => word.to_owned(),
            })
            .collect();
        turned_text += &(words.join(" ") + "\n");
    }
    let round = figures(&turned, &turned_text);
    for other in [there, round] {
        assert!((other.0 - here.0).abs() < 0.005 && (other.1 - here.1).abs() < 0.005);
    }
}

#[test]
fn a_program_of_another_job_is_noted_and_judged_all_the_same() {
    let mut job = slot_job();
    job.digest = "0123456789abcdef".repeat(4);
    let own = format!("(inputs 0123456789abcdef)\n{}", program());
    assert_eq!(judged(&job, &own).notes, [""; 0]);
    let other = format!("(inputs fedcba9876543210)\n{}", program());
    let report = judged(&job, &other);
    assert!(report.notes[0].contains("not made from this job"));
    passes(&report);
}
