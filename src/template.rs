//! A template for a hand-held router with a guide collar: the plate that the
//! machine cuts, as a job of its own.

mod cutter;
mod insert;
mod job;
mod opening;
mod plate;

pub use job::{SUFFIX, job};
