//! What the planner hands to the post processor.

use crate::geometry::{Point, Position};

/// One thing to do, in the frame of its piece, in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Motion {
    /// Words for a person.
    Note(String),
    /// As fast as the machine goes, straight or not.
    Rapid(Position),
    /// Straight.
    Line { to: Position, pace: Pace },
    /// Counter-clockwise about `center`, at most half a turn; Z moves evenly
    /// with the angle.
    Arc {
        to: Position,
        center: Point,
        pace: Pace,
    },
}

/// How fast.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Pace {
    /// The cutting feed, as far as the Z axis allows.
    Rough,
    /// The finishing feed.
    Finish,
    /// Straight down into wood.
    Plunge,
}
