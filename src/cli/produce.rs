//! From a job to files: plan, post, judge, and only then write.

use std::path::{Path, PathBuf};

use crate::cli::Ending;
use crate::cli::arguments::Format;
use crate::cli::failure::Failure;
use crate::cli::paths;
use crate::cli::stale;
use crate::cli::summary::{self, Fate};
use crate::cutting::Settings;
use crate::job::{Job, PartName, Selection};
use crate::proof::{self, Program};
use crate::verify::Outcome;
use crate::{boxes, files, sheet};

/// What is to be written, and where.
pub(super) struct Order<'a> {
    pub(super) folder: &'a Path,
    pub(super) stem: String,
    /// The files that were read, which must not be replaced.
    pub(super) inputs: Vec<PathBuf>,
    /// What the report is to say besides.
    pub(super) notes: Vec<String>,
    /// Whether each drawing is written as a file of its own too.
    pub(super) drawings: bool,
    /// Whether it is written even if a check fails that may be overridden.
    pub(super) force: bool,
    /// Over how many boxes the wear of the bits is followed.
    pub(super) boxes: Option<u32>,
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
}

/// Plans, posts and judges a job, then writes what passed and reports.
pub(super) fn run(
    job: &Job,
    settings: &Settings,
    order: &Order<'_>,
    format: Format,
) -> Result<Ending, Failure> {
    let name = |suffix: &str| order.program(suffix).display().to_string();
    let proof = proof::prove(
        job,
        settings,
        &proof::Order {
            name: &name,
            pictured: &pictured(job, order),
            force: order.force,
        },
    );
    let (passed, forced) = (proof.passed(), proof.forced());
    let (programs, mut outcome) = proof.into_parts();
    outcome.report.notes.extend(order.notes.iter().cloned());
    let written = passed || forced;
    if written {
        let mut retuned = Vec::new();
        if let Some(count) = order.boxes {
            let run = boxes::of(job, &programs, &outcome.report, &name, count);
            retuned = run.retuned;
            outcome.report.boxes = run.rows;
            outcome.report.retuned = run.reports;
            outcome.report.notes.extend(run.stopped);
        }
        outcome.report.stale = stale::replacements(order.folder, &order.stem, job.selection);
        let is_written = |path: &String| retuned.iter().any(|program| program.file_name() == path);
        outcome.report.stale.retain(|path| !is_written(path));
        write(job, settings, order, programs, retuned, &outcome)?;
    } else {
        outcome.report.stale = stale::left(order.folder, &order.stem, job.selection);
    }
    let fate = if written { Fate::Written } else { Fate::Kept };
    summary::print(&outcome.report, job.units, format, fate)?;
    Ok(if passed {
        Ending::Passed
    } else {
        Ending::CheckFailed
    })
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

fn write(
    job: &Job,
    settings: &Settings,
    order: &Order<'_>,
    programs: Vec<Program>,
    retuned: Vec<Program>,
    outcome: &Outcome,
) -> Result<(), Failure> {
    let programs = programs.into_iter().map(Program::into_parts);
    let (paths, named): (Vec<PathBuf>, Vec<(String, String)>) = programs
        .map(|(suffix, name, text)| (order.program(&suffix), (name, text)))
        .unzip();
    let input = sheet::Input {
        job,
        settings,
        outcome,
        programs: &named,
        units: job.units,
    };
    let page = sheet::page(&input)?;
    let mut drawn = vec![(order.sheet(job.selection), page.into_bytes())];
    if order.drawings {
        for (suffix, drawing) in sheet::drawings(&input)? {
            let path = order.drawing(job.selection, &suffix);
            drawn.push((path, drawing.into_bytes()));
        }
    }
    let texts = named.into_iter().map(|(_, text)| text.into_bytes());
    let mut all: Vec<(PathBuf, Vec<u8>)> = paths.into_iter().zip(texts).collect();
    all.extend(retuned.into_iter().map(|program| {
        let (suffix, _, text) = program.into_parts();
        (order.program(&suffix), text.into_bytes())
    }));
    all.extend(drawn);
    files::write_all(&all, &order.inputs)?;
    Ok(())
}
