//! The reader against two general G-code crates: the words they see on each
//! line must be the words that our events amount to.

use std::collections::BTreeMap;

use stepwell::rs274;
use stepwell::rs274::event::{Event, Frames, Move, Path, Turning};
use stepwell::shop::machine::Dialect;
use stepwell::units::Units;

use crate::program::{Log, dialect, millimetres};

/// Letter and value.
type Words = Vec<(char, f64)>;

/// The words of each line, by line number.
type Lines = BTreeMap<u64, Words>;

/// Reads `text` three times and panics where the readers disagree, or where
/// ours refuses anything. Only programs of our subset, one origin for all.
#[track_caller]
pub(crate) fn assert_words_agree(text: &str, dialect: &Dialect) {
    let mut log = Log::default();
    rs274::read(text.as_bytes(), dialect, Frames::default(), &mut log);
    assert_eq!(log.refusals, [], "refused by our reader");
    let ours = words_of_events(&log, dialect.units);
    for (reader, theirs) in [
        ("gcode", words_by_gcode(text)),
        ("g-code", words_by_g_code(text)),
    ] {
        assert!(!theirs.is_empty(), "{reader} saw no words");
        assert_eq!(
            disagreements(&ours, &theirs),
            Vec::<String>::new(),
            "{reader}"
        );
    }
}

fn disagreements(ours: &Lines, theirs: &Lines) -> Vec<String> {
    let mut found = Vec::new();
    for (line, words) in theirs {
        let here = ours.get(line).map_or(&[][..], Vec::as_slice);
        let seen = |(letter, value): &(char, f64)| {
            here.iter()
                .any(|(ours, our_value)| letter == ours && near(*our_value, *value))
        };
        for word in words.iter().filter(|word| !seen(word)) {
            found.push(format!("line {line}: {word:?} against {here:?}"));
        }
    }
    let unseen = ours.keys().filter(|line| !theirs.contains_key(line));
    found.extend(unseen.map(|line| format!("line {line}: nothing there")));
    found
}

/// `gcode` keeps single precision.
fn near(ours: f64, theirs: f64) -> bool {
    (ours - theirs).abs() <= 1e-4 + ours.abs() * 1e-6
}

/// N words and dwell units are no part of the comparison.
fn compared(letter: char) -> bool {
    letter != 'N' && letter != 'P'
}

fn words_by_gcode(text: &str) -> Lines {
    let program = gcode::parse(text).expect("gcode reads it");
    let mut lines = Lines::new();
    let literal = |value: &gcode::Value| match value {
        gcode::Value::Literal(value) => f64::from(*value),
        other => panic!("not a literal: {other:?}"),
    };
    let number = |number: gcode::core::Number| {
        f64::from(number.major())
            + number
                .minor()
                .map_or(0.0, |tenth| f64::from(tenth.get()) / 10.0)
    };
    for block in &program.blocks {
        let words = lines.entry(block.span.line as u64 + 1).or_default();
        words.extend(
            block
                .word_addresses
                .iter()
                .map(|word| (word.letter, literal(&word.value))),
        );
        for code in &block.codes {
            let (letter, value, arguments) = match code {
                gcode::Code::General(code) => ('G', number(code.number), &code.args),
                gcode::Code::Miscellaneous(code) => ('M', number(code.number), &code.args),
                gcode::Code::ToolChange(code) => ('T', number(code.number), &code.args),
                other => panic!("unknown kind of code: {other:?}"),
            };
            words.push((letter, value));
            words.extend(
                arguments
                    .iter()
                    .map(|word| (word.letter, literal(&word.value))),
            );
        }
    }
    kept(lines)
}

fn words_by_g_code(text: &str) -> Lines {
    let file = g_code::parse::file_parser(text).expect("g-code reads it");
    let word = |field: &g_code::parse::token::Field<'_>| {
        let bytes = field.iter_bytes().copied().collect();
        let text = String::from_utf8(bytes).expect("ASCII");
        let (letter, value) = text.split_at(1);
        let letter = letter.chars().next().expect("one letter");
        (letter, value.trim().parse().expect("a number"))
    };
    let lines = file.iter().enumerate();
    kept(
        lines
            .map(|(index, line)| (index as u64 + 1, line.iter_fields().map(word).collect()))
            .collect(),
    )
}

fn kept(lines: Lines) -> Lines {
    lines
        .into_iter()
        .map(|(line, words)| {
            let words = words
                .into_iter()
                .map(|(letter, value)| (letter.to_ascii_uppercase(), value));
            (
                line,
                words.filter(|(letter, _)| compared(*letter)).collect(),
            )
        })
        .filter(|(_, words): &(u64, Words)| !words.is_empty())
        .collect()
}

