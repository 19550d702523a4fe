//! Lengths as people write and read them: `9.5 mm`, `1 11/16 in`, `3/8"`.

use std::fmt;

use crate::units::fraction::Fraction;
use crate::units::{Length, Units};

/// Longest length text that is looked at; anything longer is no length.
const LONGEST: usize = 40;

/// Why a text is not a length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum LengthError {
    /// Neither a decimal number, a fraction nor a mixed number.
    NotANumber,
    /// No unit after the number.
    NoUnit,
    /// Something other than `mm`, `in` or `"` after the number.
    UnknownUnit,
    /// A fraction with 0 below the line.
    ZeroDenominator,
    /// A mixed number whose fraction is 1 or more.
    ImproperMixed,
    /// A fraction of a millimetre.
    FractionOfMillimetre,
}

impl fmt::Display for LengthError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::NotANumber => "is not a length",
            Self::NoUnit => "has no unit",
            Self::UnknownUnit => "has a unit other than mm, in or \"",
            Self::ZeroDenominator => "has a fraction with 0 below the line",
            Self::ImproperMixed => "has a fraction of 1 or more beside the whole inches",
            Self::FractionOfMillimetre => "is a fraction of a millimetre",
        })
    }
}

impl std::error::Error for LengthError {}

/// Reads a length that carries its own unit: `9.5 mm`, `0.375 in`, `3/8 in`,
/// `1 11/16 in`, `1-11/16 in`, `3/8"`; a leading minus is allowed.
///
/// # Errors
/// Anything else: no unit, another unit, an exponent, a zero denominator.
///
/// ```
/// use stepwell::units::{Length, text};
/// assert_eq!(text::parse("1 11/16 in"), Ok(Length::from_inch(1.6875)));
/// assert!(text::parse("3/0 in").is_err());
/// ```
pub fn parse(text: &str) -> Result<Length, LengthError> {
    let text = text.trim();
    if text.len() > LONGEST {
        return Err(LengthError::NotANumber);
    }
    let (sign, unsigned) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest),
        None => (1.0, text),
    };
    let end = unsigned
        .rfind(|character: char| character.is_ascii_digit() || character == '.')
        .map_or(0, |last| last + 1);
    let (number, unit) = unsigned.split_at(end);
    let value = magnitude(number)?;
    let is_fraction = number.contains('/');
    match unit.trim_start() {
        "mm" if is_fraction => Err(LengthError::FractionOfMillimetre),
        "mm" => Ok(Length::from_mm(sign * value)),
        "in" | "\"" => Ok(Length::from_inch(sign * value)),
        "" => Err(LengthError::NoUnit),
        _ => Err(LengthError::UnknownUnit),
    }
}

/// The unit of a text that [`parse`] reads.
pub(crate) fn unit_of(text: &str) -> Units {
    if text.trim_end().ends_with("mm") {
        Units::Millimetre
    } else {
        Units::Inch
    }
}

/// As [`parse`], but a bare decimal number is taken in `units`.
///
/// # Errors
/// As [`parse`].
pub fn parse_in(text: &str, units: Units) -> Result<Length, LengthError> {
    match parse(text) {
        Err(LengthError::NoUnit) if !text.contains('/') => {
            parse(&format!("{} {units}", text.trim()))
        }
        read => read,
    }
}

/// `text` with typographic signs, decimal commas and units in words as
/// [`parse`] wants them; it need not be a length.
pub(crate) fn plain(text: &str) -> String {
    let mut plain = String::new();
    let mut characters = text.trim().chars().peekable();
    let mut last = ' ';
    while let Some(character) = characters.next() {
        match character {
            '−' | '–' | '—' | '‐' | '‑' => plain.push('-'),
            '⁄' | '∕' => plain.push('/'),
            '″' | '“' | '”' | '„' | '＂' => plain.push('"'),
            ',' if last.is_ascii_digit() && characters.peek().is_some_and(char::is_ascii_digit) => {
                plain.push('.');
            }
            other if other.is_whitespace() => plain.push(' '),
            other => match VULGAR.iter().find(|(sign, _)| *sign == other) {
                Some((_, fraction)) if plain.is_empty() || plain.ends_with([' ', '-']) => {
                    plain.push_str(fraction);
                }
                Some((_, fraction)) => {
                    plain.push(' ');
                    plain.push_str(fraction);
                }
                None => plain.push(other),
            },
        }
        last = character;
    }
    plain.trim_start_matches('+').trim().to_owned()
}

