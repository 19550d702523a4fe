//! Words, comments and line numbers, as nom parsers that keep exact places.

use nom::Parser;
use nom::bytes::complete::{tag, take_while};
use nom::error::{ErrorKind, ParseError};
use nom::sequence::terminated;

use super::blanks::spaces;
use super::problem::Problem;

/// The result of a parser of part of one line.
pub(super) type Parsed<'a, T> = nom::IResult<&'a [u8], T, Stop<'a>>;

/// Where and why a parser stopped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stop<'a> {
    /// The line from the fault on.
    pub(super) input: &'a [u8],
    /// How many bytes of it are at fault.
    pub(super) length: usize,
    pub(super) problem: Problem,
}

impl<'a> ParseError<&'a [u8]> for Stop<'a> {
    fn from_error_kind(input: &'a [u8], _: ErrorKind) -> Self {
        Self {
            input,
            length: 1,
            problem: Problem::stray(input),
        }
    }

    fn append(_: &'a [u8], _: ErrorKind, other: Self) -> Self {
        other
    }
}

/// A literal number and how finely it is written.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Number {
    pub(super) value: f64,
    /// Digits after the point, zeros at the end left out.
    pub(super) decimals: usize,
}

/// A letter, in upper case, and its number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Word {
    pub(super) letter: u8,
    pub(super) number: Number,
}

/// A letter and a number; blanks may stand between the two, not in the number.
#[inline]
pub(super) fn word(input: &[u8]) -> Parsed<'_, Word> {
    let (rest, letter) = letter(input)?;
    let (rest, number) = number(spaces(rest))?;
    if number.value.abs() > LARGEST {
        let length = input.len() - rest.len();
        return fail(input, length, Problem::TooLarge(letter));
    }
    Ok((rest, Word { letter, number }))
}

/// Beyond any machine: ten kilometres, or ten million turns a minute.
const LARGEST: f64 = 1e7;

/// `(` … `)`: printable characters, spaces and tabs, not nested.
pub(super) fn comment(input: &[u8]) -> Parsed<'_, ()> {
    let (rest, _) = terminated(tag("("), take_while(is_comment)).parse(input)?;
    match rest.first() {
        Some(b')') => Ok((&rest[1..], ())),
        Some(b'(') => fail(rest, 1, Problem::CommentNested),
        Some(_) => fail(rest, 1, Problem::stray(rest)),
        None => fail(input, input.len(), Problem::CommentOpen),
    }
}

/// `;` and everything after it, for dialects that write comments so.
pub(super) fn end_comment(input: &[u8]) -> Parsed<'_, ()> {
    let printable = take_while(|byte| is_comment(byte) || byte == b'(' || byte == b')');
    let (rest, _) = terminated(tag(";"), printable).parse(input)?;
    match rest.first() {
        Some(_) => fail(rest, 1, Problem::stray(rest)),
        None => Ok((rest, ())),
    }
}

/// `N` and one to five digits, at the start of a line; a line need not have one.
#[inline]
pub(super) fn line_number(input: &[u8]) -> Parsed<'_, ()> {
    let [b'N' | b'n', rest @ ..] = input else {
        return Ok((input, ()));
    };
    let (rest, written) = take_while(is_number)(spaces(rest))?;
    if (1..=5).contains(&written.len()) && written.iter().all(u8::is_ascii_digit) {
        return Ok((rest, ()));
    }
    fail(input, input.len() - rest.len(), Problem::LineNumber)
}

/// An optional sign, digits and at most one point; at least one digit. The
/// standard has no exponent, no infinity and no thousands marks.
#[inline]
pub(super) fn number(input: &[u8]) -> Parsed<'_, Number> {
    let (unsigned, negative) = sign(input);
    let (rest, whole) = digits(unsigned, 0);
    let before_point = unsigned.len() - rest.len();
    let (rest, mantissa, decimals) = match rest {
        [b'.', after @ ..] => {
            let (rest, mantissa) = digits(after, whole);
            (rest, mantissa, after.len() - rest.len())
        }
        _ => (rest, whole, 0),
    };
    let count = before_point + decimals;
    if count == 0 {
        return fail(rest, rest.len().min(1), Problem::no_digit(input, rest));
    }
    if rest.first() == Some(&b'.') {
        return fail(rest, 1, Problem::SecondPoint);
    }
    let magnitude = if count <= EXACT_DIGITS {
        // Signed integers convert in one instruction, unsigned ones do not.
        mantissa.cast_signed() as f64 / POWERS_OF_TEN[decimals]
    } else {
        long_magnitude(&unsigned[..unsigned.len() - rest.len()])
    };
    let number = Number {
        value: if negative { -magnitude } else { magnitude },
        decimals: significant(&unsigned[..unsigned.len() - rest.len()], decimals),
    };
    Ok((rest, number))
}

