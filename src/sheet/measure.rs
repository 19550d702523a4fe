//! A length as people read it: both units, and the nearest 1/64 inch.

use serde::Serialize;

use crate::units::{Length, Units};

/// A length in the reader's unit, and the same in the other one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Both {
    /// In the reader's unit.
    pub(super) first: String,
    /// In the other unit, with the fraction a ruler shows.
    pub(super) second: String,
}

/// `length` in both units, the reader's first.
pub(super) fn both(length: Length, units: Units) -> Both {
    let fraction = fraction(length, units);
    let (mm, inch) = (millimetres(length, 2), inches(length, 4));
    match units {
        Units::Millimetre => Both {
            first: format!("{mm} mm"),
            second: format!("{inch} in, {fraction}"),
        },
        Units::Inch => Both {
            first: format!("{inch} in"),
            second: format!("{mm} mm, {fraction}"),
        },
    }
}

/// `length` in the reader's unit alone, without the unit, for drawings.
pub(super) fn figure(length: Length, units: Units) -> String {
    match units {
        Units::Millimetre => millimetres(length, 2),
        Units::Inch => inches(length, 3),
    }
}

/// `length` in the reader's unit alone.
pub(super) fn one(length: Length, units: Units) -> String {
    format!("{} {units}", figure(length, units))
}

/// The nearest 64th of an inch and how far the length lies from it, the
/// distance in the reader's unit: `21/64 + 0.17 mm`.
pub(super) fn fraction(length: Length, units: Units) -> String {
    let sixty_fourths = (length.as_inch() * 64.0).round();
    let error = length - Length::from_inch(sixty_fourths / 64.0);
    let digits = match units {
        Units::Millimetre => millimetres(error.abs(), 2),
        Units::Inch => inches(error.abs(), 4),
    };
    let name = ratio(sixty_fourths);
    if digits.chars().all(|digit| matches!(digit, '0' | '.')) {
        return format!("{name} in");
    }
    let sign = if error < Length::ZERO { '−' } else { '+' };
    format!("{name} in {sign} {digits} {units}")
}

fn ratio(sixty_fourths: f64) -> String {
    let sign = if sixty_fourths < 0.0 { "−" } else { "" };
    let count = sixty_fourths.abs();
    let whole = (count / 64.0).floor();
    let (mut above, mut below) = (count - whole * 64.0, 64.0);
    while above > 0.0 && above % 2.0 == 0.0 {
        above /= 2.0;
        below /= 2.0;
    }
    match (whole > 0.0, above > 0.0) {
        (_, false) => format!("{sign}{whole}"),
        (false, true) => format!("{sign}{above}/{below}"),
        (true, true) => format!("{sign}{whole} {above}/{below}"),
    }
}

fn millimetres(length: Length, decimals: usize) -> String {
    typographic(&fixed(length.as_mm(), decimals))
}

fn inches(length: Length, decimals: usize) -> String {
    typographic(&fixed(length.as_inch(), decimals))
}

/// A number with fixed decimals and never a negative zero.
pub(super) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|digit| matches!(digit, '0' | '.')) => rest.to_owned(),
        _ => text,
    }
}

fn typographic(number: &str) -> String {
    number.replace('-', "−")
}

/// What a person types into a controller that counts in `units`.
pub(super) fn typed(length: Length, units: Units) -> String {
    match units {
        Units::Millimetre => fixed(length.as_mm(), 3),
        Units::Inch => fixed(length.as_inch(), 4),
    }
}

/// Minutes and seconds.
pub(super) fn duration(seconds: f64) -> String {
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

    #[test]
    fn the_nearest_64th_comes_with_its_error() {
        // 8.5 mm = 0.33465 in; 21/64 in = 8.334 mm, 0.166 mm less (hand computed).
        let length = Length::from_mm(8.5);
        assert_eq!(fraction(length, Units::Millimetre), "21/64 in + 0.17 mm");
        assert_eq!(fraction(length, Units::Inch), "21/64 in + 0.0065 in");
    }

    #[test]
    fn fractions_are_reduced_and_mixed() {
        let fraction = |inch| fraction(Length::from_inch(inch), Units::Inch);
        assert_eq!(fraction(1.6875), "1 11/16 in");
        assert_eq!(fraction(0.5), "1/2 in");
        assert_eq!(fraction(2.0), "2 in");
        assert_eq!(fraction(-0.25), "−1/4 in");
        assert_eq!(fraction(0.28125), "9/32 in");
        assert_eq!(fraction(0.0), "0 in");
    }

    #[test]
    fn no_number_is_a_negative_zero() {
        assert_eq!(fixed(-0.0004, 2), "0.00");
        assert_eq!(typed(Length::from_mm(-0.0001), Units::Millimetre), "0.000");
        assert_eq!(typed(Length::from_mm(-9.0), Units::Millimetre), "-9.000");
    }

    #[test]
    fn time_is_told_in_minutes_and_seconds() {
        assert_eq!(duration(380.4), "6 min 20 s");
        assert_eq!(duration(59.6), "1 min 00 s");
        assert_eq!(duration(8.0), "8 s");
        assert_eq!(duration(3725.0), "1 h 02 min");
    }
}
