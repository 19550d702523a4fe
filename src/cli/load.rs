//! What a command line names.

use crate::cli::failure::Failure;
use crate::diagnostic::Diagnostic;
use crate::job::Job;
use crate::shop::bit::Bit;

/// The bit of that name in the job's rack.
pub(crate) fn bit<'a>(job: &'a Job, name: &str) -> Result<&'a Bit, Failure> {
    let wanted = name.trim();
    job.rack
        .iter()
        .find(|bit| bit.name == wanted)
        .ok_or_else(|| {
            let known: Vec<&str> = job.rack.iter().map(|bit| bit.name.as_str()).collect();
            Diagnostic::new(
                "unknown-bit",
                format!(
                    "bit `{name}` is not in the rack; it holds `{}`",
                    known.join("`, `")
                ),
            )
            .into()
        })
}
