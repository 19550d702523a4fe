//! G and M codes by name, and the modal groups they belong to.

use std::fmt;

/// A G or M code by its letter and ten times its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Name {
    pub(super) letter: u8,
    pub(super) tenths: u32,
}

impl fmt::Display for Name {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, tenth) = (self.tenths / 10, self.tenths % 10);
        write!(formatter, "{}{whole}", char::from(self.letter))?;
        match tenth {
            0 => Ok(()),
            _ => write!(formatter, ".{tenth}"),
        }
    }
}

/// Codes of which one line holds at most one, in the standard's order of
/// execution (3.4, 3.8).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Group {
    FeedMode,
    ToolChange,
    Spindle,
    Dust,
    NonModal,
    Plane,
    Units,
    Compensation,
    LengthOffset,
    WorkOffset,
    Distance,
    Motion,
    Stop,
}

impl Group {
    /// How many there are.
    pub(super) const COUNT: usize = Group::Stop as usize + 1;

    /// As people call it.
    pub(super) fn name(self) -> &'static str {
        match self {
            Group::FeedMode => "feed mode",
            Group::ToolChange => "tool change",
            Group::Spindle => "spindle",
            Group::Dust => "coolant",
            Group::NonModal => "one-line (G4, G53)",
            Group::Plane => "plane",
            Group::Units => "units",
            Group::Compensation => "cutter compensation",
            Group::LengthOffset => "length offset",
            Group::WorkOffset => "work offset",
            Group::Distance => "distance mode",
            Group::Motion => "motion",
            Group::Stop => "stop",
        }
    }
}
