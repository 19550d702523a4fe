//! What is plausible, in one table, so that messages can name it.
//!
//! Ranges that the documentation of the files states are kept as stated; the
//! others only keep absurd sizes out.

use crate::job::screw;
use crate::units::{Length, MM_PER_INCH, Units, text};

/// A range of numbers; lengths in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Range {
    min: f64,
    max: f64,
    /// The greatest that is written in inches: past it the unit is in doubt
    /// before the size is.
    inches_to: f64,
}

impl Range {
    /// Every number.
    pub(crate) const ANY: Self = Self::from_to(f64::MIN, f64::MAX);

    pub(crate) const fn from_to(min: f64, max: f64) -> Self {
        Self {
            min,
            max,
            inches_to: max,
        }
    }

    const fn in_inches_to(self, inches_to: f64) -> Self {
        Self { inches_to, ..self }
    }

    const fn signed(max: f64) -> Self {
        Self::from_to(-max, max)
    }

    /// The least that it holds.
    pub(crate) const fn least(self) -> f64 {
        self.min
    }

    /// The greatest that it holds.
    pub(crate) const fn most(self) -> f64 {
        self.max
    }

    pub(crate) fn hold(self, value: f64) -> bool {
        value.is_finite() && (self.min..=self.max).contains(&value)
    }

    /// The range of figures that are written in `units`.
    pub(crate) fn written_in(self, units: Units) -> Self {
        match units {
            Units::Millimetre => self,
            Units::Inch => Self {
                max: self.inches_to,
                ..self
            },
        }
    }

    /// What to write where a figure out of range would be right in the other
    /// unit: `16 in is 406.4 mm; if millimetres were meant, write "16 mm"`.
    pub(crate) fn other_unit(self, length: Length, written_in: Units) -> Option<String> {
        let other = written_in.other();
        let word = other.name();
        let number = length.as_units(written_in);
        let meant = other.one() * number;
        let fits = self.written_in(other).hold(meant.as_mm()) && number != 0.0;
        fits.then(|| {
            format!(
                "{} is {}; if {word} were meant, write \"{}\"",
                text::short(length, written_in),
                text::short(length, other),
                text::short(meant, other)
            )
        })
    }

    /// What to write where the decimal point has slipped by one place:
    /// `was 0.1 mm meant?`.
    pub(crate) fn tenth(self, length: Length, written_in: Units) -> Option<String> {
        let tenth = length / 10.0;
        let slipped = length.as_mm() > self.max && self.hold(tenth.as_mm());
        slipped.then(|| format!("was {} meant?", text::short(tenth, written_in)))
    }

    /// Whether the range is that of a share of a whole, and `value` a percentage.
    pub(crate) fn percent(self, value: f64) -> bool {
        self.max <= 1.0 && value > 1.0 && value <= 100.0
    }

    /// `from 0 to 2 mm`, `from 0 to 0.0787 in`.
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
        format!("from {min} to {max}{symbol}")
    }
}

