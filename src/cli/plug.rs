//! A plug, as the options of a command ask for it.

use std::path::{Path, PathBuf};

use crate::cli::failure::Failure;
use crate::cli::terminal;
use crate::job::Job;
use crate::produce::plugging::{self, PlugWish};
use crate::units::Units;

/// What the options say of a plug.
pub(super) struct Asked<'a> {
    pub(super) programs: &'a [PathBuf],
    /// Length, width and thickness of the scrap.
    pub(super) sizes: [&'a Option<String>; 3],
}

/// The job of the plug and what to do with it; none where no plug is asked for.
/// `job` is the one in the file, in the units that people read.
pub(super) fn job(
    asked: &Asked<'_>,
    path: &Path,
    job: &Job,
    written_in: Units,
    folder: Option<&Path>,
) -> Result<Option<(Job, Vec<String>)>, Failure> {
    if asked.programs.is_empty() {
        return Ok(None);
    }
    let [length, width, thickness] = asked.sizes.map(|size| size.clone().unwrap_or_default());
    let wish = PlugWish {
        programs: asked.programs.to_vec(),
        length,
        width,
        thickness,
    };
    let again = plugging::again(path, folder, job.selection);
    wish.plug(path, job, written_in, &again, &terminal::watch)
        .map(Some)
}
