//! The judge: every check, from the job and the replayed text.
//!
//! It shares nothing with the planner and the post processor but plain
//! geometry and the cutting model. How exact it is: gouges are decided
//! exactly, and their figure is within 0.0002 mm where a bit overhangs a
//! board's edge (`gouge`); out of a kerf they are found to 0.0005 mm
//! (`greatest`); wood left is within 0.005 mm (`residual`); bites are
//! measured on samples at most 0.2 mm apart, exact at each sample (`ground`).

mod checks;
mod figures;
mod findings;
mod finishing_contour;
mod job_context;
pub(crate) mod material;
mod program_state;
mod provenance;
pub(crate) mod rounding;
pub(crate) mod scene;
mod script;
mod strokes;
mod template;
#[cfg(test)]
mod tests;
mod tool;
mod verifier;

pub use scene::opening::{Opening, opening};
pub use scene::remaining_wood::{About, Remaining, remaining, wood_left};

use crate::cutting::Settings;
use crate::geometry::Point;
use crate::job::{Job, PartName};
use crate::report::Report;
use crate::rs274::Reader;
use crate::rs274::event::Frames;
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;
use crate::units::ruler::Ruler;
use crate::units::{Length, Units};
use job_context::JobContext;
use verifier::Verifier;

/// What the judge found, and pictures of the wood as the text leaves it.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Figures, checks, findings.
    pub report: Report,
    /// One for each pocket that was asked for and that the programs touched.
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

/// Judges programs against a job, one after the other in the same wood.
///
/// For each program [`begin`](Self::begin), then [`push`](Self::push) its
/// bytes in pieces of any size, then [`end`](Self::end); after the last
/// [`finish`](Self::finish).
#[derive(Debug)]
pub struct Judge<'a> {
    verifier: Verifier<'a>,
    reader: Option<Reader>,
}

impl<'a> Judge<'a> {
    /// A judge for `job`, whose bit was chosen the speeds of `settings`.
    pub fn new(job: &'a Job, settings: &'a Settings) -> Self {
        let shop = JobContext::new(job, settings);
        Self {
            verifier: Verifier::new(&job.machine, Some(shop)),
            reader: None,
        }
    }

    /// The same where every pocket has been cut before, and only what comes
    /// after is still asked for: a program that drills, judged by itself.
    pub fn after_pockets(job: &'a Job, settings: &'a Settings) -> Self {
        let mut judge = Self::new(job, settings);
        if let Some(shop) = &mut judge.verifier.shop {
            shop.take_pockets_as_cut();
        }
        judge
    }

    /// Lays the parts as in the position of that number, from 1, for the programs
    /// that follow; without it they lie as in the first of this run. Only the
    /// positions that a program follows in are judged.
    pub fn lay(&mut self, position: usize) {
        self.verifier.lay(position);
    }

    /// Starts a program known as `path`. `bit` is what the command line
    /// names for it; without it the program's T word counts, and without
    /// that the job's bit.
    pub fn begin(&mut self, path: &str, bit: Option<&Bit>) {
        let frames = self.verifier.frames();
        self.verifier.begin(path, bit);
        self.reader = Some(Reader::new(&self.verifier.machine.dialect, frames));
    }

    /// Takes the next bytes of the program.
    pub fn push(&mut self, bytes: &[u8]) {
        self.verifier.run.take(bytes);
        self.verifier.read_script(bytes);
        if let Some(reader) = &mut self.reader {
            reader.push(bytes, &mut self.verifier);
        }
    }

    /// Ends the program.
    pub fn end(&mut self) {
        if let Some(reader) = self.reader.take() {
            let lines = reader.finish(&mut self.verifier);
            self.verifier.end(lines);
        }
    }

    /// The verdict over all programs.
    pub fn finish(self) -> Outcome {
        self.finish_with_pictures(&[])
    }

    /// The same with pictures of some pockets, each named by its part and its
    /// hinge, counted from 1. Each takes some fifty kilobytes.
    pub fn finish_with_pictures(self, wanted: &[(PartName, usize)]) -> Outcome {
        self.verifier.finish(wanted)
    }
}

/// Replays programs without a job: syntax, limits, travel, time. Memory does
/// not grow with the program.
#[derive(Debug)]
pub struct MachineJudge<'a> {
    verifier: Verifier<'a>,
    reader: Option<Reader>,
}

impl<'a> MachineJudge<'a> {
    /// A judge for `machine`, whose messages are in its dialect's unit.
    pub fn new(machine: &'a Machine) -> Self {
        Self::in_units(machine, machine.dialect.units)
    }

    /// As [`new`](Self::new), with messages in `units`.
    pub fn in_units(machine: &'a Machine, units: Units) -> Self {
        let mut verifier = Verifier::new(machine, None);
        verifier.ruler = Ruler::new(units);
        Self {
            verifier,
            reader: None,
        }
    }

    /// Starts a program known as `path`.
    pub fn begin(&mut self, path: &str) {
        self.verifier.begin(path, None);
        self.reader = Some(Reader::new(
            &self.verifier.machine.dialect,
            Frames::default(),
        ));
    }

    /// Takes the next bytes of the program.
    pub fn push(&mut self, bytes: &[u8]) {
        self.verifier.run.take(bytes);
        self.verifier.read_script(bytes);
        if let Some(reader) = &mut self.reader {
            reader.push(bytes, &mut self.verifier);
        }
    }

    /// Ends the program.
    pub fn end(&mut self) {
        if let Some(reader) = self.reader.take() {
            let lines = reader.finish(&mut self.verifier);
            self.verifier.end(lines);
        }
    }

    /// The verdict over all programs.
    pub fn finish(self) -> Report {
        self.verifier.finish(&[]).report
    }
}
