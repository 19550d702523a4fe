//! `stepwell schema`: for editors.

use crate::cli::arguments::{SchemaKind, SchemaOptions};
use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::input::{FileKind, schema};

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
