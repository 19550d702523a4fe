//! What a command enters in files that it has read: which files can take it,
//! and what is told of it.

use std::path::{Path, PathBuf};

use serde_json::json;

use crate::cli::failure::Failure;
use crate::cli::options::Format;
use crate::cli::{Ending, terminal};
use crate::diagnostic::Diagnostic;
use crate::files;
use crate::produce::fitting::{Done, Refused};

/// # Errors
/// Standard input, which is refused for the reason given.
pub(super) fn refuse_stream(path: &Path, why: &str) -> Result<(), Diagnostic> {
    if files::is_stream(path) {
        return Err(Diagnostic::new("usage", why).help("name the file"));
    }
    Ok(())
}

/// Tells `words` and which files have changed, or would have where it is a
/// `dry` run; none where nothing was to be entered.
///
/// # Errors
/// Standard output that takes nothing more.
fn tell(
    words: &[String],
    changed: Option<&[PathBuf]>,
    dry: bool,
    format: Format,
) -> Result<(), Diagnostic> {
    let files = changed.unwrap_or_default().iter();
    let paths: Vec<String> = files.map(|file| file.display().to_string()).collect();
    if format == Format::Json {
        return terminal::json(&json!({ "words": words, "changed": paths, "dry": dry }));
    }
    let mut text = words.join("\n");
    text.push('\n');
    let verb = if dry { "would be written" } else { "written" };
    match (changed, paths.as_slice()) {
        (None, _) => {}
        (Some(_), []) => text.push_str("nothing changed\n"),
        (Some(_), paths) => text.push_str(&format!("{}: {verb}\n", paths.join(", "))),
    }
    terminal::result(&text)
}

/// Tells what was done, or why nothing was; where `shown` nothing was to change.
///
/// # Errors
/// Files that are wrong, and standard output that takes nothing more.
pub(super) fn end(
    done: Result<Done, Refused>,
    shown: bool,
    dry: bool,
    format: Format,
) -> Result<Ending, Failure> {
    match done {
        Ok(done) => {
            let changed = (!shown).then_some(done.changed.as_slice());
            tell(&done.words, changed, dry, format)?;
            Ok(Ending::Passed)
        }
        Err(Refused::Unread(unread)) => Err(unread),
        Err(Refused::AnotherProgram(why)) => {
            why.iter().for_each(|line| terminal::note(line));
            Ok(Ending::CheckFailed)
        }
    }
}
