//! The hinge drawer, and the hinge of a job. Field comments are what editors show.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{EntryTable, LengthValue};
use crate::units::Units;

/// The drawer: every hinge that a job may name.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct HingesFile {
    /// The unit of bare numbers in this file.
    #[schemars(extend("default" = "mm"))]
    units: Option<Units>,
    /// The list of hinges, each a table that starts with `[[hinge]]`.
    #[schemars(length(min = 1, max = 1000))]
    hinge: Vec<DrawerTable>,
    /// What `stepwell fit` has entered; it keeps this list.
    entry: Option<Vec<EntryTable>>,
}

/// A table with the keys of a hinge, and those of its own before them.
macro_rules! hinge_table {
    ($(#[$about:meta])* $name:ident { $($own:tt)* }) => {
        #[derive(Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields)]
        $(#[$about])*
        pub(super) struct $name {
            $($own)*
            /// The width across one leaf; by caliper, outside jaws.
            width: Option<LengthValue>,
            /// The distance from the outside face to the near side of the leaf, your choice and the same in both parts.
            setback: Option<LengthValue>,
            /// The gap between the parts when closed with both leaves flush: hinge closed, caliper over both leaf backs, less the depth of step 1 twice.
            closed_gap: Option<LengthValue>,
            /// Near side to near side of the leaves when open flat.
            open_gap: Option<LengthValue>,
            /// The list of the hinge's steps: the leaf, then each deeper part inside it, as [ { length = 44, depth = 4.5 }, { length = 27, depth = 12 } ].
            #[schemars(length(min = 1, max = 50))]
            steps: Option<Vec<StepTable>>,
            /// The lid's steps where its half of the hinge differs. Default: `steps`.
            #[schemars(length(min = 1, max = 50))]
            lid_steps: Option<Vec<StepTable>>,
            /// The screws of one leaf; both parts have the same.
            #[schemars(length(min = 1, max = 50))]
            screws: Option<Vec<ScrewTable>>,
        }
    };
}

hinge_table! {
    /// The hinge, as measured by caliper, or one of the drawer by its name.
    #[schemars(extend("anyOf" = [
        { "required": ["name"] },
        { "required": ["width", "setback", "closed_gap", "steps"] },
    ]))]
    HingeTable {
        /// The name of a hinge of the drawer; keys beside it count over the drawer's.
        name: Option<String>,
    }
}

hinge_table! {
    /// A hinge, as measured by caliper.
    #[schemars(extend("required" = ["name", "width", "setback", "closed_gap", "steps"]))]
    DrawerTable {
        /// The name that jobs call it by, unique in the drawer.
        name: String,
        /// What its pockets taught, for each bit and pair of woods; `stepwell fit` enters it.
        learned: Option<Vec<LearnedTable>>,
    }
}

/// What the pockets of a hinge taught with one bit in one pair of woods.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LearnedTable {
    /// The name of the bit in the bits file.
    bit: String,
    /// The wood of box and lid, or both as "black walnut / sugar maple", the box's first.
    wood: String,
    /// Pocket minus leaf, on the width and on the length; 0 to 0.6 mm.
    clearance: Option<LengthValue>,
    /// Added to every step of both parts, deeper positive.
    depth: Option<LengthValue>,
}

/// One step of the hinge.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct StepTable {
    /// The step's length along the hinged edge; by caliper, outside jaws.
    length: LengthValue,
    /// The depth from the face of the leaf down to the step's lowest point; by caliper, depth rod.
    depth: LengthValue,
    /// Across. Default: the hinge's width.
    width: Option<LengthValue>,
    /// Corner radius. Default: half the width, which gives round ends.
    corner: Option<LengthValue>,
    /// The step's centre from the hinge's centre, along the hinged edge, signed.
    #[schemars(extend("default" = 0))]
    shift: Option<LengthValue>,
}

/// One screw: `gauge` or `diameter`, not both.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ScrewTable {
    /// The screw's distance from the hinge's centre along the hinged edge; signed.
    along: LengthValue,
    /// From the hinge's centre across, inward positive.
    #[schemars(extend("default" = 0))]
    across: Option<LengthValue>,
    /// The screw's gauge number, or give the shank's `diameter` by caliper instead; the shank is 0.060 + 0.013 N inch thick.
    #[schemars(range(min = 0, max = 24))]
    gauge: Option<u32>,
    /// Shank diameter.
    diameter: Option<LengthValue>,
    /// The screw's overall length, head flush with the face of the leaf.
    length: LengthValue,
}
