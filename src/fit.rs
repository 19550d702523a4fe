//! What was cut and measured, entered where the next program takes it from:
//! the job, the hinge's entry of the drawer, or the bit's of the rack, comments
//! and layout kept.
//!
//! The program is the record of what was cut. A reading is held against what
//! its text has cut, so it is an absolute finding: the same pocket measured
//! twice replaces the first figure instead of adding to it. Each entry is
//! logged as an `[[entry]]` in the file it changes, and can be taken back.

mod cut;
mod document;
mod enter;
mod entry;
mod learned;
mod questions;
mod reading;
mod standing;
#[cfg(test)]
mod tests;
mod texts;
mod trial;
mod turned;
mod words;

pub use cut::{Program, What, as_cut};
pub use enter::{Refusal, enter};
pub use reading::Readings;
pub use standing::{forget_set_up, show, undo};
pub use texts::{Entered, NamedText, Texts};
pub use words::{corrections, drawn};
