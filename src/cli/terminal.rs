//! Words to the terminal: results to standard output, all else to standard
//! error, colour only where a person looks.

use std::io::{self, Write};

use anstream::ColorChoice;

use crate::files;

const WIDEST: usize = 100;

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
