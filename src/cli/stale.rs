//! What an earlier run has left where this one, that failed, would have written.

use std::path::Path;

use crate::cli::paths;
use crate::job::{Selection, position};
use crate::{files, post};

/// Programs and sheet of an earlier run that lie where this one would write.
pub(super) fn left(folder: &Path, stem: &str, selection: Selection) -> Vec<String> {
    let own = selection.suffix();
    let programs = |before: &str| {
        let whole = paths::program(folder, stem, &format!("{before}{own}"));
        let pilot = paths::program(folder, stem, &format!("{before}{own}{}", post::PILOT));
        [whole, pilot]
    };
    // A job that cannot be read does not tell how many positions it has.
    let of_positions = (1..=position::MOST).flat_map(|number| programs(&format!("-p{number}")));
    let paths = programs("").into_iter().chain(of_positions);
    let paths = paths.chain([paths::sheet(folder, stem, selection)]);
    let there = paths.filter(|path| files::size(path).is_some());
    there.map(|path| path.display().to_string()).collect()
}

/// What is said of them.
pub(super) fn words(stale: &[String]) -> Option<String> {
    let named = stale.join(", ");
    (!stale.is_empty()).then(|| {
        format!("{named}: of an earlier run, not of this job as it stands now; do not run it")
    })
}
