//! Stepwell cuts concealed hinge pockets on a small CNC router.
//!
//! One direction of data: `input → job → plan → post → text`, and from the
//! text alone `rs274 → replay → verify → report → sheet`.
//!
//! ```no_run
//! use stepwell::{Job, generate};
//!
//! fn main() -> Result<(), Box<dyn std::error::Error>> {
//!     let job = Job::read("box.toml")?; // the files, resolved; all mistakes as one error
//!     let proof = generate(&job)?; // plan, text, replay, every check
//!     for check in proof.checks() {
//!         println!("{}: {}", check.id(), check.message());
//!     }
//!     if proof.passed() {
//!         for program in proof.programs() {
//!             std::fs::write(program.file_name(), program.text())?;
//!         }
//!     }
//!     Ok(())
//! }
//! ```
//!
//! Each stage is public for who needs a part: [`input`] reads files that a
//! person wrote, [`job`] is what they mean, [`plan`] and [`post`] make programs
//! of it, [`rs274`] and [`replay`] understand programs from anywhere,
//! [`verify`] judges them, [`report`] and [`sheet`] tell it. Without the feature
//! `cli` the library brings no command line and knows no terminal.

#![cfg_attr(
    not(test),
    warn(clippy::unwrap_used, clippy::expect_used, clippy::panic)
)]

pub mod advice;
pub mod boxes;
#[cfg(feature = "cli")]
pub mod cli;
pub mod cutting;
pub mod diagnostic;
#[cfg(any(feature = "cli", feature = "page"))]
mod edit;
pub mod explain;
pub mod feeds;
pub mod files;
pub mod fit;
pub mod geometry;
pub mod hinges;
pub mod input;
pub mod job;
#[cfg(feature = "page")]
pub mod page;
pub mod plan;
pub mod plug;
pub mod post;
#[cfg(any(feature = "cli", feature = "page"))]
mod produce;
pub mod proof;
pub mod ran;
pub mod replay;
pub mod report;
pub mod retune;
mod rewrite;
pub mod rs274;
pub mod settings;
pub mod sheet;
pub mod shop;
pub mod template;
pub mod test_piece;
pub mod units;
pub mod verify;
mod visible;

pub use diagnostic::{Diagnostic, Diagnostics};
pub use job::Job;
pub use proof::{Program, Proof, generate};
pub use report::{Check, Report, Verdict};