/// Fractions that have a sign of their own.
const VULGAR: [(char, &str); 7] = [
    ('½', "1/2"),
    ('¼', "1/4"),
    ('¾', "3/4"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
];

/// How a length that [`parse`] refuses is written, where it can be guessed:
/// `1 3/4 in` for `1¾″`, `12.5 mm` for `1,25 cm`. A fraction without a unit is
/// taken as inches; a decimal number without one is not guessed at.
pub(crate) fn suggestion(text: &str) -> Option<String> {
    let plain = plain(text).to_lowercase();
    let plain = plain.trim_end_matches('.').replace("''", "\"");
    let unit = plain
        .rfind(|character: char| character.is_ascii_digit() || character == '.')
        .map_or(0, |last| last + 1);
    let (number, unit) = plain.split_at(unit);
    let number = number.trim();
    let written = match unit.trim() {
        "" if number.contains('/') => format!("{number} in"),
        "\"" | "in" | "inch" | "inches" => format!("{number} in"),
        "mm" if number.contains('/') => {
            let millimetres = parse(&format!("{number} in")).ok()?.as_inch();
            format!("{} mm", trimmed(millimetres))
        }
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => {
            format!("{number} mm")
        }
        "cm" => format!("{} mm", trimmed(number.parse::<f64>().ok()? * 10.0)),
        _ => return None,
    };
    parse(&written).is_ok().then_some(written)
}

fn magnitude(number: &str) -> Result<f64, LengthError> {
    let Some((left, below)) = number.split_once('/') else {
        return decimal(number).ok_or(LengthError::NotANumber);
    };
    let (whole, above) = match left.split_once(['-', ' ']) {
        Some((whole, above)) => (Some(whole), above.trim_start()),
        None => (None, left),
    };
    let whole = match whole {
        Some(digits) => Some(natural(digits).ok_or(LengthError::NotANumber)?),
        None => None,
    };
    let above = natural(above).ok_or(LengthError::NotANumber)?;
    let below = natural(below).ok_or(LengthError::NotANumber)?;
    if below == 0 {
        return Err(LengthError::ZeroDenominator);
    }
    if whole.is_some() && above >= below {
        return Err(LengthError::ImproperMixed);
    }
    Ok(f64::from(whole.unwrap_or(0)) + f64::from(above) / f64::from(below))
}

/// Digits with at most one point and a digit after it; no sign, no exponent.
fn decimal(text: &str) -> Option<f64> {
    let (whole, after) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    let shaped = digits(whole) && digits(after) && !after.is_empty();
    (shaped && !text.is_empty())
        .then(|| text.parse().ok())
        .flatten()
}

fn natural(text: &str) -> Option<u32> {
    let all_digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    all_digits.then(|| text.parse().ok()).flatten()
}

/// A length in words for people, with the unit: two decimals of a millimetre,
/// three where it ends in half a hundredth, such as 3.175; two to four
/// of an inch; never `-0`.
pub fn decimal_with_unit(length: Length, units: Units) -> String {
    let mut text = decimals(length, units);
    match units {
        Units::Millimetre => {
            let halves = length.as_mm() * 200.0;
            if (halves - halves.round()).abs() < 1e-6 && halves.round() % 2.0 != 0.0 {
                text = trimmed(length.as_mm());
            }
        }
        Units::Inch => {
            while text.ends_with('0') && text.len() > text.find('.').unwrap_or(text.len()) + 3 {
                text.pop();
            }
        }
    }
    format!("{text} {units}")
}

/// A chip per tooth in both units: `0.0400 mm (0.0016 in)`, the one that is
/// read first in front.
pub(crate) fn chip(length: Length, units: Units) -> String {
    let (metric, inch) = (
        format!("{:.4} mm", length.as_mm()),
        format!("{:.4} in", length.as_inch()),
    );
    match units {
        Units::Millimetre => format!("{metric} ({inch})"),
        Units::Inch => format!("{inch} ({metric})"),
    }
}

/// As [`decimal_with_unit`] but without the unit, for table columns.
pub fn decimals(length: Length, units: Units) -> String {
    let places = match units {
        Units::Millimetre => 2,
        Units::Inch => 4,
    };
    fixed(length.as_units(units), places)
}

/// A number with fixed decimals and never a negative zero.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|byte| matches!(byte, b'0' | b'.')) => rest.to_owned(),
        _ => text,
    }
}

