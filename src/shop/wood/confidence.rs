//! How sure a figure is.

use std::fmt;

use serde::Serialize;

/// How sure a figure is: the words a person sees beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Confidence {
    /// Read in the source itself.
    First,
    /// Read in a text that quotes or transcribes the source.
    Second,
    /// Arithmetic or geometry on stated inputs.
    Derived,
    /// Recalled, not read again.
    Memory,
    /// Common practice, no source: a default to be overridden.
    Practice,
}

impl Confidence {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::First => "first",
            Self::Second => "second",
            Self::Derived => "derived",
            Self::Memory => "memory",
            Self::Practice => "practice",
        }
    }

    /// Whether a person should be told that no source stands behind it.
    pub const fn is_soft(self) -> bool {
        matches!(self, Self::Memory | Self::Practice)
    }
}

impl fmt::Display for Confidence {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.word())
    }
}
