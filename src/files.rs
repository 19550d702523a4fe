//! Reading, writing and editing files; together with the command line and
//! the page the only code that touches the outside world.

mod edited;
mod inode;
mod job;
mod output;
mod read;
mod staged;
mod starter;

pub use edited::{Edited, replace_all};
#[cfg(feature = "page")]
pub(crate) use job::read_job_as;
pub use job::{
    Edits, ReadFiles, ReadJob, Sources, Unread, edits, read_files, read_job, read_machine, stem,
};
pub use output::{check_outputs, write_all};
#[cfg(feature = "cli")]
pub(crate) use output::{closed_pipe_is_fine, unprintable};
#[cfg(any(feature = "cli", feature = "page"))]
pub(crate) use read::unreadable;
pub use read::{SPEC_LIMIT_BYTES, is_stream, names, open, read_spec, read_spec_file, size};
pub use starter::{Started, Starter};
