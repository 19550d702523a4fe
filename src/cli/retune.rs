//! `stepwell retune`: new F and S words for a worn bit.

use std::fmt::Write as _;
use std::io::Read;
use std::path::{Path, PathBuf};

use clap::Args;
use serde_json::json;

use crate::cli::failure::Failure;
use crate::cli::options::{Format, Reporting, SelectionOptions, count};
use crate::cli::{Ending, terminal};
use crate::diagnostic::Diagnostic;
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::produce::{Subject, bits, counts, positions, quoted};
use crate::retune::{self, Objection, Retuned};

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell retune box.nc --job box.toml --wear 0.4 -o box-worn.nc
  stepwell retune - --job box.toml --wear 0.4 -o - < box.nc

Nothing is written where the worn bit needs a smaller bite than the program takes.")]
pub(crate) struct Retune {
    /// The program, or - for standard input
    #[arg(value_name = "PROGRAM.nc")]
    pub(crate) program: PathBuf,

    /// The job that the program cuts
    #[arg(long, value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// How worn the bit is: 0 fresh, 1 worn out [default: as the rack says]
    #[arg(long, value_name = "0..1", value_parser = counts::share, allow_hyphen_values = true)]
    pub(crate) wear: Option<f64>,

    /// The program's bit, by its name in the rack [default: its T word, then the job's bit]
    #[arg(long, value_name = "NAME")]
    pub(crate) bit: Option<String>,

    /// The retuned program, or - for standard output
    #[arg(short, long, value_name = "OUT.nc")]
    pub(crate) output: PathBuf,

    #[command(flatten)]
    pub(crate) selection: SelectionOptions,

    /// The position that the program is for, of a job that names several
    #[arg(long, value_name = "N", value_parser = count, allow_hyphen_values = true)]
    pub(crate) position: Option<usize>,

    /// The program is that of the job's template
    #[arg(long, conflicts_with_all = ["hinge", "step", "position"])]
    pub(crate) template: bool,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

pub(super) fn run(options: &Retune) -> Result<Ending, Failure> {
    let program = read(&options.program)?;
    let overrides = Overrides {
        bit: None,
        wear: options.wear,
        selection: options.selection.selection(),
        cuts_template: options.template,
    };
    let ReadJob {
        mut job,
        mut inputs,
        ..
    } = files::read_job(&options.job, &overrides)?;
    inputs.push(options.program.clone());
    files::check_outputs(&[&options.output], &inputs)?;
    job.units = options.reporting.units_of(&job);
    if options.template {
        (job, _) = Subject::Template.of(job)?;
    }
    let given = options
        .bit
        .as_deref()
        .map(|name| bits::named(&job, name))
        .transpose()?;
    let named: Vec<usize> = options.position.into_iter().collect();
    let position = positions::of_programs(&job, &named, 1)?
        .into_iter()
        .next()
        .flatten();
    match retune::retune(&program, &job, position, given, options.wear) {
        Ok(retuned) => {
            // That it serves as it is, is an answer and no file.
            if !retuned.changes.is_empty() {
                files::write_all(&[(options.output.clone(), retuned.text.clone())], &inputs)?;
            }
            tell(options, &retuned)?;
            Ok(Ending::Passed)
        }
        Err(objections) => {
            object(options, &objections)?;
            terminal::note(&format!("plan it anew: {}", anew(options)));
            Ok(Ending::CheckFailed)
        }
    }
}

fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    let mut program = Vec::new();
    files::open(path)?
        .take(MOST_BYTES + 1)
        .read_to_end(&mut program)
        .map_err(|error| files::unreadable(path, &error))?;
    if program.len() as u64 > MOST_BYTES {
        let message = format!(
            "`{}` is over 200 MB, and retune holds a program and its new text in memory",
            path.display()
        );
        let help = "plan the job anew with --wear, or split the program";
        return Err(Diagnostic::new("file-too-large", message).help(help).into());
    }
    Ok(program)
}

/// Some eight million lines.
const MOST_BYTES: u64 = 200_000_000;

/// Where the program itself goes to standard output, what is told goes to standard error.
fn tell(options: &Retune, retuned: &Retuned) -> Result<(), Diagnostic> {
    let is_taken = files::is_stream(&options.output) && !retuned.changes.is_empty();
    match options.reporting.format {
        Format::Json => {
            let told = json!({
                "program": options.program.display().to_string(),
                "output": (!retuned.changes.is_empty())
                    .then(|| options.output.display().to_string()),
                "bit": retuned.bit,
                "wear": retuned.wear,
                "moves": retuned.moves,
                "changes": retuned.changes,
                "objections": [],
            });
            if is_taken {
                terminal::note(&format!("{told:#}"));
                return Ok(());
            }
            terminal::json(&told)
        }
        Format::Human if is_taken => {
            terminal::note(&summary(options, retuned));
            Ok(())
        }
        Format::Human => terminal::result(&summary(options, retuned)),
    }
}

fn summary(options: &Retune, retuned: &Retuned) -> String {
    let mut text = String::new();
    for change in &retuned.changes {
        let _ = writeln!(
            text,
            "line {}: {word}{} becomes {word}{} ({})",
            change.line,
            change.before,
            change.after,
            change.governs,
            word = change.word
        );
    }
    let (bit, wear, moves) = (&retuned.bit, retuned.wear, retuned.moves);
    let _ = match retuned.changes.len() {
        0 => writeln!(
            text,
            "{} serves as it is for `{bit}` worn {wear:.2}, {moves} moves replayed: \
             nothing to change, nothing written.",
            options.program.display()
        ),
        count => writeln!(
            text,
            "{} for `{bit}` worn {wear:.2}: {count} {} changed, \
             {moves} moves replayed and the same as before: written.",
            options.output.display(),
            if count == 1 { "word" } else { "words" }
        ),
    };
    text
}

/// The command that plans the program for the worn bit.
fn anew(options: &Retune) -> String {
    let (command, bit) = if options.template {
        ("template", "cutter")
    } else {
        ("generate", "bit")
    };
    let job = quoted(&options.job.display().to_string());
    let mut command = format!("stepwell {command} {job}");
    if let Some(name) = &options.bit {
        command += &format!(" --{bit} {}", quoted(name));
    }
    if let Some(wear) = options.wear {
        command += &format!(" --wear {wear}");
    }
    command
}

fn object(options: &Retune, objections: &[Objection]) -> Result<(), Diagnostic> {
    let program = options.program.display().to_string();
    match options.reporting.format {
        Format::Json => terminal::json(&json!({
            "program": program,
            "output": null,
            "changes": [],
            "objections": objections,
            "generate": anew(options),
        }))?,
        Format::Human => {
            for objection in objections {
                let place = match objection.line {
                    0 => program.clone(),
                    line => format!("{program}:{line}"),
                };
                terminal::note(&format!(
                    "{place}: {}: {}",
                    objection.check, objection.message
                ));
            }
        }
    }
    let mut ids: Vec<&str> = objections
        .iter()
        .map(|objection| objection.check.name())
        .collect();
    ids.dedup();
    terminal::note(&format!("nothing was written; failed: {}", ids.join(" ")));
    Ok(())
}
