//! A TOML table being walked: which keys were asked for, which are left over.

use std::cell::RefCell;

use toml::de::{DeTable, DeValue};

use crate::diagnostic::Diagnostic;
use crate::input::choice::{self, with_nearest};
use crate::input::limits::quoted;
use crate::input::schema;
use crate::input::source::{Sink, Span};
use crate::input::value::Value;
use crate::units::Units;

/// A table, its key path and the keys asked for so far.
pub(crate) struct Table<'s> {
    pub(crate) sink: &'s Sink<'s>,
    pub(crate) units: Units,
    path: String,
    span: Span,
    entries: &'s DeTable<'s>,
    known: RefCell<Vec<&'static str>>,
}

impl<'s> Table<'s> {
    pub(crate) fn new(
        sink: &'s Sink<'s>,
        path: String,
        units: Units,
        span: Span,
        entries: &'s DeTable<'s>,
    ) -> Self {
        let known = RefCell::new(Vec::new());
        Self {
            sink,
            units,
            path,
            span,
            entries,
            known,
        }
    }

    /// Where the table starts: its header, its brace, or the top of the file.
    pub(crate) fn span(&self) -> Span {
        if self.path.is_empty() {
            return 0..0;
        }
        self.span.clone()
    }

    fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    pub(crate) fn optional(&self, key: &'static str) -> Option<Value<'s>> {
        self.known.borrow_mut().push(key);
        let value = self.entries.get(key)?;
        Some(Value::new(self.sink, self.path_of(key), self.units, value))
    }

    pub(crate) fn required(&self, key: &'static str) -> Option<Value<'s>> {
        let value = self.optional(key);
        if value.is_none() {
            self.report_missing(key);
        }
        value
    }

    pub(crate) fn report_missing(&self, key: &str) {
        if self.sink.gave_up(key) {
            return;
        }
        let path = self.path_of(key);
        let missing = Diagnostic::new("missing-key", format!("`{path}` is missing"));
        self.report(match schema::describe(self.sink.source.kind, &path) {
            Some(meaning) => missing.help(format!("it is {meaning}")),
            None => missing,
        });
    }

    /// Reports a mistake at the table's start.
    pub(crate) fn report(&self, diagnostic: Diagnostic) {
        self.sink.report(&self.span(), diagnostic);
    }

    /// Reports every key that nobody asked for.
    pub(crate) fn close(self) {
        let known = self.known.borrow();
        for key in self.entries.keys() {
            let word: &str = key.get_ref();
            if known.contains(&word) {
                continue;
            }
            let place = if self.path.is_empty() {
                "here".to_owned()
            } else {
                format!("in `{}`", self.path)
            };
            let message = format!("unknown key {} {place}", quoted(word));
            let nearest = choice::nearest(word, known.iter().copied());
            let diagnostic = Diagnostic::new("unknown-key", message);
            let diagnostic = if nearest.is_empty() {
                diagnostic.help(format!("allowed are {}", choice::list(&known)))
            } else {
                with_nearest(diagnostic, &nearest)
            };
            self.sink.report(&key.span(), diagnostic);
        }
    }
}

impl<'s> Value<'s> {
    pub(crate) fn table(&self) -> Option<Table<'s>> {
        match self.value.get_ref() {
            DeValue::Table(entries) => Some(Table::new(
                self.sink,
                self.path.clone(),
                self.units,
                self.span(),
                entries,
            )),
            _ => self.wrong_type("a table of keys"),
        }
    }
}
