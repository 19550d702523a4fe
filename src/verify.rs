//! The judge: every check, from the job and the replayed text.

mod gouge;
mod ground;
mod layout;
mod residual;
mod tally;

use crate::geometry::Point;
use crate::job::PartName;
use crate::report::Report;
use crate::units::Length;

/// What the judge found, and pictures of the wood as the text leaves it.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Figures, checks, findings.
    pub report: Report,
    /// One for each pocket the programs touched.
    pub maps: Vec<DepthMap>,
}

/// A pocket as the replayed text leaves it, seen from above in shared
/// program coordinates.
#[derive(Clone, Debug, PartialEq)]
pub struct DepthMap {
    /// Which part.
    pub part: PartName,
    /// Which hinge, from 1.
    pub hinge: usize,
    /// X and Y of the first sample.
    pub origin: Point,
    /// Distance between samples.
    pub cell: Length,
    /// Samples along X.
    pub columns: usize,
    /// Samples along Y.
    pub rows: usize,
    /// Millimetres below the part's mating face, row by row from the least Y.
    pub depth: Vec<f32>,
}

pub struct Judge<'a> {
    job: &'a crate::job::Job,
}
impl<'a> Judge<'a> {
    pub fn new(job: &'a crate::job::Job, _s: &crate::cutting::Settings) -> Self {
        Self { job }
    }
    pub fn begin(&mut self, _p: &str, _b: Option<&crate::bit::Bit>) {}
    pub fn push(&mut self, _b: &[u8]) {}
    pub fn end(&mut self) {}
    pub fn finish(self) -> Outcome {
        Outcome {
            report: Report {
                job: Some(self.job.title.clone()),
                units: self.job.units,
                programs: vec![],
                pockets: vec![],
                feeds: None,
                checks: vec![],
                notes: vec![],
            },
            maps: vec![],
        }
    }
}
pub struct MachineJudge;
impl MachineJudge {
    pub fn new(_m: &crate::machine::Machine) -> Self {
        Self
    }
    pub fn begin(&mut self, _p: &str) {}
    pub fn push(&mut self, _b: &[u8]) {}
    pub fn end(&mut self) {}
    pub fn finish(self) -> Report {
        Report {
            job: None,
            units: crate::units::Units::Millimetre,
            programs: vec![],
            pockets: vec![],
            feeds: None,
            checks: vec![],
            notes: vec![],
        }
    }
}
