//! What moves do to the wood, at the edges of each rule.

use super::*;

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

/// 4.7 + 1.5 mm, the same height again, and 1.5 mm more make a peck of 3 mm
/// where 2.5 are allowed; a tenth up in between makes them two.
#[test]
fn a_peck_ends_where_the_drill_rises() {
    let job = drill_job();
    let peck = |between: &str| {
        let text = format!(
            "{}G0 X63. Y-14.5\nG0 Z-4.2\nG1 Z-6.2 F600.\nG1 Z{between}\nG1 Z-7.7\n{TAIL}",
            HEAD.replace("S12000", "T2 S12000")
        );
        let report = judge_all(&job, &[&program(), &text]).report;
        row(&report, CheckId::Stepdown).clone()
    };
    // The nearest sample lies a little beside the point, where the cone is higher.
    assert!(peck("-6.2").message.starts_with("a peck of 2.9"));
    assert_eq!(peck("-6.1").verdict, Verdict::Pass);
}

/// The shank, 6 mm thick and from 10 mm up, passes the board's end at X 260
/// by a hundredth while the bit of 10 mm cuts into it 12 mm deep.
#[test]
fn a_thinner_shank_beside_the_board_meets_no_wood() {
    let mut job = slot_job();
    job.bit.cutting_length = mm(10.0);
    let beside = |x: &str| {
        let text = lone(&format!("G0 X{x} Y30.\nG1 Z-12. F600.\nG0 Z5.\n"));
        verdict(&judged(&job, &text), CheckId::NutClearance)
    };
    assert_eq!(beside("264."), Verdict::Pass);
    assert_eq!(beside("263.01"), Verdict::Pass);
    assert_eq!(beside("262.97"), Verdict::Fail);
}

/// From the middle line out to 5.5 mm beside it, 2.5 mm deep.
#[test]
fn wood_beyond_the_pocket_is_a_bite_like_any_other() {
    let mut job = slot_job();
    job.bit.stepdown = Some(mm(2.0));
    let out = "G0 X45. Y-14.5\nG0 Z0.5\nG1 Z0. F600.\nG1 Y-20. Z-2.5\nG0 Z5.\n";
    let report = judged(&job, &lone(out));
    fails(&report, CheckId::PocketBounds, "2.500 mm into the box");
    fails(&report, CheckId::Stepdown, "a bite of 2.500 mm");
    // The same once more takes no sample of wood; yet beyond the pocket there is some.
    let again = format!("{out}M5\n{}", &out[out.find("G0 Z0.5").unwrap()..]);
    fails(
        &judged(&job, &lone(&again)),
        CheckId::SpindleOn,
        "with the spindle off",
    );
}

/// Five thousandths deeper than the edge is long is rounding; a shank as
/// thick as the bit is none thinner.
#[test]
fn a_pocket_may_be_as_deep_as_the_edge_is_long() {
    let mut job = slot_job();
    let mut reach = |edge: f64, shank: f64| {
        job.bit.cutting_length = mm(edge);
        job.bit.shank = mm(shank);
        verdict(&judged(&job, &program()), CheckId::FluteReach)
    };
    assert_eq!(reach(12.396, 10.0), Verdict::Pass);
    assert_eq!(reach(12.394, 10.0), Verdict::Fail);
    assert_eq!(reach(12.394, 9.999), Verdict::Pass);
}

/// Ticks are cut and judged, but no pockets: neither counted nor drawn.
#[test]
fn ticks_are_no_pockets_of_the_report() {
    let mut job = slot_job();
    job.parts[1].ticks = vec![crate::job::Tick {
        from: Point::from_mm(120.0, 50.0),
        to: Point::from_mm(140.0, 50.0),
        depth: mm(0.5),
    }];
    let tick = "G0 X120. Y56.\nG0 Z0.5\nG1 Z0. F600.\nG1 X140. Z-0.5\nG1 X120.\nG0 Z5.\n";
    let good = program().replace(TAIL, &format!("{tick}{TAIL}"));
    let all: Vec<_> = [PartName::Box, PartName::Lid]
        .into_iter()
        .flat_map(|part| (0..=2).map(move |hinge| (part, hinge)))
        .collect();
    let outcome = judge_with_pictures(&job, &[&good], &all);
    passes(&outcome.report);
    assert_eq!(outcome.report.pockets.len(), 4);
    assert_eq!(outcome.maps.len(), 4);
    fails(
        &judged(&job, &program()),
        CheckId::PocketComplete,
        "0.500 mm of wood left in lid pocket 0",
    );
}

