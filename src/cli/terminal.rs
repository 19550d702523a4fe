//! Words to the terminal: results to standard output, all else to standard
//! error, colour only where a person looks.

use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

use anstream::ColorChoice;
use indicatif::ProgressBar;

use crate::files;

const WIDEST: usize = 100;
/// Shorter work needs no bar.
const PATIENCE: Duration = Duration::from_secs(1);

/// Writes the result of the command. A reader that went away is no error.
pub(crate) fn result(text: &str) {
    let mut stream = anstream::stdout();
    let _ = stream
        .write_all(text.as_bytes())
        .and_then(|()| stream.flush())
        .or_else(files::closed_pipe_is_fine);
}

/// Writes to standard error.
pub(crate) fn note(text: &str) {
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
        .clamp(40, WIDEST)
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

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}
