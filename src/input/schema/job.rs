//! The job file. Field comments are what editors show.

use schemars::JsonSchema;
use serde::Deserialize;

use super::hinges::HingeTable;
use super::template::TemplateTable;
use super::wood::WoodValue;
use super::{EntryTable, LengthValue};
use crate::job::{Along, Closing, Layout, StopEnd, ZeroPoint};
use crate::units::Units;

/// A job: a box, its lid, a measured hinge, and how the parts lie on the machine.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct JobFile {
    /// What people call it. Default: the file's name.
    title: Option<String>,
    /// The unit of bare numbers in this file.
    #[schemars(extend("default" = "mm"))]
    units: Option<Units>,
    /// The path of the machine file, counted from the folder of this file.
    machine: String,
    /// The path of the bits file, counted from the folder of this file.
    bits: String,
    /// The bit for the pockets, by its name in the bits file. May be left out where the command line names it.
    bit: Option<String>,
    /// The table of the box: `[box]` with `length`, `wall`, `height` and `wood`.
    r#box: BoxTable,
    /// The table of the lid: `[lid]` with `closing`, `width`, `thickness` and `wood`.
    lid: LidTable,
    /// The path of the hinge drawer, counted from the folder of this file; then `[hinge]` may be just a `name`.
    hinges: Option<String>,
    /// The table of the hinge: `[hinge]` with `width`, `setback`, `closed_gap` and `steps`, or with the `name` of one of the drawer.
    hinge: HingeTable,
    /// The table that says where the hinges sit: `[placement]` with `count` and `inset`, or with `centres`.
    placement: PlacementTable,
    pilot: Option<PilotTable>,
    fit: Option<FitTable>,
    /// The table that says how the parts lie on the machine: `[fixture]` with `layout`.
    fixture: FixtureTable,
    template: Option<TemplateTable>,
    /// What `stepwell fit` has entered; it keeps this list.
    entry: Option<Vec<EntryTable>>,
}

/// The box.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BoxTable {
    /// The length along the hinged edge, end to end; by tape.
    length: LengthValue,
    /// The thickness of the hinged wall at the rim; by caliper, outside jaws.
    wall: LengthValue,
    /// The height from the underside to the rim; by tape.
    height: LengthValue,
    /// Front to back, for the drawing.
    width: Option<LengthValue>,
    /// The wood: a name of the wood table, such as "black walnut", "hard maple", "plywood" or "MDF", or { name = "…", gravity = 0.6 }.
    wood: WoodValue,
}

/// The lid.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LidTable {
    /// How the lid closes: "overlay", it lies on the rim, or "inset", it closes between the walls.
    closing: Closing,
    /// The length along the hinged edge, by tape. Default for an overlay lid: the box's length; required for an inset lid.
    length: Option<LengthValue>,
    /// The lid front to back; by tape.
    width: LengthValue,
    /// The thickness at the hinged edge, from the show face to the underside; by caliper, outside jaws.
    thickness: LengthValue,
    /// Overlay lid that has walls of its own (a box sawn in two): their thickness.
    wall: Option<LengthValue>,
    /// Overlay only: the lid past the box's back face; negative where it stands back.
    #[schemars(extend("default" = 0))]
    overhang: Option<LengthValue>,
    /// Inset only: the lid's show face below the rim.
    #[schemars(extend("default" = 0))]
    drop: Option<LengthValue>,
    /// The distance along the hinged edge from the box's stop end to the lid's stop end, by tape; the stop end is the one that lies at the stop, the same physical end of both. Signed; required for an inset lid.
    #[schemars(extend("default" = 0))]
    end_inset: Option<LengthValue>,
    /// Inset lid of a box without walls at its ends: the lid may be as long as the box.
    #[schemars(extend("default" = false))]
    open_ends: Option<bool>,
    /// The wood: a name of the wood table, such as "black walnut", "hard maple", "plywood" or "MDF", or { name = "…", gravity = 0.6 }.
    wood: WoodValue,
}

