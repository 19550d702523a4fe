use super::*;
use crate::input::sample;
use crate::job::PartName;

const JOB: &str = "\
# My box, as cut on Sunday
title = 'Box'   # for the head
machine = 'machine.toml'
bits = 'bits.toml'
bit = '6 mm up-spiral'

[box]
length = 260
wall = 18
height = 90
wood = 'black walnut'

[lid]
closing = 'overlay'
width = 180
thickness = 18
wood = 'black walnut'

[hinge]
width = 10
setback = 3.5
closed_gap = 0.8  # by caliper
steps = [{ length = 44, depth = 4.5 }, { length = 27, depth = 12 }]

[placement]
count = 2
inset = 45

[fit]
clearance = 0.10  # a guess
gap = 0.4

[fixture]
layout = 'book'
";

const BITS: &str = "\
# the rack
[[bit]]
name = '6 mm up-spiral' # the good one
kind = 'up-spiral'
diameter = 6
cutting_length = 22
stickout = 30
";

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

fn resolve(job: &str, bits: &str) -> Job {
    sample::resolve(job, bits, &Overrides::default()).unwrap()
}

fn book_in(job: &str, bits: &str, readings: Readings) -> Result<Booked, Diagnostics> {
    let texts = Texts {
        job_file: "job.toml",
        job,
        bits_file: "bits.toml",
        bits,
    };
    book(texts, &resolve(job, bits), &readings)
}

/// The job after booking `readings`.
#[track_caller]
fn booked(job: &str, readings: Readings) -> (String, Vec<String>) {
    let booked = book_in(job, BITS, readings).unwrap();
    (booked.job.unwrap_or_else(|| job.to_owned()), booked.words)
}

fn outside_lid(reading: f64, repeat: Repeat) -> Readings {
    Readings {
        outside_lid: Some(mm(reading)),
        repeat,
        ..Readings::default()
    }
}

fn lid_v(job: &str) -> f64 {
    resolve(job, BITS).parts[1].correction_v.as_mm()
}

// Wanted outside: setback 3.5 less half the clearance 0.05 is 3.45. Measured
// 3.15: the lid's pockets move 0.30 inward.
#[test]
fn wood_measured_outside_moves_that_parts_pockets() {
    let (job, words) = booked(JOB, outside_lid(3.15, Repeat::Once));
    assert!((lid_v(&job) - 0.3).abs() < 1e-9);
    assert_eq!(resolve(&job, BITS).parts[0].correction_v, Length::ZERO);
    assert!(
        words[0].starts_with("lid moved 0.30 mm inward"),
        "{words:?}"
    );
    let center = resolve(&job, BITS).parts[1].pockets[0].center;
    assert!((center.y().as_mm() - 8.8).abs() < 1e-9);
}

// Wanted from the stop end: 45 − 22.05 = 22.95. Measured 23.15: 0.20 back.
#[test]
fn wood_measured_at_the_stop_end_moves_along() {
    let readings = Readings {
        end_box: Some(mm(23.15)),
        ..Readings::default()
    };
    let (job, words) = booked(JOB, readings);
    let correction = resolve(&job, BITS).parts[0].correction_u.as_mm();
    assert!((correction + 0.2).abs() < 1e-9);
    assert!(
        words[0].starts_with("box moved 0.20 mm towards the stop end"),
        "{words:?}"
    );
}

#[test]
fn the_same_reading_is_never_booked_twice() {
    let (once, _) = booked(JOB, outside_lid(3.15, Repeat::Once));
    let again = book_in(&once, BITS, outside_lid(3.15, Repeat::Once)).unwrap();
    assert_eq!((again.job, again.bits), (None, None));
    assert!(again.words[0].contains("--again"), "{:?}", again.words);
}

