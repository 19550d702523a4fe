//! Lengths, feeds, speeds and angles, each a type of its own.
//!
//! Everything computes in millimetres, minutes and radians. Inches exist only
//! at the edges: a file being read, a G20 program being written, a fraction
//! shown to a person.

pub(crate) mod digits;
pub mod fraction;
pub(crate) mod ruler;
pub mod text;

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use float_cmp::approx_eq;
use serde::{Deserialize, Serialize};

/// Millimetres in one inch, exact by definition (international yard and pound
/// agreement, 1959).
pub const MM_PER_INCH: f64 = 25.4;

/// The unit a file is written in, or that people read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Units {
    /// Millimetres.
    #[default]
    #[serde(rename = "mm")]
    Millimetre,
    /// Inches.
    #[serde(rename = "in")]
    Inch,
}

impl Units {
    /// The length of one of this unit.
    pub const fn one(self) -> Length {
        match self {
            Units::Millimetre => Length::from_mm(1.0),
            Units::Inch => Length::from_mm(MM_PER_INCH),
        }
    }

    /// The other one.
    pub(crate) const fn other(self) -> Self {
        match self {
            Units::Millimetre => Units::Inch,
            Units::Inch => Units::Millimetre,
        }
    }

    /// Written out, of more than one.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Millimetre => "millimetres",
            Self::Inch => "inches",
        }
    }

    /// `mm` or `in`.
    pub const fn symbol(self) -> &'static str {
        match self {
            Units::Millimetre => "mm",
            Units::Inch => "in",
        }
    }
}

impl fmt::Display for Units {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.symbol())
    }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $from:ident, $as:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// Nothing at all.
            pub const ZERO: Self = Self(0.0);

            #[doc = concat!("From ", $unit, ".")]
            pub const fn $from(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("The value in ", $unit, ".")]
            pub const fn $as(self) -> f64 {
                self.0
            }

            /// The smaller of the two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of the two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// Without its sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// Whether it is neither infinite nor NaN.
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, quantity: $name) -> $name {
                $name(self * quantity.0)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(iterator: I) -> Self {
                iterator.fold(Self::ZERO, Add::add)
            }
        }
    };
}

quantity!(
    /// A distance along one axis, signed. Stored in millimetres. Files that
    /// hold NaN or infinity are refused when they are read, so a length that
    /// came from a file is finite.
    Length, from_mm, as_mm, "millimetres"
);
quantity!(
    /// A feed rate along the path. Stored in millimetres a minute.
    Feed, from_mm_per_minute, as_mm_per_minute, "millimetres a minute"
);
quantity!(
    /// A spindle speed. Stored in revolutions a minute.
    SpindleSpeed, from_rpm, as_rpm, "revolutions a minute"
);
quantity!(
    /// A plane angle, counter-clockwise positive. Stored in radians.
    Angle, from_radians, as_radians, "radians"
);
quantity!(
    /// A span of time. Stored in seconds.
    Seconds, from_seconds, as_seconds, "seconds"
);

impl Length {
    /// Lengths nearer than this are the same length, written differently.
    pub(crate) const SAME: Self = Self(1e-6);

    /// From inches.
    pub const fn from_inch(inch: f64) -> Self {
        Self(inch * MM_PER_INCH)
    }

    /// The value in inches.
    pub const fn as_inch(self) -> f64 {
        self.0 / MM_PER_INCH
    }

    /// Whether the two are the same within `tolerance`, the bound included.
    pub fn is_near(self, other: Self, tolerance: Self) -> bool {
        approx_eq!(f64, self.0, other.0, epsilon = tolerance.0, ulps = 4)
    }

    /// The value in `units`.
    pub const fn as_units(self, units: Units) -> f64 {
        match units {
            Units::Millimetre => self.as_mm(),
            Units::Inch => self.as_inch(),
        }
    }
}

impl Angle {
    /// From degrees.
    pub const fn from_degrees(degrees: f64) -> Self {
        Self(degrees.to_radians())
    }

    /// The value in degrees.
    pub const fn as_degrees(self) -> f64 {
        self.0.to_degrees()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_means_within_the_tolerance_either_way() {
        let (bit, tolerance) = (Length::from_mm(6.0), Length::from_mm(0.02));
        for (width, near) in [
            (6.0, true),
            (6.02, true),
            (5.98, true),
            (6.0201, false),
            (5.9, false),
        ] {
            assert_eq!(
                Length::from_mm(width).is_near(bit, tolerance),
                near,
                "{width}"
            );
        }
        assert!(!Length::from_mm(f64::NAN).is_near(bit, tolerance));
    }

    #[test]
    fn an_inch_is_exactly_25_4_mm() {
        assert_eq!(Length::from_inch(1.0).as_mm(), 25.4);
        assert_eq!(Length::from_mm(25.4).as_units(Units::Inch), 1.0);
    }
}
