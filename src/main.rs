//! Turns a result into an exit code; everything else is in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    stepwell::cli::run(std::env::args_os())
}