/// The nearest 1/64 in with what it is off by in `units`: `21/64 in +0.17 mm`
/// when the length is 0.17 mm longer than the fraction. Nothing for a length
/// under 1/64 in, and no error where it shows as none.
pub fn nearest_with_error(length: Length, units: Units) -> String {
    let fraction = Fraction::nearest(length);
    if fraction.is_nothing() {
        return String::new();
    }
    let off = decimals(fraction.error(), units);
    if off.bytes().all(|byte| matches!(byte, b'0' | b'.')) {
        return format!("{fraction} in");
    }
    let sign = if off.starts_with('-') { "" } else { "+" };
    format!("{fraction} in {sign}{off} {units}")
}

/// As short as it goes: up to four decimals, no trailing zeros, with unit.
pub(crate) fn short(length: Length, units: Units) -> String {
    format!("{} {units}", trimmed(length.as_units(units)))
}

/// A weight: `0.52 kg`, `1.15 lb` for who reads inches.
pub(crate) fn weight(kilograms: f64, units: Units) -> String {
    match units {
        Units::Millimetre => format!("{kilograms:.2} kg"),
        Units::Inch => format!("{:.2} lb", kilograms / KILOGRAMS_PER_POUND),
    }
}

/// A force: `283 N`, `64 lbf` for who reads inches.
pub(crate) fn force(newtons: f64, units: Units) -> String {
    match units {
        Units::Millimetre => format!("{newtons:.0} N"),
        Units::Inch => format!("{:.0} lbf", newtons / NEWTONS_PER_POUND_FORCE),
    }
}

/// The avoirdupois pound, and its weight at standard gravity (NIST Special
/// Publication 811, appendix B.8).
const KILOGRAMS_PER_POUND: f64 = 0.453_592_37;
const NEWTONS_PER_POUND_FORCE: f64 = 4.448_221_615_260_5;

/// A ratio in tenths, no trailing zero. 12.4 mm over 8 mm is 1.55, and rounds up
/// whatever the last binary digit.
pub(crate) fn tenths(ratio: f64) -> String {
    trimmed((ratio * 10.0 + 1e-9).round() / 10.0)
}

