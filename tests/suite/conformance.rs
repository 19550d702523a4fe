//! NISTIR 6556 (2000), case by case. Sections, tables and appendices are the
//! report's; an E number is that of the same interpreter's list of errors.
//! What the standard allows and our subset leaves out is refused by name.

use stepwell::geometry::Position;
use stepwell::rs274;
use stepwell::rs274::event::{Event, Frames, Path, Turning};
use stepwell::shop::machine::{CommentStyle, Dialect};
use stepwell::units::Length;

use crate::program::{Log, arc, dialect, length, millimetres, read, read_in};

/// The state that the cases start from: at the origin, in G1, with F100.
const HEAD: &str = "G21 G17 G90 G94 G54 G40 G49\nG0 X0 Y0 Z0\nG1 X0 Y0 Z0 F100\n";
const HEAD_LINES: u64 = 3;

fn run(lines: &str) -> Log {
    let mut log = read(&format!("{HEAD}{lines}\nM2\n"));
    log.events.retain(|(line, _)| *line > HEAD_LINES);
    log.refusals
        .iter_mut()
        .for_each(|refusal| refusal.line -= HEAD_LINES);
    log
}

/// What a case comes to.
enum Outcome {
    /// Accepted; where the last move ends, in millimetres.
    At([f64; 3]),
    /// Accepted; nothing moves.
    Still,
    /// Refused on the last line of the input, with these words, at this column.
    Refused(&'static str, u32),
}

use Outcome::{At, Refused, Still};

type Case = (&'static str, &'static str, &'static str, Outcome);

#[track_caller]
fn check(cases: &[Case]) {
    for (id, section, input, outcome) in cases {
        let log = run(input);
        let place = format!("{id} ({section}) `{input}`");
        let moves = log.moves().count();
        match outcome {
            At(end) => {
                assert_eq!(log.refusals, [], "{place}");
                let found = log.end();
                let near = |axis: usize| (found[axis] - end[axis]).abs() < 1e-9;
                assert!((0..3).all(near), "{place}: {found:?} against {end:?}");
            }
            Still => {
                assert_eq!(log.refusals, [], "{place}");
                assert_eq!(moves, 0, "{place}");
            }
            Refused(words, column) => {
                assert_eq!(log.refusals.len(), 1, "{place}: {:?}", log.refusals);
                let refusal = &log.refusals[0];
                assert!(refusal.message.contains(words), "{place}: {refusal:?}");
                assert_eq!(refusal.column, *column, "{place}: {refusal:?}");
                assert_eq!(refusal.line, input.lines().count() as u64, "{place}");
                assert!(refusal.length > 0 || *words == "digit", "{place}");
            }
        }
    }
}

#[test]
fn lines_words_and_numbers_follow_the_standard() {
    check(&[
        // Legal in the standard; splitting a number is left out of the subset.
        (
            "L1",
            "3.3",
            "g0x +0. 12 34y 7",
            Refused("white space splits a number", 9),
        ),
        ("L1", "3.3", "g0 x +0.1234 y 7", At([0.1234, 7.0, 0.0])),
        ("L1", "3.3", "\tg 0x+0.1234\ty7 ", At([0.1234, 7.0, 0.0])),
        ("L2", "3.3.2.1", "G01 X007.50", At([7.5, 0.0, 0.0])),
        ("L3", "3.3.2.1", "X.5", At([0.5, 0.0, 0.0])),
        ("L3", "3.3.2.1", "X.5\nX5.", At([5.0, 0.0, 0.0])),
        ("L4", "3.3.2.1, E134", "X.", Refused("digit", 3)),
        ("L5", "App. E.2", "X1.2.3", Refused("second point", 5)),
        (
            "L6",
            "App. E.2, E.3",
            "X1e2",
            Refused("letter E is not in the language", 3),
        ),
        ("L7", "App. E.2", "X--5", Refused("second sign", 3)),
        ("L8", "3.3.2.1", "X-0", At([0.0, 0.0, 0.0])),
        ("L9", "3.3.1", "N99999 X1", At([1.0, 0.0, 0.0])),
        (
            "L9",
            "3.3.1",
            "N000010 X1",
            Refused("one to five digits", 1),
        ),
        ("L10", "3.3.1", "N-5 X1", Refused("no sign", 1)),
        ("L10", "3.3.1", "N1.5 X1", Refused("no point", 1)),
        (
            "L11",
            "App. E.2",
            "G1 N20 X5",
            Refused("stands first only", 4),
        ),
        ("L12", "3.3", "", Still),
        ("L12", "3.3", "N10", Still),
        ("L12", "3.3", "(note)", Still),
        ("L13", "3.3.4", "X1 (a (b) c)", Refused("do not nest", 7)),
        ("L14", "3.3.4", "X1 (open", Refused("not closed", 4)),
        ("L15", "3.3", "X1 )", Refused("outside a comment", 4)),
        ("L16", "3.3.4", "( m S g , hi)", Still),
        ("L17", "App. E.3", "X1 ; note", Refused("comment `;`", 4)),
        // The slash has two meanings for one file: left out of the subset.
        ("L18", "2.2.2", "/X5", Refused("block delete", 1)),
        ("L19", "A.1 item 3", "/X5 (", Refused("block delete", 1)),
        ("L20", "App. E.2", "G1 /X5", Refused("block delete", 4)),
        (
            "L22",
            "Table 3",
            "O100",
            Refused("letter O is not in the language", 1),
        ),
        (
            "L22",
            "Table 3",
            "U5",
            Refused("letter U is not in the language", 1),
        ),
        (
            "L22",
            "Table 3",
            "E1",
            Refused("letter E is not in the language", 1),
        ),
        ("L23", "3.3.2.2", "X[2+2]", Refused("expression", 2)),
        ("L23", "3.3.3", "#1=5", Refused("parameter `#`", 1)),
        (
            "L23",
            "3.3.2.4",
            "Xsin[30]",
            Refused("function in an expression", 2),
        ),
    ]);
}

// L21 (3.3): a line has at most 256 characters.
#[test]
fn a_line_may_have_256_characters_and_no_more() {
    let comment = |length: usize| format!("X1({})", "a".repeat(length - 4));
    let log = run(&comment(256));
    assert_eq!(log.refusals, []);
    assert_eq!(log.end(), [1.0, 0.0, 0.0]);
    let log = run(&comment(257));
    assert_eq!(log.refusals.len(), 1);
    assert_eq!((log.refusals[0].line, log.refusals[0].column), (1, 257));
    assert!(log.refusals[0].message.contains("longer than 256"));
    assert_eq!(log.moves().count(), 0);
}

// L17 (App. E.3): a later extension, by the machine file's own word.
#[test]
fn a_semicolon_comment_needs_a_dialect_that_has_it() {
    let mut log = Log::default();
    let semicolon = Dialect {
        comments: CommentStyle::Semicolon,
        ..dialect()
    };
    let text = "G0 X1 ; note (a\n;\nM2\n";
    rs274::read(text.as_bytes(), &semicolon, Frames::default(), &mut log);
    assert_eq!(log.refusals, []);
    assert_eq!(log.moves().count(), 1);
}

#[test]
fn files_follow_the_rules_of_percent_and_end() {
    // F1 (3.1): what follows the second percent is ignored.
    let log = read("%\nG0 X1\n%\njunk!\n");
    assert_eq!(log.refusals, []);
    assert_eq!(millimetres(log.moves().last().unwrap().1.to())[0], 1.0);
    // F2 (3.1, E80): the second percent is missing.
    let log = read("%\nG0 X1\nM2\n");
    assert_eq!(log.refusals.len(), 1);
    assert!(log.refusals[0].message.contains("no second"));
    assert_eq!((log.refusals[0].line, log.refusals[0].column), (3, 0));
    // F3 (3.1, E81): neither percent nor M2 nor M30.
    let log = read("G0 X1\n");
    assert_eq!(log.refusals.len(), 1);
    assert!(log.refusals[0].message.contains("no M2 or M30"));
    // F4 (3.1, 3.6.1): nothing after M2 is executed, nor even read.
    for end in ["M2", "M30"] {
        let log = read(&format!("G0 X1\n{end}\nX9 junk!\n%\n"));
        assert_eq!(log.refusals, []);
        assert_eq!(log.moves().count(), 1);
        let (told, executed): (Vec<_>, Vec<_>) = log
            .events
            .iter()
            .partition(|(_, event)| *event == Event::AfterEnd);
        assert_eq!(executed.last().map(|(line, _)| *line), Some(2));
        // That they stand there is told: senders go on sending.
        let lines: Vec<u64> = told.iter().map(|(line, _)| *line).collect();
        assert_eq!(lines, [3, 4]);
    }
    let log = read("%\nG0 X1\nM2\njunk!\n%\nmore\n");
    assert_eq!(log.refusals, []);
    // F5 (A.1 item 4): a percent after a first line that is none.
    let log = read("G21\n%\nM2\n");
    assert_eq!(log.refusals.len(), 1);
    assert_eq!(log.refusals[0].line, 2);
    assert!(log.refusals[0].message.contains("both or neither"));
    // A.1 item 4: a percent line holds nothing else, but blanks.
    let log = read(" \n\t% \nG0 X1\n%100\n");
    assert_eq!(log.refusals.len(), 1);
    assert_eq!((log.refusals[0].line, log.refusals[0].column), (4, 2));
    assert_eq!(log.refusals[0].length, 3);
}

#[test]
fn words_on_one_line_agree_with_each_other() {
    check(&[
        ("W1", "3.3.5", "G1 X1 X2", Refused("second X word", 7)),
        (
            "W2",
            "3.3.5",
            "G1 G1 X1",
            Refused("G1 is the second motion code", 4),
        ),
        (
            "W3",
            "3.3.5, Table 4",
            "G0 G1 X1",
            Refused("G1 is the second motion code", 4),
        ),
        (
            "W3",
            "3.3.5, Table 4",
            "G90 G91 X1",
            Refused("incremental distance G91", 5),
        ),
        (
            "W3",
            "3.3.5, Table 4",
            "G20 G21 X1",
            Refused("G21 is the second units code", 5),
        ),
        (
            "W4",
            "3.3.5, Table 4",
            "M7 M8",
            Refused("M8 is the second coolant code", 4),
        ),
        ("W4", "3.3.5, Table 4", "M7\nM8", Still),
        ("W5", "3.3.5, E163", "M3 M8 M0", Still),
        (
            "W5",
            "3.3.5, E163",
            "M3 M8 M48 M0",
            Refused("override switch M48", 7),
        ),
        (
            "W5",
            "3.3.5, E163",
            "M3 M8 M0 M6 M48",
            Refused("override switch M48", 13),
        ),
        (
            "W6",
            "3.3.5, D.8.2",
            "G4 P1 G53 G0 X1",
            Refused("G53 is the second one-line", 7),
        ),
        ("W7", "3.3.2.1", "G1.000001 X1", At([1.0, 0.0, 0.0])),
        ("W7", "3.3.2.1", "M3.2", Refused("M3.2 is no code", 1)),
        (
            "W8",
            "E173",
            "G5 X1",
            Refused("code G5 is not in the language", 1),
        ),
        (
            "W8",
            "E173",
            "G59.4",
            Refused("code G59.4 is not in the language", 1),
        ),
        ("W9", "3.3.6", "X5 G1", At([5.0, 0.0, 0.0])),
        (
            "W10",
            "E140",
            "G1 X5 P2",
            Refused("P word that no code on the line uses", 7),
        ),
        (
            "W10",
            "E88",
            "G1 X5 I2",
            Refused("I word that no code on the line uses", 7),
        ),
        ("W10", "E151", "G1 X5 R2", Refused("arc radius", 7)),
        ("W11", "3.7.2", "S-100", Refused("S-100 is negative", 1)),
        ("W11", "E123", "F-1", Refused("F-1 is negative", 1)),
        ("W11", "3.7.3", "T-1", Refused("T-1 is negative", 1)),
    ]);
}

#[test]
fn modes_and_the_order_of_execution_follow_the_standard() {
    check(&[
        ("M1", "3.5.2", "G1 F200", Refused("without an axis word", 1)),
        ("M2", "3.7.1", "F200", Still),
        ("M3", "3.3.7", "X5", At([5.0, 0.0, 0.0])),
        (
            "M4",
            "3.5.15, E57",
            "G80\nX5",
            Refused("no motion in force", 1),
        ),
        (
            "M5",
            "3.5.15",
            "G80 X5",
            Refused("axis word on a line with G80", 5),
        ),
        ("M5", "3.5.15", "G80 G92 X5", Refused("axis offset G92", 5)),
        ("M6", "3.4", "G0 G92 X5", Refused("axis offset G92", 4)),
        ("M7", "3.4, 3.5.18", "G92 X5", Refused("axis offset G92", 1)),
        ("M8", "3.4, Table 8", "G4 P1 X5", At([5.0, 0.0, 0.0])),
        (
            "M9",
            "3.5.17, Table 8",
            "G91 X5 Y1",
            Refused("incremental distance G91", 1),
        ),
        ("M13", "Table 8, 5.1.3", "G1 X10 M2", At([10.0, 0.0, 0.0])),
        (
            "M14",
            "2.1.2.10, Table 8",
            "X25.4\nG20 X1",
            At([25.4, 0.0, 0.0]),
        ),
        ("M15", "3.5.4, E72", "G4 P-1", Refused("P-1 is negative", 4)),
        ("M15", "3.5.4, E72", "G4", Refused("without its P word", 1)),
    ]);
}

// M10 (E41): refused, and yet shown, so that its cut is judged.
#[test]
fn a_feed_move_without_a_feed_is_refused_and_shown() {
    let log = run("G1 X10 F0");
    assert_eq!(log.refusals.len(), 1);
    assert!(log.refusals[0].message.contains("feed zero"));
    assert_eq!(log.end(), [10.0, 0.0, 0.0]);
    assert_eq!(log.moves().last().unwrap().1.feed().as_mm_per_minute(), 0.0);
    let log = read("G21 G0 X0 Y0 Z1\nG1 X10\nX20\nG0 X0\nM2\n");
    let lines: Vec<u64> = log.refusals.iter().map(|refusal| refusal.line).collect();
    assert_eq!(lines, [2, 3]);
}

fn names(log: &Log) -> Vec<&'static str> {
    let name = |event: &Event| match event {
        Event::Feed(_) => "F",
        Event::Speed(_) => "S",
        Event::SelectTool(_) => "T",
        Event::ToolChange(_) => "M6",
        Event::Spindle(Turning::Clockwise) => "M3",
        Event::Spindle(Turning::Stopped) => "M5",
        Event::Dwell(_) => "G4",
        Event::Move(_) => "move",
        Event::End => "end",
        Event::AfterEnd => "after the end",
        Event::WorkOffset(_) => "offset",
        Event::Dust(_) => "dust",
        Event::Units(_) => "units",
        Event::UnitsPerMinute => "G94",
        Event::AbsoluteDistance => "G90",
        Event::PlaneXy => "G17",
        Event::Pause => "M0",
        other => panic!("unexpected {other:?}"),
    };
    log.events.iter().map(|(_, event)| name(event)).collect()
}

#[test]
fn everything_on_a_line_happens_in_the_order_of_table_8() {
    // M11: the spindle stops before the cut.
    assert_eq!(names(&run("M3\nG1 X10 M5")), ["M3", "M5", "move", "end"]);
    // M12.
    let log = run("M3 S1000 G4 P2 X10 F50");
    assert_eq!(names(&log), ["F", "S", "M3", "G4", "move", "end"]);
    // M16 (App. C.1, n0020): the spindle is on at the end.
    let log = run("T1 M6 M3 S4000");
    assert_eq!(names(&log), ["S", "T", "M6", "M5", "M3", "end"]);
    assert!(log.events.contains(&(4, Event::ToolChange(Some(1)))));
    // All together (3.8).
    let log = run("X1 M0 G90 G54 G21 G17 M8 M5 S9 F8 G94");
    let order = [
        "G94", "F", "S", "M5", "dust", "G17", "units", "offset", "G90", "move", "M0", "end",
    ];
    assert_eq!(names(&log), order);
}

#[test]
fn arcs_follow_the_standard() {
    check(&[
        (
            "A1",
            "3.5.3.2",
            "G0 X7 Y7 Z9\nG2 X10 Y16 I3 J4 Z9",
            At([10.0, 16.0, 9.0]),
        ),
        (
            "A2",
            "3.5.3.1",
            "G2 X10 Y15 R20 Z5",
            Refused("arc radius", 12),
        ),
        ("A3", "3.5.3.1", "G2 X10 Y0 R-10", Refused("arc radius", 11)),
        (
            "A4",
            "3.5.3.1, E69",
            "G2 X0 Y0 R5",
            Refused("arc radius", 10),
        ),
        ("A5", "E7", "G2 X20 R5", Refused("arc radius", 8)),
        ("A6", "3.5.3.2", "G3 X0 I5", At([0.0, 0.0, 0.0])),
        ("A6", "3.5.3.2", "G3 I5", Refused("I word that no code", 4)),
        (
            "A6",
            "3.5.3.2",
            "G3 Z1 I5",
            Refused("arc without X or Y", 1),
        ),
        (
            "A7",
            "3.5.3.2, E147",
            "G2 X10 Y0",
            Refused("arc without I or J", 1),
        ),
        (
            "A8",
            "E92",
            "G2 X10 I5 K0",
            Refused("arc centre offset along Z K", 11),
        ),
        ("A8", "E101", "G2 X10 I5 R5", Refused("arc radius", 11)),
        (
            "A9",
            "3.5.3.2",
            "G2 X10.0019 Y0 I5",
            At([10.0019, 0.0, 0.0]),
        ),
        (
            "A9",
            "3.5.3.2",
            "G2 X10.0021 Y0 I5",
            Refused("may differ by 0.002 mm", 1),
        ),
        (
            "A10",
            "3.5.3.2",
            "G20\nG2 X1.0001 Y0 I0.5",
            At([25.40254, 0.0, 0.0]),
        ),
        (
            "A10",
            "3.5.3.2",
            "G20\nG2 X1.0003 Y0 I0.5",
            Refused("may differ by 0.0002 in", 1),
        ),
        ("A11", "4.3.6.1", "G18 G2 X1 Z1 I1", Refused("plane G18", 1)),
        ("A12", "2.1.2.6", "G3 X0 Y0 Z-1 I5", At([0.0, 0.0, -1.0])),
        (
            "A13",
            "3.5.17",
            "G91 G2 X10 I5",
            Refused("incremental distance G91", 1),
        ),
    ]);
}

#[test]
fn arc_centres_sweeps_and_lengths_agree_with_the_worked_cases() {
    // A1: centre (10, 11), radius 5, clockwise, 143.130 degrees.
    let (center, radius, sweep) = run("G0 X7 Y7 Z9\nG2 X10 Y16 I3 J4 Z9").last_arc();
    assert_eq!(center, [10.0, 11.0]);
    assert!((radius - 5.0).abs() < 1e-12);
    assert!((sweep + 143.130).abs() < 5e-4);
    // A6: a full circle about (5, 0).
    let (center, _, sweep) = run("G3 X0 I5").last_arc();
    assert_eq!(center, [5.0, 0.0]);
    assert!((sweep - 360.0).abs() < 1e-12);
    // A12: one turn down 1, 31.4318 long.
    let log = run("G3 X0 Y0 Z-1 I5");
    assert!((length(log.moves().last().unwrap().1) - 31.4318).abs() < 5e-5);
}

#[test]
fn canned_cycles_are_refused_by_name() {
    check(&[
        (
            "C1",
            "3.5.16.2",
            "G90 G81 G98 X4 Y5 Z1.5 R2.8",
            Refused("canned cycle G81", 5),
        ),
        (
            "C2",
            "3.5.16.2",
            "G91 G81 G98 X4 Y5 Z-0.6 R1.8 L3",
            Refused("incremental distance G91", 1),
        ),
        (
            "C3",
            "Table 10",
            "G81 X3 Y2 Z-0.8 R1.5 L2",
            Refused("canned cycle G81", 1),
        ),
        (
            "C4",
            "E146",
            "G81 X1 Y1 Z-1",
            Refused("canned cycle G81", 1),
        ),
        (
            "C5",
            "3.5.16",
            "G81 X1 Z2 R1",
            Refused("canned cycle G81", 1),
        ),
        (
            "C6",
            "3.5.16",
            "G81 X0 Y0 Z-2 R1",
            Refused("canned cycle G81", 1),
        ),
        ("C7", "E73", "G82 X0 Z-1 R1", Refused("canned cycle G82", 1)),
        (
            "C7",
            "3.5.16.4",
            "G83 X0 Z-5 R1 Q0",
            Refused("canned cycle G83", 1),
        ),
        (
            "C8",
            "3.5.16.4",
            "G83 X0 Y0 Z-5 R1 Q2.5",
            Refused("canned cycle G83", 1),
        ),
        ("C9", "3.5.16", "G93", Refused("inverse time G93", 1)),
        ("-", "3.5.16", "G84", Refused("canned cycle G84", 1)),
        ("-", "3.5.16", "G85", Refused("canned cycle G85", 1)),
        ("-", "3.5.16", "G86", Refused("canned cycle G86", 1)),
        ("-", "3.5.16", "G87", Refused("canned cycle G87", 1)),
        ("-", "3.5.16", "G88", Refused("canned cycle G88", 1)),
        ("-", "3.5.16", "G89", Refused("canned cycle G89", 1)),
        (
            "-",
            "3.5.20",
            "G98",
            Refused("canned cycle return level G98", 1),
        ),
        (
            "-",
            "3.5.20",
            "G99",
            Refused("canned cycle return level G99", 1),
        ),
    ]);
}

#[test]
fn offsets_and_compensation_are_refused_by_name_or_follow_the_standard() {
    check(&[
        ("O1", "3.5.18", "G92 X7", Refused("axis offset G92", 1)),
        (
            "O2",
            "3.5.5",
            "G10 L2 P1 X3.5 Y17.2",
            Refused("origin setting G10", 1),
        ),
        (
            "O3",
            "3.5.5, E99",
            "G10 L3 P1",
            Refused("origin setting G10", 1),
        ),
        (
            "O5",
            "3.5.12",
            "G2 X2 I1\nG53 X5",
            Refused("G53 without G0 or G1", 1),
        ),
        (
            "O5",
            "E61",
            "G91 G53 G0 X5",
            Refused("incremental distance G91", 1),
        ),
        (
            "O6",
            "3.5.10",
            "G41 D1",
            Refused("cutter compensation G41", 1),
        ),
        (
            "O6",
            "3.5.10",
            "G42 D1",
            Refused("cutter compensation G42", 1),
        ),
        ("O6", "3.5.10", "G18 G41 D1", Refused("plane G18", 1)),
        ("O7", "Table 10", "G43 H2", Still),
        ("O7", "E137", "G43", Refused("without its H word", 1)),
        ("O8", "3.5.19", "G93 G1 X5", Refused("inverse time G93", 1)),
        ("-", "3.5.6", "G19", Refused("plane G19", 1)),
        ("-", "3.5.8", "G28", Refused("return to home G28", 1)),
        ("-", "3.5.8", "G30", Refused("return to home G30", 1)),
        (
            "-",
            "3.5.9",
            "G38.2 Z-1",
            Refused("straight probe G38.2", 1),
        ),
        ("-", "3.5.13", "G59.1", Refused("work offset G59.1", 1)),
        ("-", "3.5.13", "G59.3", Refused("work offset G59.3", 1)),
        ("-", "3.5.14", "G61", Refused("path control G61", 1)),
        ("-", "3.5.14", "G61.1", Refused("path control G61.1", 1)),
        ("-", "3.5.14", "G64", Refused("path control G64", 1)),
        ("-", "3.5.18", "G92.1", Refused("axis offset G92.1", 1)),
        ("-", "3.5.18", "G92.3", Refused("axis offset G92.3", 1)),
        ("-", "3.6.1", "M1", Refused("optional stop M1", 1)),
        ("-", "3.6.1", "M60", Refused("pallet change M60", 1)),
        (
            "-",
            "3.6.2",
            "M4",
            Refused("counter-clockwise spindle M4", 1),
        ),
        ("-", "3.6.5", "M49", Refused("override switch M49", 1)),
        ("-", "3.3.2", "X1 A1", Refused("rotary axis A", 4)),
        (
            "-",
            "3.3.2",
            "X1 D1",
            Refused("cutter compensation number D", 4),
        ),
        ("-", "3.3.2", "X1 L1", Refused("repeat count L", 4)),
        (
            "-",
            "3.3.2",
            "X1 Q1",
            Refused("peck of a canned cycle Q", 4),
        ),
    ]);
}

// O4 (3.5.12), and 3.5.13: origins other than the shared zero.
#[test]
fn work_offsets_and_machine_coordinates_count_from_their_origins() {
    let at = |x, y, z| Position::new(mm(x), mm(y), mm(z));
    let mut work = [Position::default(); 6];
    work[0] = at(10.0, 0.0, 0.0);
    work[1] = at(0.0, 20.0, -1.5);
    let frames = Frames::new(work, Some(at(-60.0, -150.0, 40.0)));
    let log = read_in(
        "G21 G54\nG0 X1 Y1 Z1\nG55\nG0 Z3\nX2 Y2\nG53 G0 X5 Z-2\nX1\nM2\n",
        frames,
    );
    assert_eq!(log.refusals, []);
    let ends: Vec<_> = log
        .moves()
        .map(|(_, motion)| millimetres(motion.to()))
        .collect();
    assert_eq!(
        ends,
        [
            [11.0, 1.0, 1.0],
            [11.0, 1.0, 1.5],
            [2.0, 22.0, 1.5],
            [-55.0, 22.0, 38.0],
            [1.0, 22.0, 38.0],
        ]
    );
    let unknown = read("G21 G54\nG0 X1 Y1 Z1\nG53 G0 Z-2\nM2\n");
    assert_eq!(unknown.refusals, []);
    let [x, y, z] = unknown.moves().last().unwrap().1.to();
    assert_eq!((x, y, z), (Some(mm(1.0)), Some(mm(1.0)), None));
}

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

/// App. C.1: two engraved words, as printed there, but for line n0490, whose
/// arc in radius format is given by its centre (derived: the centre of the
/// arc from (64, 4) to (69, 4), radius 4, clockwise).
const ENGRAVING: &str = "\
n0010 g21 g0 x0 y0 z50
n0020 T1 M6 M3 F20 S4000
n0030 g0 x0 y0 z2
n0040 g1 z-0.5
n0050 y10
n0060 g0 z2
n0070 y5
n0080 g1 z-0.5
n0090 x7
n0100 g0 z2
n0110 y0
n0120 g1 z-0.5
n0130 y10
n0140 g0 z2
n0150 x11 y2.5
n0160 g1 z-0.5
n0170 x16
n0190 g3 x13.5 y0 i-2.5
n0200 g1 x16
n0210 g0 z2
n0220 x20
n0230 g1 z-0.5
n0240 y9
n0250 g0 z2
n0260 x26
n0270 g1 z-0.5
n0280 y0
n0290 g0 z2
n0300 x32.5
n0310 g1 z-0.5
n0320 g2 x32.5 j2.5
n0330 g0 z2
n0340 x45 y5
n0350 g1 z-0.5
n0360 x47 y0
n0370 x48.5 y3
n0380 x50 y0
n0390 x52 y5
n0400 g0 z2
n0410 x57.5 y0
n0420 g1 z-0.5
n0430 g2 x57.5 j2.5
n0440 g0 z2
n0450 x64
n0460 g1 z-0.5
n0470 y5
n0480 y4
n0490 g2 x69 i2.5 j-3.1225
n0500 g0 z2
n0510 x73 y0
n0520 g1 z-0.5
n0530 y9
n0540 g0 z2
n0550 x81
n0560 g1 z-0.5
n0570 y0
n0580 x79.5
n0590 g2 j2.5 y5
n0600 g1 x81
n0610 g0 z50
n0620 m2
";

#[test]
fn the_engraving_of_appendix_c_1_has_its_bounds_lengths_and_end() {
    let log = read(ENGRAVING);
    assert_eq!(log.refusals, []);
    assert_eq!(log.end(), [81.0, 5.0, 50.0]);
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for (_, motion) in log.moves() {
        for (axis, value) in millimetres(motion.to()).into_iter().enumerate() {
            low[axis] = low[axis].min(value);
            high[axis] = high[axis].max(value);
        }
    }
    assert_eq!((low, high), ([0.0, 0.0, -0.5], [81.0, 10.0, 50.0]));
    let total = |kind: fn(&Path) -> bool| -> (usize, f64) {
        let moves: Vec<f64> = log
            .moves()
            .skip(1)
            .filter(|(_, motion)| kind(&motion.path()))
            .map(|(_, motion)| length(motion))
            .collect();
        (moves.len(), moves.iter().sum())
    };
    // The first of 25 rapids starts nowhere; from (0, 0, 50) it has no length.
    let (rapids, rapid) = total(|path| matches!(path, Path::Rapid));
    assert_eq!(rapids + 1, 25);
    assert!((rapid - 202.0528).abs() < 1e-4, "{rapid}");
    let (lines, line) = total(|path| matches!(path, Path::Line));
    assert_eq!(lines, 29);
    assert!((line - 126.9785).abs() < 1e-4, "{line}");
    let (arcs, arc) = total(|path| matches!(path, Path::Arc { .. }));
    assert_eq!(arcs, 5);
    assert!((arc - 56.4519).abs() < 1e-4, "{arc}");
    let (_, clockwise) = total(|path| matches!(path, Path::Arc { sweep, .. } if *sweep < 0.0));
    assert!((clockwise - 44.6710).abs() < 1e-4, "{clockwise}");
}

#[test]
fn the_arcs_of_appendix_c_1_have_their_centres() {
    let log = read(ENGRAVING);
    let arcs: Vec<_> = log
        .moves()
        .filter(|(_, motion)| matches!(motion.path(), Path::Arc { .. }))
        .map(|(_, motion)| arc(motion))
        .collect();
    let expected = [
        ([13.5, 2.5], 2.5, 270.0),
        ([32.5, 2.5], 2.5, -360.0),
        ([57.5, 2.5], 2.5, -360.0),
        ([66.5, 0.8775], 4.0, -77.364),
        ([79.5, 2.5], 2.5, -180.0),
    ];
    for ((center, radius, sweep), (wanted, wanted_radius, wanted_sweep)) in
        arcs.iter().zip(expected)
    {
        assert!((center[0] - wanted[0]).hypot(center[1] - wanted[1]) < 5e-5);
        assert!((radius - wanted_radius).abs() < 5e-5);
        assert!(
            (sweep - wanted_sweep).abs() < 1e-3,
            "{sweep} {wanted_sweep}"
        );
    }
    assert_eq!(arcs.len(), expected.len());
    let with_radius = ENGRAVING.replace("i2.5 j-3.1225", "r4");
    let log = read(&with_radius);
    let refused: Vec<_> = log
        .refusals
        .iter()
        .map(|refusal| (refusal.line, refusal.column))
        .collect();
    assert_eq!(refused, [(48, 14)]);
    assert!(log.refusals[0].message.starts_with("arc radius"));
}

/// Tables 12 and 13 (App. B): programmed contours, compensation left out.
/// End points; centre and radius where the segment is an arc.
type Segment = ([f64; 2], Option<([f64; 2], f64, char)>);

fn replay_contour(start: [f64; 2], segments: &[Segment]) {
    let mut text = format!("G21 G17 G90 G54 F100\nG0 X{} Y{} Z0\n", start[0], start[1]);
    let mut from = start;
    for (end, arc) in segments {
        text += &match arc {
            None => format!("G1 X{} Y{}\n", end[0], end[1]),
            Some((center, _, code)) => format!(
                "G{code} X{} Y{} I{:.4} J{:.4}\n",
                end[0],
                end[1],
                center[0] - from[0],
                center[1] - from[1]
            ),
        };
        from = *end;
    }
    let log = read(&(text + "M2\n"));
    assert_eq!(log.refusals, []);
    let moves: Vec<_> = log.moves().skip(1).collect();
    assert_eq!(moves.len(), segments.len());
    for ((_, motion), (end, expected)) in moves.iter().zip(segments) {
        assert_eq!(&millimetres(motion.to())[..2], end);
        if let Some((center, radius, code)) = expected {
            let (found, found_radius, sweep) = arc(motion);
            assert!((found[0] - center[0]).hypot(found[1] - center[1]) < 1e-9);
            assert!((found_radius - radius).abs() < 1e-9);
            assert_eq!(sweep < 0.0, *code == '2');
        }
    }
}

#[test]
fn the_contours_of_appendix_b_replay_without_a_radius_error() {
    replay_contour(
        [1.0, 5.0],
        &[
            ([1.0, 4.0], None),
            ([2.0, 3.0], Some(([2.0, 4.0], 1.0, '3'))),
            ([3.0, 2.0], Some(([2.0, 2.0], 1.0, '2'))),
            ([3.0, -1.0], None),
            ([2.0, -2.0], Some(([2.0, -1.0], 1.0, '2'))),
            ([-2.0, -2.0], None),
            ([-2.6, -0.2], Some(([-2.0, -1.0], 1.0, '2'))),
            ([1.4, 2.8], None),
            ([2.0, 3.0], Some(([2.0, 2.0], 1.0, '2'))),
        ],
    );
    replay_contour(
        [1.5, 5.0],
        &[
            ([1.5, 4.0], None),
            ([2.0, 3.5], Some(([2.0, 4.0], 0.5, '3'))),
            ([3.5, 2.0], Some(([2.0, 2.0], 1.5, '2'))),
            ([3.5, -1.0], None),
            ([2.0, -2.5], Some(([2.0, -1.0], 1.5, '2'))),
            ([-2.0, -2.5], None),
            ([-2.9, 0.2], Some(([-2.0, -1.0], 1.5, '2'))),
            ([1.1, 3.2], None),
            ([2.0, 3.5], Some(([2.0, 2.0], 1.5, '2'))),
        ],
    );
}

// Table 10: a session by hand. Its arc is in radius format, with an
// expression: refused; by its centre (derived) it is the helix printed there.
#[test]
fn the_session_of_table_10_ends_where_it_is_printed() {
    let log = run("g1 x3 y1 f20.0\ng2 x[6-[4*3/2]] r 7.01 z0.5");
    assert!(log.refusals[0].message.starts_with("expression"));
    assert_eq!((log.refusals[0].line, log.refusals[0].column), (2, 5));
    assert_eq!(log.end(), [3.0, 1.0, 0.0]);
    let log = run("g1 x3 y1 f20.0\ng2 x0 y1 i-1.5 j6.8476 z0.5\ng43 h2");
    assert_eq!(log.refusals, []);
    assert_eq!(log.end(), [0.0, 1.0, 0.5]);
    let (center, radius, sweep) = log.last_arc();
    assert!((center[0] - 1.5).hypot(center[1] - 7.8476) < 1e-9);
    assert!((radius - 7.01).abs() < 1e-4);
    assert!(sweep < 0.0);
    let log = run("g1 x asin[0.5]");
    assert!(log.refusals[0].message.contains("function"));
    assert_eq!(log.refusals[0].column, 6);
}

// App. C.2 is an expression test, refused from its second line on; App. C.3
// tests cycles.
#[test]
fn the_tests_of_appendix_c_2_and_c_3_are_refused_by_name() {
    let log = run("n0010 g21 g1 x3 f20\nn0020 x[15 MOD 4]\nn0030 #3=5.0 x#3");
    let found: Vec<_> = log
        .refusals
        .iter()
        .map(|refusal| (refusal.line, refusal.column, refusal.message.as_str()))
        .collect();
    assert_eq!(found.len(), 2);
    assert!(found[0].0 == 2 && found[0].1 == 8 && found[0].2.contains("expression"));
    assert!(found[1].0 == 3 && found[1].1 == 7 && found[1].2.contains("parameter"));
    let log = run("g81 x3 y4 r0.2 z-1.1\nx1 y0 r0 g91 l3\ny-2 r0.1");
    let starts = [
        "canned cycle G81",
        "arc radius, or height of a canned cycle",
        "arc radius, or height",
    ];
    for (refusal, start) in log.refusals.iter().zip(starts) {
        assert!(refusal.message.starts_with(start), "{refusal:?}");
    }
    assert_eq!(log.refusals.len(), 3);
}
