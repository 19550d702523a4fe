//! Makes what is ordered, writes it where it passed, and reports.

use crate::cli::Ending;
use crate::cli::failure::Failure;
use crate::cli::options::Format;
use crate::cli::summary::{self, Fate};
use crate::cutting::Settings;
use crate::diagnostic::Diagnostic;
use crate::files;
use crate::job::Job;
use crate::produce::Order;

/// Plans, posts and judges a job, then writes what passed and reports.
pub(super) fn run(
    job: &Job,
    settings: &Settings,
    order: &Order<'_>,
    format: Format,
) -> Result<Ending, Failure> {
    if files::is_stream(order.folder) {
        let message = "-o is -, allowed is a folder: programs and sheet are files of their own";
        return Err(Diagnostic::new("usage", message)
            .help("name a folder")
            .into());
    }
    let made = order.make(job, settings);
    made.write(order)?;
    let fate = if made.may_be_written() {
        Fate::Written
    } else {
        Fate::Kept
    };
    summary::print(made.report(), job.units, format, fate)?;
    Ok(if made.passed() {
        Ending::Passed
    } else {
        Ending::CheckFailed
    })
}
