//! One new content on its way into place: written whole beside its target,
//! then renamed onto it, so that at any moment the old file or the new one is
//! there.

use std::fs::{self, File, Metadata, TryLockError};
use std::io::{self, Seek, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::files::inode::refuse_special;

const PREFIX: &str = ".stepwell-";
const SUFFIX: &str = ".part";

/// A content that is written, but not yet in place.
#[derive(Debug)]
pub(super) struct Staged {
    temporary: NamedTempFile,
    target: PathBuf,
    /// Where the file has other names or another owner, its content is
    /// replaced and not the file.
    in_place: bool,
}

impl Staged {
    /// Writes `contents` beside `target`, whose folder is made where it is
    /// missing; a symbolic link stays one, its file is replaced.
    pub(super) fn new(target: &Path, contents: &[u8]) -> io::Result<Self> {
        let target = followed(target)?;
        let folder = match target.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent,
            _ => Path::new("."),
        };
        fs::create_dir_all(folder)?;
        remove_leftovers(folder);
        let there = fs::metadata(&target).ok();
        if let Some(there) = &there {
            refuse_special(there)?;
        }
        let mut temporary = locked_temporary(folder, there.as_ref())?;
        temporary.write_all(contents)?;
        let in_place = there.is_some_and(|there| !stands_in_for(temporary.as_file(), &there));
        Ok(Self {
            temporary,
            target,
            in_place,
        })
    }

    /// Waits until it is on the disk.
    pub(super) fn sync(&self) -> io::Result<()> {
        self.temporary.as_file().sync_all()
    }

    /// Puts it in place.
    pub(super) fn place(self) -> io::Result<()> {
        if !self.in_place {
            self.temporary.persist(&self.target)?;
            return Ok(());
        }
        let contents = fs::read(self.temporary.path())?;
        let mut file = File::options().write(true).open(&self.target)?;
        file.rewind()?;
        file.write_all(&contents)?;
        file.set_len(contents.len() as u64)?;
        file.sync_all()
    }
}

/// Where a path leads, also where its last link leads to a file that is not there yet.
fn followed(path: &Path) -> io::Result<PathBuf> {
    if fs::symlink_metadata(path).is_ok_and(|link| link.is_symlink()) {
        return fs::canonicalize(path);
    }
    Ok(path.to_owned())
}

/// A temporary file that holds its lock while this run lives. It keeps the
/// mode of the file that it will stand for; a new one gets what the umask leaves.
fn locked_temporary(folder: &Path, there: Option<&Metadata>) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).suffix(SUFFIX);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let new = fs::Permissions::from_mode(0o666);
        builder.permissions(there.map_or(new, Metadata::permissions));
    }
    loop {
        let temporary = builder.tempfile_in(folder)?;
        // Another run may have taken it for a leftover before it was locked.
        let is_taken = matches!(
            temporary.as_file().try_lock(),
            Err(TryLockError::WouldBlock)
        );
        if !is_taken && temporary.path().exists() {
            #[cfg(unix)]
            if let Some(there) = there {
                // The umask does not count for a file that is replaced.
                temporary.as_file().set_permissions(there.permissions())?;
            }
            return Ok(temporary);
        }
    }
}

/// Removes what killed runs have left: nobody holds its lock.
fn remove_leftovers(folder: &Path) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with(PREFIX)
            && name.ends_with(SUFFIX)
            && let Ok(file) = File::open(entry.path())
            && file.try_lock().is_ok()
        {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// Whether the new file can take the old one's place and nobody notices:
/// the old one has one name, and the new one its owner.
#[cfg(unix)]
fn stands_in_for(new: &File, there: &Metadata) -> bool {
    use std::os::unix::fs::{MetadataExt, fchown};
    let same_owner = new
        .metadata()
        .is_ok_and(|new| (new.uid(), new.gid()) == (there.uid(), there.gid()));
    let owned = same_owner || fchown(new, Some(there.uid()), Some(there.gid())).is_ok();
    owned && there.nlink() == 1
}

#[cfg(not(unix))]
fn stands_in_for(_: &File, _: &Metadata) -> bool {
    true
}
