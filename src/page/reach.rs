//! Which files the page may touch: those in the job's folder, and those that
//! the job named when the page started.

use std::fs;
use std::path::{Component, Path, PathBuf};

use crate::diagnostic::Diagnostic;
use crate::files;

/// The files within reach, all links resolved.
#[derive(Clone, Debug)]
pub(super) struct Reach {
    folder: PathBuf,
    named: Vec<PathBuf>,
}

impl Reach {
    /// Of a job file that is there, and the files that it names now.
    pub(super) fn of(job: &Path) -> Option<Self> {
        let named = match files::edits(job) {
            Ok(edits) => vec![Some(edits.machine), Some(edits.bits), edits.hinges],
            Err(_) => Vec::new(),
        };
        let named = named.into_iter().flatten().chain([job.to_owned()]);
        Some(Self {
            folder: fs::canonicalize(folder_of(job)).ok()?,
            named: named
                .filter_map(|path| fs::canonicalize(path).ok())
                .collect(),
        })
    }

    /// # Errors
    /// A path that leads out of reach, by its parts or by a link.
    pub(super) fn allow(&self, path: &Path) -> Result<(), Diagnostic> {
        let inside = |path: &Path| path.starts_with(&self.folder);
        let within = match fs::canonicalize(path) {
            Ok(there) => inside(&there) || self.named.contains(&there),
            // A new file: no link of that name, in a folder within reach or a new one there.
            Err(_) => {
                let plain = path.components().next_back();
                fs::symlink_metadata(path).is_err()
                    && matches!(plain, Some(Component::Normal(_)))
                    && path
                        .parent()
                        .is_some_and(|folder| self.allows_folder(folder))
            }
        };
        if within {
            return Ok(());
        }
        let name = path.display();
        let message = format!("`{name}` lies outside the job's folder");
        let help = "the page reads and writes there alone, and the files that the job named when \
                    the page started; start it again where that is meant";
        Err(Diagnostic::new("out-of-reach", message).help(help))
    }

    fn allows_folder(&self, folder: &Path) -> bool {
        let folder = if folder.as_os_str().is_empty() {
            Path::new(".")
        } else {
            folder
        };
        self.allow(folder).is_ok()
    }
}

/// The folder of a job as a path that can be asked for.
pub(super) fn folder_of(job: &Path) -> &Path {
    match job.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_outside_the_folder_is_within_reach_but_what_was_named() {
        let shop = tempfile::tempdir().unwrap();
        let at = |name: &str| shop.path().join(name);
        fs::create_dir_all(at("jobs/out")).unwrap();
        fs::create_dir(at("machines")).unwrap();
        for name in ["machines/m.toml", "machines/b.toml", "secret", "jobs/own"] {
            fs::write(at(name), "").unwrap();
        }
        let job = crate::input::STARTER
            .replace("machines/benchtop-mm.toml", "../machines/m.toml")
            .replace("machines/bits.toml", "../machines/b.toml");
        fs::write(at("jobs/box.toml"), job).unwrap();
        let reach = Reach::of(&at("jobs/box.toml")).unwrap();
        for name in [
            "jobs/box.toml",
            "jobs/own",
            "jobs/out/new.nc",
            "jobs/new/new.nc",
            "machines/m.toml",
            "machines/b.toml",
        ] {
            assert!(reach.allow(&at(name)).is_ok(), "{name}");
        }
        for name in [
            "secret",
            "jobs/../secret",
            "machines/other",
            "machines",
            "jobs/out/../../x",
            "..",
        ] {
            assert!(reach.allow(&at(name)).is_err(), "{name}");
        }
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(at("secret"), at("jobs/link")).unwrap();
            std::os::unix::fs::symlink(at("nowhere"), at("jobs/loose")).unwrap();
            std::os::unix::fs::symlink(at("machines"), at("jobs/folder")).unwrap();
            for name in ["jobs/link", "jobs/loose", "jobs/folder/new.nc"] {
                assert!(reach.allow(&at(name)).is_err(), "{name}");
            }
        }
    }
}
