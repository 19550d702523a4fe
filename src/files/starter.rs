//! The files that a new job starts from.

use std::path::{Component, Path, PathBuf};

use crate::diagnostic::Diagnostic;
use crate::files::{is_stream, write_all};
use crate::input::STARTER;

/// What a machine file and a rack start from.
const MACHINE: &str = include_str!("../../machines/benchtop-mm.toml");
const BITS: &str = include_str!("../../machines/bits.toml");
/// What a drawer starts from, and which of its hinges is the starter job's.
const HINGES: &str = include_str!("../../machines/hinges.toml");
const HINGE: &str = "[hinge]\nname = \"middling, 44 long\"  # of the drawer; keys beside it count over the drawer's\n\n";

/// A job to start with, and the files that it is to name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Starter {
    /// The job file, or `-` for standard output.
    pub job: PathBuf,
    /// The machine file.
    pub machine: PathBuf,
    /// The bits file.
    pub bits: PathBuf,
    /// The hinge drawer, where one is wanted.
    pub hinges: Option<PathBuf>,
}

/// What became of the files that a starter job names.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Started {
    /// Those that were written beside the job.
    pub written: Vec<String>,
    /// Those that were there already and are left alone.
    pub kept: Vec<String>,
}

impl Starter {
    /// Writes the job, and the files it names where they are not there.
    ///
    /// # Errors
    /// A job file that is there already; a file that cannot be written, and
    /// then none is.
    pub fn write(&self) -> Result<Started, Diagnostic> {
        let file = &self.job;
        let is_stream = is_stream(file);
        if !is_stream && file.exists() {
            let message = format!("`{}` is there already and is left alone", file.display());
            let help = "name another file, or move that one away";
            return Err(Diagnostic::new("file-exists", message).help(help));
        }
        let folder = file.parent().unwrap_or(Path::new(""));
        let mut text = starter(folder, &self.machine, &self.bits);
        if let Some(hinges) = &self.hinges {
            text = with_drawer(&text, folder, hinges);
        }
        let mut made = vec![(file.clone(), text.into_bytes())];
        let mut started = Started::default();
        if !is_stream {
            let hinges = self.hinges.iter().map(|path| (path, HINGES));
            let shop = [(&self.machine, MACHINE), (&self.bits, BITS)];
            for (path, text) in shop.into_iter().chain(hinges) {
                if path.exists() {
                    started.kept.push(path.display().to_string());
                } else {
                    started.written.push(path.display().to_string());
                    made.push((path.clone(), text.as_bytes().to_vec()));
                }
            }
        }
        write_all(&made, &[])?;
        Ok(started)
    }
}

/// The starter job with the paths of machine and rack as seen from its `folder`.
fn starter(folder: &Path, machine: &Path, bits: &Path) -> String {
    STARTER
        .replace("\"machines/benchtop-mm.toml\"", &seen(folder, machine))
        .replace("\"machines/bits.toml\"", &seen(folder, bits))
}

/// The starter job with a drawer, which is not there yet or is the user's own:
/// only of ours it is known which hinge it has.
fn with_drawer(job: &str, folder: &Path, hinges: &Path) -> String {
    let key = format!("hinges  = {}", seen(folder, hinges));
    let job = job.replace("# hinges = \"machines/hinges.toml\"", &key);
    match (job.split_once("[hinge]\n"), job.split_once("[placement]\n")) {
        (Some((before, _)), Some((_, after))) if !hinges.exists() => {
            format!("{before}{HINGE}[placement]\n{after}")
        }
        _ => job,
    }
}

/// A path from the current folder, as TOML text seen from `folder`.
fn seen(folder: &Path, path: &Path) -> String {
    let path = way_back(folder).join(path).display().to_string();
    toml::Value::String(path.replace('\\', "/")).to_string()
}

/// From `folder` to the current one: `..` for each step, else by full path.
fn way_back(folder: &Path) -> PathBuf {
    let mut way = PathBuf::new();
    for component in folder.components() {
        match component {
            Component::Normal(_) => way.push(".."),
            Component::CurDir => {}
            Component::ParentDir | Component::RootDir | Component::Prefix(_) => {
                return std::env::current_dir().unwrap_or_default();
            }
        }
    }
    way
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_lead_back_to_the_current_folder() {
        let machine = |file: &str| {
            let folder = Path::new(file).parent().unwrap();
            let text = starter(
                folder,
                Path::new("machines/benchtop-mm.toml"),
                Path::new("b"),
            );
            let line = text
                .lines()
                .find(|line| line.starts_with("machine "))
                .unwrap();
            line.split('"').nth(1).unwrap().to_owned()
        };
        assert_eq!(machine("box.toml"), "machines/benchtop-mm.toml");
        assert_eq!(machine("./box.toml"), "machines/benchtop-mm.toml");
        assert_eq!(
            machine("jobs/mine/box.toml"),
            "../../machines/benchtop-mm.toml"
        );
        assert!(Path::new(&machine("/tmp/box.toml")).is_absolute());
    }
}
