//! `stepwell test-piece`: the job's pocket again and again in a scrap.

use crate::cli::arguments::{ProgramOptions, SeriesOptions, TestPiece};
use crate::cli::failure::Failure;
use crate::cli::{Ending, lengths, produce};
use crate::diagnostic::Diagnostic;
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::job::Job;
use crate::produce::Order;
use crate::settings;
use crate::test_piece::{self, Scrap, Series};
use crate::units::{Length, Units, text};

pub(super) fn run(options: &TestPiece) -> Result<Ending, Failure> {
    let overrides = Overrides {
        bit: options.bit.clone(),
        wear: options.wear,
        ..Overrides::default()
    };
    let ReadJob {
        mut job, inputs, ..
    } = files::read_job(&options.job, &overrides)?;
    let sizes = [&options.length, &options.width, &options.thickness];
    let scrap = scrap(sizes.map(String::as_str), job.units)?;
    let series = series(&options.series, job.units)?;
    job.units = options.reporting.units_of(&job);
    let piece = test_piece::job(&job, scrap, series).map_err(|diagnostics| Failure {
        diagnostics,
        ..Failure::default()
    })?;
    let order = Order {
        boxes: None,
        folder: &options.output,
        stem: piece.stem.clone(),
        notes: key(&job, series)?,
        inputs,
        drawings: options.svg,
        force: false,
    };
    // The job's own feeds and passes, for both its woods: they decide the fit.
    let settings = settings::for_job(&job);
    produce::run(&piece, &settings, &order, options.reporting.format)
}

/// The job of the test piece that these options were given for, where they were.
pub(super) fn of_program(job: &Job, program: &ProgramOptions) -> Result<Option<Job>, Failure> {
    let Some((scrap, series)) = said(job, program)? else {
        return Ok(None);
    };
    let piece = test_piece::job(job, scrap, series);
    piece.map(Some).map_err(|diagnostics| Failure {
        diagnostics,
        ..Failure::default()
    })
}

/// The scrap and the series that these options say, where they are of a test piece.
pub(super) fn said(
    job: &Job,
    program: &ProgramOptions,
) -> Result<Option<(Scrap, Series)>, Failure> {
    if !program.test_piece {
        return Ok(None);
    }
    let sizes = [&program.length, &program.width, &program.thickness];
    let sizes = sizes.map(|written| written.as_deref().unwrap_or_default());
    Ok(Some((
        scrap(sizes, job.units)?,
        series(&program.series(), job.units)?,
    )))
}

fn scrap([length, width, thickness]: [&str; 3], units: Units) -> Result<Scrap, Diagnostic> {
    Ok(Scrap {
        length: lengths::read("length", length, units)?,
        width: lengths::read("width", width, units)?,
        thickness: lengths::read("thickness", thickness, units)?,
    })
}

/// The series as asked for.
pub(super) fn series(options: &SeriesOptions, units: Units) -> Result<Series, Diagnostic> {
    let default = Series::default();
    let step = lengths::optional("step", options.step.as_ref(), units)?;
    Ok(Series {
        pockets: options.pockets.unwrap_or(default.pockets),
        step: step.unwrap_or(default.step),
        depth_step: lengths::optional("depth-step", options.depth_step.as_ref(), units)?,
    })
}

/// Which pocket has which clearance, and which depth in the second row.
fn key(job: &Job, series: Series) -> Result<Vec<String>, Diagnostic> {
    let show = |length| text::decimal_with_unit(length, job.units);
    let mut said = Vec::new();
    for (index, clearance) in test_piece::clearances(job, series)?.into_iter().enumerate() {
        let own = clearance.is_near(job.fit.clearance, Length::SAME);
        let own = if own { ", the job's own" } else { "" };
        said.push(format!(
            "{}: clearance {}{own}",
            ticks(index),
            show(clearance)
        ));
    }
    let leaf = test_piece::leaf_depth(job);
    for (index, depth) in test_piece::depths(job, series)?.into_iter().enumerate() {
        let own = depth.is_near(leaf, Length::SAME);
        said.push(format!(
            "{} in the second row: leaf {} deep{}",
            ticks(index),
            show(depth),
            if own { own_depth(job) } else { String::new() }
        ));
    }
    Ok(said)
}

/// What the job's own depth is meant to do.
fn own_depth(job: &Job) -> String {
    let recess = (job.hinge.closed_gap - job.fit.gap) * job.fit.box_share;
    if recess.is_near(Length::ZERO, Length::SAME) {
        return ", the job's own: it should lie flush".to_owned();
    }
    format!(
        ", the job's own: it should lie {} below the face",
        text::decimal_with_unit(recess, job.units)
    )
}

fn ticks(index: usize) -> String {
    match index {
        0 => "1 tick".to_owned(),
        more => format!("{} ticks", more + 1),
    }
}
