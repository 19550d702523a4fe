//! `stepwell init`: a job to start from.

use std::path::{Component, Path, PathBuf};

use crate::cli::arguments::Init;
use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::diagnostic::Diagnostic;
use crate::files;
use crate::input::STARTER;

pub(super) fn run(options: &Init) -> Result<Ending, Failure> {
    let file = &options.file;
    if !files::is_stream(file) && file.exists() {
        let message = format!("`{}` is there already and is left alone", file.display());
        let help = "name another file, or move that one away";
        return Err(Diagnostic::new("file-exists", message).help(help).into());
    }
    let text = starter_beside(file);
    files::write_all(&[(file.clone(), text.clone().into_bytes())], &[])?;
    if !files::is_stream(file) {
        let name = file.display();
        terminal::note(&format!(
            "{name} written: measure, fill in, then: stepwell generate {name} -o out"
        ));
        terminal::note(&companions(file, &text));
    }
    Ok(Ending::Passed)
}

/// The starter job with the paths of machine and rack as seen from `file`,
/// where this folder holds `machines/`.
fn starter_beside(file: &Path) -> String {
    let way = way_back(file.parent().unwrap_or(Path::new("")));
    let way = way
        .join("machines")
        .display()
        .to_string()
        .replace('\\', "/");
    STARTER
        .replace(
            "\"machines/benchtop-mm.toml\"",
            &format!("\"{way}/benchtop-mm.toml\""),
        )
        .replace("\"machines/bits.toml\"", &format!("\"{way}/bits.toml\""))
}

/// Says which two files the job names, and whether they are there.
fn companions(file: &Path, text: &str) -> String {
    let folder = file.parent().unwrap_or(Path::new(""));
    let named = |key: &str| {
        let line = text.lines().find(|line| line.starts_with(key));
        line.and_then(|line| line.split('"').nth(1))
            .unwrap_or_default()
    };
    let (machine, bits) = (named("machine "), named("bits "));
    let missing: Vec<&str> = [machine, bits]
        .into_iter()
        .filter(|path| !folder.join(path).is_file())
        .collect();
    let told = format!("it names your router's file, {machine}, and your rack's, {bits}");
    if missing.is_empty() {
        return format!("{told}: put your own figures in both");
    }
    format!(
        "{told}; not there yet: {}. Copy the folder `machines` that came with Stepwell beside \
         the job, or name your own files: paths count from the job's folder",
        missing.join(", ")
    )
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
            let text = starter_beside(Path::new(file));
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
