//! Everything that can be wrong with a program text, and the words for it.

use std::fmt;

use super::blanks::spaces;
use super::name::{Group, Name};
use super::outside;
use super::tolerance::allowed_radius_error;
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

impl Problem {
    /// What is said of a problem that has no figures.
    fn sentence(self) -> Option<&'static str> {
        Some(match self {
            Self::NumberMissing => "a number is due here, at least one digit",
            Self::SplitNumber => {
                "white space splits a number; digits, sign and point stand together"
            }
            Self::LoneNumber => {
                "a number without a letter; white space may not split a number, and each needs its letter"
            }
            Self::SecondPoint => "a second point in one number; one is allowed",
            Self::TwoSigns => "a second sign in one number; one is allowed",
            Self::LineTooLong => "line is longer than 256 characters, the most allowed",
            Self::Parameter => "parameter `#` or its setting; only literal numbers are allowed",
            Self::Expression => "expression `[` … `]`; only literal numbers are allowed",
            Self::Function => "function in an expression; only literal numbers are allowed",
            Self::BlockDelete => {
                "block delete `/`: the line would mean two things; delete the line or the slash"
            }
            Self::BlockDeleteInside => {
                "block delete `/` inside a line; it is not in the subset, and elsewhere stands first only"
            }
            Self::Semicolon => "comment `;`; this machine's comments stand in parentheses",
            Self::LetterUnknown(b'E') => {
                "letter E is not in the language, and numbers have no exponent"
            }
            Self::LineNumber => "line number N takes one to five digits, no sign and no point",
            Self::LineNumberInside => "line number N inside a line; it stands first only",
            Self::CommentNested => "`(` inside a comment; comments do not nest",
            Self::CommentOpen => "comment is not closed; `)` stands on the same line",
            Self::CommentClose => "`)` outside a comment",
            Self::DwellMissing => "dwell G4 without its P word",
            Self::LengthOffsetMissing => "length offset G43 without its H word",
            Self::AxisMissing => "motion code without an axis word; name at least one of X, Y, Z",
            Self::AxisWithoutMotion => {
                "axis word with no motion in force; state G0, G1, G2 or G3 first"
            }
            Self::AxisWithMotionOff => "axis word on a line with G80, which moves nothing",
            Self::MachineFrame => {
                "G53 without G0 or G1 in force; machine coordinates are for straight moves"
            }
            Self::ZeroFeed => {
                "feed motion with feed zero; an F word greater than zero is due first"
            }
            Self::ArcAxisMissing => "arc without X or Y; name at least one, even for a full circle",
            Self::ArcOffsetMissing => "arc without I or J; name at least one",
            Self::ArcStart => {
                "arc from a point not yet known; name X and Y on a straight move first"
            }
            Self::ArcRadiusZero => "arc of radius zero; its centre is its start",
            Self::PercentText => "text on a `%` line; it holds nothing else",
            Self::PercentInside => "`%` inside a line; it stands on a line of its own",
            Self::PercentLater => "`%` in a program whose first line is none; both or neither",
            Self::PercentMissing => "program begins with `%` and has no second; it ends with one",
            Self::EndMissing => "program has no M2 or M30; one ends it",
            Self::Empty => "program is empty",
            Self::Character(_)
            | Self::NotAscii(_)
            | Self::TooLarge(_)
            | Self::LetterOutside(_)
            | Self::CodeOutside(_)
            | Self::LetterUnknown(_)
            | Self::CodeUnknown(_)
            | Self::CodeFraction(..)
            | Self::Repeated(_)
            | Self::SameGroup(..)
            | Self::Negative(..)
            | Self::NotInteger(..)
            | Self::Unused(_)
            | Self::ArcRadius { .. } => return None,
        })
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let letter = |letter: &u8| char::from(*letter);
        if let Some(sentence) = self.sentence() {
            return formatter.write_str(sentence);
        }
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
            Problem::TooLarge(word) => write!(
                formatter,
                "number after {} is too large; at most 10000000 is plausible",
                letter(word)
            ),
            Problem::LetterOutside(word) => {
                let what = outside::letter(*word).unwrap_or("letter");
                write!(formatter, "{what} {}; not in the subset", letter(word))
            }
            Problem::CodeOutside(name) => {
                let what = outside::code(*name).unwrap_or("code");
                write!(formatter, "{what} {name}; not in the subset")
            }
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
            Problem::NotInteger(word, value) => {
                write!(formatter, "{}{value} is not a whole number", letter(word))
            }
            Problem::Unused(word) => write!(
                formatter,
                "{} word that no code on the line uses; it belongs to {}",
                letter(word),
                user(*word)
            ),
            Problem::ArcRadius { start, end, units } => write!(
                formatter,
                "arc radius is {start:.5} {units} at the start and {end:.5} {units} at the end; \
                 they may differ by {} {units}",
                allowed_radius_error(*units)
            ),
            // Those without figures are told above.
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn says(problem: Problem, rule: &str, message: &str) {
        assert_eq!(
            (problem.rule(), problem.to_string().as_str()),
            (rule, message)
        );
    }

