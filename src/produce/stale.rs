//! What an earlier run has left where this one, that failed, would have written.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use crate::job::{Selection, position};
use crate::produce::paths;
use crate::{boxes, files, post};

/// Programs and sheet of an earlier run that lie where this one would write,
/// then programs retuned for a run of boxes.
pub(crate) fn left(folder: &Path, stem: &str, selection: Selection) -> Vec<String> {
    let suffixes = suffixes(selection);
    let there: BTreeSet<String> = files::names(folder).into_iter().collect();
    let programs = suffixes.iter().map(|own| paths::program(folder, stem, own));
    let paths = programs.chain([paths::sheet(folder, stem, selection)]);
    // Most of these many names are nowhere, so the folder is read once.
    let is_there = |path: &PathBuf| {
        let name = path.file_name().and_then(OsStr::to_str);
        name.is_some_and(|name| there.contains(name)) && files::size(path).is_some()
    };
    let replacing = there.iter().filter(|name| replaces(name, stem, &suffixes));
    let replacing = replacing.map(|name| folder.join(name));
    let left = paths.filter(is_there).chain(replacing);
    left.map(|path| path.display().to_string()).collect()
}

/// What may stand behind the stem of a program of this run.
fn suffixes(selection: Selection) -> Vec<String> {
    let own = selection.suffix();
    // A job that cannot be read does not tell how many positions it has.
    let positions = (1..=position::MOST).map(|number| format!("-p{number}"));
    let lies = std::iter::once(String::new()).chain(positions);
    lies.flat_map(|lie| [format!("{lie}{own}"), format!("{lie}{own}{}", post::PILOT)])
        .collect()
}

/// Whether that is the name of a program that takes over in a run of boxes.
fn replaces(name: &str, stem: &str, suffixes: &[String]) -> bool {
    let parts = name
        .strip_suffix(".nc")
        .and_then(|name| name.strip_prefix(stem))
        .and_then(|name| name.rsplit_once(boxes::FROM));
    parts.is_some_and(|(program, number)| {
        let counts = !number.is_empty() && number.bytes().all(|digit| digit.is_ascii_digit());
        counts && suffixes.iter().any(|own| own == program)
    })
}

/// What is said of them.
#[cfg(feature = "cli")]
pub(crate) fn words(stale: &[String]) -> Option<String> {
    let named = stale.join(", ");
    (!stale.is_empty()).then(|| {
        format!("{named}: of an earlier run, not of this job as it stands now; do not run it")
    })
}
