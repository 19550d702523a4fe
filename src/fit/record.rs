//! What was booked before: a reading of each kind and the value it replaced,
//! under `fit.booked` of the job file.

use super::edit::Document;
use super::{PartName, Repeat};
use crate::diagnostic::Diagnostic;
use crate::units::Length;

/// A kind of reading that corrects relative to what was cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    TestPiece,
    TestPieceDepth,
    OutsideBox,
    OutsideLid,
    EndBox,
    EndLid,
    Gap,
}

impl Kind {
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

/// What a reading means beside the one booked last.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Change {
    /// Taken on a cut made with the job as it stands.
    Fresh,
    /// Takes the place of the last one, which replaced this value.
    InsteadOf(Length),
    /// The same once more.
    Repeated,
}

/// Readings within this of each other are the same reading: more than the
/// file's own rounding, less than any caliper shows.
pub(super) const SAME: Length = Length::from_mm(0.002);

/// A change below this shows on no caliper and is none.
pub(super) const UNSEEN: Length = Length::from_mm(0.005);

/// `reading` is in millimetres, or the number of a test piece's pocket.
pub(super) fn judge(document: &Document, kind: Kind, reading: f64, repeat: Repeat) -> Change {
    let Some((booked, was)) = document.booked(kind) else {
        return Change::Fresh;
    };
    let same = Length::from_mm(booked).is_near(Length::from_mm(reading), SAME);
    match repeat {
        Repeat::Again => Change::Fresh,
        Repeat::Once | Repeat::Instead if same => Change::Repeated,
        Repeat::Once => Change::Fresh,
        Repeat::Instead => Change::InsteadOf(was),
    }
}

/// Records that `reading` replaced `was`.
pub(super) fn write(
    document: &mut Document,
    kind: Kind,
    reading: f64,
    was: Length,
) -> Result<(), Diagnostic> {
    document.set_booked(kind, reading, was)
}