    // Sections are those of NISTIR 6556 (2000).
    #[test]
    fn every_problem_names_what_was_found_and_where_it_is_ruled() {
        let name = |letter, tenths| Name { letter, tenths };
        says(
            Problem::Character(b'?'),
            "3.3",
            "character `?` is not in the language",
        );
        says(
            Problem::NotAscii(0xC3),
            "3.3",
            "byte 0xC3 is outside ASCII; only printable ASCII, spaces and tabs are allowed",
        );
        says(
            Problem::TooLarge(b'X'),
            "subset",
            "number after X is too large; at most 10000000 is plausible",
        );
        says(
            Problem::LetterOutside(b'A'),
            "subset",
            "rotary axis A; not in the subset",
        );
        says(
            Problem::CodeOutside(name(b'G', 382)),
            "subset",
            "straight probe G38.2; not in the subset",
        );
        says(
            Problem::CodeUnknown(name(b'M', 990)),
            "3.6",
            "code M99 is not in the language",
        );
        says(
            Problem::CodeUnknown(name(b'G', 50)),
            "3.5",
            "code G5 is not in the language",
        );
        says(
            Problem::CodeFraction(b'G', 1.05),
            "3.3.2.1",
            "G1.05 is no code: ten times a G number is within 0.0001 of an integer",
        );
        says(
            Problem::CodeFraction(b'M', 3.2),
            "3.3.2.1",
            "M3.2 is no code: its number is within 0.0001 of an integer",
        );
        says(
            Problem::LetterUnknown(b'E'),
            "3.3.2",
            "letter E is not in the language, and numbers have no exponent",
        );
        says(
            Problem::LetterUnknown(b'O'),
            "3.3.2",
            "letter O is not in the language",
        );
        says(
            Problem::Repeated(b'X'),
            "3.3.5",
            "a second X word on one line; one is allowed",
        );
        says(
            Problem::SameGroup(name(b'G', 10), Group::Motion),
            "3.4",
            "G1 is the second motion code on one line; one is allowed",
        );
        says(
            Problem::NotInteger(b'T', 1.5),
            "3.3.2.1",
            "T1.5 is not a whole number",
        );
        for (letter, user) in [(b'P', "G4"), (b'H', "G43"), (b'I', "G2 and G3")] {
            let word = char::from(letter);
            says(
                Problem::Unused(letter),
                "appendix A",
                &format!("{word} word that no code on the line uses; it belongs to {user}"),
            );
        }
        for (letter, rule) in [
            (b'F', "3.7.1"),
            (b'S', "3.7.2"),
            (b'T', "3.7.3"),
            (b'H', "3.5.11"),
            (b'P', "3.5.4"),
            (b'G', "3.3.2.1"),
        ] {
            let word = char::from(letter);
            says(
                Problem::Negative(letter, -2.0),
                rule,
                &format!("{word}-2 is negative; it is zero or more"),
            );
        }
        let radius = |units| Problem::ArcRadius {
            start: 5.0,
            end: 5.1,
            units,
        };
        says(
            radius(Units::Millimetre),
            "3.5.3",
            "arc radius is 5.00000 mm at the start and 5.10000 mm at the end; \
             they may differ by 0.002 mm",
        );
        assert!(radius(Units::Inch).to_string().ends_with("0.0002 in"));
    }