// A new cut made with 0.3 measures 3.40 of 3.45: 0.05 more.
#[test]
fn another_reading_is_one_of_a_new_cut() {
    let (once, _) = booked(JOB, outside_lid(3.15, Repeat::Once));
    let (twice, _) = booked(&once, outside_lid(3.40, Repeat::Once));
    assert!((lid_v(&twice) - 0.35).abs() < 1e-9);
    let (again, _) = booked(&once, outside_lid(3.15, Repeat::Again));
    assert!((lid_v(&again) - 0.6).abs() < 1e-9);
}

#[test]
fn a_reading_may_take_the_place_of_the_last() {
    let (once, _) = booked(JOB, outside_lid(3.15, Repeat::Once));
    let (instead, _) = booked(&once, outside_lid(3.25, Repeat::Instead));
    assert!((lid_v(&instead) - 0.2).abs() < 1e-9);
}

// Clearances 0, 0.05, 0.1, 0.15, 0.2: pocket 4 has 0.15.
#[test]
fn the_test_pieces_pocket_gives_its_clearance() {
    let test_piece = |pocket, repeat| Readings {
        test_piece: Some((pocket, Series::default())),
        repeat,
        ..Readings::default()
    };
    let clearance = |job: &str| resolve(job, BITS).fit.clearance.as_mm();
    let (job, words) = booked(JOB, test_piece(4, Repeat::Once));
    assert!((clearance(&job) - 0.15).abs() < 1e-9);
    assert!(words[0].contains("0.15 mm instead of 0.10 mm"), "{words:?}");
    assert!(
        book_in(&job, BITS, test_piece(4, Repeat::Once))
            .unwrap()
            .job
            .is_none()
    );
    let (instead, _) = booked(&job, test_piece(2, Repeat::Instead));
    assert!((clearance(&instead) - 0.05).abs() < 1e-9);
    let errors = book_in(JOB, BITS, test_piece(6, Repeat::Once)).unwrap_err();
    assert_eq!(errors[0].code, "out-of-range");
    assert!(book_in(JOB, BITS, test_piece(0, Repeat::Once)).is_err());
}

// Depths of 4.6, 4.7 … around the leaf of 4.5 and its 0.2 of recess: pocket 4
// is 0.1 deeper than the job's own, so every step becomes 0.1 deeper.
#[test]
fn the_test_pieces_second_row_deepens_every_step() {
    let test_piece = |pocket, repeat| Readings {
        depth_pocket: Some((
            pocket,
            Series {
                depth_step: Some(mm(0.1)),
                ..Series::default()
            },
        )),
        repeat,
        ..Readings::default()
    };
    let depths = |job: &str| -> Vec<f64> {
        let job = resolve(job, BITS);
        let steps = job.parts.iter().flat_map(|part| &part.pockets[0].steps);
        steps.map(|step| step.depth.as_mm()).collect()
    };
    let by = |job: &str, deeper: f64| {
        for (found, own) in depths(job).iter().zip(depths(JOB)) {
            assert!((found - own - deeper).abs() < 1e-9, "{found} {own}");
        }
    };
    let (job, words) = booked(JOB, test_piece(4, Repeat::Once));
    by(&job, 0.1);
    assert!(
        words[0].starts_with(
            "the leaf's step is 4.60 mm deep, not 4.50 mm, and every step below it 0.10 mm deeper"
        ),
        "{words:?}"
    );
    assert!(
        job.contains("{ length = 44, depth = 4.6 }, { length = 27, depth = 12.1 }"),
        "{job}"
    );
    let again = book_in(&job, BITS, test_piece(4, Repeat::Once)).unwrap();
    assert_eq!(again.job, None);
    let (more, _) = booked(&job, test_piece(4, Repeat::Again));
    by(&more, 0.2);
    let (instead, words) = booked(&job, test_piece(1, Repeat::Instead));
    by(&instead, -0.2);
    assert!(words[0].contains("shallower"), "{words:?}");
    let own = book_in(JOB, BITS, test_piece(3, Repeat::Once)).unwrap();
    assert_eq!(own.job, None);
    assert!(own.words[0].contains("nothing changes"), "{:?}", own.words);
    let errors = book_in(JOB, BITS, test_piece(6, Repeat::Once)).unwrap_err();
    assert_eq!(errors[0].code, "out-of-range");
}

