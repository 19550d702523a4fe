//! Text that is no TOML: what is wrong, and what to write.
//!
//! The parser recovers at the end of a line. Two things it cannot know: what
//! the writer meant, which [`slip`] guesses from the line, and where a bracket
//! that is never closed was meant to end, which [`brackets`] finds, so that
//! the rest of the file is still read for what it is.

mod brackets;
mod slip;

use std::collections::BTreeMap;

use toml::Spanned;
use toml::de::{DeTable, Error};

use crate::diagnostic::Diagnostic;
use crate::input::source::{Broken, Sink, Span};

/// Parses the sink's text. Syntax mistakes go to the sink, one for a line.
/// Nothing is returned where the rest could not be trusted; where only values
/// are broken the sink knows which, and the others may still be read.
pub(crate) fn parse<'s>(sink: &'s Sink<'s>) -> Option<Spanned<DeTable<'s>>> {
    let text = sink.source.text.as_str();
    let (document, errors) = DeTable::parse_recoverable(text);
    if errors.is_empty() {
        return Some(document);
    }
    let open = brackets::unclosed(text);
    if open.is_empty() {
        return report(sink, &errors).then_some(document);
    }
    let mut masked = text.to_owned();
    for fault in open {
        sink.report(&fault.bracket, fault.diagnostic());
        blank(&mut masked, &fault.statement);
    }
    let (_, errors) = DeTable::parse_recoverable(&masked);
    report(sink, &errors);
    None
}

/// Every character but line ends becomes a space, so that places stay.
fn blank(text: &mut String, span: &Span) {
    let Some(old) = text.get(span.clone()) else {
        return;
    };
    let spaces = old.bytes().map(|byte| match byte {
        b'\n' | b'\r' => char::from(byte),
        _ => ' ',
    });
    let spaces: String = spaces.collect();
    text.replace_range(span.clone(), &spaces);
}

/// Reports the first mistake of each line; tells whether all of them are
/// confined to a value.
fn report(sink: &Sink<'_>, errors: &[Error]) -> bool {
    let text = sink.source.text.as_str();
    let mut first: BTreeMap<usize, (Span, &Error)> = BTreeMap::new();
    for error in errors {
        let span = error.span().unwrap_or(0..0);
        first
            .entry(line(text, span.start).start)
            .or_insert((span, error));
    }
    let mut confined = true;
    for (span, error) in first.into_values() {
        if error.message().starts_with("duplicate key") {
            let message = format!("`{}` is given twice", sink.source.quote(&span));
            let help = "keep the one that counts and delete the other";
            sink.report(&span, Diagnostic::new("duplicate-key", message).help(help));
            continue;
        }
        let line = line(text, span.start);
        let found = slip::find(text, &line, &span, error.message());
        sink.report(&found.span, found.diagnostic);
        match found.key {
            Some(key) => sink.give_up(Broken { line, key }),
            None => confined = false,
        }
    }
    confined
}

/// The line that a byte stands in, without its end.
fn line(text: &str, at: usize) -> Span {
    let bytes = text.as_bytes();
    let at = at.min(bytes.len());
    let start = bytes[..at].iter().rposition(|&byte| byte == b'\n');
    let end = bytes[at..].iter().position(|&byte| byte == b'\n');
    let start = start.map_or(0, |newline| newline + 1);
    start..end.map_or(bytes.len(), |newline| at + newline)
}

/// The length of what stands before a comment on a line.
pub(super) fn before_comment(line: &str) -> usize {
    outside_quotes(line)
        .find(|&(_, character)| character == '#')
        .map_or(line.len(), |(at, _)| at)
}

/// The characters of a line that stand outside quotation marks, and where.
fn outside_quotes(line: &str) -> impl Iterator<Item = (usize, char)> {
    let mut quote = None;
    let mut escaped = false;
    line.char_indices().filter(move |&(_, character)| {
        let was_escaped = std::mem::take(&mut escaped);
        match (quote, character) {
            (Some(open), _) => {
                escaped = open == '"' && character == '\\' && !was_escaped;
                if character == open && !was_escaped {
                    quote = None;
                }
                false
            }
            (None, '"' | '\'') => {
                quote = Some(character);
                false
            }
            (None, _) => true,
        }
    })
}
