//! One integration binary; a module for each thing under test.

mod command_line;
mod harness;
mod killed;
