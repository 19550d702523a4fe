//! `stepwell page`: hands what is typed to who serves the page.

use std::path::PathBuf;

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::{Ending, entered, terminal};
use crate::diagnostic::Diagnostic;

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell page
  stepwell page my-box.toml --port 8080 --no-open

The page is for this computer alone: it answers to nobody without the address
that is printed, and ends on Ctrl-C or when nobody has been there for ten minutes.")]
pub(crate) struct Page {
    /// The job file; where it is not there yet the page begins it
    #[arg(value_name = "JOB.toml", default_value = "job.toml")]
    pub(crate) job: PathBuf,

    /// The port to serve on [default: any that is free]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub(crate) port: Option<u16>,

    /// Only print the address
    #[arg(long)]
    pub(crate) no_open: bool,
}

/// What `stepwell page` was asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PageWish {
    /// The job file, which need not be there yet.
    pub job: PathBuf,
    /// The port, where one was named.
    pub port: Option<u16>,
    /// Whether the browser is to be opened.
    pub opens: bool,
}

/// Serves the page until it ends; what it is given second tells a line to the person.
pub type ServePage = fn(PageWish, &dyn Fn(&str)) -> Result<(), Diagnostic>;

pub(super) fn run(options: Page, serve: ServePage) -> Result<Ending, Failure> {
    entered::refuse_stream(&options.job, "the page writes into the job file")?;
    let wish = PageWish {
        job: options.job,
        port: options.port,
        opens: !options.no_open,
    };
    serve(wish, &|address| {
        // Where standard output takes nothing more the browser is open all the same.
        let _ = terminal::result(&format!("{address}\n"));
        terminal::note("the page is at the address above; Ctrl-C ends it");
    })?;
    Ok(Ending::Passed)
}