    #[test]
    fn problems_without_a_value_have_their_section() {
        for (problem, rule, part) in [
            (Problem::NumberMissing, "3.3.2", "number is due"),
            (Problem::SplitNumber, "subset", "white space splits"),
            (Problem::LoneNumber, "3.3.2", "without a letter"),
            (Problem::SecondPoint, "3.3.2.1", "second point"),
            (Problem::TwoSigns, "3.3.2.1", "second sign"),
            (Problem::LineTooLong, "3.3", "256 characters"),
            (Problem::Parameter, "subset", "parameter"),
            (Problem::Expression, "subset", "expression"),
            (Problem::Function, "subset", "function"),
            (Problem::BlockDelete, "subset", "block delete"),
            (Problem::BlockDeleteInside, "2.2.2", "inside a line"),
            (Problem::Semicolon, "subset", "comment `;`"),
            (Problem::LineNumber, "3.3.1", "one to five digits"),
            (Problem::LineNumberInside, "3.3.1", "stands first"),
            (Problem::CommentNested, "3.3.4", "do not nest"),
            (Problem::CommentOpen, "3.3.4", "not closed"),
            (Problem::CommentClose, "3.3", "outside a comment"),
            (Problem::DwellMissing, "3.5.4", "P word"),
            (Problem::LengthOffsetMissing, "3.5.11", "H word"),
            (Problem::AxisMissing, "3.5.1", "at least one of X, Y, Z"),
            (Problem::AxisWithoutMotion, "3.3.7", "no motion in force"),
            (Problem::AxisWithMotionOff, "3.5.15", "G80"),
            (Problem::MachineFrame, "3.5.12", "G0 or G1"),
            (Problem::ZeroFeed, "4.3.5.1", "feed zero"),
            (Problem::ArcAxisMissing, "3.5.3", "without X or Y"),
            (Problem::ArcOffsetMissing, "3.5.3", "without I or J"),
            (Problem::ArcStart, "subset", "not yet known"),
            (Problem::ArcRadiusZero, "3.5.3", "radius zero"),
            (Problem::PercentText, "3.1", "text on a `%` line"),
            (Problem::PercentInside, "3.1", "inside a line"),
            (Problem::PercentLater, "3.1", "both or neither"),
            (Problem::PercentMissing, "3.1", "no second"),
            (Problem::EndMissing, "3.1", "no M2 or M30"),
            (Problem::Empty, "3.1", "empty"),
        ] {
            assert_eq!(problem.rule(), rule, "{problem:?}");
            assert!(problem.to_string().contains(part), "{problem}");
        }
    }

    #[test]
    fn what_stands_where_a_word_is_due_tells_what_it_is() {
        for (input, problem) in [
            ("", Problem::NumberMissing),
            ("#1", Problem::Parameter),
            ("=5", Problem::Parameter),
            ("[1]", Problem::Expression),
            ("]", Problem::Expression),
            ("/", Problem::BlockDeleteInside),
            ("%", Problem::PercentInside),
            (";", Problem::Semicolon),
            (")", Problem::CommentClose),
            ("1", Problem::LoneNumber),
            (".", Problem::LoneNumber),
            ("-1", Problem::LoneNumber),
            ("+1", Problem::LoneNumber),
            ("!", Problem::Character(b'!')),
            ("\u{7f}", Problem::Character(0x7F)),
            ("\u{80}", Problem::NotAscii(0xC2)),
        ] {
            assert_eq!(Problem::stray(input.as_bytes()), problem, "{input:?}");
        }
    }

    #[test]
    fn every_function_of_the_standard_is_known() {
        for function in FUNCTIONS {
            let text = format!("{}[1]", function.to_lowercase());
            let problem = Problem::no_digit(text.as_bytes(), text.as_bytes());
            assert_eq!(problem, Problem::Function, "{function}");
        }
        assert_eq!(Problem::no_digit(b"si", b"si"), Problem::NumberMissing);
        assert_eq!(Problem::no_digit(b" 5", b" 5"), Problem::NumberMissing);
    }
}
