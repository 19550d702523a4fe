use super::*;
use crate::geometry::Point;
use crate::job::{Hole, PartName, Pilot, Step, ZeroPoint, sample};
use crate::shop::bit::BitKind;
use crate::shop::machine::{ArcSupport, CommentStyle, DustRelay, DwellUnit, EndWord};
use crate::shop::machine::{SafeZ, SpindleControl};
use crate::units::{Length, Units};
use crate::{plan, settings};

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

fn print(job: &Job) -> Vec<Program> {
    let settings = settings::for_job(job);
    programs(&plan::job(job, &settings), job, &settings, &[])
}

fn text(job: &Job) -> String {
    print(job).remove(0).text
}

/// The box's first pocket, one step as wide as the bit.
fn slot() -> Job {
    let mut job = sample::job();
    job.bit = sample::bit(BitKind::DoubleFlute, 6.0);
    job.selection.part = Some(PartName::Box);
    job.selection.hinge = Some(1);
    job.parts[0].pockets[0].steps = vec![Step {
        length: mm(36.0),
        width: mm(6.0),
        corner: mm(3.0),
        shift: mm(0.0),
        depth: mm(2.0),
    }];
    job
}

fn with_holes() -> Job {
    let mut job = sample::job();
    let mut drill = sample::bit(BitKind::Drill, 2.5);
    drill.tool = 2;
    job.pilot = Some(Pilot {
        bit: drill,
        depth: mm(6.0),
    });
    for part in &mut job.parts {
        for pocket in &mut part.pockets {
            pocket.holes = vec![Hole {
                center: Point::from_mm(pocket.center.x + 17.5, pocket.center.y),
                diameter: mm(2.5),
                from: mm(4.7),
                tip: mm(10.7),
                point_height: mm(0.75),
            }];
        }
    }
    job
}

#[track_caller]
fn assert_order(text: &str, lines: &[&str]) {
    let mut rest = text.lines();
    for wanted in lines {
        assert!(
            rest.any(|line| line == *wanted),
            "`{wanted}` missing or out of order in\n{text}"
        );
    }
}

#[test]
fn a_small_program_reads_like_this() {
    let text = text(&slot());
    // Centre line from 45 - 15 to 45 + 15 at Y -(6 + 8.5); the last run level at the full depth.
    assert_order(
        &text,
        &[
            "G0 X30.000 Y-14.500",
            "G0 Z2.000",
            "G1 X30.000",
            "G0 Z5.000",
        ],
    );
    insta::assert_snapshot!(text);
}

#[test]
fn the_head_states_everything_before_the_first_motion() {
    let text = text(&sample::job());
    let first = text
        .lines()
        .position(|line| line.starts_with("G0"))
        .expect("motion");
    let head: Vec<_> = text.lines().take(first).collect();
    assert!(head.contains(&"G17 G21 G40 G49 G80 G90 G94 G54"));
    assert_eq!(text.lines().nth(first), Some("G0 Z5.000"));
}

#[test]
fn every_dialect_prints_plain_words() {
    let mut job = sample::job();
    job.selection.hinge = Some(1);
    for units in [Units::Millimetre, Units::Inch] {
        for arcs in [ArcSupport::Flat, ArcSupport::Helix, ArcSupport::None] {
            let dialect = &mut job.machine.dialect;
            dialect.units = units;
            dialect.decimals = if units == Units::Inch { 4 } else { 3 };
            dialect.arcs = arcs;
            dialect.line_numbers = arcs == ArcSupport::None;
            let decimals = usize::from(dialect.decimals);
            let text = text(&job);
            for line in text.lines().filter(|line| !line.starts_with('(')) {
                assert!(line.len() <= 70, "{line}");
                for word in line.split(' ') {
                    assert!(!word.contains("-0.0000") && !word.contains('e'), "{line}");
                    if word.starts_with(['X', 'Y', 'Z', 'I', 'J']) {
                        let (_, part) = word.split_once('.').expect("a point");
                        assert_eq!(part.len(), decimals, "{line}");
                    }
                }
            }
            assert_eq!(text.contains("G3 "), arcs != ArcSupport::None);
            let helix = text
                .lines()
                .any(|line| line.contains("G3 ") && line.contains(" Z"));
            assert_eq!(helix, arcs == ArcSupport::Helix);
        }
    }
}

#[test]
fn the_same_job_gives_the_same_text() {
    assert_eq!(print(&with_holes()), print(&with_holes()));
}

#[test]
fn pilot_holes_get_a_program_of_their_own_where_bits_are_not_changed() {
    let programs = print(&with_holes());
    let suffixes: Vec<_> = programs
        .iter()
        .map(|program| program.suffix.as_str())
        .collect();
    assert_eq!(suffixes, ["", "-pilot"]);
    // Spotted by half the diameter, 1.25 mm from -4.7 down; then pecks of at most one
    // diameter, 2.5 mm: two of 2.375 to -10.7.
    assert_order(
        &programs[1].text,
        &[
            "T2",
            "G0 Z-3.700",
            "G1 Z-5.950 F975.6",
            "G0 Z-3.700",
            "G0 Z-5.450",
            "G1 Z-8.325",
            "G0 Z-3.700",
            "G0 Z-7.825",
            "G1 Z-10.700",
        ],
    );
}

#[test]
fn a_bit_change_by_m6_sets_the_length_before_it_moves() {
    let mut job = with_holes();
    job.machine.dialect.tool_change = ToolChange::M6;
    let programs = print(&job);
    assert_eq!(programs.len(), 1);
    assert_order(
        &programs[0].text,
        &[
            "T1 M6",
            "G43 H1",
            "G0 Z5.000",
            "M5",
            "T2 M6",
            "G43 H2",
            "G0 Z5.000",
            "M30",
        ],
    );
}

