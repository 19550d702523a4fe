//! Numbers as the dialect prints them.

use crate::shop::machine::Dialect;
use crate::units::Units;
use crate::units::digits::push_decimal;

/// Coordinates are whole multiples of the last printed digit; everything that
/// is printed is rounded to it once, so that what the text says is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Grid {
    decimals: u8,
    /// One last digit, in millimetres.
    step: f64,
    units: Units,
}

impl Grid {
    pub(super) fn of(dialect: &Dialect) -> Self {
        let digit = 10f64.powi(-i32::from(dialect.decimals));
        Self {
            decimals: dialect.decimals,
            step: dialect.units.one().as_mm() * digit,
            units: dialect.units,
        }
    }

    /// One last digit, in millimetres.
    pub(super) fn step(self) -> f64 {
        self.step
    }

    pub(super) fn round(self, mm: f64) -> i64 {
        (mm / self.step).round() as i64
    }

    /// `letter` and a coordinate: always with a point, never minus zero.
    pub(super) fn push_word(self, text: &mut String, letter: char, digits: i64) {
        text.push(letter);
        push_decimal(text, digits, self.decimals);
    }

    /// The same as a text of its own.
    pub(super) fn word(self, letter: char, digits: i64) -> String {
        let mut word = String::new();
        self.push_word(&mut word, letter, digits);
        word
    }

    /// Greatest difference of an arc's start and end radius that we print, in
    /// millimetres: the standard's, less a quarter for other people's rounding.
    pub(super) fn radius_tolerance(self) -> f64 {
        match self.units {
            Units::Millimetre => 0.0015,
            Units::Inch => 0.000_15 * 25.4,
        }
    }

    /// A feed in tenths of a millimetre or hundredths of an inch a minute,
    /// rounded down: a limit stays kept.
    pub(super) fn feed(self, mm_per_minute: f64) -> i64 {
        let unit = self.units.one().as_mm();
        ((mm_per_minute / unit) * self.feed_parts() as f64 + 1e-6)
            .floor()
            .max(1.0) as i64
    }

    pub(super) fn feed_word(self, parts: i64) -> String {
        let decimals = match self.units {
            Units::Millimetre => 1,
            Units::Inch => 2,
        };
        format!("F{}", trimmed(&decimal(parts, decimals)))
    }

    fn feed_parts(self) -> i64 {
        match self.units {
            Units::Millimetre => 10,
            Units::Inch => 100,
        }
    }
}

fn decimal(digits: i64, decimals: u8) -> String {
    let mut text = String::new();
    push_decimal(&mut text, digits, decimals);
    text
}

/// Without zeros that say nothing after the point.
fn trimmed(number: &str) -> &str {
    number.trim_end_matches('0').trim_end_matches('.')
}

/// A plain number, for words that are no coordinate.
pub(super) fn plain(letter: char, value: f64) -> String {
    let text = decimal((value * 1000.0).round() as i64, 3);
    format!("{letter}{}", trimmed(&text))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    fn grid(units: Units, decimals: u8) -> Grid {
        let mut dialect = sample::machine().dialect;
        dialect.units = units;
        dialect.decimals = decimals;
        Grid::of(&dialect)
    }

    #[test]
    fn a_coordinate_has_a_point_and_all_decimals() {
        let grid = grid(Units::Millimetre, 3);
        assert_eq!(grid.word('X', grid.round(12.5)), "X12.500");
        assert_eq!(grid.word('Z', grid.round(-0.25)), "Z-0.250");
    }

    #[test]
    fn zero_has_no_sign() {
        let grid = grid(Units::Millimetre, 3);
        assert_eq!(grid.word('X', grid.round(-0.0004)), "X0.000");
    }

    #[test]
    fn inches_are_printed_at_the_dialects_decimals() {
        let grid = grid(Units::Inch, 4);
        assert_eq!(grid.word('Y', grid.round(25.4 * 0.28126)), "Y0.2813");
        assert_eq!(grid.feed_word(grid.feed(1270.0)), "F50");
    }

    #[test]
    fn a_feed_is_rounded_down() {
        let grid = grid(Units::Millimetre, 3);
        assert_eq!(grid.feed_word(grid.feed(999.99)), "F999.9");
        assert_eq!(grid.feed_word(grid.feed(1000.0)), "F1000");
    }
}
