//! What an earlier run has left where this one, that failed, would have written.

use std::path::Path;

use crate::job::Selection;
use crate::produce::paths;
use crate::{files, post};

/// Programs and sheet of an earlier run that lie where this one would write.
pub(crate) fn left(folder: &Path, stem: &str, selection: Selection) -> Vec<String> {
    let own = selection.suffix();
    let paths = [
        paths::program(folder, stem, &own),
        paths::program(folder, stem, &(own + post::PILOT)),
        paths::sheet(folder, stem, selection),
    ];
    let there = paths.iter().filter(|path| files::size(path).is_some());
    there.map(|path| path.display().to_string()).collect()
}

/// What is said of them.
#[cfg(feature = "cli")]
pub(crate) fn words(stale: &[String]) -> Option<String> {
    let named = stale.join(", ");
    (!stale.is_empty()).then(|| {
        format!("{named}: of an earlier run, not of this job as it stands now; do not run it")
    })
}
