//! `stepwell feeds`: the feed table of a job.

use crate::cli::arguments::{Feeds, Format};
use crate::cli::failure::Failure;
use crate::cli::{Ending, load, terminal};
use crate::diagnostic::Diagnostic;
use crate::feeds;
use crate::spec::Overrides;
use crate::units::Units;

pub(super) fn run(options: &Feeds) -> Result<Ending, Failure> {
    let overrides = Overrides {
        wear: options.wear,
        ..Overrides::default()
    };
    let job = load::job(&options.job, &overrides)?;
    let units = options.reporting.units.map_or(job.units, Units::from);
    let mut table = feeds::table(&job, options.wear);
    table.units = units;
    let text = match options.reporting.format {
        Format::Human => feeds::render(&table, units),
        Format::Json => {
            let text = serde_json::to_string_pretty(&table)
                .map_err(|error| Diagnostic::new("internal", error.to_string()))?;
            text + "\n"
        }
    };
    terminal::result(&text);
    Ok(Ending::Passed)
}
