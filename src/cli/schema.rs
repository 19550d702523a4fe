//! `stepwell schema`: for editors.

use clap::{Args, ValueEnum};

use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::input::{FileKind, schema};

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell schema job > job.schema.json")]
pub(crate) struct SchemaOptions {
    /// Which kind of file
    #[arg(value_enum, value_name = "KIND")]
    pub(crate) kind: SchemaKind,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum SchemaKind {
    Job,
    Machine,
    Bits,
    Hinges,
}

pub(super) fn run(options: &SchemaOptions) -> Result<Ending, Failure> {
    let kind = match options.kind {
        SchemaKind::Job => FileKind::Job,
        SchemaKind::Machine => FileKind::Machine,
        SchemaKind::Bits => FileKind::Bits,
        SchemaKind::Hinges => FileKind::Hinges,
    };
    terminal::json(&schema(kind))?;
    Ok(Ending::Passed)
}
