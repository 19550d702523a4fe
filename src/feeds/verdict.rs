//! Which bit is best for the pockets, and why.

use serde::Serialize;

use crate::cutting::FINISHING_DEFLECTION;
use crate::feeds::rank::{Candidate, serves, serving};
use crate::feeds::{BitFeeds, Condition, chips};
use crate::shop::bit::{Bit, BitKind};
use crate::units::ruler::Ruler;

/// What sort of rim a kind of bit leaves on the face it enters (common
/// practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rim {
    /// Cuts no rim.
    None,
    /// Lifts the top fibres, and the rack forgoes scoring the rim: it frays.
    Frayed,
    /// Lifts the top fibres: the rim is scored first.
    Lifted,
    /// Neither lifts nor presses.
    Fair,
    /// Presses the top fibres down: the cleanest.
    Clean,
}

impl Rim {
    pub(super) fn of(bit: &Bit) -> Self {
        match bit.kind {
            BitKind::Drill => Self::None,
            BitKind::UpSpiral if bit.scores_rim() => Self::Lifted,
            BitKind::UpSpiral => Self::Frayed,
            BitKind::SingleFlute | BitKind::DoubleFlute => Self::Fair,
            BitKind::DownSpiral => Self::Clean,
        }
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::None => "cuts no rim",
            Self::Frayed => "lifts the top fibres, and the rim is not scored first",
            Self::Lifted => "lifts the top fibres, so the rim is scored first",
            Self::Fair => "fair rim",
            Self::Clean => "clean rim, presses the top fibres down",
        }
    }
}

/// Which bit is best.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Verdict {
    /// Its name; absent where none serves.
    pub best: Option<String>,
    /// Why it, or why none.
    pub why: String,
    /// The quickest, where it is another one.
    pub fastest: Option<String>,
}

/// The best of the bits that serve as they are now.
pub(super) fn of(bits: &[BitFeeds], ruler: Ruler) -> Verdict {
    let serving = serving(bits);
    let Some(best) = serving.first() else {
        return Verdict {
            best: None,
            why: none_serves(bits),
            fastest: None,
        };
    };
    let fastest = serving
        .iter()
        .reduce(|a, b| if b.seconds() < a.seconds() { b } else { a })
        .filter(|fastest| fastest.seconds() < best.seconds());
    Verdict {
        best: Some(best.bit.bit.clone()),
        why: why(best, fastest, ruler),
        fastest: fastest.map(|fastest| fastest.bit.bit.clone()),
    }
}

fn why(best: &Candidate<'_>, fastest: Option<&Candidate<'_>>, ruler: Ruler) -> String {
    let mut words = format!(
        "{}; at least {:.0} s for the pockets; bends {} roughing, {} finishing",
        best.bit.rim.words(),
        best.seconds(),
        ruler.one(best.row.deflection_mm.as_mm(), 3),
        ruler.one(best.row.finish_deflection_mm.as_mm(), 3)
    );
    if let Some(fastest) = fastest {
        words += &format!(
            "; `{}` is quicker at {:.0} s ({})",
            fastest.bit.bit,
            fastest.seconds(),
            if !fastest.stiff() {
                "but bends too far on the finishing pass"
            } else if fastest.bit.packed.is_some() && best.bit.packed.is_none() {
                "but its chips have no way out"
            } else {
                fastest.bit.rim.words()
            }
        );
    }
    if !best.stiff() {
        words += &format!(
            "; even so the finishing pass bends it past {}: a shorter or thicker bit is wanted",
            ruler.limit(FINISHING_DEFLECTION.as_mm())
        );
    }
    if let Some(deep) = best.bit.packed {
        words += &format!("; {}: clear them between passes", chips::words(deep));
    }
    words
}

fn none_serves(bits: &[BitFeeds]) -> String {
    if bits.iter().all(|bit| !bit.problems.is_empty()) {
        return "no bit of the rack can cut these pockets".to_owned();
    }
    let mut bits = bits.iter();
    if bits.any(|bit| serves(bit, Condition::Fresh).is_some()) {
        "no bit serves as worn as it is: one wants sharpening or replacing".to_owned()
    } else {
        "no bit serves on this machine, even fresh".to_owned()
    }
}
