//! Any bytes, whole and in pieces: the same events, at most one refusal a line.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stepwell::shop::machine::CommentStyle;
use stepwell::rs274::event::Frames;
use stepwell::rs274::{Reader, read};
use stepwell::units::Units;
use stepwell_fuzz::{Log, dialect};

fuzz_target!(|data: &[u8]| {
    let (size, text) = data
        .split_first()
        .map_or((1, data), |(size, text)| (usize::from(*size).max(1), text));
    let comments = match size % 2 {
        0 => CommentStyle::Semicolon,
        _ => CommentStyle::Parentheses,
    };
    let dialect = dialect(comments, Units::Millimetre);
    let mut whole = Log::default();
    let lines = read(text, &dialect, Frames::default(), &mut whole);
    assert!(whole.refusals.len() as u64 <= lines + 1);
    let mut pieces = Log::default();
    let mut reader = Reader::new(&dialect, Frames::default());
    for piece in text.chunks(size) {
        reader.push(piece, &mut pieces);
    }
    assert_eq!(reader.finish(&mut pieces), lines);
    assert_eq!(whole, pieces);
});
