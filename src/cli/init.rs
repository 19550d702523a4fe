//! `stepwell init`: a job to start from.

use std::path::{Component, Path, PathBuf};

use crate::cli::arguments::Init;
use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::diagnostic::Diagnostic;
use crate::files;
use crate::input::STARTER;

/// What a machine file and a rack start from.
const MACHINE: &str = include_str!("../../machines/benchtop-mm.toml");
const BITS: &str = include_str!("../../machines/bits.toml");

pub(super) fn run(options: &Init) -> Result<Ending, Failure> {
    let file = &options.file;
    if !files::is_stream(file) && file.exists() {
        let message = format!("`{}` is there already and is left alone", file.display());
        let help = "name another file, or move that one away";
        return Err(Diagnostic::new("file-exists", message).help(help).into());
    }
    let folder = file.parent().unwrap_or(Path::new(""));
    let text = starter(folder, &options.machine, &options.bits);
    let mut made = vec![(file.clone(), text.into_bytes())];
    let (mut written, mut kept) = (Vec::new(), Vec::new());
    if !files::is_stream(file) {
        for (path, text) in [(&options.machine, MACHINE), (&options.bits, BITS)] {
            if path.exists() {
                kept.push(path.display().to_string());
            } else {
                written.push(path.display().to_string());
                made.push((path.clone(), text.as_bytes().to_vec()));
            }
        }
    }
    files::write_all(&made, &[])?;
    if !files::is_stream(file) {
        let name = file.display();
        terminal::note(&format!(
            "{name} written: measure, fill in, then: stepwell generate {name} -o out"
        ));
        let (machine, bits) = (options.machine.display(), options.bits.display());
        terminal::note(&format!(
            "it names your router's file, {machine}, and your rack's, {bits}: put your own figures in \
             both; {}",
            match (written.as_slice(), kept.as_slice()) {
                ([], _) => "both were there already".to_owned(),
                (written, []) => format!("{} written too", written.join(" and ")),
                (written, kept) => format!(
                    "{} written too, {} was there",
                    written.join(""),
                    kept.join("")
                ),
            }
        ));
    }
    Ok(Ending::Passed)
}

/// The starter job with the paths of machine and rack as seen from its `folder`.
fn starter(folder: &Path, machine: &Path, bits: &Path) -> String {
    let way = way_back(folder);
    let seen = |path: &Path| {
        let path = way.join(path).display().to_string().replace('\\', "/");
        toml::Value::String(path).to_string()
    };
    STARTER
        .replace("\"machines/benchtop-mm.toml\"", &seen(machine))
        .replace("\"machines/bits.toml\"", &seen(bits))
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
