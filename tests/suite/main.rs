//! One integration binary; a module for each thing under test.

// Some tests print their figures, or why they were skipped.
#![allow(clippy::print_stdout, clippy::print_stderr)]

mod agreement;
mod along;
mod any_program;

mod architecture;
mod bounds;
mod boxes;
mod browser;
mod centers;
mod chromium;
mod closing;
mod command_line;
mod conformance;
mod drawer;
mod feeds;
mod fit;
mod handbook;
mod harness;
mod independent;
mod input;
mod killed;
mod library;
mod matrix;
mod near_bound;
mod outputs;
mod page;
mod page_bounds;
mod page_browser;
mod page_client;
mod page_next_box;
mod page_piece;
mod page_readings;
mod page_template;
mod partial;
mod pictures;
mod planning;
mod plug;
mod position_sheet;
mod positions;
mod post;
mod program;
mod real_life;
mod retune;
mod rolled;
mod sabotage;
mod second_reader;
mod sheet;
mod sketch;
mod stop_end;
mod template;
mod template_sweep;
mod test_piece;
mod words;
