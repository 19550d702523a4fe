//! Everything that can be wrong with a program text, and the words for it.

use std::fmt;

use super::arc;
use super::code::{self, Group};
use super::word::spaces;
use crate::units::Units;

/// One thing wrong. Letters are in upper case; values as the program wrote them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Problem {
    // Characters and numbers.
    Character(u8),
    NotAscii(u8),
    NumberMissing,
    SplitNumber,
    LoneNumber,
    SecondPoint,
    TwoSigns,
    TooLarge(u8),
    LineTooLong,
    // Parts of the language outside the subset.
    Parameter,
    Expression,
    Function,
    BlockDelete,
    Semicolon,
    LetterOutside(u8),
    CodeOutside(Name),
    // Parts of no language.
    BlockDeleteInside,
    LetterUnknown(u8),
    CodeUnknown(Name),
    CodeFraction(u8, f64),
    LineNumber,
    LineNumberInside,
    CommentNested,
    CommentOpen,
    CommentClose,
    // Combinations.
    Repeated(u8),
    SameGroup(Name, Group),
    Negative(u8, f64),
    NotInteger(u8, f64),
    Unused(u8),
    DwellMissing,
    LengthOffsetMissing,
    // Motion.
    AxisMissing,
    AxisWithoutMotion,
    AxisWithMotionOff,
    MachineFrame,
    ZeroFeed,
    ArcAxisMissing,
    ArcOffsetMissing,
    ArcStart,
    ArcRadiusZero,
    ArcRadius { start: f64, end: f64, units: Units },
    // The file as a whole.
    PercentText,
    PercentInside,
    PercentLater,
    PercentMissing,
    EndMissing,
    Empty,
}

/// A G or M code by its letter and ten times its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Name {
    pub(super) letter: u8,
    pub(super) tenths: u32,
}

impl fmt::Display for Name {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, tenth) = (self.tenths / 10, self.tenths % 10);
        write!(formatter, "{}{whole}", char::from(self.letter))?;
        match tenth {
            0 => Ok(()),
            _ => write!(formatter, ".{tenth}"),
        }
    }
}

const FUNCTIONS: [&str; 13] = [
    "ABS", "ACOS", "ASIN", "ATAN", "COS", "EXP", "FIX", "FUP", "LN", "ROUND", "SIN", "SQRT", "TAN",
];

impl Problem {
    /// What is wrong with a line that goes on with `input` where a word, a
    /// comment or the end is due.
    pub(super) fn stray(input: &[u8]) -> Self {
        match input.first() {
            None => Problem::NumberMissing,
            Some(b'#' | b'=') => Problem::Parameter,
            Some(b'[' | b']') => Problem::Expression,
            Some(b'/') => Problem::BlockDeleteInside,
            Some(b'%') => Problem::PercentInside,
            Some(b';') => Problem::Semicolon,
            Some(b')') => Problem::CommentClose,
            Some(b'0'..=b'9' | b'.' | b'+' | b'-') => Problem::LoneNumber,
            Some(&byte) if byte.is_ascii() => Problem::Character(byte),
            Some(&byte) => Problem::NotAscii(byte),
        }
    }

    /// Why a number that began at `input` has no digit before `rest`.
    pub(super) fn no_digit(input: &[u8], rest: &[u8]) -> Self {
        let begun = input.len() != rest.len();
        let after = spaces(rest);
        match (rest.first(), after.first()) {
            (Some(b'+' | b'-'), _) => Problem::TwoSigns,
            (Some(b' ' | b'\t'), Some(b'0'..=b'9' | b'.')) if begun => Problem::SplitNumber,
            (Some(b'#' | b'['), _) => Problem::stray(rest),
            (Some(byte), _) if !byte.is_ascii() => Problem::NotAscii(*byte),
            _ if FUNCTIONS.iter().any(|name| starts_with(rest, name)) => Problem::Function,
            _ => Problem::NumberMissing,
        }
    }

