//! `stepwell test-piece`: the job's pocket again and again in a scrap.

use crate::cli::arguments::{ProgramOptions, SeriesOptions, TestPiece};
use crate::cli::failure::Failure;
use crate::cli::{Ending, produce};
use crate::diagnostic::Diagnostics;
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::job::Job;
use crate::produce::{Order, PieceWish};
use crate::settings;
use crate::test_piece;

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
    let wish = wish(sizes.map(String::as_str), &options.series);
    let written_in = job.units;
    job.units = options.reporting.units_of(&job);
    let (piece, notes) = wish.piece(&job, written_in).map_err(failed)?;
    let order = Order {
        boxes: None,
        folder: &options.output,
        stem: piece.stem.clone(),
        notes,
        inputs,
        drawings: options.svg,
        force: false,
    };
    // The job's own feeds and passes, for both its woods: they decide the fit.
    let settings = settings::for_job(&job);
    produce::run(&piece, &settings, &order, options.reporting.format)
}

fn failed(diagnostics: Diagnostics) -> Failure {
    Failure {
        diagnostics,
        ..Failure::default()
    }
}

/// The job of the test piece that these options were given for, where they were.
pub(super) fn of_program(job: &Job, program: &ProgramOptions) -> Result<Option<Job>, Failure> {
    let Some(wish) = wish_of(program) else {
        return Ok(None);
    };
    let (scrap, series) = wish.said(job.units)?;
    let piece = test_piece::job(job, scrap, series);
    piece.map(Some).map_err(failed)
}

/// The test piece that these options are of, where they are of one.
pub(super) fn wish_of(program: &ProgramOptions) -> Option<PieceWish> {
    let sizes = [&program.length, &program.width, &program.thickness];
    let sizes = sizes.map(|written| written.as_deref().unwrap_or_default());
    program.test_piece.then(|| wish(sizes, &program.series()))
}

fn wish([length, width, thickness]: [&str; 3], series: &SeriesOptions) -> PieceWish {
    PieceWish {
        length: length.to_owned(),
        width: width.to_owned(),
        thickness: thickness.to_owned(),
        pockets: series.pockets,
        step: series.step.clone(),
        depth_step: series.depth_step.clone(),
    }
}
