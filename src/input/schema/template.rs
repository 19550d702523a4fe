//! The job's `[template]`. Field comments are what editors show.

use schemars::JsonSchema;
use serde::Deserialize;

use super::LengthValue;
use super::wood::WoodValue;
use crate::job::template::Deep;

/// A template for a hand-held router with a guide collar, for parts that the machine cannot hold; `stepwell template` makes it.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct TemplateTable {
    /// The outside diameter of the guide collar; by caliper, outside jaws. It runs in the template.
    collar: LengthValue,
    /// The bore of the guide collar, which chips have to get out through; by caliper, inside jaws.
    collar_bore: Option<LengthValue>,
    /// How far the guide collar reaches below the router's base; by caliper, depth rod.
    collar_reach: LengthValue,
    /// The bit of the hand-held router, by its name in the bits file. It cuts the hinge's pockets; the bit on the machine cuts the template.
    bit: String,
    /// The hand-held router: `{ base = 150, height = 300 }`.
    router: RouterTable,
    /// The plate that the template is cut from: `{ length = 300, width = 200, thickness = 12.1, wood = "MDF" }`.
    plate: PlateTable,
    /// The strip that lies against the outside face: `{ width = 18, height = 30, groove = 4 }`.
    batten: BattenTable,
    /// How deeper steps are guided: "insert", loose pieces that make the first opening smaller, or "opening", an opening of its own beside the first.
    #[schemars(extend("default" = "insert"))]
    deep: Option<Deep>,
    /// Play beside an insert, on its width in all; 0 to 0.6 mm.
    #[schemars(extend("default" = "0.1 mm"))]
    play: Option<LengthValue>,
    /// How far the bit stands off the collar's middle, with the router's same side always towards the batten: inward from the batten, and to the right of who looks inward from it. `stepwell fit --turned` and `--turned-end` enter it.
    #[schemars(extend("default" = [0, 0]))]
    off_centre: Option<[LengthValue; 2]>,
    /// What trial cuts taught of the batten: its grooves lie by this much further from the opening. `stepwell fit --turned` enters it.
    #[schemars(extend("default" = 0))]
    batten_off: Option<LengthValue>,
    /// What trial cuts taught of the stop: its face lies by this much further from the template's centre line. `stepwell fit --turned-end` enters it.
    #[schemars(extend("default" = 0))]
    stop_off: Option<LengthValue>,
}

/// The hand-held router.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct RouterTable {
    /// The diameter of the router's base, across its narrowest; by tape.
    base: LengthValue,
    /// The height of the router, base to top, which matters between the walls of a cabinet; by tape.
    height: Option<LengthValue>,
}

/// The plate that the template is cut from. A strip beside it, for the inserts, comes on top.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct PlateTable {
    /// The plate along the hinged edge.
    length: LengthValue,
    /// The plate across the hinged edge.
    width: LengthValue,
    /// The plate's thickness, measured at several places; by caliper, outside jaws.
    thickness: LengthValue,
    /// What the plate is made of: a name of the wood table.
    #[schemars(extend("default" = "MDF"))]
    wood: Option<WoodValue>,
}

/// The strip that lies against the outside face, let into the plate's underside.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BattenTable {
    /// The batten's thickness across the outside face; by caliper, outside jaws.
    width: LengthValue,
    /// The batten's height down the outside face, with what is let in.
    height: LengthValue,
    /// How deep it is let into the plate's underside.
    groove: LengthValue,
}
