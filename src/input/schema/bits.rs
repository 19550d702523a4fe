//! The bits file. Field comments are what editors show.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{EntryTable, LengthValue};
use crate::shop::bit::{BitKind, BitMaterial, Direction};
use crate::units::Units;

/// The rack: every bit that a job may name.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct BitsFile {
    /// The unit of bare numbers in this file.
    #[schemars(extend("default" = "mm"))]
    units: Option<Units>,
    /// The list of bits, each a table that starts with `[[bit]]`.
    #[schemars(length(min = 1, max = 1000))]
    bit: Vec<BitTable>,
    /// What `stepwell fit` has entered; it keeps this list.
    entry: Option<Vec<EntryTable>>,
}

/// A router bit or a drill.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BitTable {
    /// The name that jobs call it by, unique in the rack.
    name: String,
    /// How it is ground: "single-flute", "double-flute", "up-spiral", "down-spiral" or "drill".
    kind: BitKind,
    /// The nominal diameter of what it cuts, as sold.
    diameter: LengthValue,
    /// Width of a slot it really cuts, by caliper. Default: the diameter.
    measured: Option<LengthValue>,
    /// Cutting edges. Default: 1 for a single-flute bit, else 2.
    #[schemars(range(min = 1, max = 12))]
    flutes: Option<u32>,
    /// The length of the cutting edge from the tip; by caliper.
    cutting_length: LengthValue,
    /// The length that stands out of the nut, nut to tip; by caliper.
    stickout: LengthValue,
    /// Shank diameter. Default: the diameter.
    shank: Option<LengthValue>,
    /// What the edge is made of.
    #[schemars(extend("default" = "carbide"))]
    material: Option<BitMaterial>,
    /// Whether it cuts at its centre and may go straight down; a drill always may.
    #[schemars(extend("default" = false))]
    plunges: Option<bool>,
    /// Included point angle of a drill in degrees.
    #[schemars(range(min = 30.0, max = 180.0), extend("default" = 118))]
    point_angle: Option<f64>,
    /// 0 fresh to 1 worn out.
    #[schemars(range(min = 0.0, max = 1.0), extend("default" = 0))]
    wear: Option<f64>,
    /// Deepest bite of the fresh bit. Default: by kind, diameter and wood.
    stepdown: Option<LengthValue>,
    /// Steepest ramp in degrees. Default: by kind.
    #[schemars(range(min = 0.05, max = 60.0))]
    ramp_deg: Option<f64>,
    /// Least chip per tooth: under it the edge rubs and burns.
    chip_min: Option<LengthValue>,
    /// Greatest chip per tooth.
    chip_max: Option<LengthValue>,
    /// Spacing of neighbouring paths as a share of the diameter.
    #[schemars(range(min = 0.05, max = 0.95))]
    stepover: Option<f64>,
    /// Number for T words. Default: the bit's place in the file.
    #[schemars(range(min = 1, max = 99_999))]
    tool: Option<u32>,
    /// The fastest it may turn, as engraved. Default: by its diameter.
    #[schemars(range(min = 50.0, max = 200_000.0))]
    rpm_max: Option<f64>,
    /// Metres of path cut in wood, as `ran` adds them.
    #[schemars(range(min = 0.0), extend("default" = 0))]
    cut_m: Option<f64>,
    /// `cut_m` when `wear` was stated: the bit is as worn as stated and as cut since.
    #[schemars(range(min = 0.0), extend("default" = 0))]
    wear_at_m: Option<f64>,
    /// Whether the rim is scored before roughing. Default: only by an up-spiral.
    score: Option<bool>,
    /// Which way the finishing pass goes round the wall.
    #[schemars(extend("default" = "climb"))]
    finish_direction: Option<Direction>,
    /// Whether half the wall allowance gets a finishing pass of its own.
    #[schemars(extend("default" = false))]
    second_finish: Option<bool>,
    /// Whether the last finishing pass is run once more at the same place.
    #[schemars(extend("default" = false))]
    spring_pass: Option<bool>,
}