/// The words that would have said what our events say.
fn words_of_events(log: &Log, units: Units) -> Lines {
    let mut scale = units.one().as_mm();
    let mut lines = Lines::new();
    for (line, event) in &log.events {
        // Told after the feed of its line, yet the feed counts in it.
        if let Some(units) = log.units_of(*line) {
            scale = units.one().as_mm();
        }
        let words = lines.entry(*line).or_default();
        match event {
            Event::Units(units) => {
                words.push(('G', if *units == Units::Inch { 20.0 } else { 21.0 }))
            }
            Event::PlaneXy => words.push(('G', 17.0)),
            Event::AbsoluteDistance => words.push(('G', 90.0)),
            Event::UnitsPerMinute => words.push(('G', 94.0)),
            Event::CompensationOff => words.push(('G', 40.0)),
            Event::MotionOff => words.push(('G', 80.0)),
            Event::LengthOffset(None) => words.push(('G', 49.0)),
            Event::LengthOffset(Some(number)) => {
                words.extend([('G', 43.0), ('H', f64::from(*number))]);
            }
            Event::WorkOffset(number) => words.push(('G', f64::from(*number))),
            Event::Feed(feed) => words.push(('F', feed.as_mm_per_minute() / scale)),
            Event::Speed(speed) => words.push(('S', speed.as_rpm())),
            Event::SelectTool(tool) => words.push(('T', f64::from(*tool))),
            Event::ToolChange(_) => words.push(('M', 6.0)),
            Event::Spindle(Turning::Clockwise) => words.push(('M', 3.0)),
            Event::Spindle(Turning::Stopped) => words.push(('M', 5.0)),
            Event::Dust(true) => words.extend([('M', 7.0), ('M', 8.0)]),
            Event::Dust(false) => words.push(('M', 9.0)),
            Event::Dwell(_) => words.push(('G', 4.0)),
            Event::Move(motion) => words.extend(words_of_move(motion, scale)),
            Event::Pause => words.push(('M', 0.0)),
            Event::End => words.extend([('M', 2.0), ('M', 30.0)]),
            Event::AfterEnd => {}
        }
    }
    lines
}

fn words_of_move(motion: &Move, scale: f64) -> Words {
    let (from, to) = (millimetres(motion.from()), millimetres(motion.to()));
    let mut words: Words = ['X', 'Y', 'Z']
        .into_iter()
        .zip(to)
        .zip(motion.named())
        .filter(|(_, named)| *named)
        .map(|((letter, value), _)| (letter, value / scale))
        .collect();
    match motion.path() {
        Path::Rapid => words.extend([('G', 0.0), ('G', 53.0)]),
        Path::Line => words.extend([('G', 1.0), ('G', 53.0)]),
        Path::Arc { center, sweep } => words.extend([
            ('G', if sweep < 0.0 { 2.0 } else { 3.0 }),
            ('I', (center[0] - from[0]) / scale),
            ('J', (center[1] - from[1]) / scale),
        ]),
    }
    words
}

const METRIC: &str = "\
(slot 44 by 10)
G21 G17 G90 G94
G40 G49 G80 G54
G0 Z15.
T1 M6
G43 H1
M3 S16000
G4 P3.0
G0 X27. Y-9.5
G1 Z-1.25 F400
X61. F1200
G2 X61. Y-10.5 I0. J-0.5
G1 X27. Z-2.5
G3 X26.5 Y-10. I0. J0.5
M9
G0 Z15.
M5
M30
";

const INCH: &str = "\
G20 G17 G90 G94 G54
G0 Z0.5
G0 X1.0625 Y-0.3750
M3 S18000
M8
G1 Z-0.0625 F40
G2 X1.4375 Y-0.3750 I0.1875 J0.
G2 X1.0625 Y-0.3750 I-0.1875 J0. F60.5
G0 Z0.5
M0
M5
M2
";

#[test]
fn sample_programs_have_the_same_words_for_three_readers() {
    assert_words_agree(METRIC, &dialect());
    assert_words_agree(INCH, &dialect());
}

#[test]
fn a_word_read_differently_would_be_noticed() {
    let theirs = words_by_gcode(METRIC);
    let damaged = METRIC.replace("Z-2.5", "Z-2.501");
    let lines = disagreements(&words_by_g_code(&damaged), &theirs);
    assert_eq!(lines.len(), 1, "{lines:?}");
    assert!(lines[0].starts_with("line 13: ('Z', -2.5)"), "{lines:?}");
    let longer = METRIC.replace("M30", "G0 X1.\nM30");
    assert!(!disagreements(&words_by_g_code(&longer), &theirs).is_empty());
}
