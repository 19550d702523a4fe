//! A TOML table being walked, by what the key table says of its keys.

use std::cell::Cell;

use serde::de::DeserializeOwned;
use toml::de::{DeTable, DeValue};

use crate::diagnostic::Diagnostic;
use crate::input::choice::{self, with_nearest};
use crate::input::keys::{self, Key, Presence};
use crate::input::quoted::quoted;
use crate::input::source::{At, Sink, Span};
use crate::input::value::Value;
use crate::units::{Length, Units};

/// A table, its key path and the keys that it may have.
pub(crate) struct Table<'s> {
    pub(crate) sink: &'s Sink<'s>,
    pub(crate) units: Units,
    path: String,
    span: Span,
    /// None where the table is left out.
    entries: Option<&'s DeTable<'s>>,
    keys: &'static [Key],
    /// A bit for each key that was asked for, so that none goes unread.
    asked: Cell<u64>,
}

impl<'s> Table<'s> {
    pub(crate) fn new(
        sink: &'s Sink<'s>,
        path: String,
        units: Units,
        span: Span,
        entries: Option<&'s DeTable<'s>>,
        keys: &'static [Key],
    ) -> Self {
        Self {
            sink,
            units,
            path,
            span,
            entries,
            keys,
            asked: Cell::new(0),
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

    fn key(&self, name: &str) -> Option<&'static Key> {
        let place = self.keys.iter().position(|key| key.name == name);
        debug_assert!(place.is_some(), "`{name}` is not in the key table");
        let place = place?;
        self.asked.set(self.asked.get() | 1 << place);
        self.keys.get(place)
    }

    /// What stands at a key. One that has to be there is reported where it is not.
    pub(crate) fn value(&self, name: &str) -> Option<Value<'s>> {
        let key = self.key(name)?;
        match key.presence {
            Presence::Required => self.required(name),
            Presence::Unless(other) if !self.has(other) => self.required(name),
            _ => self.stated(key),
        }
    }

