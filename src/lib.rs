//! Stepwell cuts concealed hinge pockets on a small CNC router.
//!
//! One direction of data: `input → job → plan → post → text`, and from the
//! text alone `rs274 → replay → verify → report → sheet`.
//!
//! ```
//! use stepwell::input::{self, Overrides};
//! use stepwell::{plan, post, settings, verify::Judge};
//!
//! # fn main() -> Result<(), Vec<stepwell::diagnostic::Diagnostic>> {
//! // What the user wrote, with places for what is wrong with it.
//! let written = input::job("tea-box.toml", include_str!("../examples/tea-box.toml"))?;
//! let machine = input::machine("benchtop-mm.toml", include_str!("../machines/benchtop-mm.toml"))?;
//! let rack = input::bits("bits.toml", include_str!("../machines/bits.toml"))?;
//! // Both parts in their own frames.
//! let job = written.resolve(machine, rack, &Overrides::default())?;
//! // Motion, then text.
//! let settings = settings::for_job(&job);
//! let programs = post::programs(&plan::job(&job, &settings), &job, &settings, &[]);
//! // From the text alone: every check.
//! let mut judge = Judge::new(&job, &settings);
//! for program in &programs {
//!     judge.begin(&program.suffix, Some(&program.bit));
//!     judge.push(program.text.as_bytes());
//!     judge.end();
//! }
//! assert!(judge.finish().report.passed());
//! # Ok(())
//! # }
//! ```

#![cfg_attr(
    not(test),
    warn(clippy::unwrap_used, clippy::expect_used, clippy::panic)
)]

pub mod advice;
pub mod cli;
pub mod cutting;
pub mod diagnostic;
pub mod explain;
pub mod feeds;
pub mod files;
pub mod fit;
pub mod geometry;
pub mod input;
pub mod job;
pub mod plan;
pub mod post;
pub mod ran;
pub mod replay;
pub mod report;
pub mod retune;
mod rewrite;
pub mod rs274;
pub mod settings;
pub mod sheet;
pub mod shop;
pub mod test_piece;
pub mod units;
pub mod verify;
mod visible;
