//! RS-274/NGC, the plain subset: from text to moves, one at a time.
//!
//! Follows NISTIR 6556 (2000) for grammar, modal groups and order of
//! execution. What the subset leaves out is refused by name, never skipped.

pub mod event;
