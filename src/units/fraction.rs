//! Inches in sixty-fourths, reduced, with the error that the rounding makes.

use std::fmt;

use crate::units::{Length, MM_PER_INCH};

const PARTS: u64 = 64;

/// A signed count of inches and a reduced fraction with 1, 2, 4 … 64 below
/// the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fraction {
    negative: bool,
    whole: u64,
    above: u64,
    below: u64,
    error: Length,
}

impl Fraction {
    /// The nearest 1/64 in to `length`.
    ///
    /// ```
    /// use stepwell::units::{Length, fraction::Fraction};
    /// let fraction = Fraction::nearest(Length::from_mm(42.9));
    /// assert_eq!(fraction.to_string(), "1 11/16");
    /// ```
    pub fn nearest(length: Length) -> Self {
        let exact = length.as_inch() * 64.0;
        let rounded = exact.round();
        let count = rounded.abs() as u64;
        let (above, below) = reduced(count % PARTS);
        Self {
            negative: rounded < 0.0,
            whole: count / PARTS,
            above,
            below,
            error: Length::from_mm((exact - rounded) * MM_PER_INCH / 64.0),
        }
    }

    /// Whether it is less than half of 1/64 in.
    pub fn is_nothing(self) -> bool {
        self.whole == 0 && self.above == 0
    }

    /// The length less the fraction: positive where the length is longer.
    pub fn error(self) -> Length {
        self.error
    }
}

/// `count` sixty-fourths, `count` under 64, with the twos taken out.
fn reduced(count: u64) -> (u64, u64) {
    if count == 0 {
        return (0, 1);
    }
    let twos = count.trailing_zeros();
    (count >> twos, PARTS >> twos)
}

impl fmt::Display for Fraction {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.negative {
            formatter.write_str("-")?;
        }
        match (self.whole, self.above) {
            (whole, 0) => write!(formatter, "{whole}"),
            (0, above) => write!(formatter, "{above}/{}", self.below),
            (whole, above) => write!(formatter, "{whole} {above}/{}", self.below),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(inches: f64, text: &str, error_inches: f64) {
        let fraction = Fraction::nearest(Length::from_inch(inches));
        assert_eq!(fraction.to_string(), text);
        let error = fraction.error().as_inch();
        assert!((error - error_inches).abs() < 1e-12, "{error}");
    }

    // Lead holes of a public screw root-diameter table, 70 % and 90 % of the
    // root as the table rounds them to the nearest 1/64 in (handbook rows
    // W35-4, W35-6, W35-8, W35-10).
    #[test]
    fn lead_holes_round_as_the_public_table_prints_them() {
        for (root, soft, hard) in [
            (0.075, "3/64", "1/16"),
            (0.094, "1/16", "5/64"),
            (0.112, "5/64", "3/32"),
            (0.130, "3/32", "7/64"),
        ] {
            let text = |inches| Fraction::nearest(Length::from_inch(inches)).to_string();
            assert_eq!(text(root * 0.7), soft);
            assert_eq!(text(root * 0.9), hard);
        }
    }

    #[test]
    fn fractions_are_reduced_and_signed() {
        check(1.6875, "1 11/16", 0.0);
        check(0.0, "0", 0.0);
        check(2.0, "2", 0.0);
        check(-0.375, "-3/8", 0.0);
        check(0.5 + 1.0 / 256.0, "1/2", 1.0 / 256.0);
        check(1.0 - 1.0 / 256.0, "1", -1.0 / 256.0);
        check(-1.0 / 256.0, "0", -1.0 / 256.0);
    }
}
