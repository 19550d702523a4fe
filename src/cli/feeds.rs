//! `stepwell feeds`: the feed table of a job.

use crate::cli::arguments::{Feeds, Format};
use crate::cli::failure::Failure;
use crate::cli::feed_table::{self, Extent};
use crate::cli::{Ending, terminal};
use crate::feeds;
use crate::files;
use crate::input::Overrides;

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