/// How many of its decimals a number needs.
#[inline]
fn significant(written: &[u8], decimals: usize) -> usize {
    let fraction = &written[written.len() - decimals..];
    let zeros = fraction.iter().rev().take_while(|&&digit| digit == b'0');
    decimals - zeros.count()
}

/// As many digits as an `f64` holds exactly, so that one division rounds right.
const EXACT_DIGITS: usize = 15;

const POWERS_OF_TEN: [f64; EXACT_DIGITS + 1] = [
    1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// What follows the digits, and these appended to `mantissa`, which is
/// meaningless where they are too many.
#[inline]
fn digits(mut input: &[u8], mut mantissa: u64) -> (&[u8], u64) {
    while let [digit @ b'0'..=b'9', rest @ ..] = input {
        mantissa = mantissa
            .wrapping_mul(10)
            .wrapping_add(u64::from(digit - b'0'));
        input = rest;
    }
    (input, mantissa)
}

/// Digits and at most one point by the general rules; too many of them are
/// infinity, which is past every limit.
fn long_magnitude(written: &[u8]) -> f64 {
    std::str::from_utf8(written)
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(f64::INFINITY)
}

#[inline]
fn sign(input: &[u8]) -> (&[u8], bool) {
    match input {
        [b'-', rest @ ..] => (rest, true),
        [b'+', rest @ ..] => (rest, false),
        _ => (input, false),
    }
}

#[inline]
fn letter(input: &[u8]) -> Parsed<'_, u8> {
    match input {
        [letter, rest @ ..] if letter.is_ascii_alphabetic() => {
            Ok((rest, letter.to_ascii_uppercase()))
        }
        _ => fail(input, 1, Problem::stray(input)),
    }
}

fn is_comment(byte: u8) -> bool {
    matches!(byte, b' '..=b'~' | b'\t') && byte != b'(' && byte != b')'
}

fn is_number(byte: u8) -> bool {
    matches!(byte, b'0'..=b'9' | b'+' | b'-' | b'.')
}

#[cold]
fn fail<T>(input: &[u8], length: usize, problem: Problem) -> Parsed<'_, T> {
    Err(nom::Err::Failure(Stop {
        input,
        length,
        problem,
    }))
}

