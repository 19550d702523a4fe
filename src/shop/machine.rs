//! The router: travel, limits, spindle, and the dialect its controller reads.

use serde::{Deserialize, Serialize};

use crate::units::{Feed, Length, Seconds, SpindleSpeed, Units};

/// A machine, resolved: defaults filled in, ranges proven.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// Name as people know it.
    pub name: String,
    /// Travel along X, Y, Z.
    pub travel: [Length; 3],
    /// Greatest feed of each axis.
    pub feed_max: [Feed; 3],
    /// Rapid rate of each axis.
    pub rapid: [Feed; 3],
    /// Acceleration of each axis in millimetres a second squared.
    pub acceleration: [f64; 3],
    /// Safe travel height above the highest of wood, divider, fence, stop and clamps.
    pub clearance: Length,
    /// The collet nut, its lower face at the bit's stick-out.
    pub nut: Cylinder,
    /// The spindle body above the nut, taken as endless upward.
    pub nose_diameter: Option<Length>,
    /// Nut to bed with Z at the top.
    pub daylight: Option<Length>,
    /// Least and greatest machine coordinate of each axis.
    pub limits: [(Length, Length); 3],
    /// Newtons for a millimetre of give of the machine at the tip, where known.
    pub stiffness: Option<f64>,
    /// The spindle.
    pub spindle: Spindle,
    /// What the controller reads.
    pub dialect: Dialect,
}

/// An upright cylinder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cylinder {
    /// Across.
    pub diameter: Length,
    /// Along its axis.
    pub length: Length,
}

/// The spindle's limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Spindle {
    /// Slowest speed.
    pub slowest: SpindleSpeed,
    /// Fastest speed.
    pub fastest: SpindleSpeed,
    /// Power in watts, where known.
    pub power_w: Option<f64>,
    /// Time to reach speed.
    pub spin_up: Seconds,
    /// Who sets the speed.
    pub control: SpindleControl,
    /// The marks of a dial with their speeds, the slowest first; empty where
    /// any speed can be set.
    pub dial: Vec<(String, SpindleSpeed)>,
}

impl Spindle {
    /// The mark of the dial at that speed.
    pub fn mark(&self, speed: SpindleSpeed) -> Option<&str> {
        let marks = self.dial.iter();
        let mut at = marks.filter(|(_, rpm)| (rpm.as_rpm() - speed.as_rpm()).abs() < 1.0);
        at.next().map(|(mark, _)| mark.as_str())
    }
}

/// Who sets the spindle speed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SpindleControl {
    /// S and M3 in the program.
    #[default]
    Program,
    /// A person, by a dial, at a pause.
    Manual,
}

/// What the controller reads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dialect {
    /// G21 or G20.
    pub units: Units,
    /// Decimals of a printed coordinate: 3…5 in millimetres, 4…5 in inches.
    pub decimals: u8,
    /// What may be an arc.
    pub arcs: ArcSupport,
    /// How comments are written.
    pub comments: CommentStyle,
    /// N words.
    pub line_numbers: bool,
    /// Longest line in characters.
    pub line_limit: usize,
    /// `%` as first and last line.
    pub percent: bool,
    /// What P means after G4.
    pub dwell: DwellUnit,
    /// How a bit change is done.
    pub tool_change: ToolChange,
    /// Whether Z is zeroed again at a pause for a bit change.
    pub rezero_at_pause: bool,
    /// Where a program starts and ends in Z.
    pub safe_z: SafeZ,
    /// The word that ends the program.
    pub end: EndWord,
    /// A relay for dust extraction.
    pub dust: DustRelay,
}

impl Default for Dialect {
    /// Millimetres at three decimals, level arcs, comments in parentheses,
    /// lines of at most 70 characters, a program for each bit.
    fn default() -> Self {
        Self {
            units: Units::Millimetre,
            decimals: 3,
            arcs: ArcSupport::default(),
            comments: CommentStyle::default(),
            line_numbers: false,
            line_limit: 70,
            percent: false,
            dwell: DwellUnit::default(),
            tool_change: ToolChange::default(),
            rezero_at_pause: false,
            safe_z: SafeZ::default(),
            end: EndWord::default(),
            dust: DustRelay::default(),
        }
    }
}

impl Dialect {
    /// How bits are changed in fact: a pause without a new Z touch-off is no
    /// bit change, so it acts as a split.
    pub fn effective_tool_change(&self) -> ToolChange {
        match self.tool_change {
            ToolChange::Pause if !self.rezero_at_pause => ToolChange::Split,
            other => other,
        }
    }
}

/// What may be an arc.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ArcSupport {
    /// Level arcs only.
    #[default]
    Flat,
    /// Arcs may descend too.
    Helix,
    /// Chords within 0.005 mm.
    None,
}

/// How comments are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CommentStyle {
    /// `(like this)`.
    #[default]
    Parentheses,
    /// `; like this`.
    Semicolon,
    /// Not at all.
    None,
}

/// What P means after G4.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DwellUnit {
    /// Seconds, as in the standard.
    #[default]
    Seconds,
    /// Milliseconds.
    Milliseconds,
}

/// How a bit change is done.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ToolChange {
    /// A program for each bit, each with its own Z touch-off.
    #[default]
    Split,
    /// `M6` with `G43 H`.
    M6,
    /// `M0`, the bit changed by hand.
    Pause,
}

/// Where a program starts and ends in Z.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SafeZ {
    /// At the safe height in work coordinates.
    #[default]
    Work,
    /// At a machine height, by G53.
    Machine,
}

/// The word that ends the program.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum EndWord {
    /// `M30`.
    #[default]
    M30,
    /// `M2`.
    M2,
}

/// A relay for dust extraction.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum DustRelay {
    /// None.
    #[default]
    #[serde(rename = "none")]
    None,
    /// On the mist output.
    M7,
    /// On the flood output.
    M8,
}
