//! One key of a job changed, as a person types its value: what is written for
//! it, which lines change, and what was taken to be meant.

mod change;
mod kind;
mod typed;

pub(crate) use change::change;
#[cfg(feature = "page")]
pub(crate) use change::units;
#[cfg(feature = "page")]
pub(crate) use kind::Kind;
#[cfg(feature = "page")]
pub(crate) use typed::meant_length;
