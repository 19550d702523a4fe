//! A template for a hand-held router with a guide collar, where a part cannot
//! lie on the machine.
//!
//! The plate lies on the machine with its underside up, zero at its near left
//! corner: X to the right, Y away, Z0 on the underside. Hinges' u grows with X
//! for the box and for the lid alike; v grows with Y for the box and against it
//! for the lid, since the plate is turned half a turn for the lid.

use serde::{Deserialize, Serialize};

use crate::geometry::Point;
use crate::shop::bit::Bit;
use crate::shop::wood::Wood;
use crate::units::Length;

/// What the job says of router, collar and plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    /// Outside diameter of the guide collar.
    pub collar: Length,
    /// Its bore, where known.
    pub collar_bore: Option<Length>,
    /// How far it reaches below the router's base.
    pub collar_reach: Length,
    /// The router's bit.
    pub bit: Bit,
    /// Diameter of the router's base.
    pub base: Length,
    /// Height of the router, which matters between the walls of a cabinet.
    pub router_height: Option<Length>,
    /// The plate along X.
    pub plate_length: Length,
    /// The plate along Y.
    pub plate_width: Length,
    /// The plate's thickness, measured.
    pub plate_thickness: Length,
    /// What it is made of.
    pub plate_wood: Wood,
    /// The batten that lies against the outside face.
    pub batten: Batten,
    /// How deeper steps are guided.
    pub deep: Deep,
    /// Play beside an insert, on its width in all.
    pub play: Length,
    /// Bit against collar, the router's same side always towards the batten:
    /// inward from the batten, and to the right of who looks inward from it.
    pub off_centre: [Length; 2],
    /// What trial cuts taught of the batten: its grooves lie by this much
    /// further from the opening.
    pub batten_off: Length,
    /// What trial cuts taught of the stop: its face lies by this much further
    /// from the centre line.
    pub stop_off: Length,
}

impl Template {
    /// From the wall of what the bit cuts to the wall that the collar runs along.
    pub fn offset(&self) -> Length {
        (self.collar - self.bit.cutting_diameter()) / 2.0
    }
}

/// A strip that lies against the outside face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Batten {
    /// Across the outside face.
    pub width: Length,
    /// Down the outside face, the groove included.
    pub height: Length,
    /// How deep it is let into the plate's underside.
    pub groove: Length,
}

/// How deeper steps are guided.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Deep {
    /// By pieces laid into the first opening.
    #[default]
    Insert,
    /// By an opening of its own beside the first.
    Opening,
}

/// What is what on a plate, in program coordinates.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Features {
    /// What the router runs in.
    pub openings: Vec<Opening>,
    /// What is laid into an opening for a deeper step.
    pub inserts: Vec<Insert>,
    /// Where the batten is let in.
    pub grooves: Vec<Groove>,
    /// Holes through the plate by which its lines are seen from above.
    pub sight_holes: Vec<Point>,
    /// What was done otherwise than asked for, or adds to the pockets, a sentence each.
    pub told: Vec<String>,
}

/// A hole through the plate in which the collar runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// The step whose outline it gives, from 1.
    pub step: usize,
    /// Its middle.
    pub center: Point,
    /// X of the line across it that lies on the hinge's mark: beside its middle
    /// where its step sits beside the hinge's.
    pub mark: Length,
    /// Along X.
    pub length: Length,
    /// Along Y.
    pub width: Length,
    /// Corner radius.
    pub corner: Length,
}

/// What makes an opening smaller for a deeper step.
#[derive(Clone, Debug, PartialEq)]
pub struct Insert {
    /// The step whose outline it gives, from 2.
    pub step: usize,
    /// Two end pieces, the one at the smaller X first, or one ring.
    pub pieces: Vec<InsertPiece>,
    /// What they leave of the first opening.
    pub leaves: Opening,
}

/// One loose piece, where it is cut out of the strip beside the plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InsertPiece {
    /// Its contour's number in the plate.
    pub contour: usize,
    /// Least X and Y.
    pub min: Point,
    /// Greatest X and Y.
    pub max: Point,
    /// Radius of its hollow inner end, or of the ring's inner corners.
    pub end_radius: Length,
    /// From where it is cut to where it lies in its opening.
    pub to_opening: Point,
}

/// Where a length of batten is let into the underside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Groove {
    /// Whether it is for the box; else for the lid.
    pub is_for_box: bool,
    /// Least X and Y.
    pub min: Point,
    /// Greatest X and Y.
    pub max: Point,
    /// Below the underside.
    pub depth: Length,
}