/// Where the hinges sit: `count` with `inset`, or a list of `centres`.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct PlacementTable {
    /// How many hinges; one sits in the middle.
    #[schemars(range(min = 1, max = 100_000))]
    count: Option<u32>,
    /// First and last hinge centre from the box's ends. Default: a fifth of the box's length.
    inset: Option<LengthValue>,
    /// Each hinge centre from the box's stop end.
    #[schemars(length(min = 1, max = 100_000))]
    centres: Option<Vec<LengthValue>>,
}

/// Drill the screw holes too, as an operation of its own.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct PilotTable {
    /// The drill: a bit of kind "drill", by its name in the bits file.
    bit: String,
    /// The depth to the drill's tip, below the floor of the step that holds the screw.
    depth: LengthValue,
}

/// The fit as wanted, and what the first cuts taught.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FitTable {
    /// Pocket minus leaf, on the width and on the length; 0 to 0.6 mm. Where it is left out, what the drawer has learned counts.
    #[schemars(extend("default" = "0.1 mm"))]
    clearance: Option<LengthValue>,
    /// Room under the body: every step after the first is this much deeper; 0 to 2 mm.
    #[schemars(extend("default" = "0.2 mm"))]
    under: Option<LengthValue>,
    /// Added to every step of both parts, deeper positive: what a test piece or the closed gap taught. Where it is left out, what the drawer has learned counts.
    #[schemars(extend("default" = 0))]
    depth: Option<LengthValue>,
    /// Wanted gap between the closed parts, at most the hinge's `closed_gap` unless `proud`. Default: `closed_gap`.
    gap: Option<LengthValue>,
    /// The gap may be greater than the hinge's `closed_gap`: the leaves stand proud, as under a lining as thick as they do.
    #[schemars(extend("default" = false))]
    proud: Option<bool>,
    /// The box's share of the recess that makes the gap smaller.
    #[schemars(range(min = 0.0, max = 1.0), extend("default" = 0.5))]
    box_share: Option<f64>,
    /// Wall allowance for the finishing pass; at most 0.5 mm and a tenth of the bit.
    #[schemars(extend("default" = "0.2 mm"))]
    finish: Option<LengthValue>,
    /// Warn under this much wood beside or below a pocket; under 1 mm always fails.
    #[schemars(extend("default" = "3 mm"))]
    min_left: Option<LengthValue>,
    /// Correction of the box's pockets along the hinged edge, away from the stop end positive.
    #[schemars(extend("default" = 0))]
    box_u: Option<LengthValue>,
    /// Correction of the box's pockets across, inward positive.
    #[schemars(extend("default" = 0))]
    box_v: Option<LengthValue>,
    /// Correction of the lid's pockets along the hinged edge, away from the stop end positive.
    #[schemars(extend("default" = 0))]
    lid_u: Option<LengthValue>,
    /// Correction of the lid's pockets across, inward positive.
    #[schemars(extend("default" = 0))]
    lid_v: Option<LengthValue>,
}

