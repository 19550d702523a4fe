//! Reading specs and programs.

use std::ffi::OsStr;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;

use crate::diagnostic::{Diagnostic, Place};

/// Largest spec file that is read.
pub const SPEC_LIMIT_BYTES: u64 = 1_000_000;

/// Reads a job, machine or bits file; `-` is standard input.
///
/// # Errors
/// A file that is missing, a directory, over 1 MB, or not UTF-8.
pub fn read_spec(path: &Path) -> Result<String, Diagnostic> {
    let name = path.display().to_string();
    let mut bytes = Vec::new();
    open(path)?
        .take(SPEC_LIMIT_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| unreadable(path, &error))?;
    if bytes.len() as u64 > SPEC_LIMIT_BYTES {
        let message = format!("`{name}` is over 1 MB; a spec file is a few kilobytes");
        let help = "check that this is the job, machine or bits file you meant";
        let large = Diagnostic::new("file-too-large", message);
        return Err(large.help(help).about(name));
    }
    if is_utf16(&bytes) {
        let message = format!("`{name}` is UTF-16 text, wanted is UTF-8");
        let help = "in the editor choose Save as, and UTF-8 for the encoding";
        return Err(Diagnostic::new("not-utf8", message).help(help).about(name));
    }
    String::from_utf8(bytes).map_err(|error| {
        let valid = error.utf8_error().valid_up_to();
        let before = String::from_utf8_lossy(&error.as_bytes()[..valid]).into_owned();
        let line = 1 + before.matches('\n').count();
        let column = 1 + before
            .rsplit('\n')
            .next()
            .unwrap_or_default()
            .chars()
            .count();
        let message = format!(
            "`{name}` line {line}: byte {} of the file is not UTF-8 text",
            valid + 1
        );
        let count = |value: usize| u32::try_from(value).unwrap_or(u32::MAX);
        Diagnostic::new("not-utf8", message)
            .at(Place {
                file: name,
                line: count(line),
                column: count(column),
                length: 1,
            })
            .help("save the file as UTF-8, or write that letter without its accent")
    })
}

/// As [`read_spec`], of a path that another file names or that is written to:
/// a pipe or a device may keep who reads it waiting for ever.
///
/// # Errors
/// As [`read_spec`], and what is neither a file nor `-`.
pub fn read_spec_file(path: &Path) -> Result<String, Diagnostic> {
    let is_special = |there: &fs::Metadata| !there.is_file() && !there.is_dir();
    if !is_stream(path) && fs::metadata(path).is_ok_and(|there| is_special(&there)) {
        let name = path.display().to_string();
        let message = format!("`{name}` is a device or a pipe, a file is wanted");
        let special = Diagnostic::new("no-file", message);
        return Err(special
            .help("save what comes from it in a file")
            .about(name));
    }
    read_spec(path)
}

/// A byte order mark of UTF-16, or a zero in every other byte of its head.
fn is_utf16(bytes: &[u8]) -> bool {
    let head = &bytes[..bytes.len().min(64)];
    let zeros = head.iter().filter(|&&byte| byte == 0).count();
    head.starts_with(&[0xff, 0xfe]) || head.starts_with(&[0xfe, 0xff]) || zeros * 3 > head.len()
}

/// Bytes in the file, where it says so; not for standard input.
pub fn size(path: &Path) -> Option<u64> {
    fs::metadata(path)
        .ok()
        .filter(fs::Metadata::is_file)
        .map(|metadata| metadata.len())
}

/// Names in a folder, sorted; none where it cannot be read.
pub fn names(folder: &Path) -> Vec<String> {
    let folder = match folder.as_os_str().is_empty() {
        true => Path::new("."),
        false => folder,
    };
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> = entries
        .filter_map(|entry| entry.file_name().into_string().ok())
        .collect();
    names.sort();
    names
}

