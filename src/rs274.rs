//! RS-274/NGC, the plain subset: from text to moves, one at a time.
//!
//! Follows NISTIR 6556 (2000) for grammar, modal groups and order of
//! execution. What the subset leaves out is refused by name, never skipped.

mod arc;
mod block;
mod code;
pub mod event;
mod line;
mod problem;
mod reader;
mod state;
mod word;

pub use reader::Reader;

use crate::shop::machine::Dialect;
use event::{Frames, Visitor};

/// Reads a whole program and tells `visitor` what it does. Returns how many
/// lines it has.
pub fn read<V: Visitor + ?Sized>(
    program: &[u8],
    dialect: &Dialect,
    frames: Frames,
    visitor: &mut V,
) -> u64 {
    let mut reader = Reader::new(dialect, frames);
    reader.push(program, visitor);
    reader.finish(visitor)
}
