//! What stands behind a path: a file that may be replaced or not, and the same
//! as behind another path or not.

use std::fs::Metadata;
use std::io;

/// # Errors
/// A directory, a device, a pipe, a read-only file.
pub(super) fn refuse_special(there: &Metadata) -> io::Result<()> {
    if there.is_dir() {
        return Err(io::ErrorKind::IsADirectory.into());
    }
    if !there.is_file() {
        return Err(io::Error::other("it is a device or a pipe, not a file"));
    }
    if there.permissions().readonly() {
        return Err(io::ErrorKind::ReadOnlyFilesystem.into());
    }
    Ok(())
}

/// Whether both are of one file, as hard links are, where the system tells.
#[cfg(unix)]
#[allow(clippy::unnecessary_wraps)]
pub(super) fn are_one(one: &Metadata, other: &Metadata) -> Option<bool> {
    use std::os::unix::fs::MetadataExt;
    Some((one.dev(), one.ino()) == (other.dev(), other.ino()))
}

#[cfg(not(unix))]
pub(super) fn are_one(_: &Metadata, _: &Metadata) -> Option<bool> {
    None
}
