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
