//! What a place that is cut is for, by the name that people read.

use std::fmt;

use crate::job::{PartName, PocketKind};

/// What a place is for, as it is counted on its part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Feature {
    /// A hinge's pocket, or what a plate has in its place.
    Pocket(PocketKind, usize),
    /// A tick; none has a number.
    Tick,
    /// The kerf round a piece that is cut free.
    Piece(usize),
}

impl Feature {
    /// The number of a pocket, from 1; 0 for everything else.
    pub(crate) fn hinge(self) -> usize {
        match self {
            Self::Pocket(_, number) => number,
            Self::Tick | Self::Piece(_) => 0,
        }
    }

    /// What people call it on that part.
    pub(crate) fn name(self, part: PartName) -> String {
        match self {
            Self::Piece(_) => format!("the kerf round {part} {self}"),
            Self::Pocket(..) | Self::Tick => format!("{part} {self}"),
        }
    }
}

impl fmt::Display for Feature {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pocket(kind, number) => write!(formatter, "{kind} {number}"),
            Self::Tick => formatter.write_str("pocket 0"),
            Self::Piece(number) => write!(formatter, "piece {number}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_called_by_its_kind_and_number() {
        let name = |feature: Feature| feature.name(PartName::Plate);
        assert_eq!(
            name(Feature::Pocket(PocketKind::Opening, 1)),
            "plate opening 1"
        );
        assert_eq!(
            name(Feature::Pocket(PocketKind::SightHole, 4)),
            "plate sight hole 4"
        );
        assert_eq!(name(Feature::Piece(2)), "the kerf round plate piece 2");
        assert_eq!(
            Feature::Pocket(PocketKind::Pocket, 3).name(PartName::Scrap),
            "scrap pocket 3"
        );
    }
}
