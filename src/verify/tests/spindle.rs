//! When the spindle is up to speed, to the tenth of a second, and what
//! counts as below the rim.

use super::*;

/// Only the box's first pocket, so that a case is quick.
fn one_pocket() -> Job {
    let mut job = slot_job();
    job.selection.part = Some(PartName::Box);
    job.selection.hinge = Some(1);
    job
}

fn spindle_on(job: &Job, text: &str) -> (Verdict, String) {
    let report = judged(job, text);
    let check = row(&report, CheckId::SpindleOn);
    (check.verdict, check.message.clone())
}

/// By hand: 0.5 s of dwell, 4.5 mm down at 25 mm/s and 0.5 at 20: 0.705 of 3 s.
#[test]
fn wood_is_met_when_the_bit_comes_below_the_face() {
    let job = one_pocket();
    let text = |first: &str| {
        let text = format!("{HEAD}{}{TAIL}", pocket(45.0, -14.5));
        text.replace("G4 P4.", "G4 P0.5")
            .replace("G1 Z0. F1200.\n", first)
    };
    let (verdict, message) = spindle_on(&job, &text("G1 Z0. F1200.\n"));
    assert_eq!(verdict, Verdict::Fail);
    assert!(message.contains("taken 2.3 s before"), "{message}");
    // From 0.5 above to 1 below over 34 mm, a third of √(34² + 1.5²) / 20 s before the wood.
    let (_, message) = spindle_on(&job, &text("F1200.\n"));
    assert!(message.contains("taken 1.8 s before"), "{message}");
}

/// A quarter of the spindle's range takes a quarter of 30 s: 7.5, of which the
/// way to the wood takes 2.4.
#[test]
fn a_change_of_speed_takes_its_share_of_the_spin_up() {
    let mut job = slot_job();
    job.selection.part = Some(PartName::Box);
    job.machine.spindle.spin_up = crate::units::Seconds::from_seconds(30.0);
    let text = |speed: u32, dwell: f64| {
        let text = format!(
            "{HEAD}{}{}{TAIL}",
            pocket(45.0, -14.5),
            pocket(215.0, -14.5)
        );
        text.replace("G4 P4.", "G4 P30.")
            .replace("G0 X198", &format!("S{speed}\nG4 P{dwell}\nG0 X198"))
    };
    assert_eq!(spindle_on(&job, &text(18_000, 5.5)).0, Verdict::Pass);
    assert_eq!(spindle_on(&job, &text(18_000, 4.5)).0, Verdict::Fail);
    assert_eq!(spindle_on(&job, &text(9_000, 2.0)).0, Verdict::Pass);
    assert_eq!(spindle_on(&job, &text(9_000, 0.5)).0, Verdict::Fail);
}

#[test]
fn below_the_rim_is_below_a_face_that_is_there() {
    let job = one_pocket();
    let text = |moves: &str, code: &str| format!("{HEAD}{moves}\n{code}\n{TAIL}");
    let low = |moves: &str| {
        let (_, message) = spindle_on(&job, &text(moves, "M5"));
        message.contains("the spindle stops while the tip is 1.000 mm below the rim")
    };
    // Before X and Y are known the bit may stand over any board.
    assert!(low("G0 Z-1."));
    assert!(!low("G0 Z0."));
    assert!(low("G0 X45. Y-14.5\nG0 Z-1."));
    assert!(low("G0 X-4.9 Y-14.5\nG0 Z-1."));
    assert!(!low("G0 X-5.1 Y-14.5\nG0 Z-1."));
    assert!(!low("G0 X-50. Y-14.5\nG0 Z-1."));
    // No time passes in a dwell of none.
    let (verdict, _) = spindle_on(&job, &text("G0 X45. Y-14.5\nG0 Z-1.", "G4 P0\nG0 Z5."));
    assert_eq!(verdict, Verdict::Pass);
}

#[test]
fn wood_is_taken_only_by_a_bit_that_moves() {
    let job = one_pocket();
    let good = format!("{HEAD}{}{TAIL}", pocket(45.0, -14.5));
    let (verdict, message) = spindle_on(&job, &good.replace(" F1200.", ""));
    assert_eq!(verdict, Verdict::Fail);
    assert!(message.contains("no feed set"), "{message}");
}

#[test]
fn below_the_rim_the_spindle_may_start_and_keep_its_speed() {
    let job = one_pocket();
    let low = |codes: &str| {
        let head = HEAD.replace("S12000 M3\nG4 P4.\n", "");
        let text = format!("{head}G0 X45. Y-14.5\nG0 Z-1.\n{codes}\nG0 Z5.\n{TAIL}");
        spindle_on(&job, &text)
    };
    assert_eq!(low("S12000\nM3").0, Verdict::Pass);
    assert_eq!(low("S12000\nS11000").0, Verdict::Pass);
    assert_eq!(low("S12000\nM3\nM3\nS12000").0, Verdict::Pass);
    let (_, message) = low("S12000\nM3\nS11000");
    assert!(message.starts_with("the speed changes while"), "{message}");
}

/// On the face, and where the bit's side only just comes to the board's end at X 0.
#[test]
fn at_the_rim_is_not_below_it() {
    let job = one_pocket();
    for place in [
        "G0 Z0.",
        "G0 X45. Y-14.5\nG0 Z0.",
        "G0 X-5. Y-14.5\nG0 Z-1.",
    ] {
        let text = format!("{HEAD}{place}\nM5\n{TAIL}");
        assert_eq!(spindle_on(&job, &text).0, Verdict::Pass, "{place}");
    }
}

/// From 8000 to 24 000, both among them; no speed at all is none too slow.
#[test]
fn the_range_of_speeds_has_its_ends() {
    let job = one_pocket();
    for (speed, expected) in [
        ("7999", Verdict::Fail),
        ("8000", Verdict::Pass),
        ("24000", Verdict::Pass),
        ("24001", Verdict::Fail),
        ("0", Verdict::Pass),
    ] {
        let report = judged(
            &job,
            &format!("G21 G17 G40 G49 G90 G94 G54\nS{speed}\n{TAIL}"),
        );
        let found = row(&report, CheckId::SpindleLimit).verdict;
        assert_eq!(found, expected, "S{speed}");
    }
}

/// Without a speed or a feed there is no chip to judge.
#[test]
fn what_is_missing_is_told_once() {
    let job = one_pocket();
    let good = format!("{HEAD}{}{TAIL}", pocket(45.0, -14.5));
    let report = judged(&job, &good.replace("S12000 M3", "M3"));
    fails_alone(&report, CheckId::SpindleOn, "no speed set");
    let report = judged(&job, &good.replace(" F1200.", ""));
    assert_eq!(row(&report, CheckId::ChipLoad).verdict, Verdict::Pass);
}
