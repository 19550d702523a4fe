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
    use crate::geometry::{Point, RoundedRectangle};
    use crate::job::contour::{self, Edge};
    use crate::job::sample;
    use crate::shop::machine::ArcSupport;
    use crate::units::Length;

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
        job.parts[1].below = Length::from_mm(12.0);
        let proof = generate(&job).unwrap();
        assert!(!proof.passed());
        let failed: Vec<&str> = proof.report().failed().map(Check::id).collect();
        assert_eq!(failed, ["floor-left"]);
        job.parts.iter_mut().for_each(|part| part.pockets.clear());
        let error = generate(&job).unwrap_err();
        assert_eq!(error[0].code, "nothing-to-cut");
    }

    /// Scrap of 150 × 120 mm with a piece of that outline, 5 mm deep.
    fn piece(outline: Vec<Edge>) -> Job {
        let mut job = sample::plug_job();
        let part = &mut job.parts[0];
        (part.length, part.across) = (Length::from_mm(150.0), Length::from_mm(120.0));
        part.contours[0].outline = outline;
        part.contours[0].depth = Length::from_mm(5.0);
        job
    }

    fn rectangle(x: f64, y: f64, half_x: f64, half_y: f64, corner: f64) -> Vec<Edge> {
        contour::of_rectangle(&RoundedRectangle {
            center: Point::from_mm(x, y),
            half_x,
            half_y,
            corner,
        })
    }

    /// 60 × 40 mm with a round notch in the middle of its far side.
    fn notched(radius: f64) -> Vec<Edge> {
        let at = Point::from_mm;
        let line = |from, to| Edge::Line { from, to };
        vec![
            line(at(30.0, 30.0), at(90.0, 30.0)),
            line(at(90.0, 30.0), at(90.0, 70.0)),
            line(at(90.0, 70.0), at(60.0 + radius, 70.0)),
            Edge::Arc {
                from: at(60.0 + radius, 70.0),
                to: at(60.0 - radius, 70.0),
                center: at(60.0, 70.0),
                bulges: false,
            },
            line(at(60.0 - radius, 70.0), at(30.0, 70.0)),
            line(at(30.0, 70.0), at(30.0, 30.0)),
        ]
    }

    #[track_caller]
    fn is_proved(job: &Job) {
        let proof = generate(job).unwrap();
        let failed: Vec<&str> = proof
            .report()
            .failed()
            .map(|check| check.message.as_str())
            .collect();
        assert!(failed.is_empty(), "{failed:?}");
    }

    #[test]
    fn pieces_of_any_shape_are_planned_and_proved() {
        is_proved(&sample::plug_job());
        for corner in [0.0, 1.0, 8.0, 15.0] {
            is_proved(&piece(rectangle(60.0, 50.0, 30.0, 15.0, corner)));
        }
        for radius in [4.0, 12.0] {
            is_proved(&piece(notched(radius)));
        }
        let mut no_arcs = piece(notched(12.0));
        no_arcs.machine.dialect.arcs = ArcSupport::None;
        is_proved(&no_arcs);
    }

    /// A ring, and two pieces as near each other as their kerfs allow.
    #[test]
    fn pieces_with_pockets_on_them_and_pieces_beside_them_are_proved() {
        let mut ring = piece(rectangle(60.0, 50.0, 30.0, 15.0, 8.0));
        let mut opening = sample::job().parts[0].pockets[0].clone();
        opening.steps.truncate(1);
        opening.center = Point::from_mm(60.0, 50.0);
        ring.parts[0].pockets.push(opening);
        is_proved(&ring);
        let mut two = piece(rectangle(60.0, 30.0, 30.0, 10.0, 5.0));
        let mut beside = two.parts[0].contours[0].clone();
        beside.number = 2;
        beside.outline = rectangle(60.0, 30.0 + 20.0 + 6.2, 30.0, 10.0, 5.0);
        two.parts[0].contours.push(beside);
        is_proved(&two);
    }
}
