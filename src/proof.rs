//! From a job to programs that are proved from their own text, in memory.

use crate::cutting::Settings;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::job::{Job, Part, PartName};
use crate::report::{Check, CheckId, Report};
use crate::shop::machine::CommentStyle;
use crate::verify::{Judge, Outcome};
use crate::{plan, post, settings};

/// A program of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Program {
    suffix: String,
    file_name: String,
    text: String,
}

impl Program {
    /// A program of that suffix; `name` tells what it is called.
    pub(crate) fn new(suffix: String, name: &dyn Fn(&str) -> String, text: String) -> Self {
        Self {
            file_name: name(&suffix),
            suffix,
            text,
        }
    }

    /// What was appended to the stem.
    pub(crate) fn suffix(&self) -> &str {
        &self.suffix
    }

    /// What the file is called: the job file's stem, what of the job it cuts, `.nc`.
    pub fn file_name(&self) -> &str {
        &self.file_name
    }

    /// The text, line ends included.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// What was appended to the stem, the name, and the text.
    pub fn into_parts(self) -> (String, String, String) {
        (self.suffix, self.file_name, self.text)
    }
}

/// Programs, and what every check says of their text.
#[derive(Clone, Debug)]
pub struct Proof {
    programs: Vec<Program>,
    outcome: Outcome,
    forced: bool,
}

impl Proof {
    /// Whether no check failed. Programs of a proof that did not pass are not to be run.
    pub fn passed(&self) -> bool {
        self.report().passed()
    }

    /// One row for each check, always all of them.
    pub fn checks(&self) -> &[Check] {
        &self.report().checks
    }

    /// The programs, in the order they are run.
    pub fn programs(&self) -> &[Program] {
        &self.programs
    }

    /// Figures of programs and pockets, and the checks.
    pub fn report(&self) -> &Report {
        &self.outcome.report
    }

    /// Whether a check failed that was overridden; each program says so in its head.
    pub fn forced(&self) -> bool {
        self.forced
    }

    /// The programs and what the judge found, as the job sheet wants them.
    pub fn into_parts(self) -> (Vec<Program>, Outcome) {
        (self.programs, self.outcome)
    }
}

/// Plans the job, writes its programs, replays their text and judges it.
///
/// # Errors
/// A job without a pocket. What a check finds is no error: it is in the proof.
pub fn generate(job: &Job) -> Result<Proof, Diagnostics> {
    let is_whole = |part: &Part| part.pockets.is_empty() && part.contours.is_empty();
    if job.parts.iter().all(is_whole) {
        let message = format!("`{}` has no pocket to cut", job.title);
        let diagnostic = Diagnostic::new("nothing-to-cut", message);
        return Err(diagnostic.help("give a part at least one pocket").into());
    }
    let name = |suffix: &str| format!("{}{suffix}.nc", job.stem);
    Ok(prove(
        job,
        &settings::for_job(job),
        &Order {
            name: &name,
            pictured: &[],
            force: false,
        },
    ))
}

/// How a proof is made.
pub(crate) struct Order<'a> {
    /// What a program of that suffix is called, in messages too.
    pub(crate) name: &'a dyn Fn(&str) -> String,
    /// The pockets of which a picture is wanted, by part and hinge.
    pub(crate) pictured: &'a [(PartName, usize)],
    /// Whether failed checks are overridden, where they may be.
    pub(crate) force: bool,
}

/// As [`generate`], with `settings` as chosen by the caller.
pub(crate) fn prove(job: &Job, settings: &Settings, order: &Order<'_>) -> Proof {
    // The plan of a large job is large, so it goes before the judge comes.
    let posted = |marks: &[String]| {
        let plan = plan::job(job, settings);
        post::programs(&plan, job, settings, marks)
    };
    let mut programs = posted(&[]);
    let mut outcome = judge(job, settings, order, &programs);
    let failed: Vec<CheckId> = outcome.report.failed().map(|check| check.id).collect();
    let forced = order.force && !failed.is_empty() && may_force(job, &failed);
    if forced {
        programs = posted(&marks(&failed));
        outcome = judge(job, settings, order, &programs);
    }
    let named = programs
        .into_iter()
        .map(|program| Program::new(program.suffix, order.name, program.text));
    Proof {
        programs: named.collect(),
        outcome,
        forced,
    }
}

fn judge(job: &Job, settings: &Settings, order: &Order<'_>, programs: &[post::Program]) -> Outcome {
    let mut judge = Judge::new(job, settings);
    for program in programs {
        if let Some(position) = program.position {
            judge.lay(position);
        }
        judge.begin(&(order.name)(&program.suffix), Some(&program.bit));
        judge.push(program.text.as_bytes());
        judge.end();
    }
    judge.finish_with_pictures(order.pictured)
}

/// A forced program has to carry its marks, so the dialect must have comments.
fn may_force(job: &Job, failed: &[CheckId]) -> bool {
    job.machine.dialect.comments != CommentStyle::None && failed.iter().all(|id| id.may_be_forced())
}

fn marks(failed: &[CheckId]) -> Vec<String> {
    failed
        .iter()
        .map(|id| format!("FORCED, CHECK FAILED, {}", id.name()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    #[test]
    fn a_job_becomes_named_programs_and_every_check() {
        let job = sample::job();
        let proof = generate(&job).unwrap();
        assert!(proof.passed());
        assert_eq!(proof.checks().len(), CheckId::of_report(false).len());
        let names: Vec<&str> = proof.programs().iter().map(Program::file_name).collect();
        assert_eq!(names, ["sample.nc"]);
        assert!(proof.programs()[0].text().contains("M30"));
    }

    #[test]
    fn a_job_without_pockets_is_an_error_and_a_failed_check_is_none() {
        let mut job = sample::job();
        // Under the deepest step of 12.4 mm.
        job.parts[1].below = crate::units::Length::from_mm(12.0);
        let proof = generate(&job).unwrap();
        assert!(!proof.passed());
        let failed: Vec<&str> = proof.report().failed().map(Check::id).collect();
        assert_eq!(failed, ["floor-left"]);
        job.parts.iter_mut().for_each(|part| part.pockets.clear());
        let error = generate(&job).unwrap_err();
        assert_eq!(error[0].code, "nothing-to-cut");
    }
}