/// Along the hinged edge: long enough for anything that is cut, but a figure
/// in inches past 5 m is one in millimetres that lacks its unit.
pub(crate) const LONG: Range = Range::from_to(20.0, 250_000.0).in_inches_to(5000.0);
/// Travel of X and Y.
pub(crate) const TRAVEL: Range = Range::from_to(30.0, 250_000.0).in_inches_to(6500.0);
/// Travel of Z.
pub(crate) const TRAVEL_Z: Range = Range::from_to(5.0, 1500.0);
/// Height of a part, or front to back.
pub(crate) const PART: Range = Range::from_to(5.0, 3000.0);
/// Thickness of a board.
pub(crate) const BOARD: Range = Range::from_to(1.0, 150.0);
/// The lid past the box's back face: further out it cannot open, further in
/// its hinge hangs in the air.
pub(crate) const OVERHANG: Range = Range::from_to(-150.0, 25.0);
/// The lid's show face below the rim.
pub(crate) const DROP: Range = Range::from_to(0.0, 150.0);
/// From the box's stop end to the lid's.
pub(crate) const END_INSET: Range = Range::signed(2000.0);
/// A place along the hinged edge, or of the fixture, either way.
pub(crate) const ALONG: Range = Range::signed(250_000.0);
/// A place along the hinged edge from its stop end.
pub(crate) const FROM_STOP: Range = Range::from_to(0.0, 250_000.0).in_inches_to(5000.0);
/// Height above Z0 or above the bed, either way.
pub(crate) const HEIGHT: Range = Range::signed(2000.0);
/// The lid's mating face above the box's.
pub(crate) const RISE: Range = Range::signed(500.0);
/// Thickness or height of a fence, divider or stop.
pub(crate) const FENCE: Range = Range::from_to(0.0, 250.0);
/// From the nut to the bed.
pub(crate) const DAYLIGHT: Range = Range::from_to(0.0, 2000.0);
/// Travel height above everything.
pub(crate) const CLEAR: Range = Range::from_to(0.5, 500.0).in_inches_to(100.0);
/// Length and diameter of nut and nose.
pub(crate) const NUT: Range = Range::from_to(1.0, 400.0);
/// Length of a hinge along the hinged edge.
pub(crate) const HINGE_LENGTH: Range = Range::from_to(1.0, 500.0);
/// Width of a hinge.
pub(crate) const HINGE_WIDTH: Range = Range::from_to(0.5, 150.0);
/// Depth of a hinge's step.
pub(crate) const HINGE_DEPTH: Range = Range::from_to(0.1, 100.0);
/// From the outside face to the leaf.
pub(crate) const SETBACK: Range = Range::from_to(0.0, 75.0);
/// Gap between the closed parts.
pub(crate) const GAP: Range = Range::from_to(0.0, 20.0);
/// Gap between the leaves when open flat.
pub(crate) const OPEN_GAP: Range = Range::from_to(0.0, 150.0);
/// Wood wanted beside and below a pocket.
pub(crate) const LEFT: Range = Range::from_to(0.0, 50.0);
/// Length of a screw, and depth of its hole.
pub(crate) const SCREW_LENGTH: Range = Range::from_to(0.5, 150.0);
/// A place on the hinge from its centre.
pub(crate) const ON_HINGE: Range = Range::signed(250.0);
/// `fit.clearance`.
pub(crate) const CLEARANCE: Range = Range::from_to(0.0, 0.6);
/// `fit.under`.
pub(crate) const UNDER: Range = Range::from_to(0.0, 2.0);
/// `fit.depth`.
pub(crate) const DEEPER: Range = Range::signed(3.0);
/// `fit.finish`.
pub(crate) const FINISH: Range = Range::from_to(0.0, 0.5);
/// A correction of a pocket's place: a larger one is a wrong zero, not a fit.
pub(crate) const CORRECTION: Range = Range::signed(10.0);
/// A share of a whole, wear included.
pub(crate) const SHARE: Range = Range::from_to(0.0, 1.0);
/// Spacing of paths as a share of the bit.
pub(crate) const STEPOVER: Range = Range::from_to(0.05, 0.95);
/// Gauge number of a wood screw.
pub(crate) const GAUGE: Range = Range::from_to(0.0, screw::LARGEST_GAUGE as f64);
/// Corner radius of a hinge's step.
pub(crate) const CORNER: Range = Range::from_to(0.0, 75.0);
/// Screw shank.
pub(crate) const SCREW: Range = Range::from_to(0.5, 20.0);
/// Specific gravity: balsa to lignum vitae with room on both sides.
pub(crate) const GRAVITY: Range = Range::from_to(0.05, 1.5);
/// Moisture content of wood in percent; fibres are saturated at about 30.
pub(crate) const MOISTURE: Range = Range::from_to(0.0, 30.0);
/// Bit and shank diameter.
pub(crate) const DIAMETER: Range = Range::from_to(0.5, 80.0);
/// Cutting edge and stick-out of a bit.
pub(crate) const BIT_LENGTH: Range = Range::from_to(1.0, 300.0);
/// Deepest bite of a bit.
pub(crate) const STEPDOWN: Range = Range::from_to(0.05, 300.0);
/// Thickness of a chip, per tooth.
pub(crate) const CHIP: Range = Range::from_to(0.0005, 5.0);
/// Included point angle in degrees.
pub(crate) const POINT_ANGLE: Range = Range::from_to(30.0, 180.0);
/// Ramp angle in degrees.
pub(crate) const RAMP: Range = Range::from_to(0.05, 60.0);
/// Feed in millimetres a minute; 2000 in/min is as fast as machines of that size go.
pub(crate) const FEED: Range = Range::from_to(10.0, 200_000.0).in_inches_to(60_000.0);
/// Acceleration in millimetres a second squared.
pub(crate) const ACCELERATION: Range = Range::from_to(1.0, 100_000.0);
/// Spindle speed in revolutions a minute.
pub(crate) const RPM: Range = Range::from_to(50.0, 200_000.0);
/// Spindle power in watts.
pub(crate) const POWER: Range = Range::from_to(1.0, 50_000.0);
/// Newtons for a millimetre of give.
pub(crate) const STIFFNESS: Range = Range::from_to(1.0, 1e6);
/// How far the tip can still rise above Z0.
pub(crate) const HEADROOM: Range = Range::from_to(1.0, 2000.0);
/// From zero to the far stop, or from a stop end to the block on its part.
pub(crate) const LOCATED: Range = Range::from_to(1.0, 250_000.0).in_inches_to(5000.0);
/// A block on a part, along it or above Z0.
pub(crate) const BLOCK: Range = Range::from_to(1.0, 500.0);
/// Diameter of a guide collar, outside or its bore.
pub(crate) const COLLAR: Range = Range::from_to(3.0, 100.0);
/// How far a guide collar reaches below the router's base.
pub(crate) const REACH: Range = Range::from_to(1.0, 50.0);
/// Diameter of a router's base.
pub(crate) const BASE: Range = Range::from_to(40.0, 400.0);
/// Height of a hand-held router.
pub(crate) const ROUTER: Range = Range::from_to(50.0, 600.0);
/// A template's plate, either way.
pub(crate) const PLATE: Range = Range::from_to(40.0, 3000.0);
/// How deep a batten is let into a plate.
pub(crate) const GROOVE: Range = Range::from_to(0.5, 50.0);
/// Play beside a template's insert, on its width in all.
pub(crate) const PLAY: Range = Range::from_to(0.0, 0.6);
/// Waiting in seconds.
pub(crate) const WAIT: Range = Range::from_to(0.0, 600.0);
/// Metres cut with a bit.
pub(crate) const METRES: Range = Range::from_to(0.0, 1e9);
/// Cutting edges.
pub(crate) const FLUTES: Range = Range::from_to(1.0, 12.0);
/// T word.
pub(crate) const TOOL: Range = Range::from_to(1.0, 99_999.0);
/// A length in millimetres in the log.
pub(crate) const TEXT: Range = Range::signed(1e6);
/// Hinges of a job.
pub(crate) const COUNT: Range = Range::from_to(1.0, 100_000.0);
/// Characters of a program line: enough for one move, within the standard's 256.
pub(crate) const LINE: Range = Range::from_to(60.0, 256.0);
/// Decimals of a coordinate in millimetres.
pub(crate) const DECIMALS_MM: Range = Range::from_to(3.0, 5.0);
/// Decimals of a coordinate in inches.
pub(crate) const DECIMALS_INCH: Range = Range::from_to(4.0, 5.0);

