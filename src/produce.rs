//! From a job to files: plan, post, judge, and only then write. Command line
//! and page both produce through here, so that they write the same bytes.

pub(crate) mod bits;
pub(crate) mod counts;
pub(crate) mod fitting;
mod lengths;
mod notes;
mod order;
mod paths;
mod piece;
pub(crate) mod plugging;
pub(crate) mod positions;
pub(crate) mod running;
mod shell;
mod stale;
pub(crate) mod streams;
mod subject;

pub(crate) use notes::{is_the_templates, of as notes, of_plate as plate_notes};
#[cfg(feature = "page")]
pub(crate) use order::Made;
pub(crate) use order::Order;
#[cfg(feature = "cli")]
pub(crate) use order::sheet_failed;
pub(crate) use piece::PieceWish;
pub(crate) use shell::quoted;
pub(crate) use subject::Subject;

#[cfg(feature = "cli")]
pub(crate) use stale::{left as stale, words as stale_words};
