//! Ways through the air, bounds and positions.

use super::*;

fn travel(text: &str) -> (u64, String) {
    let report = judged(&slot_job(), text);
    let check = row(&report, CheckId::TravelHeight);
    (check.count, check.message.clone())
}

#[test]
fn the_first_move_goes_up_whatever_it_counts_from() {
    let first = |code: &str| travel(&program().replacen("G0 Z5.", code, 1));
    assert_eq!(first("G0 Z4.996").0, 0);
    let (count, message) = first("G0 Z4.994");
    // The way to the first pocket is too low as well.
    assert_eq!(count, 2);
    assert!(
        message.contains("the first: the first move goes to Z4.994"),
        "{message}"
    );
    // A machine height that the job does not know is above everything.
    assert_eq!(first("G53 G0 Z0.").0, 0);
    let (_, message) = first("G0 Y-14.5\nG0 Z5.");
    assert!(message.contains("X or Y moves before Z"), "{message}");
    // And once more below it.
    let (count, _) = first("G53 G0 Z0.\nG0 Z4.");
    assert!(count > 0);
}

#[test]
fn before_x_and_y_are_known_the_bit_may_only_rise() {
    let start = |moves: &str| travel(&format!("{HEAD}{moves}\n{TAIL}"));
    assert_eq!(start("G0 Z-1.").0, 1);
    assert_eq!(start("G0 Z-1.\nG0 Z2.").0, 1);
    assert_eq!(start("G0 Z-1.\nG0 Z-2.").0, 2);
    let (count, message) = start("G0 Z-1.\nG0 X28. Z2.");
    assert_eq!(count, 2, "{message}");
    assert!(
        message.contains("down to Z-1.000 before X and Y are known"),
        "{message}"
    );
}

#[test]
fn low_moves_stay_over_one_pocket() {
    let low = |moves: &str| {
        let text = format!("{HEAD}G0 X45. Y-14.5\nG0 Z1.\n{moves}\nG0 Z5.\n{TAIL}");
        travel(&text).0
    };
    // 44 by 10 about (45, -14.5), which leaves a bit of 10 mm the line from X 28 to 62.
    assert_eq!(low("G0 X62."), 0);
    assert_eq!(low("G0 X28.\nG0 Z0.5"), 0);
    // And two hundredths.
    assert_eq!(low("G0 X62.019"), 0);
    assert_eq!(low("G0 X62.03"), 1);
    // Said again, X is no way aside.
    assert_eq!(low("G0 Z5.\nG0 X215.\nG0 X215. Z1."), 0);
    assert_eq!(low("G0 Y-14.53"), 1);
    assert_eq!(low("G0 X215."), 1);
    assert_eq!(low("G0 X215. Z5."), 1);
    assert_eq!(low("G1 X62.1 Z1. F600."), 1);
    // Half a turn out of the pocket and back into it.
    assert_eq!(low("G2 X46. Y-14.5 I0.5 F600."), 1);
}

/// Where nothing is asked for everything below the safe height is a body: the
/// boards, the walls of a standing box, the bed.
#[test]
fn a_straight_dive_is_made_over_what_is_asked_for() {
    let dive = |job: &Job, x: f64, y: f64| {
        let text = format!(
            "{HEAD}G0 X{x:.3} Y{y:.3}\nG1 Z-1. F600.\nG0 Z5.\n{}",
            TAIL.trim_start_matches("G0 Z5.\n")
        );
        let report = judged(job, &text);
        row(&report, CheckId::TravelHeight).count
    };
    let job = slot_job();
    assert_eq!(dive(&job, 45.0, -14.5), 0);
    // Beside both boards, off their ends, over the box's room, and in the lid's middle.
    for (x, y) in [
        (300.0, -14.5),
        (-20.0, 0.0),
        (45.0, -60.0),
        (45.0, 250.0),
        (130.0, 90.0),
    ] {
        assert_eq!(dive(&job, x, y), 1, "X{x} Y{y}");
    }
    // The lid's pocket is not asked for where only the box is cut.
    assert_eq!(dive(&job, 45.0, 14.5), 0);
    let mut of_the_box = job;
    of_the_box.selection.part = Some(PartName::Box);
    assert_eq!(dive(&of_the_box, 45.0, 14.5), 1);
}

