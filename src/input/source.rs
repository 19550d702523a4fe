//! A text with its name, and the mistakes found in it so far.

use std::cell::RefCell;
use std::ops::Range;

use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::input::keys::FileKind;
use crate::input::quoted::shortened;
use crate::units::Units;

/// Byte positions in a text.
pub(crate) type Span = Range<usize>;

/// A value with the place it stands at; a default has the place of its table.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct At<T> {
    pub(crate) value: T,
    pub(crate) span: Span,
}

impl<T> At<T> {
    pub(crate) fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

/// So many mistakes are enough to start with.
const MOST_REPORTED: usize = 100;

/// A spec file's name and text.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Source {
    pub(crate) kind: FileKind,
    pub(crate) file: String,
    pub(crate) text: String,
}

impl Source {
    pub(crate) fn new(kind: FileKind, file: &str, text: &str) -> Self {
        Self {
            kind,
            file: file.to_owned(),
            text: text.to_owned(),
        }
    }

    /// What stands at `span`, on one line and not too long.
    pub(crate) fn quote(&self, span: &Span) -> String {
        let raw = self.text.get(span.clone()).unwrap_or_default();
        shortened(raw)
    }

    pub(crate) fn place(&self, span: &Span) -> Place {
        let text = self.text.as_str();
        let start = floor_boundary(text, span.start);
        let end = floor_boundary(text, span.end.max(start));
        let before = text.get(..start).unwrap_or_default();
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        let line = before.bytes().filter(|byte| *byte == b'\n').count() + 1;
        let column = text.get(line_start..start).unwrap_or_default();
        let marked = text.get(start..end).unwrap_or_default();
        let marked = marked.lines().next().unwrap_or_default();
        Place {
            file: self.file.clone(),
            line: count(line),
            column: count(column.chars().count() + 1),
            length: count(marked.chars().count().max(1)),
        }
    }
}

fn floor_boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn count(value: usize) -> u32 {
    u32::try_from(value).unwrap_or(u32::MAX)
}

/// A stretch of the text that is no TOML, and the key whose value it is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Broken {
    /// The whole line.
    pub(crate) line: Span,
    pub(crate) key: String,
}

/// Collects the mistakes of one file while it is walked.
pub(crate) struct Sink<'s> {
    pub(crate) source: &'s Source,
    found: RefCell<Vec<(Span, Diagnostic)>>,
    placeless: RefCell<Vec<Diagnostic>>,
    broken: RefCell<Vec<Broken>>,
    /// Bare figures out of range that would be right in the other unit.
    doubted: RefCell<Vec<Span>>,
}

/// So many figures in the other unit are one slip: the file's `units`.
const ONE_SLIP: usize = 4;

impl<'s> Sink<'s> {
    pub(crate) fn new(source: &'s Source) -> Self {
        Self {
            source,
            found: RefCell::default(),
            placeless: RefCell::default(),
            broken: RefCell::default(),
            doubted: RefCell::default(),
        }
    }

    pub(crate) fn report(&self, span: &Span, diagnostic: Diagnostic) {
        let broken = self.broken.borrow();
        if !broken
            .iter()
            .any(|broken| broken.line.contains(&span.start))
        {
            self.found.borrow_mut().push((span.clone(), diagnostic));
        }
    }

    /// Reports nothing more on a line whose value could not be read.
    pub(crate) fn give_up(&self, broken: Broken) {
        self.broken.borrow_mut().push(broken);
    }

    /// A bare figure that would be right in the other unit.
    pub(crate) fn doubt_units(&self, span: &Span) {
        self.doubted.borrow_mut().push(span.clone());
    }

    /// Tells many figures in the other unit as one mistake, at the file's `units`.
    pub(crate) fn settle_units(&self, units: Units, stated: Option<&Span>) {
        let doubted = self.doubted.take();
        let Some(first) = doubted.iter().min_by_key(|span| span.start) else {
            return;
        };
        if doubted.len() < ONE_SLIP {
            return;
        }
        self.found
            .borrow_mut()
            .retain(|(span, _)| !doubted.contains(span));
        let message = format!(
            "{} bare numbers of this file are out of range in {} and right in {}, the first is {} in line {}",
            doubted.len(),
            units.name(),
            units.other().name(),
            self.source.quote(first),
            self.source.place(first).line
        );
        let help = format!("write `units = \"{}\"` at the top", units.other());
        let diagnostic = Diagnostic::new("wrong-units", message).help(help);
        self.report(stated.unwrap_or(first), diagnostic);
    }

    /// Whether a value of that key could not be read, so that it is not missing.
    pub(crate) fn gave_up(&self, key: &str) -> bool {
        let broken = self.broken.borrow();
        broken
            .iter()
            .any(|broken| broken.key.trim_matches(['"', '\'']) == key)
    }

    /// Reports a mistake of the command line, which is in no file.
    pub(crate) fn report_without_place(&self, diagnostic: Diagnostic) {
        self.placeless.borrow_mut().push(diagnostic);
    }

    /// `value`, or all mistakes in the order of the file.
    pub(crate) fn finish<T>(self, value: Option<T>) -> Result<T, Diagnostics> {
        let source = self.source;
        let mut found = self.found.into_inner();
        let mut diagnostics = self.placeless.into_inner();
        match value {
            Some(value) if found.is_empty() && diagnostics.is_empty() => return Ok(value),
            None if found.is_empty() && diagnostics.is_empty() => found.push((
                0..0,
                Diagnostic::new("unreadable", "the file could not be understood"),
            )),
            _ => {}
        }
        found.sort_by_key(|(span, _)| span.start);
        let more = found.len().saturating_sub(MOST_REPORTED);
        let listed = found.into_iter().take(MOST_REPORTED);
        diagnostics.extend(listed.map(|(span, found)| found.at(source.place(&span))));
        if more > 0 {
            let message = format!("{more} more mistakes in this file are not listed");
            diagnostics.push(Diagnostic::new("more-mistakes", message));
        }
        Err(diagnostics.into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_and_lengths_count_characters() {
        let source = Source::new(FileKind::Job, "job.toml", "a = 1\nöö = \"äé\"\n");
        let start = source.text.find('"').unwrap();
        let place = source.place(&(start..start + 6));
        assert_eq!((place.line, place.column, place.length), (2, 6, 4));
    }

    #[test]
    fn a_place_past_the_end_or_inside_a_character_is_still_a_place() {
        let source = Source::new(FileKind::Job, "job.toml", "é");
        assert_eq!(source.place(&(1..900)).column, 1);
        assert_eq!(source.place(&(900..901)).column, 2);
    }

    #[test]
    fn only_the_first_hundred_mistakes_are_listed() {
        let source = Source::new(FileKind::Job, "job.toml", "x");
        let sink = Sink::new(&source);
        for _ in 0..150 {
            sink.report(&(0..1), Diagnostic::new("bad", "bad"));
        }
        let errors = sink.finish(Some(())).unwrap_err();
        assert_eq!(errors.len(), 101);
        assert!(errors[100].message.starts_with("50 more"));
    }
}
