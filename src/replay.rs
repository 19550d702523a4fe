//! The program again, from its text alone: where the bit is, what wood is
//! still there, how long it takes.

mod bend;
#[cfg(test)]
mod brute;
pub(crate) mod few;
pub(crate) mod grid;
pub(crate) mod leg;
pub(crate) mod stock;
pub(crate) mod sweep;
pub mod time;
