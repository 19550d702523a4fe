//! `stepwell schema`: for editors.

use crate::cli::arguments::{SchemaKind, SchemaOptions};
use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::diagnostic::Diagnostic;
use crate::input::schema::{FileKind, schema};

pub(super) fn run(options: &SchemaOptions) -> Result<Ending, Failure> {
    let kind = match options.kind {
        SchemaKind::Job => FileKind::Job,
        SchemaKind::Machine => FileKind::Machine,
        SchemaKind::Bits => FileKind::Bits,
    };
    let text = serde_json::to_string_pretty(&schema(kind))
        .map_err(|error| Diagnostic::new("internal", error.to_string()))?;
    terminal::result(&format!("{text}\n"));
    Ok(Ending::Passed)
}
