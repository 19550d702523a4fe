//! `stepwell hinges`: which hinges of the drawer suit a job.

use crate::cli::arguments::{Format, Hinges};
use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::diagnostic::Diagnostic;
use crate::{files, hinges};

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
