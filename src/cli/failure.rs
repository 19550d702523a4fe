//! Exit code 2: what was wrong with the command line or a file, for people
//! with the text under it, for editors as JSON.

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::process::ExitCode;

use miette::{GraphicalReportHandler, GraphicalTheme, LabeledSpan, NamedSource, Severity};
use serde_json::json;

use crate::cli::arguments::Format;
use crate::cli::terminal;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::sheet;

/// What ended a command early.
#[derive(Debug, Default)]
pub(crate) struct Failure {
    pub(crate) diagnostics: Diagnostics,
    /// Texts of the files that the diagnostics point into, by name.
    pub(crate) sources: Sources,
}

/// Texts of files by the name diagnostics use.
pub(crate) type Sources = BTreeMap<String, String>;

impl From<Diagnostic> for Failure {
    fn from(diagnostic: Diagnostic) -> Self {
        Self {
            diagnostics: vec![diagnostic],
            sources: Sources::new(),
        }
    }
}

/// A page that cannot be drawn is our mistake, not the user's.
impl From<sheet::Error> for Failure {
    fn from(error: sheet::Error) -> Self {
        Diagnostic::new("internal", error.to_string())
            .help("this is a bug of ours: please send us the job")
            .into()
    }
}

/// Prints the mistakes and returns exit code 2.
pub(crate) fn print(diagnostics: &[Diagnostic], sources: &Sources, format: Format) -> ExitCode {
    match format {
        Format::Json => terminal::result(&format!("{:#}\n", as_json(diagnostics))),
        Format::Human => {
            for diagnostic in diagnostics {
                terminal::note(&render(diagnostic, sources));
            }
        }
    }
    ExitCode::from(2)
}

/// What clap says: help and version go to standard output, mistakes do not.
pub(crate) fn usage(error: &clap::Error, arguments: &[OsString]) -> ExitCode {
    if !error.use_stderr() {
        terminal::result(&error.render().ansi().to_string());
        return ExitCode::SUCCESS;
    }
    if wants_json(arguments) {
        let text = error.render().to_string();
        let message = text
            .lines()
            .next()
            .unwrap_or_default()
            .trim_start_matches("error: ");
        // What stands below the first line tells what is missing or allowed.
        let more: Vec<&str> = text
            .lines()
            .skip(1)
            .map(str::trim)
            .take_while(|line| !line.starts_with("Usage:") && !line.starts_with("For more"))
            .filter(|line| !line.is_empty())
            .collect();
        let help = match more.as_slice() {
            [] => "see --help".to_owned(),
            lines => lines.join(", "),
        };
        let diagnostic = Diagnostic::new("usage", message).help(help);
        return print(&[diagnostic], &Sources::new(), Format::Json);
    }
    terminal::note(&error.render().ansi().to_string());
    ExitCode::from(2)
}

fn wants_json(arguments: &[OsString]) -> bool {
    arguments.iter().any(|argument| argument == "--format=json")
        || arguments
            .windows(2)
            .any(|pair| pair[0] == "--format" && pair[1] == "json")
}

fn as_json(diagnostics: &[Diagnostic]) -> serde_json::Value {
    let errors: Vec<_> = diagnostics
        .iter()
        .map(|diagnostic| {
            let message = match &diagnostic.help {
                Some(help) => format!("{}; {help}", diagnostic.message),
                None => diagnostic.message.clone(),
            };
            let place = diagnostic.place.as_ref();
            json!({
                "code": diagnostic.code,
                "message": message,
                "file": place.map(|place| place.file.as_str()).or(diagnostic.file.as_deref()),
                "line": place.map(|place| place.line),
                "column": place.map(|place| place.column),
                "length": place.map(|place| place.length),
            })
        })
        .collect();
    json!({ "errors": errors })
}

fn render(diagnostic: &Diagnostic, sources: &Sources) -> String {
    let mut shown = miette::MietteDiagnostic::new(&diagnostic.message)
        .with_code(diagnostic.code)
        .with_severity(Severity::Error);
    if let Some(help) = &diagnostic.help {
        shown = shown.with_help(help);
    }
    let place = diagnostic.place.as_ref();
    let source = place.and_then(|place| sources.get_key_value(&place.file));
    if let (Some(place), Some((_, text))) = (place, source) {
        let (start, length) = byte_range(text, place.line, place.column, place.length);
        shown = shown.with_label(LabeledSpan::underline((start, length)));
    } else if let Some(place) = place {
        shown.message = format!(
            "{}:{}:{}: {}",
            place.file, place.line, place.column, shown.message
        );
    }
    let report = match source {
        Some((name, text)) => {
            miette::Report::new(shown).with_source_code(NamedSource::new(name, text.clone()))
        }
        None => miette::Report::new(shown),
    };
    let theme = if terminal::error_has_color() {
        GraphicalTheme::unicode()
    } else {
        GraphicalTheme::unicode_nocolor()
    };
    let mut text = String::new();
    let handler = GraphicalReportHandler::new_themed(theme)
        .with_width(terminal::width())
        .with_links(false);
    if handler.render_report(&mut text, report.as_ref()).is_err() {
        text = diagnostic.to_string();
    }
    text
}

/// Bytes of a stretch given in lines and characters.
fn byte_range(text: &str, line: u32, column: u32, length: u32) -> (usize, usize) {
    let start_of_line: usize = text
        .split_inclusive('\n')
        .take(line.saturating_sub(1) as usize)
        .map(str::len)
        .sum();
    let rest = text.get(start_of_line..).unwrap_or_default();
    let bytes = |characters: u32| {
        rest.char_indices()
            .nth(characters as usize)
            .map_or(rest.len(), |(index, _)| index)
    };
    let start = bytes(column.saturating_sub(1));
    let end = bytes(column.saturating_sub(1).saturating_add(length));
    (start_of_line + start, end - start)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Place;

    #[test]
    fn a_place_becomes_bytes_even_after_letters_of_two_bytes() {
        let text = "title = \"Büchse\"\nbit = \"x\"\n";
        assert_eq!(&text[9..12], "Bü");
        let (start, length) = byte_range(text, 1, 10, 6);
        assert_eq!(&text[start..start + length], "Büchse");
        let (start, length) = byte_range(text, 2, 7, 3);
        assert_eq!(&text[start..start + length], "\"x\"");
        assert_eq!(byte_range(text, 9, 9, 9), (text.len(), 0));
    }

    #[test]
    fn people_see_the_line_and_editors_get_the_place() {
        let place = Place {
            file: "box.toml".to_owned(),
            line: 2,
            column: 7,
            length: 3,
        };
        let diagnostic = Diagnostic::new("unknown-bit", "bit `x` is not in the rack")
            .at(place)
            .help("choose one");
        let sources = Sources::from([(
            "box.toml".to_owned(),
            "units = \"mm\"\nbit = \"x\"\n".to_owned(),
        )]);
        let text = render(&diagnostic, &sources);
        for part in [
            "unknown-bit",
            "bit `x` is not in the rack",
            "box.toml:2:7",
            "bit = \"x\"",
            "choose one",
        ] {
            assert!(text.contains(part), "{part} in {text}");
        }
        let json = as_json(&[diagnostic]);
        assert_eq!(json["errors"][0]["column"], 7);
        assert_eq!(
            json["errors"][0]["message"],
            "bit `x` is not in the rack; choose one"
        );
    }
}
