//! Every key of the four kinds of file, in one table: what it means, what may
//! stand there, and what counts where it is left out. The reader, the schemas,
//! `explain` and the page all go by it.

mod bits;
mod entry;
mod fixture;
mod hinges;
mod job;
mod key;
mod kind;
mod lookup;
mod machine;
mod template;
mod wood;

pub(crate) use key::{Content, Key, Presence};
pub use kind::FileKind;
pub(crate) use lookup::{describe, find, paths};
