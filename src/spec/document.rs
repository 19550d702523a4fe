//! Text to a spanned table.

use toml::Spanned;
use toml::de::DeTable;

use crate::diagnostic::Diagnostic;
use crate::spec::source::Sink;
use crate::spec::syntax;
use crate::spec::table::Table;
use crate::units::Units;

/// Greatest size of a spec file in bytes.
const SIZE_LIMIT: usize = 1_000_000;

/// Parses the sink's text; syntax mistakes go to the sink. Nothing is returned
/// where the rest could not be trusted.
pub(crate) fn parse<'s>(sink: &'s Sink<'s>) -> Option<Spanned<DeTable<'s>>> {
    let source = sink.source;
    if source.text.len() > SIZE_LIMIT {
        let message = "the file is over 1 MB; a spec file is a few kilobytes";
        sink.report(&(0..0), Diagnostic::new("file-too-large", message));
        return None;
    }
    if source.text.trim_start_matches('\u{feff}').trim().is_empty() {
        let help = "`stepwell init` writes a starter job";
        let empty = Diagnostic::new("empty-file", "the file is empty").help(help);
        sink.report(&(0..0), empty);
        return None;
    }
    syntax::parse(sink)
}

/// The whole document as a table; `units` are those of the file.
pub(crate) fn root<'s>(
    sink: &'s Sink<'s>,
    document: &'s Spanned<DeTable<'s>>,
    units: Units,
) -> Table<'s> {
    let span = document.span();
    Table::new(sink, String::new(), units, span, document.get_ref())
}
