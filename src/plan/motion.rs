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
    /// About `center`, at most half a turn; Z moves evenly with the angle.
    Arc {
        to: Position,
        center: Point,
        turn: Turn,
        pace: Pace,
    },
}

/// Which way round, seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Turn {
    Clockwise,
    CounterClockwise,
}

impl Turn {
    /// 1 counter-clockwise, -1 clockwise.
    pub(crate) fn sign(self) -> f64 {
        match self {
            Self::Clockwise => -1.0,
            Self::CounterClockwise => 1.0,
        }
    }
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
