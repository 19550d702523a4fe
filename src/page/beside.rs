//! Folders beside the job.

use std::path::{Component, Path, PathBuf};

use super::reach::folder_of;
use crate::diagnostic::Diagnostic;
use crate::produce::quoted;
use crate::visible;

/// Where a job that is begun finds its machine and its rack.
pub(super) const MACHINE: &str = "machines/benchtop-mm.toml";
pub(super) const BITS: &str = "machines/bits.toml";

pub(super) fn folder(job: &Path, name: &str) -> PathBuf {
    job.parent().unwrap_or(Path::new("")).join(name)
}

/// A folder beside the job, by its name alone.
///
/// # Errors
/// What is no such name.
pub(super) fn chosen(job: &Path, name: &str) -> Result<PathBuf, Diagnostic> {
    let mut parts = Path::new(name).components();
    match (parts.next(), parts.next()) {
        (Some(Component::Normal(_)), None) if visible::is_plain_line(name) => Ok(folder(job, name)),
        _ => {
            let name = visible::short(name);
            let message = format!("`{name}` is no name of a folder beside the job");
            Err(Diagnostic::new("out-of-reach", message)
                .help("write a name in plain characters without a slash, such as out"))
        }
    }
}

/// The options of `init` where its files do not lie where it puts them itself.
pub(super) fn shop_options(job: &Path) -> String {
    if folder_of(job) == Path::new(".") {
        return String::new();
    }
    let named = [("--machine", MACHINE), ("--bits", BITS)];
    let options = named.map(|(option, file)| {
        let file = folder(job, file).display().to_string();
        format!(" {option} {}", quoted(&file))
    });
    options.concat()
}
