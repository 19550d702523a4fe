//! `stepwell hinges`: which hinges of the drawer suit a job.

use std::path::PathBuf;

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::options::{Format, Reporting};
use crate::cli::{Ending, terminal};
use crate::diagnostic::Diagnostic;
use crate::{files, hinges};

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell hinges box.toml
  stepwell hinges box.toml --format json

Each is judged with its own figures of the drawer; keys of the job's [hinge] count for the hinge that it names.")]
pub(crate) struct Hinges {
    /// The job file, or - for standard input
    #[arg(value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

pub(super) fn run(options: &Hinges) -> Result<Ending, Failure> {
    let read = files::read_files(&options.job)?;
    let units = options.reporting.units_or(read.spec.units());
    let Some(judgement) = hinges::judge(&read.spec, &read.machine, &read.rack, units) else {
        let name = options.job.display();
        let help = "add `hinges = \"…\"`, the drawer's file, at the top of the job; \
                    `stepwell init --hinges` writes one to start from";
        let message = format!("`{name}` names no hinge drawer");
        return Err(Diagnostic::new("no-drawer", message)
            .about(name.to_string())
            .help(help)
            .into());
    };
    match options.reporting.format {
        Format::Human => {
            let text = hinges::render(&judgement);
            let lines: Vec<String> = text
                .lines()
                .map(|line| {
                    let options = textwrap::Options::new(terminal::width());
                    textwrap::fill(line, options.subsequent_indent("    "))
                })
                .collect();
            terminal::result(&format!("{}\n", lines.join("\n")))?;
        }
        Format::Json => terminal::json(&judgement)?,
    }
    Ok(Ending::Passed)
}