/// How the parts lie on the machine. Z0 is the box's mating face.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FixtureTable {
    /// How the parts lie: "book", opened flat about the divider, or "end-to-end", both outside faces on one fence, stop ends at the centre stop.
    layout: Layout,
    /// Thickness of the centre fence (book) or centre stop (end to end); 0 = butted.
    #[schemars(extend("default" = 0))]
    divider: Option<LengthValue>,
    /// The lid's mating face above the box's, signed. Follows from `box_base` and `lid_base` where both are given.
    #[schemars(extend("default" = 0))]
    lid_rise: Option<LengthValue>,
    /// Top of the divider or centre stop above Z0.
    #[schemars(extend("default" = 0))]
    divider_height: Option<LengthValue>,
    /// Top of the long fence (end to end) above Z0.
    #[schemars(extend("default" = 0))]
    fence_height: Option<LengthValue>,
    /// The box's underside above the bed, negative = hangs below it.
    box_base: Option<LengthValue>,
    /// The lid's underside above the bed, negative = hangs below it.
    lid_base: Option<LengthValue>,
    /// One zero for both parts, or G54 at the box and G55 at the lid.
    #[schemars(extend("default" = "shared"))]
    zero: Option<ZeroPoint>,
    /// Where G54 sits in machine coordinates: X, Y and Z, as the controller counts them; where that is not from 0 up in X and Y and from 0 down in Z, write the machine file's `limits`.
    machine_zero: Option<[LengthValue; 3]>,
    /// How far the tip can still rise above Z0, bit in the collet. Default: worked out where machine and bases tell.
    headroom: Option<LengthValue>,
    /// Where the tip goes, at the top, for bit changes and at the end: X and Y. Default: over the last pocket.
    park: Option<[LengthValue; 2]>,
    /// At which end of the layout the stop stands: "left", or "right", where X runs towards the left from it (book) or box and lid change sides (end to end).
    /// Clamps, `park` and `machine_zero` are stated as they lie on the machine, whichever end it is.
    #[schemars(extend("default" = "left"))]
    stop_end: Option<StopEnd>,
    /// Which axis of the machine the hinged edges lie along: "x", or "y", the whole layout a quarter turn counter-clockwise, so that X, Y become −Y, X; for machines that are open in Y only.
    /// Clamps, `park` and `machine_zero` are stated as they lie on the machine and are not turned.
    #[schemars(extend("default" = "x"))]
    along: Option<Along>,
    /// Things to keep clear of, in shared coordinates.
    clamps: Option<Vec<ClampTable>>,
    /// How parts that are longer than the machine lie, one position after another, each with a program of its own; book layout only, every hinge in exactly one position.
    /// Default: one position, stop ends at the stop.
    #[schemars(length(min = 1, max = 100))]
    positions: Option<Vec<PositionTable>>,
    /// Positions with a `mark`: how far the block on each part reaches along it from the stop bar; nut and bit keep clear of it.
    #[schemars(extend("default" = "20 mm"))]
    block_length: Option<LengthValue>,
    /// Positions with a `mark`: the top of blocks and stop bar above Z0, the box's mating face. Default: 20 mm above the higher mating face.
    block_height: Option<LengthValue>,
}

/// One position of both parts: with neither `mark` nor `far_stop` their stop ends lie at the stop.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct PositionTable {
    /// The hinges that are cut in this position, counted from 1 at the stop end.
    #[schemars(length(min = 1))]
    hinges: Vec<u32>,
    /// The distance from each part's own stop end to the face of a block that is clamped on top of it and meets a stop bar at X = 0, which stands above the parts; by tape. X of a pocket is then u less the mark. The near stop is taken away.
    mark: Option<LengthValue>,
    /// The distance from X = 0 to the face of a second stop, which the far ends lie at. X of a pocket is then this less what the pocket lies from its part's far end, so both lengths want measuring. The near stop is taken away.
    far_stop: Option<LengthValue>,
    /// Correction of the box's pockets of this position along the hinged edge, away from the stop end positive; `stepwell fit --position` enters it.
    #[schemars(extend("default" = 0))]
    box_u: Option<LengthValue>,
    /// Correction of the lid's pockets of this position along the hinged edge, away from the stop end positive; `stepwell fit --position` enters it.
    #[schemars(extend("default" = 0))]
    lid_u: Option<LengthValue>,
}

/// A box-shaped thing to keep clear of, standing on the bed.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ClampTable {
    /// What people call it.
    name: Option<String>,
    /// The X and Y of the corner with the smaller coordinates.
    min: [LengthValue; 2],
    /// The X and Y of the corner with the larger coordinates.
    max: [LengthValue; 2],
    /// The height of its top above Z0, the box's mating face; negative where it lies below.
    height: LengthValue,
}
