//! The feed table: every bit of the rack for one job, fresh, as it is and dull.

mod chips;
mod fitness;
mod rank;
mod row;
#[cfg(test)]
pub(crate) mod sample;
mod standing;
mod time;
mod verdict;
#[cfg(feature = "page")]
mod wear;

use serde::Serialize;

use crate::job::Job;
use crate::shop::bit::BitKind;
use crate::shop::bit::care::Choice;
use crate::shop::wood::Confidence;
use crate::units::ruler::Ruler;
use crate::units::{Length, Units};

pub use fitness::problems;
pub use row::{Condition, Row};
pub use standing::{Standing, others};
pub use verdict::{Rim, Verdict};
#[cfg(feature = "page")]
pub(crate) use wear::over_wear;

/// Speeds and feeds of every bit in the rack for one job, and which is best.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FeedTable {
    /// The job's title.
    pub job: String,
    /// What people read; all lengths here are in millimetres.
    pub units: Units,
    /// The router's name.
    pub machine: String,
    /// The woods, box first, each once.
    pub woods: Vec<String>,
    /// In the order of the rack.
    pub bits: Vec<BitFeeds>,
    /// Which bit is best for the pockets as the bits are now, and why; in JSON
    /// beside the bits.
    #[serde(flatten)]
    pub verdict: Verdict,
    /// Figures of the model that no source stands behind, and the key of the
    /// bits file that replaces what follows from each.
    pub unsourced: Vec<Unsourced>,
}

/// One bit at three states of wear.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BitFeeds {
    /// Name in the rack.
    pub bit: String,
    /// How it is ground.
    pub kind: BitKind,
    /// The width it cuts.
    pub diameter: Length,
    /// What sort of rim it leaves.
    pub rim: Rim,
    /// What is in force for rim and wall, and why; empty for a drill.
    pub wall_care: Vec<Choice>,
    /// Whether it is the job's own bit for the pockets.
    pub of_the_job: bool,
    /// How many of its widths it goes deep where chips have no way out; absent
    /// where they have one everywhere.
    pub packed: Option<f64>,
    /// Why it cannot cut these pockets at all, whatever its wear; empty if it can.
    pub problems: Vec<String>,
    /// Fresh, as it is, dull; empty for a bit that cannot do the job.
    pub states: Vec<Row>,
    /// How sure the figures are.
    pub sources: Sources,
}

/// How sure the figures of one bit are; absent where the rack itself gives the figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Sources {
    /// Of the stepdown.
    pub stepdown: Option<Confidence>,
    /// Of the ramp limit.
    pub ramp: Option<Confidence>,
    /// Of the least chip load.
    pub chip_min: Option<Confidence>,
    /// Of the greatest chip load.
    pub chip_max: Option<Confidence>,
    /// Of force, power and deflection.
    pub force: Confidence,
}

/// A figure of the model that is from memory or common practice.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Unsourced {
    /// What it is.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
    /// How sure it is.
    pub seen: Confidence,
    /// What stands behind it.
    pub source: &'static str,
    /// The key of a bits file that replaces what follows from it.
    pub overridden_by: Option<&'static str>,
}

/// The feed table of a job. With `wear` every bit counts as that worn now;
/// without, the job's bit as the job assumes it and the others as the rack says.
pub fn table(job: &Job, wear: Option<f64>) -> FeedTable {
    let bits: Vec<BitFeeds> = job
        .rack
        .iter()
        .map(|bit| {
            let of_the_job = bit.name == job.bit.name;
            let now = if of_the_job { job.bit.wear } else { bit.wear };
            row::bit_feeds(job, bit, wear.unwrap_or(now), of_the_job)
        })
        .collect();
    FeedTable {
        job: job.title.clone(),
        units: job.units,
        machine: job.machine.name.clone(),
        woods: woods(job),
        verdict: verdict::of(&bits, Ruler::new(job.units)),
        bits,
        unsourced: unsourced(),
    }
}

fn woods(job: &Job) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for part in &job.parts {
        if !names.contains(&part.wood.name) {
            names.push(part.wood.name.clone());
        }
    }
    names
}

fn unsourced() -> Vec<Unsourced> {
    let soft = crate::cutting::constants().iter();
    soft.filter(|constant| constant.seen.is_soft())
        .map(|constant| Unsourced {
            name: constant.name,
            value: constant.value,
            unit: constant.unit,
            seen: constant.seen,
            source: constant.source,
            overridden_by: constant.overridden_by,
        })
        .collect()
}

#[cfg(test)]
mod tests;
