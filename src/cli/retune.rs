//! `stepwell retune`: new F and S words for a worn bit.

use std::fmt::Write as _;
use std::io::Read;
use std::path::Path;

use serde_json::json;

use crate::cli::arguments::{Format, Retune};
use crate::cli::failure::Failure;
use crate::cli::{Ending, load, terminal};
use crate::diagnostic::Diagnostic;
use crate::files;
use crate::input::Overrides;
use crate::retune::{self, Objection, Retuned};

pub(super) fn run(options: &Retune) -> Result<Ending, Failure> {
    let program = read(&options.program)?;
    let overrides = Overrides {
        bit: None,
        wear: options.wear,
        selection: options.selection.selection(),
    };
    let mut job = load::job(&options.job, &overrides)?;
    job.units = options.reporting.units_of(&job);
    let given = options
        .bit
        .as_deref()
        .map(|name| load::bit(&job, name))
        .transpose()?;
    match retune::retune(&program, &job, given, options.wear) {
        Ok(retuned) => {
            files::write_all(&[(options.output.clone(), retuned.text.clone())])?;
            tell(options, &retuned);
            Ok(Ending::Passed)
        }
        Err(objections) => {
            object(options, &objections);
            terminal::note(&format!("plan it anew: {}", anew(options)));
            Ok(Ending::CheckFailed)
        }
    }
}

fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    let mut program = Vec::new();
    files::open(path)?
        .read_to_end(&mut program)
        .map_err(|error| {
            Diagnostic::new(
                "unreadable",
                format!("cannot read `{}`: {error}", path.display()),
            )
        })?;
    Ok(program)
}

/// Where the program itself goes to standard output, what is told goes to standard error.
fn tell(options: &Retune, retuned: &Retuned) {
    let text = match options.reporting.format {
        Format::Json => format!(
            "{:#}\n",
            json!({
                "program": options.program.display().to_string(),
                "output": options.output.display().to_string(),
                "bit": retuned.bit,
                "wear": retuned.wear,
                "moves": retuned.moves,
                "changes": retuned.changes,
                "objections": [],
            })
        ),
        Format::Human => summary(options, retuned),
    };
    if files::is_stream(&options.output) {
        terminal::note(&text);
    } else {
        terminal::result(&text);
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
    let _ = writeln!(
        text,
        "{} for `{}` worn {:.2}: {} words changed, {} moves replayed and the same as before: written.",
        options.output.display(),
        retuned.bit,
        retuned.wear,
        retuned.changes.len(),
        retuned.moves
    );
    text
}

/// The command that plans the program for the worn bit.
fn anew(options: &Retune) -> String {
    let mut command = format!(
        "stepwell generate {}",
        quoted(&options.job.display().to_string())
    );
    if let Some(bit) = &options.bit {
        command += &format!(" --bit {}", quoted(bit));
    }
    if let Some(wear) = options.wear {
        command += &format!(" --wear {wear}");
    }
    command
}

/// In quotes where a shell needs them.
fn quoted(word: &str) -> String {
    let plain = |character: char| character.is_alphanumeric() || "/._-".contains(character);
    if word.chars().all(plain) {
        word.to_owned()
    } else {
        format!("'{}'", word.replace('\'', r"'\''"))
    }
}

fn object(options: &Retune, objections: &[Objection]) {
    let program = options.program.display().to_string();
    match options.reporting.format {
        Format::Json => terminal::result(&format!(
            "{:#}\n",
            json!({
                "program": program,
                "output": options.output.display().to_string(),
                "changes": [],
                "objections": objections,
                "generate": anew(options),
            })
        )),
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
}
