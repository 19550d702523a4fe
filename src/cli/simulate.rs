//! `stepwell simulate`: any program, replayed from its text and judged.

use std::io::Read;
use std::path::{Path, PathBuf};

use crate::cli::arguments::Simulate;
use crate::cli::failure::Failure;
use crate::cli::summary::{self, Fate};
use crate::cli::terminal::Progress;
use crate::cli::{Ending, test_piece};
use crate::diagnostic::Diagnostic;
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::produce::{bits, positions};
use crate::report::Report;
use crate::shop::bit::Bit;
use crate::units::Units;
use crate::verify::{Judge, MachineJudge};
use crate::{produce, settings, sheet};

const CHUNK_BYTES: usize = 64 * 1024;

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

type Streams = Vec<Stream>;

/// A program that is open to be read.
struct Stream {
    name: String,
    size: Option<u64>,
    input: Box<dyn Read>,
}

/// Every program is opened before the first is read.
fn open_all(programs: &[PathBuf]) -> Result<Streams, Failure> {
    let mut streams = Streams::new();
    for path in programs {
        streams.push(Stream {
            name: path.display().to_string(),
            size: files::size(path),
            input: files::open(path)?,
        });
    }
    Ok(streams)
}

fn against_job(options: &Simulate, path: &Path, streams: Streams) -> Result<Report, Failure> {
    let overrides = Overrides {
        bit: None,
        wear: options.wear,
        selection: options.program.selection()?,
    };
    let ReadJob {
        mut job,
        mut inputs,
        ..
    } = files::read_job(path, &overrides)?;
    inputs.extend(options.programs.iter().cloned());
    if let Some(sheet) = &options.sheet {
        files::check_outputs(&[sheet], &inputs)?;
    }
    job.units = options.reporting.units_of(&job);
    // A test piece runs at the speeds of its job, for both its woods.
    let settings = settings::for_job(&job);
    if let Some(piece) = test_piece::of_program(&job, &options.program)? {
        job = piece;
    }
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
        pump(stream, |chunk| {
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
    outcome.report.notes.extend(produce::notes(&job));
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

fn against_machine(options: &Simulate, path: &Path, streams: Streams) -> Result<Report, Failure> {
    let machine = files::read_machine(path)?;
    let units = options
        .reporting
        .units
        .map_or(machine.dialect.units, Units::from);
    let mut judge = MachineJudge::in_units(&machine, units);
    for stream in streams {
        judge.begin(&stream.name);
        pump(stream, |chunk| judge.push(chunk))?;
        judge.end();
    }
    let mut report = judge.finish();
    report.units = units;
    Ok(report)
}

/// The report on programs in their order in the same wood, read as they are judged.
pub(super) fn judged(
    mut judge: Judge<'_>,
    programs: &[PathBuf],
    positions: &[Option<usize>],
    bits: &[Bit],
) -> Result<Report, Failure> {
    for (index, stream) in open_all(programs)?.into_iter().enumerate() {
        lay(&mut judge, positions, index);
        judge.begin(&stream.name, bits.get(index));
        pump(stream, |chunk| judge.push(chunk))?;
        judge.end();
    }
    Ok(judge.finish().report)
}

fn lay(judge: &mut Judge<'_>, positions: &[Option<usize>], program: usize) {
    if let Some(&Some(position)) = positions.get(program) {
        judge.lay(position);
    }
}

fn pump(stream: Stream, mut sink: impl FnMut(&[u8])) -> Result<(), Failure> {
    let Stream {
        name,
        size,
        mut input,
    } = stream;
    let mut progress = Progress::new(size);
    let mut buffer = vec![0; CHUNK_BYTES];
    loop {
        match input.read(&mut buffer) {
            Ok(0) => return Ok(()),
            Ok(count) => {
                sink(&buffer[..count]);
                progress.advance(count);
            }
            Err(error) if error.kind() == std::io::ErrorKind::Interrupted => {}
            Err(error) => return Err(files::unreadable(Path::new(&name), &error).into()),
        }
    }
}
