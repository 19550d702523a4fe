//! What an earlier run has left where this one, that failed, would have written.

use std::path::Path;

use crate::job::Selection;
use crate::produce::paths;
use crate::{boxes, files, post};

/// Programs and sheet of an earlier run that lie where this one would write.
pub(crate) fn left(folder: &Path, stem: &str, selection: Selection) -> Vec<String> {
    let own = selection.suffix();
    let paths = [
        paths::program(folder, stem, &own),
        paths::program(folder, stem, &(own + post::PILOT)),
        paths::sheet(folder, stem, selection),
    ];
    let there = paths.iter().filter(|path| files::size(path).is_some());
    let mut left: Vec<String> = there.map(|path| path.display().to_string()).collect();
    left.extend(replacements(folder, stem, selection));
    left
}

/// Programs retuned for a run of boxes that lie there, by their names.
pub(super) fn replacements(folder: &Path, stem: &str, selection: Selection) -> Vec<String> {
    let own = format!("{stem}{}", selection.suffix());
    let pilot = format!("{own}{}", post::PILOT);
    let is_one = |name: &str| {
        let Some((program, number)) = name
            .strip_suffix(".nc")
            .and_then(|name| name.rsplit_once(boxes::FROM))
        else {
            return false;
        };
        let counts = !number.is_empty() && number.bytes().all(|digit| digit.is_ascii_digit());
        counts && (program == own || program == pilot)
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