#[test]
fn the_lids_own_steps_are_left_alone() {
    let lid = "lid_steps = [{ length = 44, depth = 3 }]\n\n[placement]";
    let job = JOB.replace("[placement]", lid);
    let readings = Readings {
        depth_pocket: Some((
            5,
            Series {
                depth_step: Some(mm(0.1)),
                ..Series::default()
            },
        )),
        ..Readings::default()
    };
    let (job, words) = booked(&job, readings);
    assert!(
        job.contains("lid_steps = [{ length = 44, depth = 3 }]"),
        "{job}"
    );
    assert!(job.contains("depth = 4.7 }"), "{job}");
    assert!(words[0].contains("lid's own steps"), "{words:?}");
}

// Pocket 3 has the job's own clearance of 0.1; the gap expected is the wanted
// one of 0.4; 3.4521 of 3.45 mm beside the leaf shows on no caliper.
#[test]
fn a_reading_that_changes_nothing_says_so_and_writes_nothing() {
    let default = Readings::default;
    for readings in [
        Readings {
            test_piece: Some((3, Series::default())),
            ..default()
        },
        Readings {
            gap: Some(mm(0.4)),
            ..default()
        },
        Readings {
            gap: Some(mm(0.402)),
            ..default()
        },
        Readings {
            outside_lid: Some(mm(3.4521)),
            ..default()
        },
    ] {
        let found = book_in(JOB, BITS, readings).unwrap();
        assert_eq!((found.job, found.bits), (None, None), "{:?}", found.words);
        assert!(
            found.words[0].contains("nothing changes"),
            "{:?}",
            found.words
        );
    }
    let rack = BITS.replace("diameter = 6", "diameter = 6\nmeasured = 6.03");
    let slot = Readings {
        slot: Some(mm(6.032)),
        ..default()
    };
    let found = book_in(JOB, &rack, slot).unwrap();
    assert_eq!(found.bits, None);
    assert!(
        found.words[0].contains("nothing changes"),
        "{:?}",
        found.words
    );
}

#[test]
fn only_the_corrections_of_what_is_cut_are_told() {
    let (text, _) = booked(JOB, outside_lid(3.15, Repeat::Once));
    let mut job = resolve(&text, BITS);
    assert_eq!(corrections(&job).len(), 1);
    job.selection.part = Some(PartName::Box);
    assert_eq!(corrections(&job), [""; 0]);
}

#[test]
fn a_slot_lands_in_the_bits_own_entry() {
    let readings = Readings {
        slot: Some(mm(6.03)),
        ..Readings::default()
    };
    let booked = book_in(JOB, BITS, readings.clone()).unwrap();
    assert_eq!(booked.job, None);
    let bits = booked.bits.unwrap();
    assert!(bits.starts_with("# the rack\n") && bits.contains("# the good one"));
    let job = resolve(JOB, &bits);
    assert_eq!(job.bit.measured.map(Length::as_mm), Some(6.03));
    assert_eq!(book_in(JOB, &bits, readings).unwrap().bits, None);
    assert!(corrections(&job)[0].contains("6.03 mm"));
}

// Confidence 0.3 with a recess of 0.8 − 0.4 = 0.4: the hinge closes to 0.7, so the
// next recess is 0.3 and the gap 0.4 as wanted.
#[test]
fn a_gap_seen_corrects_what_the_hinge_closes_to() {
    let gap = |repeat| Readings {
        gap: Some(mm(0.3)),
        repeat,
        ..Readings::default()
    };
    let (job, _) = booked(JOB, gap(Repeat::Once));
    let after = resolve(&job, BITS);
    assert!((after.hinge.closed_gap.as_mm() - 0.7).abs() < 1e-9);
    assert!((after.fit.gap.as_mm() - 0.4).abs() < 1e-9);
    assert!(
        book_in(&job, BITS, gap(Repeat::Once))
            .unwrap()
            .job
            .is_none()
    );
}