    /// What stands at a key that has to be there, for the sake of another.
    pub(crate) fn required(&self, name: &str) -> Option<Value<'s>> {
        let value = self.key(name).and_then(|key| self.stated(key));
        if value.is_none() {
            self.report_missing(name);
        }
        value
    }

    fn has(&self, key: &str) -> bool {
        self.entries
            .is_some_and(|entries| entries.contains_key(key))
    }

    fn stated(&self, key: &'static Key) -> Option<Value<'s>> {
        let value = self.entries?.get(key.name)?;
        let path = self.path_of(key.name);
        Some(Value::new(self.sink, path, self.units, key.content, value))
    }

    pub(crate) fn string(&self, key: &str) -> Option<At<String>> {
        self.value(key)?.string()
    }

    pub(crate) fn length(&self, key: &str) -> Option<At<Length>> {
        self.value(key)?.length()
    }

    pub(crate) fn number(&self, key: &str) -> Option<At<f64>> {
        self.value(key)?.number()
    }

    pub(crate) fn whole(&self, key: &str) -> Option<At<u32>> {
        self.value(key)?.whole()
    }

    pub(crate) fn switch(&self, key: &str) -> Option<bool> {
        self.value(key)?.switch()
    }

    pub(crate) fn lengths<const N: usize>(&self, key: &str) -> Option<[Length; N]> {
        self.value(key)?.lengths()
    }

    pub(crate) fn table(&self, key: &str) -> Option<Self> {
        self.value(key)?.table()
    }

    /// The table at a key, or one that states nothing.
    pub(crate) fn table_or_empty(&self, key: &str) -> Option<Self> {
        if self.has(key) {
            return self.table(key);
        }
        let keys = self.key(key)?.content.keys()?;
        let (path, span) = (self.path_of(key), self.span());
        Some(Self::new(self.sink, path, self.units, span, None, keys))
    }

    /// The length at a key, or the one that counts without it.
    pub(crate) fn length_or_default(&self, key: &str) -> Length {
        let read = self.length(key).map(|length| length.value);
        read.unwrap_or_else(|| self.default_length(key))
    }

    /// The length that counts without a key.
    pub(crate) fn default_length(&self, key: &str) -> Length {
        match self.presence(key) {
            Some(Presence::Mm(mm)) => Length::from_mm(mm),
            _ => Length::ZERO,
        }
    }

    /// The number at a key, or the one that counts without it.
    pub(crate) fn number_or_default(&self, key: &str) -> f64 {
        let read = self.number(key).map(|number| number.value);
        read.unwrap_or_else(|| match self.presence(key) {
            Some(Presence::Figure(number)) => number,
            _ => 0.0,
        })
    }

    /// The whole number at a key, or the one that counts without it.
    pub(crate) fn whole_or_default(&self, key: &str) -> u32 {
        let read = self.whole(key).map(|number| number.value);
        read.unwrap_or_else(|| match self.presence(key) {
            Some(Presence::Figure(number)) => number as u32,
            _ => 0,
        })
    }

    /// What a key switches, or what counts without it.
    pub(crate) fn switch_or_default(&self, key: &str) -> bool {
        let default = self.presence(key) == Some(Presence::Is(true));
        self.switch(key).unwrap_or(default)
    }

    /// The lengths at a key, or those that count without it.
    pub(crate) fn lengths_or_default<const N: usize>(&self, key: &str) -> [Length; N] {
        self.lengths(key).unwrap_or_else(|| {
            let mut lengths = [Length::ZERO; N];
            if let Some(Presence::Each(all)) = self.presence(key) {
                for (length, mm) in lengths.iter_mut().zip(all) {
                    *length = Length::from_mm(*mm);
                }
            }
            lengths
        })
    }

    /// The word at a key; without it the one that counts, where there is one.
    pub(crate) fn choice<T: DeserializeOwned>(&self, key: &str) -> Option<T> {
        match self.value(key) {
            Some(value) => value.choice(),
            None => choice::parse(self.default_word(key)).ok(),
        }
    }

    /// The word that counts without a key; empty where there is none.
    pub(crate) fn default_word(&self, key: &str) -> &'static str {
        match self.presence(key) {
            Some(Presence::Said(word)) => word,
            _ => "",
        }
    }

    fn presence(&self, key: &str) -> Option<Presence> {
        self.key(key).map(|key| key.presence)
    }

    pub(crate) fn report_missing(&self, key: &str) {
        if self.sink.gave_up(key) {
            return;
        }
        let path = self.path_of(key);
        let missing = Diagnostic::new("missing-key", format!("`{path}` is missing"));
        self.report(match keys::describe(self.sink.source.kind, &path) {
            Some(meaning) => missing.help(format!("it is {meaning}")),
            None => missing,
        });
    }

    /// Reports a mistake at the table's start.
    pub(crate) fn report(&self, diagnostic: Diagnostic) {
        self.sink.report(&self.span(), diagnostic);
    }

    /// Reports every key that is not of this table.
    pub(crate) fn close(self) {
        debug_assert_eq!(
            self.asked.get().count_ones() as usize,
            self.keys.len(),
            "a key of `{}` is never read",
            self.path
        );
        let known: Vec<&str> = self.keys.iter().map(|key| key.name).collect();
        for key in self.entries.into_iter().flat_map(DeTable::keys) {
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
        let DeValue::Table(entries) = self.value.get_ref() else {
            return self.wrong_type("a table of keys");
        };
        let keys = self.content.keys();
        debug_assert!(keys.is_some(), "`{}` is no table", self.path);
        Some(Table::new(
            self.sink,
            self.path.clone(),
            self.units,
            self.span(),
            Some(entries),
            keys.unwrap_or_default(),
        ))
    }

    /// What `read` makes of each table of a list; nothing where one cannot be read.
    pub(crate) fn tables<T>(&self, read: impl Fn(Table<'s>) -> Option<T>) -> Option<Vec<T>> {
        let items = self.list()?;
        let all: Vec<Option<T>> = items
            .iter()
            .map(|item| item.table().and_then(&read))
            .collect();
        all.into_iter().collect()
    }
}
