//! `stepwell feeds`: the feed table of a job.

use std::path::PathBuf;

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::feed_table::{self, Extent};
use crate::cli::options::{Format, Reporting};
use crate::cli::{Ending, terminal};
use crate::feeds;
use crate::files;
use crate::input::Overrides;
use crate::produce::counts;

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell feeds box.toml
  stepwell feeds box.toml --wear 0.6                        every bit as worn as that
  stepwell feeds box.toml --all                             the figures of every bit
  stepwell feeds box.toml --format json")]
pub(crate) struct Feeds {
    /// The job file, or - for standard input
    #[arg(value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// How worn the bits are now: 0 fresh, 1 worn out [default: as the rack says]
    #[arg(long, value_name = "0..1", value_parser = counts::share, allow_hyphen_values = true)]
    pub(crate) wear: Option<f64>,

    /// Show the figures of every bit, not of the job's own alone
    #[arg(long)]
    pub(crate) all: bool,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

pub(super) fn run(options: &Feeds) -> Result<Ending, Failure> {
    let overrides = Overrides {
        wear: options.wear,
        ..Overrides::default()
    };
    let mut job = files::read_job(&options.job, &overrides)?.job;
    job.units = options.reporting.units_of(&job);
    let table = feeds::table(&job, options.wear);
    match options.reporting.format {
        Format::Human => {
            let extent = if options.all {
                Extent::All
            } else {
                Extent::Verdicts
            };
            terminal::result(&feed_table::render(&table, job.units, extent))?;
        }
        Format::Json => terminal::json(&table)?,
    }
    Ok(Ending::Passed)
}