/// Rounding of decimal numbers in binary; far below anything that is cut.
pub(crate) const SLACK_MM: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_edges_belong_to_a_range() {
        assert!(UNDER.hold(0.0) && UNDER.hold(2.0));
        assert!(!HINGE_WIDTH.hold(0.0) && !UNDER.hold(2.000_001));
        assert!(!ALONG.hold(f64::NAN) && !ALONG.hold(f64::INFINITY));
    }

    #[test]
    fn a_figure_right_in_the_other_unit_is_doubted() {
        let wall = Length::from_inch(16.0);
        assert_eq!(
            BOARD.other_unit(wall, Units::Inch).as_deref(),
            Some("16 in is 406.4 mm; if millimetres were meant, write \"16 mm\"")
        );
        let wall = Length::from_mm(0.75);
        assert_eq!(
            BOARD.other_unit(wall, Units::Millimetre).as_deref(),
            Some("0.75 mm is 0.0295 in; if inches were meant, write \"0.75 in\"")
        );
        assert_eq!(
            BOARD.other_unit(Length::from_mm(-3.0), Units::Millimetre),
            None
        );
        assert_eq!(
            BOARD.other_unit(Length::from_mm(9000.0), Units::Millimetre),
            None
        );
    }

    #[test]
    fn only_figures_in_inches_are_doubted_early() {
        let long = Length::from_inch(300.0).as_mm();
        assert!(TRAVEL.hold(long) && TRAVEL.written_in(Units::Millimetre).hold(long));
        assert!(!TRAVEL.written_in(Units::Inch).hold(long));
    }

    #[test]
    fn words_are_in_the_files_unit() {
        assert_eq!(UNDER.words(Some(Units::Millimetre)), "from 0 to 2 mm");
        assert_eq!(UNDER.words(Some(Units::Inch)), "from 0 to 0.0787 in");
        assert_eq!(SCREW.words(None), "from 0.5 to 20");
    }
}
