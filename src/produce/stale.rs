//! What an earlier run has left where this one, that failed, would have written.

use std::path::Path;

use crate::job::{Selection, position};
use crate::produce::paths;
use crate::{boxes, files, post};

/// Programs and sheet of an earlier run that lie where this one would write.
pub(crate) fn left(folder: &Path, stem: &str, selection: Selection) -> Vec<String> {
    let programs = suffixes(selection);
    let programs = programs.iter().map(|own| paths::program(folder, stem, own));
    let paths = programs.chain([paths::sheet(folder, stem, selection)]);
    let there = paths.filter(|path| files::size(path).is_some());
    let mut left: Vec<String> = there.map(|path| path.display().to_string()).collect();
    left.extend(replacements(folder, stem, selection));
    left
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

/// Programs retuned for a run of boxes that lie there, by their names.
fn replacements(folder: &Path, stem: &str, selection: Selection) -> Vec<String> {
    let suffixes = suffixes(selection);
    let is_one = |name: &str| {
        let Some((program, number)) = name
            .strip_suffix(".nc")
            .and_then(|name| name.strip_prefix(stem))
            .and_then(|name| name.rsplit_once(boxes::FROM))
        else {
            return false;
        };
        let counts = !number.is_empty() && number.bytes().all(|digit| digit.is_ascii_digit());
        counts && suffixes.iter().any(|own| own == program)
    };
    let names = files::names(folder).into_iter();
    names
        .filter(|name| is_one(name))
        .map(|name| folder.join(name).display().to_string())
        .collect()
}

/// What is said of them.
#[cfg(feature = "cli")]
pub(crate) fn words(stale: &[String]) -> Option<String> {
    let named = stale.join(", ");
    (!stale.is_empty()).then(|| {
        format!("{named}: of an earlier run, not of this job as it stands now; do not run it")
    })
}
