//! How fast the bit may turn, how worn it is, and where its chips go.

use super::*;

#[test]
fn a_bit_turns_no_faster_than_it_is_rated() {
    let mut job = slot_job();
    let row_of = |job: &Job| {
        let report = judged(job, &program());
        row(&report, CheckId::BitSpeed).clone()
    };
    assert_eq!(row_of(&job).verdict, Verdict::Pass);
    job.bit.rpm_max = Some(SpindleSpeed::from_rpm(12_000.0));
    assert_eq!(row_of(&job).verdict, Verdict::Pass);
    job.bit.rpm_max = Some(SpindleSpeed::from_rpm(11_900.0));
    let found = row_of(&job);
    assert_eq!((found.verdict, found.count), (Verdict::Fail, 1));
    assert!(
        found
            .message
            .contains("turns at 12000 rpm, at most 11900 (as the rack says)"),
        "{}",
        found.message
    );
}

/// A spindle that turns at 12000 rpm at least.
#[test]
fn a_drill_turns_as_slowly_as_the_spindle_can() {
    let mut job = drill_job();
    for bit in job
        .rack
        .iter_mut()
        .chain(job.pilot.as_mut().map(|pilot| &mut pilot.bit))
    {
        bit.rpm_max = None;
    }
    let found = |job: &Job| {
        let outcome = judge_all(job, &[&program(), &drilling(2.0)]);
        row(&outcome.report, CheckId::BitSpeed).clone()
    };
    job.machine.spindle.slowest = SpindleSpeed::from_rpm(12_000.0);
    let slow = found(&job);
    assert_eq!(slow.verdict, Verdict::Warn);
    assert!(
        slow.message
            .contains("as slowly as the spindle can; 3000 is usual"),
        "{}",
        slow.message
    );
    job.machine.spindle.slowest = SpindleSpeed::from_rpm(8000.0);
    assert_eq!(found(&job).verdict, Verdict::Fail);
}

#[test]
fn a_worn_edge_is_told_and_a_worn_out_one_refused() {
    let verdict = |wear: f64| {
        let mut job = slot_job();
        job.bit.wear = wear;
        job.rack[0].wear = wear;
        row(&judged(&job, &program()), CheckId::EdgeWear).verdict
    };
    assert_eq!(verdict(0.79), Verdict::Pass);
    assert_eq!(verdict(0.8), Verdict::Warn);
    assert_eq!(verdict(0.99), Verdict::Warn);
    assert_eq!(verdict(1.0), Verdict::Fail);
}

/// The slots are 10 mm wide for a bit of 10 mm, and 12.4 deep.
#[test]
fn a_bit_that_lifts_no_chips_is_told_where_they_stay() {
    let found = |kind: BitKind, depth: f64| {
        let mut job = slot_job();
        for bit in job.rack.iter_mut().chain([&mut job.bit]) {
            bit.kind = kind;
        }
        let text = program();
        for part in &mut job.parts {
            for pocket in &mut part.pockets {
                pocket.steps[1].depth = mm(depth);
            }
        }
        row(&judged(&job, &text), CheckId::ChipRoom).clone()
    };
    assert_eq!(found(BitKind::UpSpiral, 12.4).verdict, Verdict::Pass);
    let told = found(BitKind::DownSpiral, 12.4);
    assert_eq!((told.verdict, told.count), (Verdict::Warn, 4));
    assert!(
        told.message.contains("box pocket 1 is cut 1.2 bits deep"),
        "{}",
        told.message
    );
    assert_eq!(found(BitKind::SingleFlute, 12.4).count, 4);
}

/// By hand: 34 mm of slot from rest to rest at 250 mm/s². Two flutes at 12000 rpm need
/// 2400 mm/min for 0.1 mm a tooth, 40 mm/s, which are reached 40² / 500 = 3.2 mm from each
/// end, 19 % of the way; for 0.07 mm it is 1.57 mm, 9 %.
#[test]
fn the_chip_that_the_machine_really_reaches_counts() {
    let found = |chip_min: f64| {
        let mut job = slot_job();
        for bit in job.rack.iter_mut().chain([&mut job.bit]) {
            bit.chip_min = Some(mm(chip_min));
        }
        let text = lone("G0 X28. Y-14.5\nG0 Z0.\nG1 X62. Z-1. F3000.\nG0 Z5.\n");
        row(&judged(&job, &text), CheckId::ChipLoad).clone()
    };
    let told = found(0.1);
    assert_eq!(told.verdict, Verdict::Warn, "{}", told.message);
    assert!(
        told.message
            .starts_with("19 % of the roughing path lies under the least chip"),
        "{}",
        told.message
    );
    assert_eq!(found(0.07).verdict, Verdict::Pass);
}

/// By hand: the wall has 0.1 mm left for a bit of 10 mm, which is in the wood for
/// acos(1 - 0.02) of a turn, 0.2003: the mean chip of 3000 / 24000 mm a tooth is
/// 0.125 × 0.02 / 0.2003 = 0.0125 mm; half of a worn edge of 36.8 µm is 0.0184, of a fresh one 0.004.
#[test]
fn a_finishing_pass_that_only_rubs_is_told() {
    let found = |wear: f64| {
        let mut job = slot_job();
        job.fit.finish = mm(0.1);
        for part in &mut job.parts {
            for pocket in &mut part.pockets {
                pocket.steps.truncate(1);
                (pocket.steps[0].width, pocket.steps[0].depth) = (mm(14.0), mm(2.0));
                pocket.steps[0].corner = mm(5.0);
            }
        }
        for bit in job.rack.iter_mut().chain([&mut job.bit]) {
            bit.wear = wear;
        }
        // A lap 0.1 mm inside the contour at full depth, then the contour; legs of 34 and 4 mm.
        let lap = |half_x: f64, half_y: f64| {
            format!(
                "G1 X{:.3} Y{:.3}\nG1 X{:.3}\nG1 Y{:.3}\nG1 X{:.3}\nG1 Y{:.3}\n",
                45.0 - half_x,
                -14.5 - half_y,
                45.0 + half_x,
                -14.5 + half_y,
                45.0 - half_x,
                -14.5 - half_y
            )
        };
        let text = format!(
            "G0 X45. Y-14.5\nG0 Z0.\nG1 Z-2. F3000.\n{}{}G0 Z5.\n",
            lap(16.9, 1.9),
            lap(17.0, 2.0)
        );
        row(&judged(&job, &lone(&text)), CheckId::ChipLoad).clone()
    };
    let fresh = found(0.0);
    assert!(!fresh.message.contains("only rubs"), "{}", fresh.message);
    let worn = found(0.9);
    let told = worn
        .findings
        .iter()
        .find(|found| found.message.contains("only rubs"));
    let told = &told
        .unwrap_or_else(|| panic!("{:?}", worn.findings))
        .message;
    let figures: Vec<f64> = told
        .split(' ')
        .filter_map(|word| word.parse().ok())
        .collect();
    assert!((figures[0] / 0.0125 - 1.0).abs() < 0.1, "{told}");
    assert!(told.contains("under 0.0184 mm"), "{told}");
}