#[test]
fn a_gap_seen_without_a_wanted_one_is_what_the_hinge_closes_to() {
    let job = JOB.replace("gap = 0.4\n", "");
    let readings = Readings {
        gap: Some(mm(0.9)),
        ..Readings::default()
    };
    let (job, _) = booked(&job, readings);
    let after = resolve(&job, BITS);
    assert!((after.hinge.closed_gap.as_mm() - 0.9).abs() < 1e-9);
    assert_eq!(after.fit.gap, after.hinge.closed_gap);
}

#[test]
fn everything_but_the_figures_stays_as_it_was() {
    let readings = Readings {
        test_piece: Some((4, Series::default())),
        outside_lid: Some(mm(3.15)),
        gap: Some(mm(0.3)),
        ..Readings::default()
    };
    let (job, words) = booked(JOB, readings);
    assert_eq!(words.len(), 3);
    let mut kept = 0;
    for line in JOB.lines() {
        if !line.starts_with("clearance") && !line.starts_with("closed_gap") {
            assert!(job.lines().any(|other| other == line), "{line}");
            kept += 1;
        }
    }
    assert!(kept > 25);
    assert!(job.contains("clearance = 0.15  # a guess"), "{job}");
    assert!(job.contains("closed_gap = 0.7  # by caliper"), "{job}");
    insta::assert_snapshot!(
        job.lines()
            .skip_while(|line| *line != "[fit]")
            .collect::<Vec<_>>()
            .join("\n")
    );
}

#[test]
fn a_job_without_a_fit_table_gets_one() {
    let job = JOB.replace("[fit]\nclearance = 0.10  # a guess\ngap = 0.4\n\n", "");
    let (job, _) = booked(&job, outside_lid(3.15, Repeat::Once));
    assert!((lid_v(&job) - 0.3).abs() < 1e-9);
}

#[test]
fn figures_with_a_unit_of_their_own_keep_it() {
    let job = JOB.replace("clearance = 0.10", "clearance = '0.1 mm'");
    let job = format!("units = 'mm'\n{job}");
    let readings = Readings {
        test_piece: Some((4, Series::default())),
        ..Readings::default()
    };
    let (job, _) = booked(&job, readings);
    assert!(job.contains("clearance = \"0.15 mm\"  # a guess"), "{job}");
}

#[test]
fn a_pocket_narrower_than_the_bit_says_what_can_be_done() {
    let job = JOB.replace("width = 10", "width = 5.9");
    let readings = Readings {
        slot: Some(mm(6.1)),
        ..Readings::default()
    };
    let errors = book_in(&job, BITS, readings).unwrap_err();
    assert_eq!(errors[0].code, "bit-too-wide");
    let help = errors[0].help.as_deref().unwrap();
    assert!(
        help.contains("thinner bit") && help.contains("shim"),
        "{help}"
    );
}

#[test]
fn a_gap_that_cutting_cannot_open_says_what_can_be_done() {
    let job = JOB.replace("gap = 0.4", "gap = 0.8");
    let readings = Readings {
        gap: Some(mm(0.5)),
        ..Readings::default()
    };
    let errors = book_in(&job, BITS, readings).unwrap_err();
    assert_eq!(errors[0].code, "leaf-proud");
    assert!(errors[0].help.as_deref().unwrap().contains("card"));
}

#[test]
fn an_error_of_centimetres_is_no_matter_of_fit() {
    let errors = book_in(JOB, BITS, outside_lid(20.0, Repeat::Once)).unwrap_err();
    assert_eq!(errors[0].code, "out-of-range");
    assert!(errors[0].place.is_none());
}

#[test]
fn no_reading_is_nothing_to_book() {
    let errors = book_in(JOB, BITS, Readings::default()).unwrap_err();
    assert_eq!(errors[0].code, "nothing-to-book");
}
