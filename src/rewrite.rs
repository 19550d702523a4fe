//! Changing a TOML text value by value; comments, order and layout stay.

#[cfg(any(feature = "cli", feature = "page"))]
mod key;
mod list;
mod table;

#[cfg(any(feature = "cli", feature = "page"))]
pub(crate) use key::{Refused, set};
pub(crate) use list::{append, take_out};
pub(crate) use table::{Listed, bit, listed, named, put, with_brace_kept};
