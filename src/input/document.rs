//! Text to a spanned table.

use toml::Spanned;
use toml::de::DeTable;

use crate::diagnostic::Diagnostic;
use crate::input::keys::FileKind;
use crate::input::source::Sink;
use crate::input::syntax;
use crate::input::table::Table;
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
    if let Some(other) = no_spec_file(&source.text) {
        let message = format!("the file is {other}, wanted is {}", name(source.kind));
        let help = "`stepwell init` writes a starter job";
        let odd = Diagnostic::new("wrong-file", message);
        sink.report(&(0..0), odd.help(help));
        return None;
    }
    let document = syntax::parse(sink)?;
    match kind_of(document.get_ref()) {
        Some(found) if found != source.kind => {
            let message = format!(
                "the file is {}, wanted is {}",
                name(found),
                name(source.kind)
            );
            let help = match source.kind {
                FileKind::Job => "name the job file; it names machine and bits itself",
                FileKind::Machine | FileKind::Bits | FileKind::Hinges => {
                    "check `machine`, `bits` and `hinges` of the job: each names a file of its own"
                }
            };
            sink.report(&(0..0), Diagnostic::new("wrong-file", message).help(help));
            None
        }
        _ => Some(document),
    }
}

const fn name(kind: FileKind) -> &'static str {
    match kind {
        FileKind::Job => "a job file",
        FileKind::Machine => "a machine file",
        FileKind::Bits => "a bits file",
        FileKind::Hinges => "a hinge drawer",
    }
}

/// What a text is that is not even meant as TOML.
fn no_spec_file(text: &str) -> Option<&'static str> {
    let text = text.trim_start_matches('\u{feff}').trim_start();
    let word = text.split_whitespace().next().unwrap_or_default();
    let mut letters = word.chars();
    let is_word = letters
        .next()
        .is_some_and(|letter| "GNMTO".contains(letter))
        && letters.clone().count() > 0
        && letters.all(|letter| letter.is_ascii_digit());
    match text.chars().next()? {
        '<' => Some("a web page"),
        '{' => Some("JSON"),
        '(' | '%' => Some("a program"),
        _ if is_word => Some("a program"),
        _ => None,
    }
}

/// Which kind of file the keys are of, where they are of one only.
fn kind_of(root: &DeTable<'_>) -> Option<FileKind> {
    let has = |keys: &[&str]| keys.iter().any(|key| root.contains_key(*key));
    let is_list = |key| {
        root.get(key)
            .is_some_and(|value| value.get_ref().is_array())
    };
    let kinds = [
        (
            FileKind::Job,
            has(&["box", "lid", "placement", "fixture"]) || (has(&["hinge"]) && !is_list("hinge")),
        ),
        (
            FileKind::Machine,
            has(&["travel", "feed_max", "spindle", "dialect"]),
        ),
        (FileKind::Bits, is_list("bit")),
        (FileKind::Hinges, is_list("hinge")),
    ];
    let mut found = kinds.into_iter().filter(|(_, is_there)| *is_there);
    match (found.next(), found.next()) {
        (Some((kind, _)), None) => Some(kind),
        _ => None,
    }
}

/// The whole document as a table; `units` are those of the file.
pub(crate) fn root<'s>(
    sink: &'s Sink<'s>,
    document: &'s Spanned<DeTable<'s>>,
    units: Units,
) -> Table<'s> {
    let span = document.span();
    let keys = sink.source.kind.keys();
    Table::new(
        sink,
        String::new(),
        units,
        span,
        Some(document.get_ref()),
        keys,
    )
}