#[test]
fn a_bit_change_by_pause_happens_with_the_spindle_off() {
    let mut job = with_holes();
    job.machine.dialect.tool_change = ToolChange::Pause;
    assert_eq!(print(&job).len(), 2, "no new zero, no change in a program");
    job.machine.dialect.rezero_at_pause = true;
    let programs = print(&job);
    assert_eq!(programs.len(), 1);
    assert_order(
        &programs[0].text,
        &[
            "G0 Z5.000",
            "M5",
            "T2",
            "M0",
            "G0 Z5.000",
            "G4 P3",
            "M5",
            "M30",
        ],
    );
}

#[test]
fn a_spindle_switched_by_hand_gets_its_pauses() {
    let mut job = slot();
    job.machine.spindle.control = SpindleControl::Manual;
    job.machine.dialect.dwell = DwellUnit::Milliseconds;
    job.machine.dialect.end = EndWord::M2;
    job.machine.dialect.dust = DustRelay::M8;
    job.machine.dialect.percent = true;
    let text = text(&job);
    assert_order(
        &text,
        &[
            "%",
            "G0 Z5.000",
            "M8",
            "M0",
            "G4 P3000",
            "G0 Z5.000",
            "M5",
            "M9",
            "M0",
            "M2",
            "%",
        ],
    );
}

#[test]
fn a_machine_height_is_the_first_and_the_last_motion() {
    let mut job = slot();
    job.machine.dialect.safe_z = SafeZ::Machine;
    job.fixture.machine_zero = Some([mm(60.0), mm(150.0), mm(-40.0)]);
    let text = text(&job);
    let rapids: Vec<_> = text.lines().filter(|line| line.contains("G0")).collect();
    assert_eq!(rapids.first(), Some(&"G53 G0 Z-1.000"));
    assert_eq!(rapids.last(), Some(&"G53 G0 Z-1.000"));
    // Over the first pocket at the top, and only there down to the safe height.
    let (over, down) = (rapids[1], rapids[2]);
    assert!(
        over.contains(" X") && over.contains(" Y") && !over.contains('Z'),
        "{over}"
    );
    assert_eq!(down, "G0 Z5.000");
}

/// The lid is cut last in its own zero, and the next bit begins at the box.
#[test]
fn a_new_bit_comes_down_over_its_first_pocket_in_another_zero_too() {
    let mut job = with_holes();
    job.machine.dialect.safe_z = SafeZ::Machine;
    job.machine.dialect.tool_change = ToolChange::M6;
    job.fixture.machine_zero = Some([mm(60.0), mm(150.0), mm(-40.0)]);
    job.fixture.zero = ZeroPoint::Each;
    let text = text(&job);
    let (_, second) = text.split_once("T2 M6").expect("a second bit");
    let (_, second) = second.split_once("G54\n").expect("back to the box");
    let mut rapids = second.lines().filter(|line| line.starts_with("G0"));
    let (over, down) = (rapids.next().unwrap_or(""), rapids.next());
    assert!(over.contains(" X") && over.contains(" Y"), "{over}");
    assert!(!over.contains('Z'), "{over}");
    assert_eq!(down, Some("G0 Z5.000"));
}

#[test]
fn the_zero_changes_at_the_same_physical_height() {
    let mut job = sample::job();
    job.fixture.zero = ZeroPoint::Each;
    job.fixture.lid_rise = mm(-4.0);
    let text = text(&job);
    // 5 mm above the box's face is 9 mm above a lid face 4 mm lower.
    let lines: Vec<_> = text.lines().filter(|line| !line.starts_with('(')).collect();
    let change = lines.iter().position(|line| *line == "G55").expect("G55");
    assert_eq!(lines[change - 1], "G0 Z5.000");
    assert_eq!(lines[change + 1], "G0 Z9.000");
    let next = lines[change + 2];
    assert!(next.starts_with("G0 X") && next.contains(" Y"), "{next}");
}

#[test]
fn marks_of_a_forced_program_stand_in_its_head() {
    let job = slot();
    let settings = settings::for_job(&job);
    let marks = ["floor-left failed".to_owned()];
    let programs = programs(&plan::job(&job, &settings), &job, &settings, &marks);
    assert!(programs[0].text.contains("(floor-left failed)\n"));
}

#[test]
fn without_comments_nothing_but_blocks_is_printed() {
    let mut job = slot();
    job.machine.dialect.comments = CommentStyle::None;
    assert!(!text(&job).contains('('));
    job.machine.dialect.comments = CommentStyle::Semicolon;
    assert!(text(&job).starts_with("; job Sample box\n"));
}

#[test]
fn a_partial_program_is_named_for_its_part() {
    let mut job = with_holes();
    job.selection.part = Some(PartName::Lid);
    job.selection.hinge = Some(2);
    let suffixes: Vec<_> = print(&job)
        .into_iter()
        .map(|program| program.suffix)
        .collect();
    assert_eq!(suffixes, ["-lid-h2", "-lid-h2-pilot"]);
}

#[test]
fn no_line_is_longer_than_the_dialect_allows() {
    let mut job = sample::job();
    let dialect = &mut job.machine.dialect;
    dialect.decimals = 5;
    dialect.line_limit = 60;
    dialect.line_numbers = true;
    dialect.arcs = ArcSupport::Helix;
    let text = text(&job);
    assert!(text.lines().all(|line| line.len() <= 60));
}