    /// The section of NISTIR 6556 (2000) that says so, or `subset`.
    pub(super) fn rule(self) -> &'static str {
        match self {
            Problem::Character(_)
            | Problem::NotAscii(_)
            | Problem::CommentClose
            | Problem::LineTooLong => "3.3",
            Problem::NumberMissing | Problem::LoneNumber => "3.3.2",
            Problem::SecondPoint | Problem::TwoSigns | Problem::CodeFraction(..) => "3.3.2.1",
            Problem::NotInteger(..) => "3.3.2.1",
            Problem::LineNumber => "3.3.1",
            Problem::LineNumberInside => "3.3.1",
            Problem::LetterUnknown(_) => "3.3.2",
            Problem::CodeUnknown(Name { letter: b'M', .. }) => "3.6",
            Problem::CodeUnknown(_) => "3.5",
            Problem::CommentNested | Problem::CommentOpen => "3.3.4",
            Problem::BlockDeleteInside => "2.2.2",
            Problem::Repeated(_) => "3.3.5",
            Problem::SameGroup(..) => "3.4",
            Problem::Negative(b'F', _) => "3.7.1",
            Problem::Negative(b'S', _) => "3.7.2",
            Problem::Negative(b'T', _) => "3.7.3",
            Problem::Negative(b'H', _) | Problem::LengthOffsetMissing => "3.5.11",
            Problem::Negative(b'P', _) | Problem::DwellMissing => "3.5.4",
            Problem::Negative(..) => "3.3.2.1",
            Problem::Unused(..) => "appendix A",
            Problem::AxisMissing => "3.5.1",
            Problem::AxisWithoutMotion => "3.3.7",
            Problem::AxisWithMotionOff => "3.5.15",
            Problem::MachineFrame => "3.5.12",
            Problem::ZeroFeed => "4.3.5.1",
            Problem::ArcAxisMissing
            | Problem::ArcOffsetMissing
            | Problem::ArcRadiusZero
            | Problem::ArcRadius { .. } => "3.5.3",
            Problem::PercentText
            | Problem::PercentInside
            | Problem::PercentLater
            | Problem::PercentMissing
            | Problem::EndMissing
            | Problem::Empty => "3.1",
            Problem::SplitNumber
            | Problem::TooLarge(_)
            | Problem::Parameter
            | Problem::Expression
            | Problem::Function
            | Problem::BlockDelete
            | Problem::Semicolon
            | Problem::LetterOutside(..)
            | Problem::CodeOutside(..)
            | Problem::ArcStart => "subset",
        }
    }
}

/// The codes that use a parameter word.
fn user(letter: u8) -> &'static str {
    match letter {
        b'P' => "G4",
        b'H' => "G43",
        _ => "G2 and G3",
    }
}

fn starts_with(input: &[u8], name: &str) -> bool {
    input
        .get(..name.len())
        .is_some_and(|start| start.eq_ignore_ascii_case(name.as_bytes()))
}

