//! The bits that serve as they are, best first.

use std::cmp::Reverse;

use crate::cutting::FINISHING_DEFLECTION;
use crate::feeds::{BitFeeds, Condition, Rim, Row};

/// A bit that serves as it is now.
#[derive(Clone, Copy)]
pub(super) struct Candidate<'a> {
    pub(super) bit: &'a BitFeeds,
    pub(super) row: &'a Row,
}

impl<'a> Candidate<'a> {
    pub(super) fn of(bit: &'a BitFeeds) -> Option<Self> {
        let row = serves(bit, Condition::Present)?;
        Some(Self { bit, row })
    }

    pub(super) fn stiff(&self) -> bool {
        self.row.finish_deflection_mm.as_mm() <= FINISHING_DEFLECTION.as_mm()
    }

    pub(super) fn seconds(&self) -> f64 {
        self.row.seconds.as_seconds()
    }

    fn rank(&self) -> (bool, bool, Rim) {
        (self.stiff(), self.bit.packed.is_none(), self.bit.rim)
    }
}

/// Stiff enough for the finishing pass before bending, then with a way out for
/// the chips, then the cleaner rim, then the time.
pub(super) fn serving(bits: &[BitFeeds]) -> Vec<Candidate<'_>> {
    let mut serving: Vec<Candidate<'_>> = bits.iter().filter_map(Candidate::of).collect();
    serving.sort_by(|a, b| {
        let by_time = a.seconds().total_cmp(&b.seconds());
        Reverse(a.rank()).cmp(&Reverse(b.rank())).then(by_time)
    });
    serving
}

/// How a bit does in that condition, where it serves in it.
pub(super) fn serves(bit: &BitFeeds, condition: Condition) -> Option<&Row> {
    state(bit, condition).filter(|row| row.refusal.is_none())
}

pub(super) fn state(bit: &BitFeeds, condition: Condition) -> Option<&Row> {
    bit.states.iter().find(|row| row.condition == condition)
}
