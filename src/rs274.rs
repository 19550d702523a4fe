//! RS-274/NGC, the plain subset: from text to moves, one at a time.
//!
//! Follows NISTIR 6556 (2000) for grammar, modal groups and order of
//! execution. What the subset leaves out is refused by name, never skipped.

mod arc;
mod blanks;
mod block;
mod code;
pub mod event;
mod line;
mod name;
mod outside;
mod problem;
mod reader;
mod state;
mod tolerance;
mod word;

pub use reader::{Reader, read};
