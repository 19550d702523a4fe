//! `stepwell simulate`: any program, replayed from its text and judged.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::options::{ProgramOptions, Reporting};
use crate::cli::plug::{self, Asked};
use crate::cli::summary::{self, Fate};
use crate::cli::{Ending, subject, terminal};
use crate::cutting::Settings;
use crate::diagnostic::Diagnostic;
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::job::Job;
use crate::produce::streams::{Stream, lay, open_all, pump};
use crate::produce::{bits, counts, positions};
use crate::report::Report;
use crate::shop::bit::Bit;
use crate::units::Units;
use crate::verify::{Judge, MachineJudge};
use crate::{produce, settings, sheet};

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell simulate box.nc --job box.toml
  stepwell simulate box.nc box-pilot.nc --job box.toml      in this order, in the same wood
  stepwell simulate door-p2.nc --job door.toml --position 2
  stepwell simulate box-test-piece.nc --job box.toml --test-piece --length 300 --width 90 --thickness 20
  stepwell simulate box-lid-h2-plug.nc --job box.toml --part lid --hinge 2 --plug box.nc --length 80 --width 60 --thickness 10
  stepwell simulate box.nc --machine machines/benchtop-mm.toml
  cat box.nc | stepwell simulate - --job box.toml --format json")]
pub(crate) struct Simulate {
    /// The programs in the order they run, or - for standard input
    #[arg(value_name = "PROGRAM.nc", required = true)]
    pub(crate) programs: Vec<PathBuf>,

    /// Check against this job
    #[arg(long, value_name = "JOB.toml", required_unless_present = "machine")]
    pub(crate) job: Option<PathBuf>,

    /// Replay without a job: syntax, bounds, envelope, time
    #[arg(long, value_name = "M.toml", conflicts_with_all = ["job", "bit", "part", "hinge", "step", "position", "test_piece", "wear", "sheet"])]
    pub(crate) machine: Option<PathBuf>,

    /// The bit of each program, in order [default: its T word, then the job's bit]
    #[arg(long, value_name = "NAME")]
    pub(crate) bit: Vec<String>,

    #[command(flatten)]
    pub(crate) program: ProgramOptions,

    /// The program is that of a plug: the programs that cut the pocket it fills
    #[arg(long, group = "scrap", value_name = "CUT.nc", num_args = 1.., requires_all = ["job", "hinge", "length", "width", "thickness"], conflicts_with_all = ["step", "position", "template"])]
    pub(crate) plug: Vec<PathBuf>,

    /// How worn the bit is: 0 fresh, 1 worn out [default: as the rack says]
    #[arg(long, value_name = "0..1", value_parser = counts::share, allow_hyphen_values = true)]
    pub(crate) wear: Option<f64>,

    /// Draw what was replayed as a job sheet
    #[arg(long, value_name = "FILE.html")]
    pub(crate) sheet: Option<PathBuf>,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

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
    let (job, settings, said) = subject_of(options, path, job, written_in)?;
    let mut bits = bits::of_programs(&job, &options.bit, options.programs.len())?;
    if let Some(wear) = options.wear {
        bits.iter_mut().for_each(|bit| bit.wear = wear);
    }
    let named = &options.program.position;
    let positions = positions::of_programs(&job, named, options.programs.len())?;
    let mut judge = Judge::new(&job, &settings);
    let texts = replay(options, &mut judge, streams, &positions, &bits)?;
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

/// The job that the programs are of, its speeds, and what is said of it.
fn subject_of(
    options: &Simulate,
    path: &Path,
    job: Job,
    written_in: Units,
) -> Result<(Job, Settings, Option<Vec<String>>), Failure> {
    let asked = Asked {
        programs: &options.plug,
        sizes: [
            &options.program.length,
            &options.program.width,
            &options.program.thickness,
        ],
    };
    if let Some((plug, words)) = plug::job(&asked, path, &job, written_in, None)? {
        let settings = settings::for_job(&plug);
        return Ok((plug, settings, Some(words)));
    }
    let (job, settings) = subject::of(&options.program).of(job)?;
    Ok((job, settings, None))
}

/// Has the judge read every program; gives their texts where a sheet shows them.
fn replay(
    options: &Simulate,
    judge: &mut Judge<'_>,
    streams: Vec<Stream>,
    lies: &[Option<usize>],
    bits: &[Bit],
) -> Result<Vec<(String, String)>, Failure> {
    let mut texts = Vec::new();
    for (index, stream) in streams.into_iter().enumerate() {
        lay(judge, lies, index);
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
    Ok(texts)
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
