//! A length as people read it: both units, and the nearest 1/64 inch.

use serde::Serialize;

use crate::units::fraction::Fraction;
pub(super) use crate::units::text::{duration, fixed};
use crate::units::{Length, Units};

/// A length in the reader's unit, and the same in the other one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Both {
    /// In the reader's unit.
    pub(super) first: String,
    /// In the other unit, with the fraction a ruler shows.
    pub(super) second: String,
}

/// `length` in both units, the reader's first; without a fraction where the
/// nearest 64th of an inch is none.
pub(super) fn both(length: Length, units: Units) -> Both {
    let (mm, inch) = (millimetres(length), inches(length, 4));
    let (first, second) = match units {
        Units::Millimetre => (format!("{mm} mm"), format!("{inch} in")),
        Units::Inch => (format!("{inch} in"), format!("{mm} mm")),
    };
    let second = match fraction(length, units) {
        Some(fraction) => format!("{second}, {fraction}"),
        None => second,
    };
    Both { first, second }
}

/// A row of a table: the reader's unit, the other one, and the nearest 64th of
/// an inch; without units, which the head of the table names.
pub(super) fn row(length: Length, units: Units) -> [String; 3] {
    let number = |units| match units {
        Units::Millimetre => millimetres(length),
        Units::Inch => inches(length, 4),
    };
    let fraction = fraction(length, units).unwrap_or_else(|| "–".to_owned());
    [number(units), number(units.other()), fraction]
}

/// `length` in the reader's unit alone, without the unit, for drawings.
pub(super) fn figure(length: Length, units: Units) -> String {
    match units {
        Units::Millimetre => millimetres(length),
        Units::Inch => inches(length, 3),
    }
}

/// `length` in the reader's unit alone.
pub(super) fn one(length: Length, units: Units) -> String {
    format!("{} {units}", figure(length, units))
}

/// The nearest 64th of an inch and how far the length lies from it, the
/// distance in the reader's unit: `21/64 in + 0.17 mm`. None of a length so
/// short that it is no 64th at all.
fn fraction(length: Length, units: Units) -> Option<String> {
    let nearest = Fraction::nearest(length);
    let name = typographic(&nearest.to_string());
    if name == "0" {
        return None;
    }
    let error = nearest.error();
    let digits = match units {
        Units::Millimetre => fixed(error.abs().as_mm(), 2),
        Units::Inch => fixed(error.abs().as_inch(), 4),
    };
    if digits.chars().all(|digit| matches!(digit, '0' | '.')) {
        return Some(format!("{name} in"));
    }
    let sign = if error < Length::ZERO { '−' } else { '+' };
    Some(format!("{name} in {sign} {digits} {units}"))
}

/// Two decimals, and a third where it says something: 3.175 is not 3.17.
fn millimetres(length: Length) -> String {
    let exact = fixed(length.as_mm(), 3);
    typographic(exact.strip_suffix('0').unwrap_or(&exact))
}

fn inches(length: Length, decimals: usize) -> String {
    typographic(&fixed(length.as_inch(), decimals))
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

#[cfg(test)]
mod tests {
    use super::*;

    fn second(length: Length, units: Units) -> String {
        both(length, units).second
    }

    #[test]
    fn the_nearest_64th_comes_with_its_error() {
        // 8.5 mm = 0.33465 in; 21/64 in = 8.334 mm, 0.166 mm less (hand computed).
        let length = Length::from_mm(8.5);
        assert_eq!(
            second(length, Units::Millimetre),
            "0.3346 in, 21/64 in + 0.17 mm"
        );
        assert_eq!(second(length, Units::Inch), "8.50 mm, 21/64 in + 0.0065 in");
        let length = Length::from_inch(-0.25);
        assert_eq!(second(length, Units::Inch), "−6.35 mm, −1/4 in");
    }

    #[test]
    fn less_than_half_a_64th_has_no_fraction() {
        // Half a 64th is 0.198 mm.
        for (mm, words) in [
            (0.0, "0.0000 in"),
            (0.05, "0.0020 in"),
            (0.2, "0.0079 in, 1/64 in − 0.20 mm"),
        ] {
            assert_eq!(second(Length::from_mm(mm), Units::Millimetre), words);
        }
    }

    #[test]
    fn a_third_decimal_of_a_millimetre_shows_where_it_is_one() {
        for (mm, words) in [
            (3.175, "3.175"),
            (3.5, "3.50"),
            (12.4, "12.40"),
            (-0.0004, "0.00"),
        ] {
            assert_eq!(figure(Length::from_mm(mm), Units::Millimetre), words);
        }
        // 1/4 in is 6.35 mm, its half 3.175 mm.
        assert_eq!(
            second(Length::from_inch(0.125), Units::Inch),
            "3.175 mm, 1/8 in"
        );
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