/// Opens a file to read; `-` is standard input.
///
/// # Errors
/// A file that is missing, may not be read, or is a directory.
pub fn open(path: &Path) -> Result<Box<dyn Read>, Diagnostic> {
    if is_stream(path) {
        return Ok(Box::new(io::stdin().lock()));
    }
    let file = File::open(path).map_err(|error| unreadable(path, &error))?;
    match file.metadata() {
        Ok(metadata) if metadata.is_dir() => {
            let message = format!("`{}` is a directory, a file is wanted", path.display());
            let directory = Diagnostic::new("is-a-directory", message);
            Err(with_neighbours(directory, path, OsStr::new("toml"))
                .about(path.display().to_string()))
        }
        Ok(_) => Ok(Box::new(file)),
        Err(error) => Err(unreadable(path, &error)),
    }
}

/// Whether the path stands for standard input or output.
pub fn is_stream(path: &Path) -> bool {
    path == Path::new("-")
}

/// What cannot be opened, or not be read to its end.
pub(crate) fn unreadable(path: &Path, error: &io::Error) -> Diagnostic {
    let why = match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "it may not be read".to_owned(),
        io::ErrorKind::IsADirectory => "it is a directory, a file is wanted".to_owned(),
        _ => error.to_string(),
    };
    let message = format!("cannot read `{}`: {why}", path.display());
    let unreadable = Diagnostic::new("unreadable", message).about(path.display().to_string());
    match (error.kind(), path.parent()) {
        (io::ErrorKind::NotFound, Some(folder)) => {
            let extension = path.extension().unwrap_or(OsStr::new("toml"));
            with_neighbours(unreadable, folder, extension)
        }
        _ => unreadable,
    }
}

/// Names so many files of a folder, no more.
const NAMED: usize = 6;

/// With the names of the files of that extension in `folder`, where there are any.
fn with_neighbours(diagnostic: Diagnostic, folder: &Path, extension: &OsStr) -> Diagnostic {
    let place = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let entries = fs::read_dir(place).into_iter().flatten().flatten();
    let paths = entries.map(|entry| entry.path());
    let mut names: Vec<String> = paths
        .filter(|path| path.extension() == Some(extension))
        .filter_map(|path| Some(path.file_name()?.to_string_lossy().into_owned()))
        .collect();
    names.sort();
    if names.is_empty() {
        return diagnostic;
    }
    let more = if names.len() > NAMED { " and more" } else { "" };
    names.truncate(NAMED);
    let names = names.join("`, `");
    diagnostic.help(format!(
        "in `{}` there are `{names}`{more}",
        place.display()
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spec_that_is_missing_a_directory_too_large_or_not_text_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let code = |path: &Path| read_spec(path).unwrap_err().code;
        assert_eq!(code(&folder.path().join("none.toml")), "unreadable");
        assert_eq!(code(folder.path()), "is-a-directory");
        let large = folder.path().join("large.toml");
        fs::write(&large, vec![b' '; 1_000_001]).unwrap();
        assert_eq!(code(&large), "file-too-large");
        let latin = folder.path().join("latin.toml");
        fs::write(&latin, b"a = 1\ntitle = \"caf\xe9\"\n").unwrap();
        let error = read_spec(&latin).unwrap_err();
        assert_eq!(error.code, "not-utf8");
        assert!(
            error.message.contains("line 2: byte 19"),
            "{}",
            error.message
        );
        let place = error.place.unwrap();
        assert_eq!((place.line, place.column, place.length), (2, 13, 1));
        for order in [[0xff, 0xfe], [0xfe, 0xff], [b'a', 0]] {
            let wide = folder.path().join("wide.toml");
            let mut bytes = order.to_vec();
            bytes.extend([b'=', 0, b'1', 0]);
            fs::write(&wide, bytes).unwrap();
            let error = read_spec(&wide).unwrap_err();
            assert_eq!(error.code, "not-utf8");
            assert!(error.message.contains("UTF-16"), "{}", error.message);
        }
    }
}
