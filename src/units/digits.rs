//! Decimal figures from whole numbers, as programs and drawings print them by
//! the thousand.

use std::fmt::Write as _;

/// Powers of ten that a number has room for.
const MOST: u8 = 19;

/// Appends `digits` with the point `decimals` from the right: 12500 with three
/// is `12.500`. Without decimals there is no point, and zero has no sign.
pub(crate) fn push_decimal(text: &mut String, digits: i64, decimals: u8) {
    let width = usize::from(decimals.min(MOST));
    let scale = 10_u64.pow(u32::from(decimals.min(MOST)));
    let (whole, rest) = (digits.unsigned_abs() / scale, digits.unsigned_abs() % scale);
    let sign = if digits < 0 { "-" } else { "" };
    // Writing to a text cannot fail.
    let _ = match width {
        0 => write!(text, "{sign}{whole}"),
        width => write!(text, "{sign}{whole}.{rest:0width$}"),
    };
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_have_a_point_and_all_decimals() {
        for (digits, decimals, expected) in [
            (12_500, 3, "12.500"),
            (-250, 3, "-0.250"),
            (0, 3, "0.000"),
            (7, 4, "0.0007"),
            (-1_234_567, 1, "-123456.7"),
            (-42, 0, "-42"),
            (i64::MIN, 2, "-92233720368547758.08"),
        ] {
            let mut text = "X".to_owned();
            push_decimal(&mut text, digits, decimals);
            assert_eq!(text, format!("X{expected}"));
        }
    }

    /// Source: the standard library's formatter.
    #[test]
    fn figures_are_those_of_the_standard_formatter() {
        for digits in (-20_000..20_000).step_by(7) {
            let mut text = String::new();
            push_decimal(&mut text, digits, 3);
            let expected = format!("{:.3}", digits as f64 / 1000.0);
            assert_eq!(text, expected.replace("-0.000", "0.000"));
        }
    }
}
