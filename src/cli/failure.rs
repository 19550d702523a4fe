//! Exit code 2: what was wrong with the command line or a file, for people
//! with the text under it, for editors as JSON.

use std::borrow::Cow;
use std::ffi::OsString;
use std::ops::Range;
use std::process::ExitCode;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use serde_json::json;

use crate::cli::options::Format;
use crate::cli::terminal;
use crate::diagnostic::{Diagnostic, Place};
use crate::files::Sources;
use crate::produce::sheet_failed;
use crate::sheet;
use crate::visible;

/// What ended a command early.
pub(crate) use crate::files::Unread as Failure;

impl From<sheet::Error> for Failure {
    fn from(error: sheet::Error) -> Self {
        sheet_failed(&error).into()
    }
}

/// Prints the mistakes and returns exit code 2.
pub(crate) fn print(diagnostics: &[Diagnostic], sources: &Sources, format: Format) -> ExitCode {
    match format {
        Format::Json => {
            if let Err(full) = terminal::json(&as_json(diagnostics)) {
                return print(&[full], sources, Format::Human);
            }
        }
        Format::Human => {
            for diagnostic in diagnostics {
                terminal::styled_note(&render(diagnostic, sources));
            }
        }
    }
    ExitCode::from(2)
}

/// What clap says: help and version go to standard output, mistakes do not.
pub(crate) fn usage(error: &clap::Error, arguments: &[OsString]) -> ExitCode {
    if !error.use_stderr() {
        return match terminal::styled_result(&error.render().ansi().to_string()) {
            Ok(()) => ExitCode::SUCCESS,
            Err(diagnostic) => print(&[diagnostic], &Sources::new(), Format::Human),
        };
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
    let plain = error.render().to_string();
    match visible::escaped(&plain) {
        Cow::Borrowed(_) => terminal::styled_note(&error.render().ansi().to_string()),
        // Somebody's argument is no colour of ours.
        Cow::Owned(shown) => terminal::note(&shown),
    }
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
    let width = terminal::width();
    let place = diagnostic.place.as_ref();
    let shown = place.and_then(|place| {
        let (name, text) = sources.get_key_value(&place.file)?;
        Some((visible::veiled(name), Excerpt::of(text, place)?))
    });
    let message = match place.filter(|_| shown.is_none()) {
        Some(place) => format!(
            "{}:{}:{}: {}",
            place.file, place.line, place.column, diagnostic.message
        ),
        None => diagnostic.message.clone(),
    };
    // Behind `error[code]: ` and `help: `.
    let message = wrapped(&message, width, diagnostic.code.len() + 9);
    let help = diagnostic.help.as_deref();
    let help = help.map(|help| wrapped(help, width, 10));
    let mut group = Group::with_title(Level::ERROR.primary_title(message).id(diagnostic.code));
    if let Some((name, excerpt)) = &shown {
        let mark = AnnotationKind::Primary.span(excerpt.marked.clone());
        let snippet = Snippet::source(excerpt.text.as_str())
            .line_start(excerpt.first_line)
            .path(name.as_ref())
            .fold(false)
            .annotation(mark);
        group = group.element(snippet);
    }
    if let Some(help) = help {
        group = group.element(Level::HELP.message(help));
    }
    let renderer = if terminal::error_has_color() {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    renderer.term_width(width).render(&[group])
}

/// Broken into lines, the first after so many columns of something else.
fn wrapped(text: &str, width: usize, indent: usize) -> String {
    let room = width.saturating_sub(indent).max(MIN_ROOM);
    textwrap::fill(&visible::escaped(text), room)
}

/// Narrower than this, text is not broken but runs over.
const MIN_ROOM: usize = 24;

/// Longer lines are not shown: nobody wrote them by hand.
const LONGEST_LINE: usize = 1000;

/// A line of a file and its neighbours.
struct Excerpt {
    text: String,
    first_line: usize,
    /// Bytes of `text` that are meant.
    marked: Range<usize>,
}

impl Excerpt {
    fn of(text: &str, place: &Place) -> Option<Self> {
        let number = usize::try_from(place.line).ok()?.checked_sub(1)?;
        let skipped = number.saturating_sub(1);
        let near: Vec<&str> = text
            .lines()
            .skip(skipped)
            .take(number - skipped + 2)
            .collect();
        let own = number - skipped;
        let is_short = |line: &&str| line.len() <= LONGEST_LINE;
        near.get(own).filter(|line| is_short(line))?;
        let first = own - usize::from(own > 0 && is_short(&near[own - 1]));
        let end = own + 1 + usize::from(near.get(own + 1).is_some_and(is_short));
        let shown: Vec<Cow<'_, str>> = near[first..end]
            .iter()
            .map(|line| visible::veiled(line))
            .collect();
        let before: usize = shown[..own - first].iter().map(|line| line.len() + 1).sum();
        let line = &shown[own - first];
        let byte = |characters: u32| {
            let mut places = line.char_indices().map(|(index, _)| index);
            places.nth(characters as usize).unwrap_or(line.len())
        };
        let start = byte(place.column.saturating_sub(1));
        let end_of_mark = byte(place.column.saturating_sub(1).saturating_add(place.length));
        Some(Self {
            text: shown.join("\n"),
            first_line: skipped + first + 1,
            marked: before + start..before + end_of_mark,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(line: u32, column: u32, length: u32) -> Place {
        Place {
            file: "box.toml".to_owned(),
            line,
            column,
            length,
        }
    }

    #[test]
    fn a_place_becomes_bytes_even_after_letters_of_two_bytes() {
        let text = "title = \"Büchse\"\nbit = \"x\"\nlast\u{1b} = 1\n";
        let marked = |line, column, length| {
            let excerpt = Excerpt::of(text, &place(line, column, length)).unwrap();
            let Range { start, end } = excerpt.marked;
            (excerpt.first_line, excerpt.text[start..end].to_owned())
        };
        assert_eq!(marked(1, 10, 6), (1, "Büchse".to_owned()));
        assert_eq!(marked(2, 7, 3), (1, "\"x\"".to_owned()));
        assert_eq!(marked(3, 1, 5), (2, "last\u{241b}".to_owned()));
        assert_eq!(marked(3, 90, 9), (2, String::new()));
        assert!(Excerpt::of(text, &place(9, 9, 9)).is_none());
        assert!(Excerpt::of(text, &place(0, 9, 9)).is_none());
        assert!(Excerpt::of(&"x".repeat(1001), &place(1, 9, 9)).is_none());
    }

    /// Columns past what a printer of tables takes.
    #[test]
    fn a_mistake_far_out_on_a_line_is_told_by_its_place() {
        let text = format!("a = [{}]", "9,".repeat(60_000));
        let sources = Sources::from([("box.toml".to_owned(), text)]);
        let diagnostic = Diagnostic::new("wrong-type", "no").at(place(1, 70_000, 1));
        let shown = render(&diagnostic, &sources);
        assert!(shown.contains("box.toml:1:70000: no"), "{shown}");
    }

    #[test]
    fn nothing_of_a_file_reaches_the_terminal_as_a_command() {
        let sources = Sources::from([("box.toml".to_owned(), "a = \"\u{1b}[2J\"\n".to_owned())]);
        let diagnostic = Diagnostic::new("wrong-type", "`\u{1b}[2J` is wrong")
            .at(place(1, 5, 6))
            .help("not \u{7}");
        let shown = render(&diagnostic, &sources);
        assert!(!shown.contains(['\u{1b}', '\u{7}']), "{shown:?}");
        assert!(shown.contains("`\\u{1b}[2J` is wrong"), "{shown}");
    }

    #[test]
    fn people_see_the_line_and_editors_get_the_place() {
        let diagnostic = Diagnostic::new("unknown-bit", "bit `x` is not in the rack")
            .at(place(2, 7, 3))
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
