//! What the user wrote: TOML to values with their places, all mistakes at once.
//!
//! Nothing here reads a file. [`job`] takes the job's text and gives the paths
//! of the other files as they are written there; [`machine()`], [`bits()`] and
//! [`hinges()`] take those texts, and [`JobSpec::resolve`] gives the [`Job`].
//!
//! [`Job`]: crate::job::Job

mod bits;
mod choice;
mod document;
mod drawer;
mod fit;
mod fixture;
mod hinge;
mod job;
pub(crate) mod keys;
mod limits;
mod log;
mod machine;
mod nest;
mod parts;
mod placement;
mod quoted;
mod resolve;
#[cfg(test)]
pub(crate) mod sample;
mod schema;
mod source;
mod starter;
mod syntax;
mod table;
mod template;
mod timber;
mod value;
#[cfg(any(feature = "cli", feature = "page"))]
mod written;

#[cfg(test)]
mod tests;

pub use bits::bits;
pub use drawer::{Drawer, hinges};
pub use job::{JobSpec, job};
pub use keys::FileKind;
pub use machine::machine;
pub use resolve::Overrides;
pub use schema::schema;
pub use starter::STARTER;
#[cfg(feature = "page")]
pub(crate) use written::{Written, key_at};
#[cfg(any(feature = "cli", feature = "page"))]
pub(crate) use written::{value_on_line, written};
