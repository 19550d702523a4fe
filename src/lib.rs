//! Stepwell cuts concealed hinge pockets on a small CNC router.
//!
//! One direction of data: `spec → job → plan → post → text`, and from the
//! text alone `rs274 → replay → verify → report → sheet`.

#![cfg_attr(
    not(test),
    warn(clippy::unwrap_used, clippy::expect_used, clippy::panic)
)]

pub mod advice;
pub mod bit;
pub mod cli;
pub mod coupon;
pub mod cutting;
pub mod diagnostic;
pub mod feeds;
pub mod files;
pub mod fit;
pub mod geometry;
pub mod job;
pub mod machine;
pub mod plan;
pub mod post;
pub mod replay;
pub mod report;
pub mod retune;
pub mod rs274;
pub mod settings;
pub mod sheet;
pub mod spec;
pub mod units;
pub mod verify;
pub mod wear;
pub mod wood;
