//! `stepwell test-piece`: the job's pocket again and again in a scrap.

use crate::cli::arguments::{SeriesOptions, TestPiece};
use crate::cli::failure::Failure;
use crate::cli::{Ending, produce};
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::produce::{Order, PieceWish};
use crate::settings;

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
    let (piece, notes) = wish.piece(&job, written_in)?;
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

/// A test piece of these sizes.
pub(super) fn wish([length, width, thickness]: [&str; 3], series: &SeriesOptions) -> PieceWish {
    PieceWish {
        length: length.to_owned(),
        width: width.to_owned(),
        thickness: thickness.to_owned(),
        pockets: series.pockets,
        step: series.step.clone(),
        depth_step: series.depth_step.clone(),
    }
}
