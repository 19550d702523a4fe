//! The kinds of reading.

use crate::job::PartName;

/// A kind of reading that corrects relative to what was cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reading {
    TestPiece,
    TestPieceDepth,
    OutsideBox,
    OutsideLid,
    EndBox,
    EndLid,
    Gap,
}

impl Reading {
    /// Its key under `fit.booked`.
    pub(super) fn key(self) -> &'static str {
        match self {
            Self::TestPiece => "test_piece",
            Self::TestPieceDepth => "depth_pocket",
            Self::OutsideBox => "outside_box",
            Self::OutsideLid => "outside_lid",
            Self::EndBox => "end_box",
            Self::EndLid => "end_lid",
            Self::Gap => "gap",
        }
    }

    /// Its option on the command line.
    pub(super) fn option(self) -> &'static str {
        match self {
            Self::TestPiece => "--pocket",
            Self::TestPieceDepth => "--depth-pocket",
            Self::OutsideBox => "--outside-box",
            Self::OutsideLid => "--outside-lid",
            Self::EndBox => "--end-box",
            Self::EndLid => "--end-lid",
            Self::Gap => "--gap",
        }
    }

    /// The part whose wood was measured and the key of its correction.
    pub(super) fn part(self) -> Option<(PartName, &'static str)> {
        match self {
            Self::OutsideBox => Some((PartName::Box, "box_v")),
            Self::OutsideLid => Some((PartName::Lid, "lid_v")),
            Self::EndBox => Some((PartName::Box, "box_u")),
            Self::EndLid => Some((PartName::Lid, "lid_u")),
            Self::TestPiece | Self::TestPieceDepth | Self::Gap => None,
        }
    }

    /// Whether the reading is the number of a pocket and has no unit.
    pub(super) fn is_number(self) -> bool {
        matches!(self, Self::TestPiece | Self::TestPieceDepth)
    }

    /// Whether the wood was measured towards the stop end.
    pub(super) fn is_end(self) -> bool {
        matches!(self, Self::EndBox | Self::EndLid)
    }
}
