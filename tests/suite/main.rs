//! One integration binary; a module for each thing under test.

mod conformance;
mod independent;
mod program;
