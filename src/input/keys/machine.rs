//! The machine file.

use crate::input::limits::{
    ACCELERATION, ALONG, CLEAR, DAYLIGHT, DECIMALS_MM, FEED, LINE, NUT, POWER, RPM, STIFFNESS,
    TRAVEL, TRAVEL_Z, WAIT,
};
use crate::shop::machine::ArcSupport;
use crate::shop::machine::CommentStyle;
use crate::shop::machine::DustRelay;
use crate::shop::machine::DwellUnit;
use crate::shop::machine::EndWord;
use crate::shop::machine::SafeZ;
use crate::shop::machine::SpindleControl;
use crate::shop::machine::ToolChange;
use crate::units::Units;

use super::key::{keys, words};

keys! {
    /// A router: travel, limits, spindle, and the dialect its controller reads.
    pub(super) MACHINE_KEYS {
        /// The name as people know it.
        name => Text, Required;
        /// The unit of bare numbers in this file.
        units => Word(words::<Units>), Said("mm");
        /// The travel of X, Y and Z, as a list of three; from the machine's manual.
        travel => Lengths(&[TRAVEL, TRAVEL, TRAVEL_Z]), Required;
        /// The greatest feed of X, Y and Z, per minute, as a list of three; from the machine's manual.
        feed_max => Lengths(&[FEED; 3]), Required;
        /// Rapid rate of X, Y and Z, per minute. Default: `feed_max`.
        rapid => Lengths(&[FEED; 3]), Optional;
        /// Acceleration of X, Y and Z, per second squared.
        accel => Lengths(&[ACCELERATION; 3]), Each(&[250.0, 250.0, 150.0]);
        /// Travel height above the highest of wood, divider, fence, stop and clamps.
        clearance => Length(CLEAR), Mm(5.0);
        /// The collet nut, its lower face at the bit's stick-out. Default: 20 mm across and 30 mm long.
        nut => Table(NUT_KEYS), Optional;
        /// The spindle body above the nut, taken as endless. Default: unknown.
        nose => Table(NOSE_KEYS), Optional;
        /// From the nut down to the bed with Z at the top. Default: unknown.
        daylight => Length(DAYLIGHT), Optional;
        /// Machine coordinates where they are not 0 to the travel in X and Y and minus the travel to 0 in Z.
        limits => Table(LIMITS_KEYS), Optional;
        /// Newtons for a millimetre of give of the machine at the tip, by a spring balance and a dial gauge. Default: unknown.
        stiffness => Number(STIFFNESS), Optional;
        /// The table of the spindle: `[spindle]` with `rpm`.
        spindle => Table(SPINDLE_KEYS), Required;
        /// What the controller reads.
        dialect => Table(DIALECT_KEYS), Optional;
    }

    /// Least and greatest machine coordinates.
    LIMITS_KEYS {
        /// The least X, Y and Z, as a list of three.
        min => Lengths(&[ALONG; 3]), Required;
        /// The greatest X, Y and Z, as a list of three.
        max => Lengths(&[ALONG; 3]), Required;
    }

    /// The collet nut.
    NUT_KEYS {
        /// The nut's diameter across its corners; by caliper.
        diameter => Length(NUT), Required;
        /// The nut's length along the spindle's axis; by caliper.
        length => Length(NUT), Required;
    }

    /// The spindle body.
    NOSE_KEYS {
        /// The diameter of the spindle's body; by caliper.
        diameter => Length(NUT), Required;
    }

    /// The spindle.
    SPINDLE_KEYS {
        /// The slowest and the fastest speed in revolutions a minute, as [8000, 24000]; from the spindle's plate.
        rpm => Numbers(&[RPM; 2]), Required;
        /// Power in watts. Default: unknown.
        power_w => Number(POWER), Optional;
        /// Seconds from standstill to speed.
        spin_up_s => Number(WAIT), Figure(3.0);
        /// Who sets the speed: the program, or a person by a dial.
        control => Word(words::<SpindleControl>), Said("program");
        /// The marks of a dial and their speeds: { 1 = 10000, 2 = 14000 }. Only these are chosen.
        dial => Speeds(RPM), Optional;
    }

    /// What the controller reads.
    DIALECT_KEYS {
        /// G21 or G20.
        units => Word(words::<Units>), Said("mm");
        /// Decimals of a coordinate: 3 to 5 in millimetres, 4 to 5 in inches. Default: the least.
        decimals => Whole(DECIMALS_MM), Optional;
        /// "flat": level arcs; "helix": arcs may descend too; "none": chords.
        arcs => Word(words::<ArcSupport>), Said("flat");
        /// How comments are written.
        comments => Word(words::<CommentStyle>), Said("parentheses");
        /// N words.
        line_numbers => Switch, Is(false);
        /// Longest line in characters.
        line_limit => Whole(LINE), Figure(70.0);
        /// `%` as first and last line.
        percent => Switch, Is(false);
        /// What P means after G4.
        dwell => Word(words::<DwellUnit>), Said("seconds");
        /// "split": a program for each bit; "m6" with G43 H; "pause": M0, which needs `rezero_at_pause`.
        tool_change => Word(words::<ToolChange>), Said("split");
        /// Whether Z is zeroed again at a pause for a bit change.
        rezero_at_pause => Switch, Is(false);
        /// Start and end at the safe height in work coordinates, or at a machine height by G53.
        safe_z => Word(words::<SafeZ>), Said("work");
        /// The word that ends the program.
        end => Word(words::<EndWord>), Said("M30");
        /// A relay for dust extraction.
        dust => Word(words::<DustRelay>), Said("none");
    }
}
