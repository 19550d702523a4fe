//! Turns a result into an exit code; everything else is in the library.

use std::process::ExitCode;

use stepwell::Diagnostic;
use stepwell::cli::{self, PageWish};

fn main() -> ExitCode {
    cli::run(std::env::args_os(), page)
}

#[cfg(feature = "page")]
fn page(wish: PageWish, tell: &dyn Fn(&str)) -> Result<(), Diagnostic> {
    let options = stepwell::page::Options {
        job: wish.job,
        port: wish.port,
        opens: wish.opens,
    };
    stepwell::page::serve(&options, tell)
}

#[cfg(not(feature = "page"))]
fn page(_: PageWish, _: &dyn Fn(&str)) -> Result<(), Diagnostic> {
    let message = "this stepwell was built without its page";
    Err(Diagnostic::new("no-page", message).help("build it with the feature `page`"))
}
