//! The program again, from its text alone: where the bit is, what wood is
//! still there, how long it takes.

mod arc_sweep;
#[cfg(test)]
mod brute;
pub mod clock;
pub(crate) mod grid;
pub(crate) mod height_map;
pub(crate) mod line_sweep;
pub(crate) mod sample_row;
pub(crate) mod segment;
pub(crate) mod tip;
