//! The bits that programs are said to be cut with.

use crate::diagnostic::Diagnostic;
use crate::job::Job;
use crate::shop::bit::Bit;

/// The bit of that name in the job's rack.
///
/// # Errors
/// A name that is not in the rack.
pub(crate) fn named<'a>(job: &'a Job, name: &str) -> Result<&'a Bit, Diagnostic> {
    let wanted = name.trim();
    job.rack
        .iter()
        .find(|bit| bit.name == wanted)
        .ok_or_else(|| {
            let known: Vec<&str> = job.rack.iter().map(|bit| bit.name.as_str()).collect();
            let known = known.join("`, `");
            let message = format!("bit `{name}` is not in the rack; it holds `{known}`");
            Diagnostic::new("unknown-bit", message)
        })
}

/// The bits of programs, in their order.
///
/// # Errors
/// More names than programs, and names that are not in the rack.
pub(crate) fn of_programs(
    job: &Job,
    names: &[String],
    programs: usize,
) -> Result<Vec<Bit>, Diagnostic> {
    if names.len() > programs {
        let message = format!("{} bits named for {programs} programs", names.len());
        let help = "give --bit once for each program, in order";
        return Err(Diagnostic::new("usage", message).help(help));
    }
    let bits = names.iter().map(|name| named(job, name).cloned());
    bits.collect()
}
