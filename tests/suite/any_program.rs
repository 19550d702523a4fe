//! Whatever text comes in as a program: no panic, refusals in bounds, the same
//! events however it is cut up; and what is printed reads back as it was.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use stepwell::geometry::Position;
use stepwell::rs274::event::{Event, Frames, Path};
use stepwell::rs274::{Reader, read};
use stepwell::units::Length;

use crate::program::{Log, dialect, millimetres, read as read_text, read_in};

fn cases(count: u32) -> ProptestConfig {
    ProptestConfig {
        rng_seed: RngSeed::Fixed(274),
        failure_persistence: None,
        ..ProptestConfig::with_cases(count)
    }
}

/// Pieces of the language and of what is near it.
fn fragment() -> impl Strategy<Value = String> {
    let words = prop::sample::select(vec![
        "G0", "G1", "G2", "G3", "G4", "G17", "G20", "G21", "G53", "G54", "G55", "G80", "G90",
        "G91", "M0", "M2", "M3", "M5", "M6", "M8", "M30", "T1", "H1", "S9000", "F100", "F0", "P2",
        "(a)", "(", ")", ";x", "%", "/", "#1=2", "[1+1]", "N10", "R2", "K1", "E1", "\n", "\r\n",
        "\r", " ", "\t", "\u{e9}", "x sin[1]", "1 2", "--", "..",
    ]);
    let number = (
        prop::sample::select(b"XYZIJFPS".to_vec()),
        -2000i32..2000,
        0usize..5,
    );
    prop_oneof![
        words.prop_map(str::to_owned),
        number.prop_map(|(letter, value, decimals)| {
            let value = f64::from(value) / 16.0;
            format!("{}{value:.decimals$}", char::from(letter))
        }),
    ]
}

fn check_bounds(text: &[u8], log: &Log, lines: u64) -> Result<(), TestCaseError> {
    prop_assert!(log.refusals.len() as u64 <= lines + 1);
    for refusal in &log.refusals {
        prop_assert!(refusal.line <= lines);
        prop_assert!(refusal.column <= 257);
        prop_assert!(refusal.length as usize <= text.len());
        prop_assert!(!refusal.message.is_empty() && !refusal.rule.is_empty());
        prop_assert!(!refusal.message.ends_with('.'));
    }
    for (line, event) in &log.events {
        prop_assert!((1..=lines).contains(line));
        if let Event::Move(motion) = event {
            let ends = motion.from().into_iter().chain(motion.to()).flatten();
            prop_assert!(ends.into_iter().all(Length::is_finite));
        }
    }
    Ok(())
}

