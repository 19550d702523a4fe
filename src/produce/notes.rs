//! What a person should know that is no check: corrections in force, wear
//! estimated, what the set-up is
//! taken to be, and advice that warns.

use crate::job::Job;
use crate::{advice, fit, ran};

pub(crate) fn of(job: &Job) -> Vec<String> {
    let warnings = advice::of(job).into_iter().filter(|advice| advice.warns);
    let taken = job.taken.iter().cloned();
    taken
        .chain(fit::drawn(job))
        .chain(fit::corrections(job))
        .chain(advice::set_up(job))
        .chain(ran::note(&job.bit))
        .chain(warnings.map(|advice| advice.to_string()))
        .collect()
}
