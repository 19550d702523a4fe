//! What the files of a job are called.

use std::path::{Path, PathBuf};

use crate::job::Selection;

/// Where a program is written, after its suffix.
pub(super) fn program(folder: &Path, stem: &str, suffix: &str) -> PathBuf {
    folder.join(format!("{stem}{suffix}.nc"))
}

/// Where a sheet is written.
pub(super) fn sheet(folder: &Path, stem: &str, selection: Selection) -> PathBuf {
    folder.join(format!("{stem}{}.html", selection.suffix()))
}