impl fmt::Display for Problem {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let letter = |letter: &u8| char::from(*letter);
        match self {
            Problem::Character(byte) => write!(
                formatter,
                "character `{}` is not in the language",
                byte.escape_ascii()
            ),
            Problem::NotAscii(byte) => write!(
                formatter,
                "byte 0x{byte:02X} is outside ASCII; only printable ASCII, spaces and tabs are allowed"
            ),
            Problem::NumberMissing => formatter.write_str("a number is due here, at least one digit"),
            Problem::SplitNumber => formatter
                .write_str("white space splits a number; digits, sign and point stand together"),
            Problem::LoneNumber => {
                formatter.write_str("a number without a letter; white space may not split a number, and each needs its letter")
            }
            Problem::SecondPoint => formatter.write_str("a second point in one number; one is allowed"),
            Problem::TwoSigns => formatter.write_str("a second sign in one number; one is allowed"),
            Problem::TooLarge(word) => write!(
                formatter,
                "number after {} is too large; at most 10000000 is plausible",
                letter(word)
            ),
            Problem::LineTooLong => {
                formatter.write_str("line is longer than 256 characters, the most allowed")
            }
            Problem::Parameter => formatter.write_str(
                "parameter `#` or its setting; only literal numbers are allowed",
            ),
            Problem::Expression => formatter
                .write_str("expression `[` … `]`; only literal numbers are allowed"),
            Problem::Function => formatter
                .write_str("function in an expression; only literal numbers are allowed"),
            Problem::BlockDelete => formatter.write_str(
                "block delete `/`: the line would mean two things; delete the line or the slash",
            ),
            Problem::BlockDeleteInside => formatter.write_str(
                "block delete `/` inside a line; it is not in the subset, and elsewhere stands first only",
            ),
            Problem::Semicolon => formatter.write_str(
                "comment `;`; this machine's comments stand in parentheses",
            ),
            Problem::LetterOutside(word) => {
                let what = code::letter_outside(*word).unwrap_or("letter");
                write!(formatter, "{what} {}; not in the subset", letter(word))
            }
            Problem::CodeOutside(name) => {
                let what = code::outside(*name).unwrap_or("code");
                write!(formatter, "{what} {name}; not in the subset")
            }
            Problem::LetterUnknown(b'E') => formatter
                .write_str("letter E is not in the language, and numbers have no exponent"),
            Problem::LetterUnknown(word) => {
                write!(formatter, "letter {} is not in the language", letter(word))
            }
            Problem::CodeUnknown(name) => write!(formatter, "code {name} is not in the language"),
            Problem::CodeFraction(b'G', value) => write!(
                formatter,
                "G{value} is no code: ten times a G number is within 0.0001 of an integer"
            ),
            Problem::CodeFraction(word, value) => write!(
                formatter,
                "{}{value} is no code: its number is within 0.0001 of an integer",
                letter(word)
            ),
            Problem::LineNumber => formatter.write_str(
                "line number N takes one to five digits, no sign and no point",
            ),
            Problem::LineNumberInside => {
                formatter.write_str("line number N inside a line; it stands first only")
            }
            Problem::CommentNested => {
                formatter.write_str("`(` inside a comment; comments do not nest")
            }
            Problem::CommentOpen => {
                formatter.write_str("comment is not closed; `)` stands on the same line")
            }
            Problem::CommentClose => formatter.write_str("`)` outside a comment"),
            Problem::Repeated(word) => write!(
                formatter,
                "a second {} word on one line; one is allowed",
                letter(word)
            ),
            Problem::SameGroup(name, group) => write!(
                formatter,
                "{name} is the second {} code on one line; one is allowed",
                group.name()
            ),
            Problem::Negative(word, value) => write!(
                formatter,
                "{}{value} is negative; it is zero or more",
                letter(word)
            ),
            Problem::NotInteger(word, value) => write!(
                formatter,
                "{}{value} is not a whole number",
                letter(word)
            ),
            Problem::Unused(word) => write!(
                formatter,
                "{} word that no code on the line uses; it belongs to {}",
                letter(word),
                user(*word)
            ),
            Problem::DwellMissing => {
                formatter.write_str("dwell G4 without its P word")
            }
            Problem::LengthOffsetMissing => {
                formatter.write_str("length offset G43 without its H word")
            }
            Problem::AxisMissing => formatter
                .write_str("motion code without an axis word; name at least one of X, Y, Z"),
            Problem::AxisWithoutMotion => formatter.write_str(
                "axis word with no motion in force; state G0, G1, G2 or G3 first",
            ),
            Problem::AxisWithMotionOff => {
                formatter.write_str("axis word on a line with G80, which moves nothing")
            }
            Problem::MachineFrame => formatter
                .write_str("G53 without G0 or G1 in force; machine coordinates are for straight moves"),
            Problem::ZeroFeed => formatter
                .write_str("feed motion with feed zero; an F word greater than zero is due first"),
            Problem::ArcAxisMissing => formatter
                .write_str("arc without X or Y; name at least one, even for a full circle"),
            Problem::ArcOffsetMissing => {
                formatter.write_str("arc without I or J; name at least one")
            }
            Problem::ArcStart => formatter
                .write_str("arc from a point not yet known; name X and Y on a straight move first"),
            Problem::ArcRadiusZero => {
                formatter.write_str("arc of radius zero; its centre is its start")
            }
            Problem::ArcRadius { start, end, units } => write!(
                formatter,
                "arc radius is {start:.5} {units} at the start and {end:.5} {units} at the end; \
                 they may differ by {} {units}",
                arc::allowed_radius_error(*units)
            ),
            Problem::PercentText => {
                formatter.write_str("text on a `%` line; it holds nothing else")
            }
            Problem::PercentInside => {
                formatter.write_str("`%` inside a line; it stands on a line of its own")
            }
            Problem::PercentLater => formatter
                .write_str("`%` in a program whose first line is none; both or neither"),
            Problem::PercentMissing => formatter
                .write_str("program begins with `%` and has no second; it ends with one"),
            Problem::EndMissing => formatter.write_str("program has no M2 or M30; one ends it"),
            Problem::Empty => formatter.write_str("program is empty"),
        }
    }
}
