//! One integration binary; a module for each thing under test.

mod conformance;
mod handbook;
mod independent;
mod program;
