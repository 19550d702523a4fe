//! Readings on what programs cut.
