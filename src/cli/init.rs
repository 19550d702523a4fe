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
/// What a drawer starts from, and which of its hinges is the starter job's.
const HINGES: &str = include_str!("../../machines/hinges.toml");
const HINGE: &str = "[hinge]\nname = \"middling, 44 long\"  # of the drawer; keys beside it count over the drawer's\n\n";

pub(super) fn run(options: &Init) -> Result<Ending, Failure> {
    let file = &options.file;
    if !files::is_stream(file) && file.exists() {
        let message = format!("`{}` is there already and is left alone", file.display());
        let help = "name another file, or move that one away";
        return Err(Diagnostic::new("file-exists", message).help(help).into());
    }
    let folder = file.parent().unwrap_or(Path::new(""));
    let mut text = starter(folder, &options.machine, &options.bits);
    if let Some(hinges) = &options.hinges {
        text = with_drawer(&text, folder, hinges);
    }
    let mut made = vec![(file.clone(), text.into_bytes())];
    let (mut written, mut kept) = (Vec::new(), Vec::new());
    if !files::is_stream(file) {
        let hinges = options.hinges.iter().map(|path| (path, HINGES));
        let shop = [(&options.machine, MACHINE), (&options.bits, BITS)];
        for (path, text) in shop.into_iter().chain(hinges) {
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
            "it names your router's file, {machine}, and your rack's, {bits}{}: put your own figures in; {}",
            match &options.hinges {
                Some(hinges) => format!(", and your hinge drawer, {}", hinges.display()),
                None => String::new(),
            },
            match (written.as_slice(), kept.as_slice()) {
                ([], _) => "all were there already".to_owned(),
                (written, []) => format!("{} written too", written.join(" and ")),
                (written, kept) => format!(
                    "{} written too, there already: {}",
                    written.join(" and "),
                    kept.join(" and ")
                ),
            }
        ));
    }
    Ok(Ending::Passed)
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
