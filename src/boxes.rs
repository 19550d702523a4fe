//! A run of boxes cut one after the other: how the bits wear over it, from
//! which box a retuned program takes over, and before which a bit is sharpened.

mod edge;
mod run;

pub use run::{FROM, Run, of};