/// 30, 40: 50 mm of cut and 1 down; rapids of 4 and 5 mm once all axes are known.
#[test]
fn lengths_and_bounds_are_those_of_the_text() {
    let machine = sample::machine();
    let mut judge = MachineJudge::new(&machine);
    judge.begin("a.nc");
    judge.push(
        b"G21 G17 G40 G49 G90 G94 G54\nG0 Z5.\nG0 X0. Y0.\nG0 Z1.\nG1 Z0. F600.\nG1 X30. Y40.\nG0 Z5.\nM30\n",
    );
    judge.end();
    let report = judge.finish();
    let figures = &report.programs[0];
    assert_eq!(figures.cut_mm.as_mm(), 51.0);
    assert_eq!(figures.rapid_mm.as_mm(), 9.0);
    assert_eq!(figures.bounds.min.map(Length::as_mm), [0.0, 0.0, 0.0]);
    assert_eq!(figures.bounds.max.map(Length::as_mm), [30.0, 40.0, 5.0]);
    // 51 mm at 10 mm/s; 9 mm at 25.
    assert!((figures.cutting_seconds.as_seconds() - 5.1).abs() < 1e-9);
    assert!((figures.rapid_seconds.as_seconds() - 0.36).abs() < 1e-9);
}

/// With a zero for each part G54 lies at Y -6, the box's outside face.
#[test]
fn positions_count_from_the_zero_that_the_machine_has() {
    let mut job = slot_job();
    job.selection.part = Some(PartName::Box);
    job.fixture.zero = ZeroPoint::Each;
    let mut text = HEAD.to_owned();
    for x in [45.0, 215.0] {
        text += &pocket(x, -8.5);
    }
    text += TAIL;
    job.fixture.machine_zero = Some([60.0, 9.0, -40.0].map(mm));
    passes(&judged(&job, &text));
    job.fixture.machine_zero = Some([60.0, 8.0, -40.0].map(mm));
    fails_alone(
        &judged(&job, &text),
        CheckId::Envelope,
        "Y goes from -0.50 to -0.50 mm in machine coordinates",
    );
    job.fixture.machine_zero = Some([369.0, 9.0, -40.0].map(mm));
    fails_alone(
        &judged(&job, &text),
        CheckId::Envelope,
        "X goes from 397.00 to 601.00 mm in machine coordinates, it can from 0.00 to 400.00 mm",
    );
}

/// Round the rim of the lid's pocket, 2.05 mm off its middle line: two
/// straights of 34 mm and a circle, at 20 mm/s, and 0.8 mm down.
#[test]
fn a_whole_shallow_lap_of_the_rim_is_scoring() {
    let job = sample::job();
    let lap = |depth: f64| {
        format!(
            "G0 X28. Y12.45\nG0 Z0.5\nG1 Z-{depth} F1200.\nG1 X62.\nG3 X62. Y16.55 J2.05\n\
             G1 X28.\nG3 X28. Y12.45 J-2.05\n"
        )
    };
    let scoring = |moves: &str| {
        let report = judged(&job, &format!("{HEAD}{moves}{TAIL}"));
        let program = &report.programs[0];
        let (scoring, cutting) = (program.scoring_seconds, program.cutting_seconds);
        (scoring.as_seconds(), cutting.as_seconds())
    };
    let whole = (68.0 + 4.1 * std::f64::consts::PI) / 20.0;
    let (seconds, rest) = scoring(&lap(0.3));
    assert!((seconds - whole - 0.8 / 20.0).abs() < 1e-3, "{seconds}");
    assert!(rest.abs() < 1e-3, "{rest}");
    assert!(scoring(&lap(0.51)).0 > 4.0);
    let (none, rest) = scoring(&lap(0.53));
    assert_eq!(none, 0.0);
    assert!((rest - whole - 1.03 / 20.0).abs() < 1e-3, "{rest}");
    // Half of it is not, nor one a little inside, nor a second one below.
    let half: String = lap(0.3)
        .lines()
        .take(5)
        .map(|line| format!("{line}\n"))
        .collect();
    assert_eq!(scoring(&half).0, 0.0);
    assert_eq!(
        scoring(
            &lap(0.3)
                .replace("12.45", "12.48")
                .replace("J2.05", "J2.035")
        )
        .0,
        0.0
    );
    assert!((scoring(&(lap(0.3) + &lap(1.0))).0 - seconds).abs() < 1e-3);
}