/// Each step as wanted, 44.1 × 10.1 mm and 27.1 × 10.1 mm about (45, 14.5).
#[test]
fn the_report_gives_the_steps_as_wanted() {
    let job = sample::job();
    let report = judged(&job, &lone(""));
    let steps = &report.pockets[2].steps;
    let near = |found: Length, expected: f64| (found.as_mm() - expected).abs() < 1e-9;
    for (step, length, depth) in [(&steps[0], 44.1, 4.7), (&steps[1], 27.1, 12.4)] {
        assert_eq!(step.center.map(Length::as_mm), [45.0, 14.5]);
        assert!(near(step.length, length) && near(step.width, 10.1));
        assert!(near(step.corner, 5.05) && near(step.depth, depth));
    }
    // Nothing is cut: all the wood is left.
    assert!(near(report.pockets[2].residual_mm, 12.4));
}

/// A bit as wide as no pocket is reaches none of the wood, and leaves it all.
#[test]
fn an_uncut_pocket_is_left_whatever_the_bit() {
    let mut job = slot_job();
    job.bit.diameter = mm(12.0);
    fails(
        &judged(&job, &lone("")),
        CheckId::PocketComplete,
        "12.400 mm of wood left in box pocket 1",
    );
}

/// A T word once wood is taken tells no other bit.
#[test]
fn a_t_word_after_the_first_cut_changes_nothing_by_itself() {
    let job = drill_job();
    let late = program().replace("M5\n", "T2\nM5\n");
    let report = judged(&job, &late);
    assert_eq!(report.programs[0].bit, "10 mm up-spiral");
    // T0 is an empty spindle, no mistake.
    let empty = judged(&job, &with("S12000", "T0 S12000"));
    assert_eq!(verdict(&empty, CheckId::Syntax), Verdict::Pass);
}

/// Where bits are changed at a pause with Z zeroed anew, the pause puts the
/// selected one in.
#[test]
fn a_pause_changes_the_bit_where_the_machine_says_so() {
    let mut job = drill_job();
    let text = |job: &Job| {
        let report = judged(job, &program().replace("M5\n", "T2\nM5\nM0\n"));
        report.programs[0].bit.clone()
    };
    assert_eq!(text(&job), "10 mm up-spiral");
    job.machine.dialect.tool_change = ToolChange::Pause;
    job.machine.dialect.rezero_at_pause = true;
    assert_eq!(text(&job), "2.5 mm drill");
}

/// By volume, where the ramp may be steep: as in the contract's formula
/// above, 65.57 + 34 + 63.79 + 17 = 180.36 mm at 1000 mm/min.
#[test]
fn the_bound_is_by_volume_where_the_ramp_is_steep() {
    let mut job = slot_job();
    job.selection.part = Some(PartName::Box);
    job.selection.hinge = Some(1);
    let mut chosen = settings::for_job(&job);
    chosen.feed = Feed::from_mm_per_minute(1000.0);
    chosen.limits.stepdown = mm(3.0);
    chosen.limits.ramp = Angle::from_degrees(45.0);
    let bound = |chosen: &Settings| {
        let mut judge = Judge::new(&job, chosen);
        judge.begin("a.nc", None);
        judge.push(format!("{HEAD}{}{TAIL}", pocket(45.0, -14.5)).as_bytes());
        judge.end();
        judge.finish().report.programs[0].bound_seconds.as_seconds()
    };
    let seconds = bound(&chosen);
    assert!(
        (seconds - 180.36 / 1000.0 * 60.0).abs() < 0.001,
        "{seconds}"
    );
    // Without a figure there is no bound.
    let mut none = chosen.clone();
    none.feed = Feed::from_mm_per_minute(0.0);
    assert_eq!(bound(&none), 0.0);
    none = chosen.clone();
    none.limits.stepdown = mm(0.0);
    assert_eq!(bound(&none), 0.0);
    none = chosen.clone();
    none.limits.ramp = Angle::from_degrees(0.0);
    assert_eq!(bound(&none), 0.0);
}

/// What the settings could not choose within the bit's limits fails.
#[test]
fn settings_that_are_refused_fail_with_their_reason() {
    let job = slot_job();
    let mut chosen = settings::for_job(&job);
    chosen.refusal = Some("no feed fits".to_owned());
    let mut judge = Judge::new(&job, &chosen);
    judge.begin("a.nc", None);
    judge.push(program().as_bytes());
    judge.end();
    fails_alone(&judge.finish().report, CheckId::ChipLoad, "no feed fits");
}

