//! `stepwell ran`: enters that programs were run.

use crate::cli::arguments::Ran;
use crate::cli::failure::Failure;
use crate::cli::{Ending, entered, simulate, terminal, test_piece};
use crate::cutting::Settings;
use crate::files::{self, Edited, ReadJob};
use crate::input::Overrides;
use crate::job::Job;
use crate::produce::{bits, positions};
use crate::ran;
use crate::report::Report;
use crate::settings;
use crate::shop::bit::BitKind;
use crate::verify::Judge;

pub(super) fn run(options: &Ran) -> Result<Ending, Failure> {
    for path in &options.programs {
        let why = "what was run is a file, standard input may be read only once";
        entered::refuse_stream(path, why)?;
    }
    let overrides = Overrides {
        selection: options.program.selection()?,
        ..Overrides::default()
    };
    // The rack is held before it is read: the bits' record is in it.
    let rack = Edited::open(&files::edits(&options.job)?.bits)?;
    let ReadJob { job, .. } = files::read_job(&options.job, &overrides)?;
    let settings = settings::for_job(&job);
    let judged = test_piece::of_program(&job, &options.program)?.unwrap_or(job);
    let report = judge(options, &judged, &settings)?;
    let mut failed = Vec::new();
    for check in report.beyond_force() {
        terminal::note(&format!("{}: {}", check.id, check.message));
        failed.push(check.id.name());
    }
    if !failed.is_empty() {
        terminal::note(&format!(
            "nothing was entered, since this is no program of this job as the command line says; \
             failed: {}",
            failed.join(" ")
        ));
        return Ok(Ending::CheckFailed);
    }
    let new = ran::enter(rack.text(), &report.programs, options.times)?;
    if !options.dry {
        files::replace_all(&[(&rack, &new.text)])?;
    }
    let changed = [rack.path().to_owned()];
    entered::tell(&new.words, Some(&changed), options.dry, options.format)?;
    Ok(Ending::Passed)
}

/// What the programs cut, in their order, in one wood. One that drills first
/// finds its pockets cut: those were run before and are entered already.
fn judge(options: &Ran, job: &Job, settings: &Settings) -> Result<Report, Failure> {
    let bits = bits::of_programs(job, &options.bit, options.programs.len())?;
    let named = &options.program.position;
    let positions = positions::of_programs(job, named, options.programs.len())?;
    let judged = |judge| simulate::judged(judge, &options.programs, &positions, &bits);
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