/// A number with up to four decimals and no trailing zeros.
pub(crate) fn trimmed(value: f64) -> String {
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// Minutes and seconds.
pub fn duration(seconds: f64) -> String {
    let whole = seconds.max(0.0).round();
    let (minutes, rest) = ((whole / 60.0).floor(), whole % 60.0);
    if minutes >= 60.0 {
        let hours = (minutes / 60.0).floor();
        return format!("{hours} h {:02} min", minutes % 60.0);
    }
    if minutes > 0.0 {
        format!("{minutes} min {rest:02} s")
    } else {
        format!("{rest} s")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // NIST Special Publication 811, appendix B.8: one pound is 0.453 592 4 kg,
    // one pound-force 4.448 222 N.
    #[test]
    fn weights_and_forces_are_pounds_for_who_reads_inches() {
        assert_eq!(weight(0.519, Units::Millimetre), "0.52 kg");
        assert_eq!(weight(0.907_185, Units::Inch), "2.00 lb");
        assert_eq!(force(283.4, Units::Millimetre), "283 N");
        assert_eq!(force(44.482_22, Units::Inch), "10 lbf");
    }

    #[track_caller]
    fn check(text: &str, millimetres: f64) {
        let length = parse(text).map(Length::as_mm);
        assert!(
            matches!(length, Ok(value) if (value - millimetres).abs() < 1e-12),
            "{text}: {length:?}, want {millimetres}"
        );
    }

    #[test]
    fn what_people_write_is_guessed_at() {
        for (written, meant) in [
            ("1¾″", "1 3/4 in"),
            ("½ in", "1/2 in"),
            ("-½", "-1/2 in"),
            ("1–11/16 inches", "1-11/16 in"),
            ("1,25 cm", "12.5 mm"),
            ("9.5 MM", "9.5 mm"),
            ("3/8", "3/8 in"),
            ("1/2 mm", "0.5 mm"),
            ("0.375 in.", "0.375 in"),
            ("−3 mm", "-3 mm"),
        ] {
            assert_eq!(suggestion(written).as_deref(), Some(meant), "{written}");
        }
        for written in ["9.5", "walnut", "3 ft", "3/0", ""] {
            assert_eq!(suggestion(written), None, "{written}");
        }
    }

    // Every form the job file's documentation lists; 1 in = 25.4 mm exactly
    // (international yard and pound agreement, 1959).
    #[test]
    fn every_documented_form_is_read() {
        check("9.5 mm", 9.5);
        check("0.375 in", 9.525);
        check("3/8 in", 9.525);
        check("1 11/16 in", 42.8625);
        check("1-11/16 in", 42.8625);
        check("3/8\"", 9.525);
        check("-3/8 in", -9.525);
        check("-2 mm", -2.0);
        check("9.5mm", 9.5);
        check(".5 in", 12.7);
        check("0 mm", 0.0);
    }

    #[track_caller]
    fn refuse(text: &str, error: LengthError) {
        assert_eq!(parse(text), Err(error), "{text}");
    }

    #[test]
    fn anything_else_is_refused_with_its_reason() {
        refuse("3/0 in", LengthError::ZeroDenominator);
        refuse("1 3/0 in", LengthError::ZeroDenominator);
        refuse("9.5", LengthError::NoUnit);
        refuse("9.5 cm", LengthError::UnknownUnit);
        refuse("9.5 MM", LengthError::UnknownUnit);
        refuse("3/8 mm", LengthError::FractionOfMillimetre);
        refuse("1 9/8 in", LengthError::ImproperMixed);
        for text in [
            "",
            "mm",
            "in",
            "nan mm",
            "inf mm",
            "1e3 mm",
            "5. mm",
            "1.5.2 mm",
            "--5 mm",
            "+5 mm",
            "1.5 3/8 in",
            "1/2/3 in",
            "/8 in",
            "3/ in",
            "- 5 mm",
            "1 2 3/8 in",
            "0x10 mm",
            "99999999999/8 in",
            "½ in",
            "1,5 mm",
        ] {
            assert!(parse(text).is_err(), "{text}");
        }
        refuse(&"9".repeat(1000), LengthError::NotANumber);
    }

    #[test]
    fn a_bare_number_takes_the_unit_it_is_given() {
        let inch = |text| parse_in(text, Units::Inch);
        assert_eq!(inch("0.5"), Ok(Length::from_inch(0.5)));
        assert_eq!(inch(" -2 mm"), Ok(Length::from_mm(-2.0)));
        assert_eq!(
            parse_in("2.60", Units::Millimetre),
            Ok(Length::from_mm(2.6))
        );
        assert_eq!(inch("3/8"), Err(LengthError::NoUnit));
        assert!(inch("").is_err() && inch("nan").is_err());
    }

    #[test]
    fn decimals_never_print_a_minus_zero() {
        let text = |mm, units| decimal_with_unit(Length::from_mm(mm), units);
        assert_eq!(text(-0.001, Units::Millimetre), "0.00 mm");
        assert_eq!(text(8.504, Units::Millimetre), "8.50 mm");
        assert_eq!(text(8.5, Units::Inch), "0.3346 in");
        assert_eq!(trimmed(-0.000_01), "0");
        assert_eq!(trimmed(250.0), "250");
    }

    // 8.5 mm / 25.4 × 64 = 21.417, so 21/64 in = 8.334375 mm, 0.165625 mm short.
    #[test]
    fn the_nearest_fraction_names_its_error() {
        assert_eq!(
            nearest_with_error(Length::from_mm(8.5), Units::Millimetre),
            "21/64 in +0.17 mm"
        );
        assert_eq!(
            nearest_with_error(Length::from_mm(9.505), Units::Millimetre),
            "3/8 in -0.02 mm"
        );
        let inch = |inch| nearest_with_error(Length::from_inch(inch), Units::Inch);
        assert_eq!(inch(0.3346), "21/64 in +0.0065 in");
        assert_eq!(inch(0.375), "3/8 in");
        // 0.002 in is no sixty-fourth: a fraction of nothing helps nobody.
        assert_eq!(inch(0.002), "");
    }

    // Gauge 5 and a drill of 1/8 in are 3.175 mm thick.
    #[test]
    fn half_a_hundredth_is_shown_and_not_rounded() {
        let text = |mm, units| decimal_with_unit(Length::from_mm(mm), units);
        assert_eq!(text(3.175, Units::Millimetre), "3.175 mm");
        assert_eq!(text(3.17, Units::Millimetre), "3.17 mm");
        assert_eq!(text(3.1749, Units::Millimetre), "3.17 mm");
        assert_eq!(text(-0.005, Units::Millimetre), "-0.005 mm");
        assert_eq!(text(6.35, Units::Inch), "0.25 in");
        assert_eq!(text(3.175, Units::Inch), "0.125 in");
        assert_eq!(text(25.4, Units::Inch), "1.00 in");
    }

    // 0.04 mm are 0.001575 in.
    #[test]
    fn a_chip_is_told_in_both_units() {
        let of = |units| chip(Length::from_mm(0.04), units);
        assert_eq!(of(Units::Millimetre), "0.0400 mm (0.0016 in)");
        assert_eq!(of(Units::Inch), "0.0016 in (0.0400 mm)");
    }
}
