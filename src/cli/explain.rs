//! `stepwell explain`.

use crate::cli::arguments::Explain;
use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::explain;

pub(super) fn run(options: &Explain) -> Result<Ending, Failure> {
    let text = explain::explain(&options.word)?;
    let lines: Vec<String> = text
        .lines()
        .map(|line| textwrap::fill(line, terminal::width()))
        .collect();
    terminal::result(&format!("{}\n", lines.join("\n").trim_end()))?;
    Ok(Ending::Passed)
}