/// The safe height is 5 mm, five thousandths less is its rounding.
#[test]
fn a_height_rounded_down_is_the_height() {
    let mut job = slot_job();
    job.fixture.zero = ZeroPoint::Each;
    let text = |height: &str| {
        let head = HEAD.replace("G0 Z5.", &format!("G0 Z{height}"));
        format!("{head}G55\nG0 X45. Y8.5\nM5\nM30\n")
    };
    let failed = |height: &str| {
        let report = judged(&job, &text(height));
        let count = |id| row(&report, id).count;
        (count(CheckId::TravelHeight), count(CheckId::ProgramEnd))
    };
    assert_eq!(failed("4.995"), (0, 0));
    // The first move, the change of offset and the way aside; and the end.
    assert_eq!(failed("4.994"), (3, 1));
}

#[test]
fn the_first_move_is_z_alone() {
    let first = |code: &str| {
        let (count, message) = travel(&program().replacen("G0 Z5.", code, 1));
        (count > 0, message.contains("X or Y moves before Z"))
    };
    for code in [
        "G0 X28. Z5.",
        "G0 Y-14.5 Z5.",
        "G0 X28. Y-14.5 Z5.",
        "G0 X28.",
    ] {
        assert_eq!(first(code), (true, true), "{code}");
    }
    assert_eq!(first("G0 Z5."), (false, false));
}

/// Where the machine's zero is known, a machine height is a height like any
/// other: 38 mm below the zero, which lies 40 above the work's, is Z 2.
#[test]
fn a_known_machine_height_is_not_above_everything() {
    let mut job = slot_job();
    let ends = |job: &Job| {
        let report = judged(job, &with(TAIL, "G53 G0 Z-38.\nM5\nM30\n"));
        row(&report, CheckId::ProgramEnd).clone()
    };
    assert_eq!(ends(&job).verdict, Verdict::Pass);
    job.fixture.machine_zero = Some([60.0, 150.0, -40.0].map(mm));
    let check = ends(&job);
    assert!(
        check.message.contains("stands at Z2.000"),
        "{}",
        check.message
    );
}

/// Machine positions that the job does not know are moves all the same.
#[test]
fn sideways_at_an_unknown_height_is_refused_each_time() {
    let blind = HEAD.replace("G0 Z5.", "G53 G0 X-10.\nG53 G0 X-20.");
    // The first move, the second, and none for the lift.
    assert_eq!(travel(&format!("{blind}{TAIL}")).0, 2);
}

/// 3000 mm/min along X, of which a thousandth is rounding.
#[test]
fn a_feed_may_be_as_great_as_the_axis_allows() {
    let machine = sample::machine();
    for (feed, expected) in [("3002", Verdict::Pass), ("3004", Verdict::Fail)] {
        let mut judge = MachineJudge::new(&machine);
        judge.begin("a.nc");
        let text = format!("{HEAD}G0 X0. Y0.\nG1 X100.001 F{feed}\n{TAIL}");
        judge.push(text.as_bytes());
        judge.end();
        let report = judge.finish();
        assert_eq!(row(&report, CheckId::FeedLimit).verdict, expected, "{feed}");
    }
}

/// The rim of the lid's pocket as above, with a stepdown of 1 mm: a scoring
/// lap is a quarter of it deep, and a hundredth for rounding.
#[test]
fn a_scoring_lap_is_no_deeper_than_a_quarter_of_the_stepdown() {
    let mut job = sample::job();
    job.bit.stepdown = Some(mm(1.0));
    let scoring = |depth: f64, feed: &str| {
        let lap = format!(
            "G0 X28. Y12.45\nG0 Z0.5\nG1 Z-{depth}{feed}\nG1 X62.\nG3 X62. Y16.55 J2.05\n\
             G1 X28.\nG3 X28. Y12.45 J-2.05\n"
        );
        let report = judged(&job, &format!("{HEAD}{lap}{TAIL}"));
        report.programs[0].scoring_seconds.as_seconds()
    };
    assert!(scoring(0.25, " F1200.") > 4.0);
    assert_eq!(scoring(0.27, " F1200."), 0.0);
    // Without a feed there is no time.
    assert_eq!(scoring(0.25, ""), 0.0);
}

/// An axis has its way from its first word on, whether or not the others are known.
#[test]
fn an_axis_counts_before_the_others_are_known() {
    let report = judged(&slot_job(), &with("S12000", "G0 X9000.\nS12000"));
    fails(&report, CheckId::Envelope, "X goes from");
}
