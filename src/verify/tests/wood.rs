//! What moves do to the wood, at the edges of each rule.

use super::*;

fn lone(text: &str) -> String {
    format!("{HEAD}{text}{TAIL}")
}

fn verdict(report: &Report, id: CheckId) -> Verdict {
    row(report, id).verdict
}

/// Lid pockets of the good program lifted with their face.
fn raised(rise: f64) -> String {
    let mut text = HEAD.replace("Z5.", &format!("Z{:.3}", rise + 5.0));
    for (y, top) in [(-14.5, 0.0), (14.5, rise)] {
        for x in [45.0, 215.0] {
            for line in pocket(x, y).lines() {
                let words: Vec<String> = line
                    .split(' ')
                    .map(|word| match word.strip_prefix('Z') {
                        Some("5.") => format!("Z{:.3}", rise + 5.0),
                        Some(z) => format!("Z{:.3}", top + z.parse::<f64>().unwrap()),
                        None => word.to_owned(),
                    })
                    .collect();
                text += &(words.join(" ") + "\n");
            }
        }
    }
    text + &TAIL.replace("Z5.", &format!("Z{:.3}", rise + 5.0))
}

#[test]
fn a_raised_lid_is_judged_from_its_own_face() {
    let mut job = slot_job();
    job.fixture.lid_rise = mm(2.0);
    let good = judged(&job, &raised(2.0));
    passes(&good);
    for pocket in &good.pockets {
        assert!(pocket.gouge_mm.as_mm() < 1e-3 && pocket.residual_mm.as_mm() < 2e-3);
    }
    assert_eq!(good.pockets[2].top.as_mm(), 2.0);
    // Its deep step ends at 2 - 12.4.
    let deep = judged(&job, &raised(2.0).replace("Z-10.400", "Z-10.430"));
    fails(&deep, CheckId::PocketBounds, "cuts 0.030 mm into the lid");
    let shallow = judged(&job, &raised(2.0).replace("Z-10.400", "Z-10.370"));
    fails(&shallow, CheckId::PocketComplete, "0.030 mm of wood left");
    // A rapid straight down into the face of the second lid pocket.
    let text = raised(2.0);
    let at = text.rfind("Z2.500").unwrap();
    let rapid = format!("{}Z1.500{}", &text[..at], &text[at + 6..]);
    fails(
        &judged(&job, &rapid),
        CheckId::RapidInWood,
        "stands 0.500 mm",
    );
}

#[test]
fn messages_of_checks_that_pass_count_what_was_seen() {
    let text = program();
    let report = judged(&slot_job(), &text);
    let count = |start: &str| text.lines().filter(|line| line.starts_with(start)).count();
    let ramps = text
        .lines()
        .filter(|line| line.starts_with("G1 X") && line.contains(" Z"))
        .count();
    let says = |id: CheckId, words: &str| {
        let message = &row(&report, id).message;
        assert!(message.starts_with(words), "{message} is not {words}");
    };
    let moves = count("G0 ") + count("G1 ");
    // The first two start where nothing is known.
    says(
        CheckId::RapidInWood,
        &format!("{} rapids,", count("G0 ") - 2),
    );
    says(CheckId::TravelHeight, &format!("{moves} moves,"));
    says(CheckId::FeedLimit, &format!("{moves} moves"));
    says(CheckId::RampAngle, &format!("{ramps} ramps"));
    says(CheckId::Syntax, "1 program, every line");
}

#[test]
fn each_gouge_is_found_and_the_figure_is_the_worst() {
    let job = slot_job();
    let twice = with("G1 X53.500\nG1 X36.500\n", "G1 X53.550\nG1 X36.470\n");
    let report = judged(&job, &twice);
    let bounds = row(&report, CheckId::PocketBounds);
    // The way there, the way back, and the way on from the other end.
    assert_eq!(bounds.count, 3, "{:?}", bounds.findings);
    assert!((report.pockets[0].gouge_mm.as_mm() - 0.05).abs() < 1e-4);
    assert!(report.pockets[1].gouge_mm.as_mm() < 1e-3);
}

#[test]
fn wood_away_from_every_pocket_is_solid() {
    let mut job = slot_job();
    job.bit.stepdown = Some(mm(2.0));
    let bite = |depth: &str| {
        let away = lone(&format!("G0 X130. Y60.\nG1 Z-{depth} F600.\nG0 Z5.\n"));
        let report = judged(&job, &away);
        let check = row(&report, CheckId::Stepdown);
        (check.verdict, check.message.clone())
    };
    // One and a half last digits and a thousandth are rounding.
    assert_eq!(bite("2.002").0, Verdict::Pass);
    let (verdict, message) = bite("2.003");
    assert_eq!(verdict, Verdict::Fail);
    assert!(
        message.starts_with("a bite of 2.003 mm, at most 2.000"),
        "{message}"
    );
}

#[test]
fn a_bit_that_plunges_keeps_to_its_ramp_too() {
    let mut job = slot_job();
    job.bit.plunges = true;
    let steep = with("G1 X62.000 Z-1.000", "G1 X62.000 Z-1.785");
    fails(&judged(&job, &steep), CheckId::RampAngle, "at most 3.00");
}

#[test]
fn a_rapid_beside_the_board_meets_no_wood() {
    let job = slot_job();
    let down = |x: &str| judged(&job, &lone(&format!("G0 X{x} Y-14.5\nG0 Z-3.\nG0 Z5.\n")));
    assert_eq!(verdict(&down("-4.99"), CheckId::RapidInWood), Verdict::Pass);
    assert_eq!(verdict(&down("-4.97"), CheckId::RapidInWood), Verdict::Fail);
    assert_eq!(
        verdict(&down("264.99"), CheckId::RapidInWood),
        Verdict::Pass
    );
    assert_eq!(
        verdict(&down("264.97"), CheckId::RapidInWood),
        Verdict::Fail
    );
}

/// A program that only repeats another takes no wood and needs no time; a drill has no contour.
#[test]
fn the_bound_is_of_programs_that_take_wood_with_a_flat_bit() {
    let job = drill_job();
    let outcome = judge_all(&job, &[&program(), &program(), &drilling(2.0)]);
    let seconds = |index: usize| {
        let program = &outcome.report.programs[index];
        program.bound_seconds.as_seconds()
    };
    assert!(seconds(0) > 1.0);
    assert_eq!(seconds(1), 0.0);
    assert_eq!(seconds(2), 0.0);
}

#[test]
fn a_part_above_the_edge_needs_a_way_as_wide_as_itself() {
    let mut job = slot_job();
    // The shank, 10.1 mm thick and 10 mm above the tip, comes 2.4 mm below the rim.
    job.bit.cutting_length = mm(10.0);
    job.bit.shank = mm(10.03);
    assert_eq!(
        verdict(&judged(&job, &program()), CheckId::NutClearance),
        Verdict::Pass
    );
    job.bit.shank = mm(10.3);
    fails(
        &judged(&job, &program()),
        CheckId::NutClearance,
        "the shank meets wood of lid pocket 2 that stands 2.40 mm above",
    );
}
