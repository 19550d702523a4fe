//! The page: the whole job in a browser on this computer.
//!
//! It serves the loopback address alone, to who holds its token, and touches
//! no file but those of the job. What it shows and writes comes from the same
//! rooms as the command line's.

mod answer;
mod beside;
mod change;
mod clamp;
mod desk;
mod fields;
mod gate;
mod mistakes;
mod next_box;
mod now;
mod panel;
mod piece;
mod plug;
mod presence;
mod programs;
mod proof;
mod proved;
mod reach;
mod readings;
mod routes;
mod section;
mod server;
mod shown;
mod trial;
mod typed;
mod view;

pub use server::{Options, serve};
