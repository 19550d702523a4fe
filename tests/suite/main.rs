//! One integration binary; a module for each thing under test.

mod architecture;
mod browser;
mod chromium;
mod command_line;
mod conformance;
mod coupon;
mod fit;
mod handbook;
mod harness;
mod independent;
mod killed;
mod partial;
mod program;
mod sheet;
mod spec;
