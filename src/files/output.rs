//! Writing what a command makes.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::diagnostic::Diagnostic;
use crate::files::inode::{are_one, refuse_special};
use crate::files::is_stream;
use crate::files::staged::Staged;

/// Refuses targets that must not be replaced: a directory, a device, a pipe, a
/// read-only file, one of the `inputs` of the same run under whatever name,
/// and one file named twice.
///
/// # Errors
/// The first of them.
pub fn check_outputs(targets: &[&Path], inputs: &[PathBuf]) -> Result<(), Diagnostic> {
    let mut seen: Vec<PathBuf> = Vec::new();
    for target in targets.iter().filter(|target| !is_stream(target)) {
        check_target(target)?;
        if let Some(input) = inputs.iter().find(|input| are_one_file(target, input)) {
            let message = format!(
                "cannot write `{}`: this run reads it as `{}`",
                target.display(),
                input.display()
            );
            return Err(Diagnostic::new("output-is-input", message)
                .help("name another file for what is written")
                .about(target.display().to_string()));
        }
        if seen
            .iter()
            .any(|other| are_one_file(target, other) || other == target)
        {
            let message = format!("`{}` would be written twice", target.display());
            return Err(Diagnostic::new("unwritable", message).about(target.display().to_string()));
        }
        seen.push(target.to_path_buf());
    }
    Ok(())
}

fn check_target(target: &Path) -> Result<(), Diagnostic> {
    let Ok(there) = fs::metadata(target) else {
        return Ok(());
    };
    refuse_special(&there).map_err(|error| unwritable(target, &error))
}

/// Whether two paths lead to one file, by whatever links.
fn are_one_file(one: &Path, other: &Path) -> bool {
    let (Ok(first), Ok(second)) = (fs::canonicalize(one), fs::canonicalize(other)) else {
        return false;
    };
    let of = |path: &Path| fs::metadata(path);
    first == second
        || matches!((of(&first), of(&second)), (Ok(one), Ok(other)) if are_one(&one, &other) == Some(true))
}

/// Writes several files so that at any moment each is there whole, old or
/// new: all contents go to temporary files beside their targets first, then
/// each is renamed into place. `-` is standard output. `inputs` are the files
/// that the run has read, which it must not replace.
///
/// # Errors
/// A folder that cannot be made or written, a target that must not be
/// replaced ([`check_outputs`]), a full disk; files not yet renamed are then
/// left as they were.
pub fn write_all(files: &[(PathBuf, Vec<u8>)], inputs: &[PathBuf]) -> Result<(), Diagnostic> {
    let targets: Vec<&Path> = files.iter().map(|(path, _)| path.as_path()).collect();
    check_outputs(&targets, inputs)?;
    let mut staged = Vec::new();
    for (path, contents) in files.iter().filter(|(path, _)| !is_stream(path)) {
        let stage = Staged::new(path, contents).map_err(|error| unwritable(path, &error))?;
        staged.push((stage, path));
    }
    for (_, contents) in files.iter().filter(|(path, _)| is_stream(path)) {
        let mut output = io::stdout().lock();
        output
            .write_all(contents)
            .and_then(|()| output.flush())
            .or_else(closed_pipe_is_fine)
            .map_err(|error| unprintable(&error))?;
    }
    // All are written first: what the first of them waits for is mostly done
    // for the others too.
    for (stage, path) in &staged {
        stage.sync().map_err(|error| unwritable(path, &error))?;
    }
    for (stage, path) in staged {
        stage.place().map_err(|error| unwritable(path, &error))?;
    }
    Ok(())
}

/// A reader that went away early, such as a pager, is no error.
pub(crate) fn closed_pipe_is_fine(error: io::Error) -> io::Result<()> {
    if error.kind() == io::ErrorKind::BrokenPipe {
        Ok(())
    } else {
        Err(error)
    }
}

/// Standard output that takes nothing more.
pub(crate) fn unprintable(error: &io::Error) -> Diagnostic {
    let why = match error.kind() {
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        _ => error.to_string(),
    };
    Diagnostic::new(
        "unwritable",
        format!("cannot write to standard output: {why}"),
    )
}

pub(super) fn unwritable(path: &Path, error: &io::Error) -> Diagnostic {
    let mut help = "name another place for what is written";
    let why = match error.kind() {
        io::ErrorKind::PermissionDenied => "it, or its folder, may not be written".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "it is read-only, so it is left alone".to_owned(),
        io::ErrorKind::IsADirectory => "it is a directory".to_owned(),
        io::ErrorKind::NotFound => "the folder is not there and cannot be made".to_owned(),
        io::ErrorKind::StorageFull => {
            help = "make room, then run it again; nothing was replaced";
            "the disk is full".to_owned()
        }
        io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => {
            "a part of the path is a file, not a folder".to_owned()
        }
        _ => error.to_string(),
    };
    Diagnostic::new(
        "unwritable",
        format!("cannot write `{}`: {why}", path.display()),
    )
    .help(help)
    .about(path.display().to_string())
}
#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_existing_file_is_replaced_and_nothing_else_is_left_behind() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new folder/box.nc");
        write_all(&[(path.clone(), b"old".to_vec())], &[]).unwrap();
        write_all(&[(path.clone(), b"new".to_vec())], &[]).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new");
        assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 1);
    }

    #[test]
    fn one_bad_target_keeps_all_files_as_they_were() {
        let folder = tempfile::tempdir().unwrap();
        let good = folder.path().join("a.nc");
        fs::write(&good, "old").unwrap();
        let bad = folder.path().join("a.nc/b.nc");
        let error =
            write_all(&[(good.clone(), b"new".to_vec()), (bad, Vec::new())], &[]).unwrap_err();
        assert_eq!(error.code, "unwritable");
        assert_eq!(fs::read(&good).unwrap(), b"old");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
