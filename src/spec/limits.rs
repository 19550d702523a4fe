//! What is plausible, in one table, so that messages can name it.
//!
//! Ranges that the documentation of the files states are kept as stated; the
//! others only keep absurd sizes out.

use crate::spec::source::shortened;
use crate::units::{MM_PER_INCH, Units, text};

/// A range of numbers; lengths in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Limits {
    min: f64,
    max: f64,
    /// Whether the least value itself is excluded.
    above: bool,
}

impl Limits {
    const fn above(min: f64, max: f64) -> Self {
        Self {
            min,
            max,
            above: true,
        }
    }

    pub(crate) const fn from_to(min: f64, max: f64) -> Self {
        Self {
            min,
            max,
            above: false,
        }
    }

    const fn signed(max: f64) -> Self {
        Self::from_to(-max, max)
    }

    pub(crate) fn hold(self, value: f64) -> bool {
        value.is_finite()
            && value <= self.max
            && (value > self.min || (value == self.min && !self.above))
    }

    /// `from 0 to 2 mm`, `more than 0 and at most 0.0787 in`.
    pub(crate) fn words(self, units: Option<Units>) -> String {
        let (scale, symbol) = match units {
            None => (1.0, String::new()),
            Some(Units::Millimetre) => (1.0, " mm".to_owned()),
            Some(Units::Inch) => (1.0 / MM_PER_INCH, " in".to_owned()),
        };
        let (min, max) = (
            text::trimmed(self.min * scale),
            text::trimmed(self.max * scale),
        );
        if self.above {
            format!("more than {min} and at most {max}{symbol}")
        } else {
            format!("from {min} to {max}{symbol}")
        }
    }
}

/// Along the hinged edge, and travel: long enough for anything that is cut.
pub(crate) const LONG: Limits = Limits::above(0.0, 250_000.0);
/// Thickness, width or height of a part, or a height above the bed.
pub(crate) const PART: Limits = Limits::above(0.0, 10_000.0);
/// A place or an offset either way.
pub(crate) const OFFSET: Limits = Limits::signed(10_000.0);
/// A place along the hinged edge, either way.
pub(crate) const ALONG: Limits = Limits::signed(250_000.0);
/// A place along the hinged edge from its stop end.
pub(crate) const FROM_STOP: Limits = Limits::from_to(0.0, 250_000.0);
/// A distance that may be nothing.
pub(crate) const ROOM: Limits = Limits::from_to(0.0, 10_000.0);
/// A measure of a hinge.
pub(crate) const HINGE: Limits = Limits::above(0.0, 1000.0);
/// A measure of a hinge that may be nothing.
pub(crate) const HINGE_ROOM: Limits = Limits::from_to(0.0, 1000.0);
/// A place on the hinge from its centre.
pub(crate) const ON_HINGE: Limits = Limits::signed(1000.0);
/// `fit.clearance` and `fit.under`.
pub(crate) const CLEARANCE: Limits = Limits::from_to(0.0, 2.0);
/// `fit.finish`.
pub(crate) const FINISH: Limits = Limits::from_to(0.0, 0.5);
/// A correction of a pocket's place: a larger one is a wrong zero, not a fit.
pub(crate) const CORRECTION: Limits = Limits::signed(10.0);
/// A share of a whole, wear included.
pub(crate) const SHARE: Limits = Limits::from_to(0.0, 1.0);
/// Spacing of paths as a share of the bit.
pub(crate) const STEPOVER: Limits = Limits::from_to(0.05, 0.95);
/// Screw shank.
pub(crate) const SCREW: Limits = Limits::above(0.0, 20.0);
/// Specific gravity: balsa to lignum vitae with room on both sides.
pub(crate) const GRAVITY: Limits = Limits::from_to(0.05, 1.5);
/// Moisture content of wood in percent; fibres are saturated at about 30.
pub(crate) const MOISTURE: Limits = Limits::from_to(0.0, 30.0);
/// Bit and shank diameter.
pub(crate) const DIAMETER: Limits = Limits::from_to(0.5, 80.0);
/// Lengths of a bit.
pub(crate) const BIT_LENGTH: Limits = Limits::above(0.0, 300.0);
/// Thickness of a chip, per tooth.
pub(crate) const CHIP: Limits = Limits::above(0.0, 5.0);
/// Included point angle in degrees.
pub(crate) const POINT_ANGLE: Limits = Limits::from_to(30.0, 180.0);
/// Ramp angle in degrees.
pub(crate) const RAMP: Limits = Limits::from_to(0.05, 60.0);
/// Feed in millimetres a minute.
pub(crate) const FEED: Limits = Limits::above(0.0, 200_000.0);
/// Acceleration in millimetres a second squared.
pub(crate) const ACCELERATION: Limits = Limits::above(0.0, 100_000.0);
/// Spindle speed in revolutions a minute.
pub(crate) const RPM: Limits = Limits::above(0.0, 200_000.0);
/// Spindle power in watts.
pub(crate) const POWER: Limits = Limits::above(0.0, 50_000.0);
/// Waiting in seconds.
pub(crate) const WAIT: Limits = Limits::from_to(0.0, 600.0);
/// Metres cut with a bit.
pub(crate) const METRES: Limits = Limits::from_to(0.0, 1e9);
/// Cutting edges.
pub(crate) const FLUTES: Limits = Limits::from_to(1.0, 12.0);
/// T word.
pub(crate) const TOOL: Limits = Limits::from_to(1.0, 99_999.0);
/// Hinges of a job.
pub(crate) const COUNT: Limits = Limits::from_to(1.0, 100_000.0);
/// Characters of a program line: enough for one move, within the standard's 256.
pub(crate) const LINE: Limits = Limits::from_to(60.0, 256.0);
/// Decimals of a coordinate in millimetres.
pub(crate) const DECIMALS_MM: Limits = Limits::from_to(3.0, 5.0);
/// Decimals of a coordinate in inches.
pub(crate) const DECIMALS_INCH: Limits = Limits::from_to(4.0, 5.0);

/// A quotation in backticks.
pub(crate) fn quoted(text: &str) -> String {
    format!("`{}`", shortened(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_edges_belong_to_a_range_unless_it_starts_above() {
        assert!(CLEARANCE.hold(0.0) && CLEARANCE.hold(2.0));
        assert!(!PART.hold(0.0) && !CLEARANCE.hold(2.000_001));
        assert!(!OFFSET.hold(f64::NAN) && !OFFSET.hold(f64::INFINITY));
    }

    #[test]
    fn words_are_in_the_files_unit() {
        assert_eq!(CLEARANCE.words(Some(Units::Millimetre)), "from 0 to 2 mm");
        assert_eq!(CLEARANCE.words(Some(Units::Inch)), "from 0 to 0.0787 in");
        assert_eq!(SCREW.words(None), "more than 0 and at most 20");
    }
}
