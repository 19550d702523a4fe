//! `stepwell explain`.

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::explain;

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell explain pocket-bounds
  stepwell explain hinge.setback
  stepwell explain closing")]
pub(crate) struct Explain {
    /// A check id, a key with its table, or a topic: closing, dull, test-piece
    #[arg(value_name = "WORD")]
    pub(crate) word: String,
}

pub(super) fn run(options: &Explain) -> Result<Ending, Failure> {
    let text = explain::explain(&options.word)?;
    let lines: Vec<String> = text
        .lines()
        .map(|line| textwrap::fill(line, terminal::width()))
        .collect();
    terminal::result(&format!("{}\n", lines.join("\n").trim_end()))?;
    Ok(Ending::Passed)
}
