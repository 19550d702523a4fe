//! `stepwell test-piece`: the job's pocket again and again in a scrap.

use std::path::PathBuf;

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::options::{Reporting, SeriesOptions};
use crate::cli::{Ending, produce};
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::produce::{Order, PieceWish, counts};
use crate::settings;

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell test-piece box.toml -o out --length 150 --width 100 --thickness 20
  stepwell test-piece box.toml -o out --length 6in --width 4in --thickness 3/4in --step 0.1mm

Each pocket has as many ticks beside it as its number. Try the hinge in each,
then: stepwell fit box.toml --cut out/box-test-piece.nc --test-piece … --pocket 3")]
pub(crate) struct TestPiece {
    /// The job file, or - for standard input
    #[arg(value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// Folder for the program and the sheet
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    pub(crate) output: PathBuf,

    /// Length of the scrap, along X, in the job's unit or with one of its own
    #[arg(long, value_name = "L", allow_hyphen_values = true)]
    pub(crate) length: String,

    /// Width of the scrap, along Y
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    pub(crate) width: String,

    /// Thickness of the scrap
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    pub(crate) thickness: String,

    #[command(flatten)]
    pub(crate) series: SeriesOptions,

    /// The bit, by its name in the rack [default: the job's own]
    #[arg(long, value_name = "NAME")]
    pub(crate) bit: Option<String>,

    /// How worn the bit is: 0 fresh, 1 worn out [default: as the rack says]
    #[arg(long, value_name = "0..1", value_parser = counts::share, allow_hyphen_values = true)]
    pub(crate) wear: Option<f64>,

    /// Write each drawing as an SVG file too, with a full-size paper template
    #[arg(long)]
    pub(crate) svg: bool,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

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
