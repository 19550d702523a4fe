//! What is to be made of a job, and what was made.

use std::path::{Path, PathBuf};

use crate::boxes;
use crate::cutting::Settings;
use crate::diagnostic::Diagnostic;
use crate::job::{Job, PartName, Selection};
use crate::produce::{paths, stale};
use crate::proof::{self, Program};
use crate::report::Report;
use crate::sheet;
use crate::verify::Outcome;

/// What is to be written, and where.
pub(crate) struct Order<'a> {
    pub(crate) folder: &'a Path,
    pub(crate) stem: String,
    /// The files that were read, which must not be replaced.
    pub(crate) inputs: Vec<PathBuf>,
    /// What the report is to say besides.
    pub(crate) notes: Vec<String>,
    /// Whether each drawing is written as a file of its own too.
    pub(crate) drawings: bool,
    /// Whether it is written even if a check fails that may be overridden.
    pub(crate) force: bool,
    /// Over how many boxes the wear of the bits is followed.
    pub(crate) boxes: Option<u32>,
}

impl Order<'_> {
    fn program(&self, suffix: &str) -> PathBuf {
        paths::program(self.folder, &self.stem, suffix)
    }

    fn sheet(&self, selection: Selection) -> PathBuf {
        paths::sheet(self.folder, &self.stem, selection)
    }

    fn drawing(&self, selection: Selection, suffix: &str) -> PathBuf {
        let stem = &self.stem;
        self.folder
            .join(format!("{stem}{}{suffix}.svg", selection.suffix()))
    }

    /// Plans, posts and judges a job; nothing is written yet.
    pub(crate) fn make<'j>(&self, job: &'j Job, settings: &'j Settings) -> Made<'j> {
        let name = |suffix: &str| self.program(suffix).display().to_string();
        let proof = proof::prove(
            job,
            settings,
            &proof::Order {
                name: &name,
                pictured: &pictured(job, self),
                force: self.force,
            },
        );
        let (passed, forced) = (proof.passed(), proof.forced());
        let (programs, mut outcome) = proof.into_parts();
        outcome.report.notes.extend(self.notes.iter().cloned());
        let mut retuned = Vec::new();
        if passed || forced {
            if let Some(count) = self.boxes {
                let run = boxes::of(job, &programs, &outcome.report, &name, count);
                retuned = run.retuned;
                outcome.report.boxes = run.rows;
                outcome.report.retuned = run.reports;
                outcome.report.notes.extend(run.stopped);
            }
            let mut left = stale::left(self.folder, &self.stem, job.selection);
            let sheet = self.sheet(job.selection).display().to_string();
            let written = programs.iter().chain(&retuned).map(Program::file_name);
            let written: Vec<&str> = written.chain([sheet.as_str()]).collect();
            left.retain(|path| !written.contains(&path.as_str()));
            outcome.report.stale = left;
        } else {
            outcome.report.stale = stale::left(self.folder, &self.stem, job.selection);
        }
        let mut suffixes = Vec::new();
        let mut named = Vec::new();
        for (suffix, name, text) in programs.into_iter().map(Program::into_parts) {
            suffixes.push(suffix);
            named.push((name, text));
        }
        Made {
            job,
            settings,
            outcome,
            suffixes,
            programs: named,
            retuned,
            passed,
            forced,
        }
    }
}

/// Judged programs, in memory.
pub(crate) struct Made<'j> {
    job: &'j Job,
    settings: &'j Settings,
    outcome: Outcome,
    suffixes: Vec<String>,
    /// Path and text of each.
    programs: Vec<(String, String)>,
    /// Those that take over in a run of boxes.
    retuned: Vec<Program>,
    passed: bool,
    forced: bool,
}

impl Made<'_> {
    /// What the judge found.
    pub(crate) fn report(&self) -> &Report {
        &self.outcome.report
    }

    /// Whether no check failed.
    #[cfg(feature = "cli")]
    pub(crate) fn passed(&self) -> bool {
        self.passed
    }

    /// Whether it may be written: every check passed, or those that failed are overridden.
    pub(crate) fn may_be_written(&self) -> bool {
        self.passed || self.forced
    }

    /// What sheet and drawings are made from.
    pub(crate) fn sheet_input(&self) -> sheet::Input<'_> {
        sheet::Input {
            job: self.job,
            settings: self.settings,
            outcome: &self.outcome,
            programs: &self.programs,
            units: self.job.units,
        }
    }

    /// Writes programs, sheet and drawings as ordered; where a check failed
    /// that was not overridden, nothing.
    ///
    /// # Errors
    /// What cannot be written; then nothing is.
    #[cfg(feature = "cli")]
    pub(crate) fn write(&self, order: &Order<'_>) -> Result<(), Diagnostic> {
        if !self.may_be_written() {
            return Ok(());
        }
        crate::files::write_all(&self.files(order)?, &order.inputs)
    }

    /// The job sheet.
    ///
    /// # Errors
    /// A sheet whose template is broken.
    pub(crate) fn page(&self) -> Result<String, Diagnostic> {
        sheet::page(&self.sheet_input()).map_err(|error| sheet_failed(&error))
    }

    /// Where each file is written, and what it holds.
    ///
    /// # Errors
    /// A sheet whose template is broken.
    pub(crate) fn files(&self, order: &Order<'_>) -> Result<Vec<(PathBuf, Vec<u8>)>, Diagnostic> {
        let texts = self.programs.iter().map(|(_, text)| text.clone());
        let paths = self.suffixes.iter().map(|suffix| order.program(suffix));
        let mut all: Vec<(PathBuf, Vec<u8>)> = paths.zip(texts.map(String::into_bytes)).collect();
        all.extend(self.retuned.iter().map(|program| {
            let text = program.text().as_bytes().to_vec();
            (order.program(program.suffix()), text)
        }));
        all.push((order.sheet(self.job.selection), self.page()?.into_bytes()));
        if order.drawings {
            for (suffix, drawing) in
                sheet::drawings(&self.sheet_input()).map_err(|error| sheet_failed(&error))?
            {
                let path = order.drawing(self.job.selection, &suffix);
                all.push((path, drawing.into_bytes()));
            }
        }
        Ok(all)
    }
}

/// The pockets that are drawn as cut: on the sheet, or each as a file.
fn pictured(job: &Job, order: &Order<'_>) -> Vec<(PartName, usize)> {
    if !order.drawings {
        return sheet::pictured(job);
    }
    let parts = job.parts.iter();
    let pockets =
        parts.flat_map(|part| part.pockets.iter().map(|pocket| (part.name, pocket.hinge)));
    pockets.collect()
}

/// A page that cannot be drawn is our mistake, not the user's.
pub(crate) fn sheet_failed(error: &sheet::Error) -> Diagnostic {
    Diagnostic::new("internal", error.to_string())
        .help("this is a bug of ours: please send us the job")
}