/// 0.02 mm off the other part's pocket is allowed, a thousandth more is not.
#[test]
fn folded_closed_the_pockets_may_miss_by_two_hundredths() {
    let job = slot_job();
    let moved = |x: f64| {
        let text = program().replace(&pocket(45.0, 14.5), &pocket(x, 14.5));
        verdict(&judged(&job, &text), CheckId::FoldMatch)
    };
    assert_eq!(moved(45.02), Verdict::Pass);
    assert_eq!(moved(44.98), Verdict::Pass);
    assert_eq!(moved(45.021), Verdict::Fail);
    assert_eq!(moved(44.979), Verdict::Fail);
}

#[test]
fn only_the_steps_of_this_run_are_folded() {
    let mut job = slot_job();
    let says = |job: &Job| {
        row(&judged(job, &program()), CheckId::FoldMatch)
            .message
            .clone()
    };
    assert!(says(&job).starts_with("4 steps folded closed, the worst 0.000 mm off"));
    job.selection.step = Some(2);
    assert!(says(&job).starts_with("2 steps folded closed"));
    // The deep step of the lid's first pocket lies 0.03 mm off.
    let off = |step, hinge| {
        let mut job = slot_job();
        (job.selection.step, job.selection.hinge) = (step, hinge);
        let lid = pocket(45.0, 14.5);
        let moved = lid
            .replace("X53.500", "X53.530")
            .replace("X36.500", "X36.530");
        let report = judged(&job, &program().replace(&lid, &moved));
        verdict(&report, CheckId::FoldMatch)
    };
    let (pass, fail) = (Verdict::Pass, Verdict::Fail);
    assert_eq!([off(Some(1), None), off(Some(2), None)], [pass, fail]);
    assert_eq!([off(None, Some(1)), off(None, Some(2))], [fail, pass]);
    job.selection.hinge = Some(2);
    assert!(says(&job).starts_with("1 step folded closed"));
}

/// Down from the face at the end of the first pocket's middle line in steps, by `line`.
fn in_steps(count: u32, line: impl Fn(u32) -> String) -> String {
    let mut text = String::from("G0 X45. Y-14.5\nG1 Z0. F600.\n");
    for step in 1..=count {
        text += &line(step);
    }
    lone(&(text + "G0 Z5.\n"))
}

/// What is too little to be judged by itself adds up: a rapid, a plunge and a
/// ramp, each in steps within the rounding of coordinates.
#[test]
fn steps_within_rounding_add_up() {
    let job = slot_job();
    let refused = |text: &str, id: CheckId| row(&judged(&job, text), id).count;
    let depth = |step: u32, size: f64| -f64::from(step) * size;
    let rapids = |count| in_steps(count, |step| format!("G0 Z{:.4}\n", depth(step, 0.004)));
    assert_eq!(refused(&rapids(5), CheckId::RapidInWood), 0);
    // 0.024 mm in all.
    assert_eq!(refused(&rapids(6), CheckId::RapidInWood), 1);
    let plunge = |count, size, places: usize| {
        in_steps(count, |step| {
            format!("G1 Z{:.places$}\n", depth(step, size))
        })
    };
    assert_eq!(refused(&plunge(2, 0.01, 2), CheckId::Plunge), 0);
    assert!(refused(&plunge(3, 0.01, 2), CheckId::Plunge) > 0);
    assert!(refused(&plunge(300, 0.0001, 4), CheckId::Plunge) > 0);
    // A thousandth down on each thousandth aside: 45 degrees within 1.5 last digits.
    let jitter = |count| {
        in_steps(count, |step| {
            format!(
                "G1 X{:.3} Z{:.3}\n",
                45.0 + f64::from(step % 2) * 0.001,
                depth(step, 0.001)
            )
        })
    };
    assert_eq!(refused(&jitter(20), CheckId::Plunge), 0);
    assert!(refused(&jitter(40), CheckId::Plunge) > 0);
    // Going on gently wears a step off again: 0.01 down on 0.3 mm is 1.9 degrees.
    let gentle = in_steps(100, |step| {
        let x = 45.0 + f64::from(step % 2) * 0.3;
        format!("G1 Z{:.3}\nG1 X{x:.3}\n", depth(step, 0.01))
    });
    assert_eq!(refused(&gentle, CheckId::Plunge), 0);
}

/// Laps of 0.004 mm each with the spindle off.
#[test]
fn shavings_within_rounding_are_cuts_together() {
    let job = slot_job();
    let laps = |count| {
        let text = in_steps(count, |step| {
            let (x, z) = (44.0 + f64::from(step % 2) * 2.0, -f64::from(step) * 0.004);
            format!("G1 X{x:.3} Z{z:.3}\n")
        });
        let off = text.replace("S12000 M3\n", "");
        row(&judged(&job, &off), CheckId::SpindleOn).count
    };
    assert_eq!(laps(1), 0);
    assert!(laps(2) > 0);
}
