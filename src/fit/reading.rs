//! The kinds of reading.

use crate::job::PartName;
use crate::units::Length;

/// Values nearer than this are the same on every caliper.
pub(super) const SAME: Length = Length::from_mm(0.002);

/// Finer than any caliper reads.
pub(super) fn to_a_micrometre(length: Length) -> Length {
    Length::from_mm((length.as_mm() * 1e3).round() / 1e3)
}

/// What was seen and measured on what a program cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Readings {
    /// Number of the test piece's pocket that fits, from 1.
    pub pocket: Option<usize>,
    /// Number of the pocket in the test piece's second row whose depth is right.
    pub depth_pocket: Option<usize>,
    /// Caliper reading of a slot that the bit cut.
    pub slot: Option<Length>,
    /// Wood measured outside the first pocket of the box that was cut.
    pub outside_box: Option<Length>,
    /// Wood measured outside the first pocket of the lid that was cut.
    pub outside_lid: Option<Length>,
    /// Wood measured between the stop end and the first pocket of the box.
    pub end_box: Option<Length>,
    /// Wood measured between the stop end and the first pocket of the lid.
    pub end_lid: Option<Length>,
    /// Wood outside the first step's pocket that a template's opening gave, with the
    /// router's marked side towards the batten, and with it turned half round.
    pub turned: Option<[Length; 2]>,
    /// Wood from the stop end to it, likewise.
    pub turned_end: Option<[Length; 2]>,
    /// Gap seen between the closed parts.
    pub gap: Option<Length>,
    /// They are meant as they are, whatever speaks against it.
    pub as_read: bool,
}

impl Readings {
    /// The readings of where a pocket lies, with their kinds.
    pub(super) fn places(&self) -> Vec<(Reading, Length)> {
        let all = [
            (Reading::OutsideBox, self.outside_box),
            (Reading::OutsideLid, self.outside_lid),
            (Reading::EndBox, self.end_box),
            (Reading::EndLid, self.end_lid),
        ];
        all.into_iter()
            .filter_map(|(kind, reading)| Some((kind, reading?)))
            .collect()
    }
}

/// A kind of reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reading {
    Pocket,
    DepthPocket,
    Slot,
    OutsideBox,
    OutsideLid,
    EndBox,
    EndLid,
    Gap,
    Turned,
    TurnedEnd,
    /// Not a reading: the set-up's corrections are forgotten.
    NewSetUp,
}

impl Reading {
    /// Its name in the log, and its option on the command line without the dashes.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Pocket => "pocket",
            Self::DepthPocket => "depth-pocket",
            Self::Slot => "slot",
            Self::OutsideBox => "outside-box",
            Self::OutsideLid => "outside-lid",
            Self::EndBox => "end-box",
            Self::EndLid => "end-lid",
            Self::Gap => "gap",
            Self::Turned => "turned",
            Self::TurnedEnd => "turned-end",
            Self::NewSetUp => "new-setup",
        }
    }

    /// The part whose wood was measured and the key of its correction.
    pub(super) fn part(self) -> Option<(PartName, &'static str)> {
        match self {
            Self::OutsideBox => Some((PartName::Box, "box_v")),
            Self::OutsideLid => Some((PartName::Lid, "lid_v")),
            Self::EndBox => Some((PartName::Box, "box_u")),
            Self::EndLid => Some((PartName::Lid, "lid_u")),
            _ => None,
        }
    }

    /// Whether the wood was measured towards the stop end.
    pub(super) fn is_end(self) -> bool {
        matches!(self, Self::EndBox | Self::EndLid)
    }
}
