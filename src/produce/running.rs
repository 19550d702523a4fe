//! That programs were run, entered in the record of their bits, which is held
//! from before it is read until it is replaced.

use std::path::PathBuf;

use crate::cutting::Settings;
use crate::diagnostic::Diagnostic;
use crate::files::{self, Edited, ReadJob, Unread};
use crate::input::Overrides;
use crate::job::{Job, Selection};
use crate::produce::fitting::{Allow, Done, Refused};
use crate::produce::streams::{self, Watch};
use crate::produce::{Subject, bits, positions};
use crate::ran;
use crate::report::Report;
use crate::shop::bit::BitKind;
use crate::verify::Judge;

/// Programs as they are said to be, and how often they were run.
#[derive(Clone, Debug, Default)]
pub(crate) struct Run {
    pub(crate) job: PathBuf,
    pub(crate) programs: Vec<PathBuf>,
    pub(crate) bits: Vec<String>,
    pub(crate) positions: Vec<usize>,
    /// What the programs are of.
    pub(crate) subject: Subject,
    pub(crate) selection: Selection,
    pub(crate) times: u32,
}

/// Enters it; a `dry` run writes nothing.
///
/// # Errors
/// Files that are wrong, and a program that is another.
pub(crate) fn enter(
    run: &Run,
    dry: bool,
    allow: Allow<'_>,
    watch: Watch<'_>,
) -> Result<Done, Refused> {
    let overrides = Overrides {
        selection: run.selection,
        cuts_template: run.subject == Subject::Template,
        ..Overrides::default()
    };
    // The rack is held before it is read: the bits' record is in it.
    let bits_file = files::edits(&run.job)?.bits;
    allow(&bits_file)?;
    let rack = Edited::open(&bits_file)?;
    let ReadJob { job, .. } = files::read_job(&run.job, &overrides)?;
    let (judged, settings) = run.subject.of(job).map_err(Unread::from)?;
    let report = judge(run, &judged, &settings, watch)?;
    let mut why = Vec::new();
    let mut failed = Vec::new();
    for check in report.beyond_force() {
        why.push(format!("{}: {}", check.id, check.message));
        failed.push(check.id.name());
    }
    if !failed.is_empty() {
        why.push(format!(
            "nothing was entered, since this is no program of this job as the command line says; \
             failed: {}",
            failed.join(" ")
        ));
        return Err(Refused::AnotherProgram(why));
    }
    let new = ran::enter(rack.text(), &report.programs, run.times)?;
    if !dry {
        files::replace_all(&[(&rack, &new.text)])?;
    }
    Ok(Done {
        words: new.words,
        changed: vec![rack.path().to_owned()],
    })
}

/// What the programs cut, in their order, in one wood. One that drills first
/// finds its pockets cut: those were run before and are entered already.
fn judge(
    run: &Run,
    job: &Job,
    settings: &Settings,
    watch: Watch<'_>,
) -> Result<Report, Diagnostic> {
    let bits = bits::of_programs(job, &run.bits, run.programs.len())?;
    let positions = positions::of_programs(job, &run.positions, run.programs.len())?;
    let judged = |judge| streams::judged(judge, &run.programs, &positions, &bits, watch);
    let first = judged(Judge::new(job, settings))?;
    let drills = |name: &str| {
        let mut rack = job.rack.iter();
        rack.any(|bit| bit.name == name && bit.kind == BitKind::Drill)
    };
    Ok(
        if first
            .programs
            .first()
            .is_some_and(|program| drills(&program.bit))
        {
            judged(Judge::after_pockets(job, settings))?
        } else {
            first
        },
    )
}
