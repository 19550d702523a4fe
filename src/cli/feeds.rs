//! `stepwell feeds`: the feed table of a job.

use crate::cli::arguments::{Feeds, Format};
use crate::cli::failure::Failure;
use crate::cli::{Ending, load, terminal};
use crate::diagnostic::Diagnostic;
use crate::feeds;
use crate::input::Overrides;

pub(super) fn run(options: &Feeds) -> Result<Ending, Failure> {
    let overrides = Overrides {
        wear: options.wear,
        ..Overrides::default()
    };
    let mut job = load::job(&options.job, &overrides)?;
    job.units = options.reporting.units_of(&job);
    let table = feeds::table(&job, options.wear);
    let text = match options.reporting.format {
        Format::Human => feeds::render(&table, job.units),
        Format::Json => {
            let text = serde_json::to_string_pretty(&table)
                .map_err(|error| Diagnostic::new("internal", error.to_string()))?;
            text + "\n"
        }
    };
    terminal::result(&text);
    Ok(Ending::Passed)
}
