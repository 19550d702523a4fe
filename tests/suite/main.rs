//! One integration binary; a module for each thing under test.

mod architecture;
mod browser;
mod chromium;
mod command_line;
mod conformance;
mod coupon;
mod feeds;
mod fit;
mod handbook;
mod harness;
mod independent;
mod killed;
mod matrix;
mod near_bound;
mod partial;
mod planning;
mod program;
mod retune;
mod sabotage;
mod sheet;
mod sketch;
mod spec;
