//! How well a hinge suits.

use serde::Serialize;

use crate::report::Verdict;

/// Whether a hinge suits a box.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Suitability {
    /// Nothing speaks against it.
    #[serde(rename = "suits")]
    Suits,
    /// It can be cut, and something is less than wanted.
    #[serde(rename = "tight")]
    Tight,
    /// It cannot be cut, or comes through the wood.
    #[serde(rename = "does not")]
    DoesNot,
}

impl Suitability {
    /// As people read it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Suits => "suits",
            Self::Tight => "tight",
            Self::DoesNot => "does not",
        }
    }

    pub(super) fn of(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Fail => Self::DoesNot,
            Verdict::Warn => Self::Tight,
            Verdict::Pass | Verdict::None => Self::Suits,
        }
    }
}
