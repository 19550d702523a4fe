//! What a person should know that is no check: corrections in force, wear
//! estimated, what the set-up is
//! taken to be, and advice that warns.

use crate::job::Job;
use crate::report::Report;
use crate::{advice, fit, ran};

pub(crate) fn of(job: &Job) -> Vec<String> {
    let warnings = advice::of(job).into_iter().filter(|advice| advice.warns);
    let taken = job.taken.iter().cloned();
    taken
        .chain(template(job))
        .chain(fit::drawn(job))
        .chain(fit::corrections(job))
        .chain(advice::set_up(job))
        .chain(ran::note(&job.bit))
        .chain(warnings.map(|advice| advice.to_string()))
        .collect()
}

/// What is to be known of a template's plate.
pub(crate) fn of_plate(plate: &Job) -> Vec<String> {
    let plate = plate.plate.as_ref();
    plate.map_or_else(Vec::new, |plate| plate.features.told.clone())
}

/// What a job that has a template is cut by where its parts cannot lie on the machine.
fn template(job: &Job) -> Option<String> {
    job.template.as_ref().filter(|_| job.plate.is_none())?;
    Some(
        "the job has a template: where the parts cannot lie on the machine, `stepwell template` \
         cuts it for the hand-held router"
            .to_owned(),
    )
}

/// A pocket of which no more than this was cut is untouched, in millimetres.
const UNTOUCHED: f64 = 0.01;

/// A hint where a program of a job with a template leaves all of the job's pockets whole.
pub(crate) fn is_the_templates(job: &Job, report: &Report) -> Option<String> {
    job.template.as_ref().filter(|_| job.plate.is_none())?;
    let is_untouched = report.pockets.iter().all(|pocket| {
        let depths = pocket.steps.iter().map(|step| step.depth.as_mm());
        pocket.residual_mm.as_mm() >= depths.fold(0.0, f64::max) - UNTOUCHED
    });
    (is_untouched && !report.pockets.is_empty()).then(|| {
        "none of the job's pockets is cut: if this is the template's program, say --template"
            .to_owned()
    })
}