fn read_pieces(text: &[u8], size: usize) -> (Log, u64) {
    let mut log = Log::default();
    let mut reader = Reader::new(&dialect(), Frames::default());
    for piece in text.chunks(size) {
        reader.push(piece, &mut log);
    }
    let lines = reader.finish(&mut log);
    (log, lines)
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn any_bytes_are_read_or_refused(text in prop::collection::vec(any::<u8>(), 0..600)) {
        let mut log = Log::default();
        let lines = read(&text, &dialect(), Frames::default(), &mut log);
        check_bounds(&text, &log, lines)?;
    }

    #[test]
    fn any_fragments_read_the_same_in_pieces(
        fragments in prop::collection::vec(fragment(), 0..60),
        size in 1usize..40,
    ) {
        let text = fragments.concat().into_bytes();
        let (whole, lines) = read_pieces(&text, text.len().max(1));
        check_bounds(&text, &whole, lines)?;
        let (pieces, piece_lines) = read_pieces(&text, size);
        prop_assert_eq!(lines, piece_lines);
        prop_assert_eq!(whole.events, pieces.events);
        prop_assert_eq!(whole.refusals, pieces.refusals);
    }

    // A number printed with any decimals is, by the standard library, the
    // nearest double; so must it be for the reader.
    #[test]
    fn printed_coordinates_read_back_exactly(
        values in prop::collection::vec((-9e6f64..9e6, 0usize..9), 3),
    ) {
        let words: Vec<String> = values
            .iter()
            .map(|(value, decimals)| format!("{value:.decimals$}"))
            .collect();
        let log = read_text(&format!("G21 G0 X{} Y{} Z{}\nM2\n", words[0], words[1], words[2]));
        prop_assert_eq!(&log.refusals, &[]);
        for (found, word) in log.end().iter().zip(&words) {
            prop_assert_eq!(*found, word.parse::<f64>().unwrap());
        }
        // Zeros at the end are no digits.
        let digits = |word: &String| {
            let fraction = word.split_once('.').map_or("", |(_, fraction)| fraction);
            fraction.trim_end_matches('0').len()
        };
        let finest = words.iter().map(digits).max().unwrap();
        let resolution = log.moves().last().unwrap().1.resolution().as_mm();
        prop_assert!((resolution / 0.1f64.powi(finest as i32) - 1.0).abs() < 1e-9);
    }

    // Geometry: an arc printed from its centre, radius and angles to six
    // decimals comes back with that centre and sweep.
    #[test]
    fn printed_arcs_come_back(
        center in (-100f64..100.0, -100f64..100.0),
        radius in 0.5f64..50.0,
        start in 0.0f64..std::f64::consts::TAU,
        sweep in prop_oneof![0.05f64..6.2, -6.2f64..-0.05],
    ) {
        let at = |angle: f64| (center.0 + radius * angle.cos(), center.1 + radius * angle.sin());
        let ((x0, y0), (x1, y1)) = (at(start), at(start + sweep));
        let code = if sweep < 0.0 { 2 } else { 3 };
        let log = read_text(&format!(
            "G21 G0 X{x0:.6} Y{y0:.6}\nG{code} X{x1:.6} Y{y1:.6} I{:.6} J{:.6} F9\nM2\n",
            center.0 - x0,
            center.1 - y0,
        ));
        prop_assert_eq!(&log.refusals, &[]);
        let Path::Arc { center: found, sweep: turned } = log.moves().last().unwrap().1.path() else {
            return Err(TestCaseError::fail("no arc"));
        };
        prop_assert!((found[0] - center.0).hypot(found[1] - center.1) < 3e-6);
        prop_assert!((turned - sweep).abs() < 1e-5, "{turned} for {sweep}");
    }

    // What a program cuts moves with its work offset, and does not depend on
    // whether it is written in inches.
    #[test]
    fn programs_move_with_their_origin_and_scale_with_their_units(
        points in prop::collection::vec((-300i32..300, -300i32..300), 1..12),
        origin in (-50i32..50, -50i32..50, -50i32..50),
    ) {
        let program = |units: &str, scale: f64| {
            let mut text = format!("{units} G55 F100\nG0 Z1\n");
            for (x, y) in &points {
                let (x, y) = (f64::from(*x) / scale, f64::from(*y) / scale);
                text += &format!("G1 X{x:.9} Y{y:.9}\n");
            }
            text + "M2\n"
        };
        let origin = [origin.0, origin.1, origin.2].map(f64::from);
        let [x, y, z] = origin.map(Length::from_mm);
        let mut work = [Position::default(); 6];
        work[1] = Position::new(x, y, z);
        let metric = read_text(&program("G21", 1.0));
        let moved = read_in(&program("G21", 1.0), Frames::new(work, None));
        let inches = read_text(&program("G20", 25.4));
        for ((a, b), c) in metric.moves().zip(moved.moves()).zip(inches.moves()).skip(1) {
            let (a, b, c) = (millimetres(a.1.to()), millimetres(b.1.to()), millimetres(c.1.to()));
            for axis in 0..2 {
                prop_assert!((a[axis] + origin[axis] - b[axis]).abs() < 1e-9);
                prop_assert!((a[axis] - c[axis]).abs() < 1e-6);
            }
        }
        prop_assert_eq!(inches.moves().count(), points.len() + 1);
    }
}

#[test]
fn a_number_of_400_digits_is_one_refusal() {
    for digits in [
        "9".repeat(200),
        "0".repeat(200),
        format!("0.{}", "1".repeat(200)),
    ] {
        let log = read_text(&format!("G21 G0 X{digits}\nM2\n"));
        assert_eq!(
            log.refusals.len(),
            usize::from(digits.starts_with('9')),
            "{digits}"
        );
    }
    let long = "9".repeat(400);
    for letter in "XYZIJFSPTHNGM".chars() {
        let log = read_text(&format!("G0 X0\n{letter}1000000000\n{letter}{long}\nM2\n"));
        let lines: Vec<u64> = log.refusals.iter().map(|refusal| refusal.line).collect();
        assert_eq!(lines, [2, 3], "{letter}");
    }
}

// Arcs of ten kilometres keep their radius check; one millimetre off is noticed.
#[test]
fn an_arc_of_kilometres_is_still_checked() {
    let log = read_text("G21 G0 X0 Y0\nG2 X9000000 Y0 I4500000 J0 F9\nM2\n");
    assert_eq!(log.refusals, []);
    let log = read_text("G21 G0 X0 Y0\nG2 X9000000.01 Y0 I4500000 J0 F9\nM2\n");
    assert_eq!(log.refusals.len(), 1);
}
