//! Positions: where parts that are longer than the machine lie for one program after another.

use crate::units::Length;

/// How far the blocks of a position with a mark reach along their part from the
/// stop bar, where the job does not say (common practice, no source).
pub const BLOCK_LENGTH: Length = Length::from_mm(20.0);

/// How far blocks and stop bar stand above the higher mating face, where the
/// job does not say (common practice, no source).
pub const BLOCK_HEIGHT: Length = Length::from_mm(20.0);

/// More positions than anybody shifts a part to.
pub const MOST: usize = 100;

/// One lie of both parts, in which some of the hinges are cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Position {
    /// Which one, from 1, in the order of the job file.
    pub number: usize,
    /// The hinges that are cut in it, from 1, in rising order.
    pub hinges: Vec<usize>,
    /// What the parts lie against along the hinged edges.
    pub located: Located,
    /// Correction of the box's pockets of this position along u, already
    /// contained in their centres: `fold-match` takes it off again.
    pub box_u: Length,
    /// The same of the lid's.
    pub lid_u: Length,
}

/// What locates the parts along the hinged edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Located {
    /// The stop ends lie at the stop.
    Stop,
    /// A block on top of each part meets a stop bar at zero; its face is so far
    /// from the part's own stop end.
    Mark(Length),
    /// The far ends lie at a second stop, whose face is so far from zero.
    FarStop(Length),
}

impl Position {
    /// Whether that hinge is cut in it.
    pub fn holds(&self, hinge: usize) -> bool {
        self.hinges.binary_search(&hinge).is_ok()
    }

    /// What the names of its programs get after the stem: `-p2`.
    pub fn suffix(&self) -> String {
        format!("-p{}", self.number)
    }
}