/// Ten to the power of `exponent`, as far as an `f64` holds it exactly.
pub(super) fn power_of_ten(exponent: usize) -> f64 {
    POWERS_OF_TEN[exponent.min(EXACT_DIGITS)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn reads_number(input: &str, value: f64, decimals: usize, rest: &str) {
        let number = Number { value, decimals };
        assert_eq!(
            super::number(input.as_bytes()),
            Ok((rest.as_bytes(), number))
        );
    }

    #[track_caller]
    fn stops<T: std::fmt::Debug>(parsed: Parsed<'_, T>, at: &str, length: usize, problem: Problem) {
        match parsed {
            Err(nom::Err::Failure(stop) | nom::Err::Error(stop)) => assert_eq!(
                (stop.input, stop.length, stop.problem),
                (at.as_bytes(), length, problem)
            ),
            other => panic!("expected a failure, got {other:?}"),
        }
    }

    // NISTIR 6556, 3.3.2.1: the forms of a number.
    #[test]
    fn numbers_take_the_forms_of_the_standard() {
        reads_number("5.", 5.0, 0, "");
        reads_number(".5", 0.5, 1, "");
        reads_number("007.50", 7.5, 1, "");
        reads_number("-0.1040000 Z", -0.104, 3, " Z");
        reads_number("20.000", 20.0, 0, "");
        reads_number("+12.375 Y", 12.375, 3, " Y");
        reads_number("-4", -4.0, 0, "");
        reads_number("1e2", 1.0, 0, "e2");
        reads_number("9F", 9.0, 0, "F");
    }

    #[test]
    fn negative_zero_keeps_its_sign() {
        let (_, number) = number(b"-0").unwrap();
        assert_eq!(number.value, 0.0);
        assert!(number.value.is_sign_negative());
    }

    // The standard library's own parser is the outside reference here.
    #[test]
    fn short_and_long_numbers_round_like_the_standard_library() {
        for text in [
            "0.1",
            "123.456",
            "99999.99999",
            "0.000001",
            "123456789012.345",
            "1234567890123.456",
            "0.12345678901234567890123",
            "000000000000000000000000000001.5",
        ] {
            let (_, number) = number(text.as_bytes()).unwrap();
            assert_eq!(number.value, text.parse::<f64>().unwrap(), "{text}");
        }
    }

    #[test]
    fn a_number_without_a_digit_is_refused_where_the_digit_is_due() {
        stops(number(b"."), "", 0, Problem::NumberMissing);
        stops(number(b"+"), "", 0, Problem::NumberMissing);
        stops(number(b"-X1"), "X1", 1, Problem::NumberMissing);
        stops(number(b"--5"), "-5", 1, Problem::TwoSigns);
        stops(number(b"-+5"), "+5", 1, Problem::TwoSigns);
        stops(number(b"1.2.3"), ".3", 1, Problem::SecondPoint);
        stops(number(b"- 5"), " 5", 1, Problem::SplitNumber);
        stops(number(b". 5"), " 5", 1, Problem::SplitNumber);
        stops(number(b"[2+2]"), "[2+2]", 1, Problem::Expression);
        stops(number(b"#1"), "#1", 1, Problem::Parameter);
        stops(number(b"sin[30]"), "sin[30]", 1, Problem::Function);
        stops(number(b"-AtAn[1]/[2]"), "AtAn[1]/[2]", 1, Problem::Function);
        stops(number("é".as_bytes()), "é", 1, Problem::NotAscii(0xC3));
    }

    #[test]
    fn a_word_is_a_letter_in_either_case_and_its_number() {
        let word = |letter, value, decimals| Word {
            letter,
            number: Number { value, decimals },
        };
        assert_eq!(
            super::word(b"x12.5 Y3"),
            Ok((&b" Y3"[..], word(b'X', 12.5, 1)))
        );
        assert_eq!(super::word(b"G \t1X"), Ok((&b"X"[..], word(b'G', 1.0, 0))));
        stops(super::word(b"?1"), "?1", 1, Problem::Character(b'?'));
        stops(super::word(b"[1"), "[1", 1, Problem::Expression);
    }

    #[test]
    fn a_number_past_every_machine_is_refused_whole() {
        let digits = "9".repeat(400);
        let text = format!("X{digits}");
        stops(word(text.as_bytes()), &text, 401, Problem::TooLarge(b'X'));
        stops(
            word(b"F10000000.1"),
            "F10000000.1",
            11,
            Problem::TooLarge(b'F'),
        );
        stops(
            word(b"Z-1000000000"),
            "Z-1000000000",
            12,
            Problem::TooLarge(b'Z'),
        );
        stops(
            word(b"X99999999 Y"),
            "X99999999 Y",
            9,
            Problem::TooLarge(b'X'),
        );
        reads_number("1234567890123456.5 Y", 1_234_567_890_123_456.5, 1, " Y");
        assert!(word(b"X10000000").is_ok());
        let tiny = format!("X0.{}1", "0".repeat(400));
        assert_eq!(word(tiny.as_bytes()).unwrap().1.number.value, 0.0);
    }

    // NISTIR 6556, 3.3.4: comments.
    #[test]
    fn a_comment_closes_on_its_line_and_does_not_nest() {
        assert_eq!(comment(b"(a;b\t!) X1"), Ok((&b" X1"[..], ())));
        assert_eq!(comment(b"()"), Ok((&b""[..], ())));
        stops(comment(b"(open"), "(open", 5, Problem::CommentOpen);
        stops(comment(b"(a (b) c)"), "(b) c)", 1, Problem::CommentNested);
        stops(comment(b"(a\x07)"), "\x07)", 1, Problem::Character(7));
        stops(comment("(ä)".as_bytes()), "ä)", 1, Problem::NotAscii(0xC3));
        stops(comment(b"X"), "X", 1, Problem::Character(b'X'));
    }

    #[test]
    fn an_end_comment_takes_the_rest_of_the_line() {
        assert_eq!(end_comment(b"; (a) b"), Ok((&b""[..], ())));
        stops(end_comment(b"; \x7f"), "\x7f", 1, Problem::Character(0x7F));
        stops(end_comment(b"X"), "X", 1, Problem::Character(b'X'));
    }

    // NISTIR 6556, 3.3.1: line numbers.
    #[test]
    fn a_line_number_has_one_to_five_digits() {
        assert_eq!(line_number(b"N99999X1"), Ok((&b"X1"[..], ())));
        assert_eq!(line_number(b"n 7 X1"), Ok((&b" X1"[..], ())));
        assert_eq!(line_number(b"X1"), Ok((&b"X1"[..], ())));
        assert_eq!(line_number(b""), Ok((&b""[..], ())));
        stops(
            line_number(b"N000010 X1"),
            "N000010 X1",
            7,
            Problem::LineNumber,
        );
        stops(line_number(b"N-5 X1"), "N-5 X1", 3, Problem::LineNumber);
        stops(line_number(b"N1.5 X1"), "N1.5 X1", 4, Problem::LineNumber);
        stops(line_number(b"N X1"), "N X1", 2, Problem::LineNumber);
    }

    #[test]
    fn powers_of_ten_are_exact_and_end_where_they_would_not_be() {
        assert_eq!(power_of_ten(0), 1.0);
        assert_eq!(power_of_ten(4), 10_000.0);
        assert_eq!(power_of_ten(15), 1e15);
        assert_eq!(power_of_ten(400), 1e15);
    }
}
