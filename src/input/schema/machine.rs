//! The machine file. Field comments are what editors show.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::LengthValue;
use crate::shop::machine::{
    ArcSupport, CommentStyle, DustRelay, DwellUnit, EndWord, SafeZ, SpindleControl, ToolChange,
};
use crate::units::Units;

/// A router: travel, limits, spindle, and the dialect its controller reads.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct MachineFile {
    /// The name as people know it.
    name: String,
    /// The unit of bare numbers in this file.
    #[schemars(extend("default" = "mm"))]
    units: Option<Units>,
    /// The travel of X, Y and Z, as a list of three; from the machine's manual.
    travel: [LengthValue; 3],
    /// The greatest feed of X, Y and Z, per minute, as a list of three; from the machine's manual.
    feed_max: [LengthValue; 3],
    /// Rapid rate of X, Y and Z, per minute. Default: `feed_max`.
    rapid: Option<[LengthValue; 3]>,
    /// Acceleration of X, Y and Z, per second squared.
    #[schemars(extend("default" = ["250 mm", "250 mm", "150 mm"]))]
    accel: Option<[LengthValue; 3]>,
    /// Travel height above the highest of wood, divider, fence, stop and clamps.
    #[schemars(extend("default" = "5 mm"))]
    clearance: Option<LengthValue>,
    /// The collet nut, its lower face at the bit's stick-out. Default: 20 mm across and 30 mm long.
    nut: Option<NutTable>,
    /// The spindle body above the nut, taken as endless. Default: unknown.
    nose: Option<NoseTable>,
    /// From the nut down to the bed with Z at the top. Default: unknown.
    daylight: Option<LengthValue>,
    /// Machine coordinates where they are not 0 to the travel in X and Y and minus the travel to 0 in Z.
    limits: Option<LimitsTable>,
    /// Newtons for a millimetre of give of the machine at the tip, by a spring balance and a dial gauge. Default: unknown.
    #[schemars(range(min = 1.0))]
    stiffness: Option<f64>,
    /// The table of the spindle: `[spindle]` with `rpm`.
    spindle: SpindleTable,
    dialect: Option<DialectTable>,
}

/// Least and greatest machine coordinates.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LimitsTable {
    /// The least X, Y and Z, as a list of three.
    min: [LengthValue; 3],
    /// The greatest X, Y and Z, as a list of three.
    max: [LengthValue; 3],
}

/// The collet nut.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct NutTable {
    /// The nut's diameter across its corners; by caliper.
    diameter: LengthValue,
    /// The nut's length along the spindle's axis; by caliper.
    length: LengthValue,
}

/// The spindle body.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct NoseTable {
    /// The diameter of the spindle's body; by caliper.
    diameter: LengthValue,
}

/// The spindle.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SpindleTable {
    /// The slowest and the fastest speed in revolutions a minute, as [8000, 24000]; from the spindle's plate.
    rpm: [f64; 2],
    /// Power in watts. Default: unknown.
    power_w: Option<f64>,
    /// Seconds from standstill to speed.
    #[schemars(range(min = 0.0, max = 600.0), extend("default" = 3))]
    spin_up_s: Option<f64>,
    /// Who sets the speed: the program, or a person by a dial.
    #[schemars(extend("default" = "program"))]
    control: Option<SpindleControl>,
    /// The marks of a dial and their speeds: { 1 = 10000, 2 = 14000 }. Only these are chosen.
    dial: Option<BTreeMap<String, f64>>,
}

/// What the controller reads.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct DialectTable {
    /// G21 or G20.
    #[schemars(extend("default" = "mm"))]
    units: Option<Units>,
    /// Decimals of a coordinate: 3 to 5 in millimetres, 4 to 5 in inches. Default: the least.
    #[schemars(range(min = 3, max = 5))]
    decimals: Option<u32>,
    /// "flat": level arcs; "helix": arcs may descend too; "none": chords.
    #[schemars(extend("default" = "flat"))]
    arcs: Option<ArcSupport>,
    /// How comments are written.
    #[schemars(extend("default" = "parentheses"))]
    comments: Option<CommentStyle>,
    /// N words.
    #[schemars(extend("default" = false))]
    line_numbers: Option<bool>,
    /// Longest line in characters.
    #[schemars(range(min = 60, max = 256), extend("default" = 70))]
    line_limit: Option<u32>,
    /// `%` as first and last line.
    #[schemars(extend("default" = false))]
    percent: Option<bool>,
    /// What P means after G4.
    #[schemars(extend("default" = "seconds"))]
    dwell: Option<DwellUnit>,
    /// "split": a program for each bit; "m6" with G43 H; "pause": M0, which needs `rezero_at_pause`.
    #[schemars(extend("default" = "split"))]
    tool_change: Option<ToolChange>,
    /// Whether Z is zeroed again at a pause for a bit change.
    #[schemars(extend("default" = false))]
    rezero_at_pause: Option<bool>,
    /// Start and end at the safe height in work coordinates, or at a machine height by G53.
    #[schemars(extend("default" = "work"))]
    safe_z: Option<SafeZ>,
    /// The word that ends the program.
    #[schemars(extend("default" = "M30"))]
    end: Option<EndWord>,
    /// A relay for dust extraction.
    #[schemars(extend("default" = "none"))]
    dust: Option<DustRelay>,
}
