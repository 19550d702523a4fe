//! A file that is changed: held from before it is read until it is replaced,
//! so that of two runs at once none loses what the other wrote.

use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

use crate::diagnostic::Diagnostic;
use crate::files::inode::{are_one, refuse_special};
use crate::files::output::unwritable;
use crate::files::read_spec_file;
use crate::files::staged::Staged;

/// How long another run is waited for: it needs a few milliseconds.
const PATIENCE: Duration = Duration::from_secs(10);
const PAUSE: Duration = Duration::from_millis(10);

const BYTE_ORDER_MARK: char = '\u{feff}';

/// A file under its lock, with its text.
#[derive(Debug)]
pub struct Edited {
    path: PathBuf,
    /// Keeps the lock.
    _held: File,
    /// As it stands on the disk.
    original: String,
    has_mark: bool,
    line_end: &'static str,
    text: String,
}

impl Edited {
    /// Locks and reads a file of at most 1 MB. It waits for another run that
    /// holds it.
    ///
    /// # Errors
    /// A file that cannot be read or written, that is none, or that another
    /// run holds for more than ten seconds.
    pub fn open(path: &Path) -> Result<Self, Diagnostic> {
        // What is wrong with it as an input is told as such.
        read_spec_file(path)?;
        let held = hold(path)?;
        let original = read_spec_file(path)?;
        let plain = original.strip_prefix(BYTE_ORDER_MARK);
        let has_mark = plain.is_some();
        let plain = plain.unwrap_or(&original);
        let ends = plain.matches('\n').count();
        let line_end = if ends > 0 && plain.matches("\r\n").count() == ends {
            "\r\n"
        } else {
            "\n"
        };
        Ok(Self {
            path: path.to_owned(),
            _held: held,
            has_mark,
            line_end,
            text: plain.replace("\r\n", "\n"),
            original,
        })
    }

    /// The path as it was given.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Its text, without a byte order mark and with plain line ends.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// `text` with the file's own line ends and mark.
    fn dressed(&self, text: &str) -> Vec<u8> {
        let mut dressed = String::with_capacity(text.len() + 3);
        if self.has_mark {
            dressed.push(BYTE_ORDER_MARK);
        }
        dressed.push_str(&text.replace('\n', self.line_end));
        dressed.into_bytes()
    }

    /// Whether nobody has changed it since it was read: an editor takes no lock.
    fn is_as_read(&self) -> Result<(), Diagnostic> {
        let now = fs::read(&self.path).map_err(|error| unwritable(&self.path, &error))?;
        if now == self.original.as_bytes() {
            return Ok(());
        }
        let name = self.path.display();
        Err(Diagnostic::new(
            "changed-meanwhile",
            format!("`{name}` was changed while this run worked on it; it is left as it is now"),
        )
        .help("save it in the editor, then run the command again")
        .about(name.to_string()))
    }
}

/// Replaces the texts of files under their locks: all or, but for a crash of
/// the computer between two of them, none.
///
/// # Errors
/// A file changed meanwhile by someone who takes no lock, one that cannot be
/// written, a full disk; then nothing is changed.
pub fn replace_all(edits: &[(&Edited, &str)]) -> Result<(), Diagnostic> {
    let mut staged = Vec::new();
    for (edited, text) in edits {
        let failed = |error: io::Error| unwritable(&edited.path, &error);
        let stage = Staged::new(&edited.path, &edited.dressed(text)).map_err(failed)?;
        stage.sync().map_err(failed)?;
        staged.push((stage, edited));
    }
    for (edited, _) in edits {
        edited.is_as_read()?;
    }
    for (stage, edited) in staged {
        stage
            .place()
            .map_err(|error| unwritable(&edited.path, &error))?;
    }
    Ok(())
}

/// The file of that path under its lock. A run that replaces a file leaves
/// others waiting for one that is no longer there, so the path is asked again.
fn hold(path: &Path) -> Result<File, Diagnostic> {
    let failed = |error: &io::Error| unwritable(path, error);
    let mut waited = Duration::ZERO;
    loop {
        let there = fs::metadata(path).map_err(|error| failed(&error))?;
        refuse_special(&there).map_err(|error| failed(&error))?;
        let file = File::options()
            .read(true)
            .write(true)
            .open(path)
            .map_err(|error| failed(&error))?;
        match file.try_lock() {
            Ok(()) if is_still_there(&file, path) => return Ok(file),
            Ok(()) => {}
            // A file system without locks has no two runs to keep apart, or no way to.
            Err(TryLockError::Error(_)) => return Ok(file),
            Err(TryLockError::WouldBlock) if waited < PATIENCE => {
                thread::sleep(PAUSE);
                waited += PAUSE;
            }
            Err(TryLockError::WouldBlock) => {
                let name = path.display();
                return Err(Diagnostic::new(
                    "held",
                    format!("another run of stepwell is at work on `{name}`; it is left alone"),
                )
                .help("wait until that one has ended, then run the command again")
                .about(name.to_string()));
            }
        }
    }
}

/// Whether the path still leads to the open file.
fn is_still_there(file: &File, path: &Path) -> bool {
    matches!((file.metadata(), fs::metadata(path)), (Ok(held), Ok(named)) if are_one(&held, &named) != Some(false))
}
