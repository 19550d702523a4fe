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
use crate::post::{self, Program};
use crate::report::CheckId;
use crate::shop::machine::CommentStyle;
use crate::verify::{Judge, Outcome};
use crate::{files, plan, sheet};

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
}

impl Order<'_> {
    fn program(&self, program: &Program) -> PathBuf {
        paths::program(self.folder, &self.stem, &program.suffix)
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
    // The plan of a large job is large, so it goes before the judge comes.
    let posted = |marks: &[String]| {
        let plan = plan::job(job, settings);
        post::programs(&plan, job, settings, marks)
    };
    let mut programs = posted(&[]);
    let mut outcome = judge(job, settings, order, &programs);
    let failed = failed_checks(&outcome);
    let forced = order.force && !failed.is_empty() && may_force(job, &failed);
    if forced {
        programs = posted(&marks(&failed));
        outcome = judge(job, settings, order, &programs);
    }
    outcome.report.notes.extend(order.notes.iter().cloned());
    let written = failed.is_empty() || forced;
    if written {
        write(job, settings, order, programs, &outcome)?;
    } else {
        outcome.report.stale = stale::left(order.folder, &order.stem, job.selection);
    }
    let fate = if written { Fate::Written } else { Fate::Kept };
    summary::print(&outcome.report, job.units, format, fate)?;
    Ok(if failed.is_empty() {
        Ending::Passed
    } else {
        Ending::CheckFailed
    })
}

fn judge(job: &Job, settings: &Settings, order: &Order<'_>, programs: &[Program]) -> Outcome {
    let mut judge = Judge::new(job, settings);
    for program in programs {
        judge.begin(
            &order.program(program).display().to_string(),
            Some(&program.bit),
        );
        judge.push(program.text.as_bytes());
        judge.end();
    }
    judge.finish_with_pictures(&pictured(job, order))
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

fn failed_checks(outcome: &Outcome) -> Vec<CheckId> {
    outcome.report.failed().map(|check| check.id).collect()
}

/// A forced program has to carry its marks, so the dialect must have comments.
fn may_force(job: &Job, failed: &[CheckId]) -> bool {
    job.machine.dialect.comments != CommentStyle::None && failed.iter().all(|id| id.may_be_forced())
}

fn marks(failed: &[CheckId]) -> Vec<String> {
    failed
        .iter()
        .map(|id| format!("FORCED, CHECK FAILED, {}", id.name()))
        .collect()
}

fn write(
    job: &Job,
    settings: &Settings,
    order: &Order<'_>,
    programs: Vec<Program>,
    outcome: &Outcome,
) -> Result<(), Failure> {
    let paths: Vec<PathBuf> = programs
        .iter()
        .map(|program| order.program(program))
        .collect();
    let named: Vec<(String, String)> = paths
        .iter()
        .zip(programs)
        .map(|(path, program)| (path.display().to_string(), program.text))
        .collect();
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
    all.extend(drawn);
    files::write_all(&all, &order.inputs)?;
    Ok(())
}
