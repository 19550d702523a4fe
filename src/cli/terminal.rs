//! Words to the terminal: results to standard output, all else to standard
//! error, colour only where a person looks.

use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

use anstream::ColorChoice;
use indicatif::ProgressBar;
use serde::Serialize;

use crate::diagnostic::Diagnostic;
use crate::files;
use crate::visible::{escaped, escaped_json};

const WIDEST: usize = 100;
const NARROWEST: usize = 20;
/// Shorter work needs no bar.
const PATIENCE: Duration = Duration::from_secs(1);

/// Writes the result of the command to standard output. A reader that went
/// away is no error.
///
/// # Errors
/// A full disk.
pub(crate) fn result(text: &str) -> Result<(), Diagnostic> {
    print(&escaped(text))
}

/// Writes a result for programs.
///
/// # Errors
/// A full disk.
pub(crate) fn json(value: &impl Serialize) -> Result<(), Diagnostic> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|error| Diagnostic::new("internal", error.to_string()))?;
    print(&escaped_json(&(text + "\n")))
}

/// Writes text that holds colours of ours, and nothing else that a terminal acts on.
///
/// # Errors
/// A full disk.
pub(crate) fn styled_result(text: &str) -> Result<(), Diagnostic> {
    print(text)
}

fn print(text: &str) -> Result<(), Diagnostic> {
    let mut stream = anstream::stdout();
    stream
        .write_all(text.as_bytes())
        .and_then(|()| stream.flush())
        .or_else(files::closed_pipe_is_fine)
        .map_err(|error| files::unprintable(&error))
}

/// Writes to standard error.
pub(crate) fn note(text: &str) {
    styled_note(&escaped(text));
}

/// The same with colours of ours, and nothing else that a terminal acts on.
pub(crate) fn styled_note(text: &str) {
    let mut stream = anstream::stderr();
    let _ = writeln!(stream, "{}", text.trim_end());
}

/// Whether colour is wanted on standard error.
pub(crate) fn error_has_color() -> bool {
    anstream::AutoStream::choice(&io::stderr()) != ColorChoice::Never
}

/// Columns to fill.
pub(crate) fn width() -> usize {
    let columns = std::env::var("COLUMNS")
        .ok()
        .and_then(|text| text.parse().ok());
    columns
        .or_else(|| comfy_table::Table::new().width().map(usize::from))
        .unwrap_or(80)
        .clamp(NARROWEST, WIDEST)
}

/// A bar for work that takes more than a second; shown only to a person.
pub(crate) struct Progress {
    start: Instant,
    total: Option<u64>,
    done: u64,
    bar: Option<ProgressBar>,
}

impl Progress {
    /// Work of `total` bytes, where known.
    pub(crate) fn new(total: Option<u64>) -> Self {
        Self {
            start: Instant::now(),
            total,
            done: 0,
            bar: None,
        }
    }

    /// Some more is done.
    pub(crate) fn advance(&mut self, bytes: usize) {
        self.done += bytes as u64;
        if self.bar.is_none() && self.start.elapsed() > PATIENCE && io::stderr().is_terminal() {
            self.bar = Some(match self.total {
                Some(total) => ProgressBar::new(total),
                None => ProgressBar::no_length(),
            });
        }
        if let Some(bar) = &self.bar {
            bar.set_position(self.done);
        }
    }
}

/// Progress through a file of that size, where known.
pub(crate) fn watch(size: Option<u64>) -> Box<dyn FnMut(usize)> {
    let mut progress = Progress::new(size);
    Box::new(move |bytes| progress.advance(bytes))
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}
