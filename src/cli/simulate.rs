//! `stepwell simulate`: any program, replayed from its text and judged.

use std::path::Path;

use crate::cli::arguments::Simulate;
use crate::cli::failure::Failure;
use crate::cli::plug::{self, Asked};
use crate::cli::summary::{self, Fate};
use crate::cli::{Ending, subject, terminal};
use crate::diagnostic::Diagnostic;
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::produce::streams::{Stream, lay, open_all, pump};
use crate::produce::{bits, positions};
use crate::report::Report;
use crate::units::Units;
use crate::verify::{Judge, MachineJudge};
use crate::{produce, settings, sheet};

/// Longer programs have more moves than a sheet replays.
const MOST_SHOWN_BYTES: usize = 32 * 1024 * 1024;

pub(super) fn run(options: &Simulate) -> Result<Ending, Failure> {
    let streams = open_all(&options.programs)?;
    let report = match (&options.job, &options.machine) {
        (Some(job), _) => against_job(options, job, streams)?,
        (None, Some(machine)) => against_machine(options, machine, streams)?,
        (None, None) => return Err(Diagnostic::new("usage", "--job or --machine is needed").into()),
    };
    summary::print(
        &report,
        report.units,
        options.reporting.format,
        Fate::OnlyRead,
    )?;
    Ok(if report.passed() {
        Ending::Passed
    } else {
        Ending::CheckFailed
    })
}

fn against_job(options: &Simulate, path: &Path, streams: Vec<Stream>) -> Result<Report, Failure> {
    let overrides = Overrides {
        bit: None,
        wear: options.wear,
        selection: options.program.selection()?,
        cuts_template: options.program.template,
    };
    let ReadJob {
        mut job,
        mut inputs,
        ..
    } = files::read_job(path, &overrides)?;
    inputs.extend(options.programs.iter().chain(&options.plug).cloned());
    if let Some(sheet) = &options.sheet {
        files::check_outputs(&[sheet], &inputs)?;
    }
    let written_in = job.units;
    job.units = options.reporting.units_of(&job);
    let asked = Asked {
        programs: &options.plug,
        sizes: [
            &options.program.length,
            &options.program.width,
            &options.program.thickness,
        ],
    };
    let (job, settings, said) = match plug::job(&asked, path, &job, written_in, None)? {
        Some((plug, words)) => {
            let settings = settings::for_job(&plug);
            (plug, settings, Some(words))
        }
        None => {
            let (job, settings) = subject::of(&options.program).of(job)?;
            (job, settings, None)
        }
    };
    let mut bits = bits::of_programs(&job, &options.bit, options.programs.len())?;
    if let Some(wear) = options.wear {
        bits.iter_mut().for_each(|bit| bit.wear = wear);
    }
    let named = &options.program.position;
    let positions = positions::of_programs(&job, named, options.programs.len())?;
    let mut judge = Judge::new(&job, &settings);
    let mut texts = Vec::new();
    for (index, stream) in streams.into_iter().enumerate() {
        lay(&mut judge, &positions, index);
        judge.begin(&stream.name, bits.get(index));
        let name = stream.name.clone();
        let mut kept = options.sheet.is_some().then(Vec::new);
        pump(stream, &terminal::watch, |chunk| {
            judge.push(chunk);
            if let Some(kept) = kept.as_mut().filter(|kept| kept.len() <= MOST_SHOWN_BYTES) {
                kept.extend_from_slice(chunk);
            }
        })?;
        judge.end();
        texts.extend(kept.map(|bytes| (name, String::from_utf8_lossy(&bytes).into_owned())));
        // What no page replays is not kept either.
        let length: usize = texts.iter().map(|(_, text)| text.len()).sum();
        if length > MOST_SHOWN_BYTES {
            texts.iter_mut().for_each(|(_, text)| *text = String::new());
        }
    }
    let pictured = match &options.sheet {
        Some(_) => sheet::pictured(&job),
        None => Vec::new(),
    };
    let mut outcome = judge.finish_with_pictures(&pictured);
    let said = said.unwrap_or_else(|| produce::notes(&job));
    outcome.report.notes.extend(said);
    let hint = produce::is_the_templates(&job, &outcome.report);
    outcome.report.notes.extend(hint);
    if let Some(target) = &options.sheet {
        let input = sheet::Input {
            job: &job,
            settings: &settings,
            outcome: &outcome,
            programs: &texts,
            units: job.units,
        };
        let page = sheet::page(&input)?;
        files::write_all(&[(target.clone(), page.into_bytes())], &inputs)?;
    }
    Ok(outcome.report)
}

fn against_machine(
    options: &Simulate,
    path: &Path,
    streams: Vec<Stream>,
) -> Result<Report, Failure> {
    let machine = files::read_machine(path)?;
    let units = options
        .reporting
        .units
        .map_or(machine.dialect.units, Units::from);
    let mut judge = MachineJudge::in_units(&machine, units);
    for stream in streams {
        judge.begin(&stream.name);
        pump(stream, &terminal::watch, |chunk| judge.push(chunk))?;
        judge.end();
    }
    let mut report = judge.finish();
    report.units = units;
    Ok(report)
}
