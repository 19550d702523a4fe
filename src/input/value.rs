//! One TOML value with its place, read as what a key wants.

use serde::de::DeserializeOwned;
use toml::Spanned;
use toml::de::{DeString, DeValue};

use crate::diagnostic::Diagnostic;
use crate::input::choice::{self, with_nearest};
use crate::input::keys::Content;
use crate::input::limits::Range;
use crate::input::quoted::quoted;
use crate::input::source::{At, Sink, Span};
use crate::units::{Length, Units, text};

/// A value and the key path it stands under, `box.length`.
#[derive(Clone)]
pub(crate) struct Value<'s> {
    pub(crate) sink: &'s Sink<'s>,
    pub(crate) path: String,
    pub(crate) units: Units,
    /// What the key table lets stand here.
    pub(super) content: Content,
    pub(super) value: &'s Spanned<DeValue<'s>>,
}

/// Every reader returns nothing after it has reported why.
impl<'s> Value<'s> {
    pub(crate) fn new(
        sink: &'s Sink<'s>,
        path: String,
        units: Units,
        content: Content,
        value: &'s Spanned<DeValue<'s>>,
    ) -> Self {
        Self {
            sink,
            path,
            units,
            content,
            value,
        }
    }

    pub(crate) fn span(&self) -> Span {
        self.value.span()
    }

    pub(crate) fn is_table(&self) -> bool {
        self.value.get_ref().is_table()
    }

    /// Reports a mistake at this value.
    pub(crate) fn report(&self, diagnostic: Diagnostic) {
        self.sink.report(&self.span(), diagnostic);
    }

    /// Reports that this key has no business beside the others.
    pub(crate) fn refuse(&self, reason: &str) {
        let message = format!("`{}` does not belong here: {reason}", self.path);
        self.report(Diagnostic::new("key-not-allowed", message));
    }

    pub(super) fn wrong_type<T>(&self, wanted: &str) -> Option<T> {
        let found = self.value.get_ref();
        let message = format!(
            "`{}` is {}, {}; allowed is {wanted}",
            self.path,
            self.sink.source.quote(&self.span()),
            kind(found)
        );
        let diagnostic = Diagnostic::new("wrong-type", message);
        self.report(match found {
            DeValue::String(text) if wanted.contains("number") => match share(text) {
                Some(number) => diagnostic.help(format!("write {number}, without quotation marks")),
                None => diagnostic,
            },
            DeValue::Table(_) | DeValue::Integer(_) | DeValue::Float(_) | DeValue::String(_)
                if wanted.starts_with("a list") =>
            {
                diagnostic.help("put it in [ ], even where there is only one")
            }
            _ if wanted.starts_with("a table") => {
                diagnostic.help("write its keys in braces: { key = value, key = value }")
            }
            DeValue::Float(number) if wanted.contains("whole") => {
                match number.as_str().parse::<f64>() {
                    Ok(number) if number.fract() == 0.0 => {
                        diagnostic.help(format!("write {}", text::trimmed(number)))
                    }
                    _ => diagnostic,
                }
            }
            _ => diagnostic,
        });
        None
    }

    fn out_of_range<T>(
        &self,
        limits: Range,
        units: Option<Units>,
        help: Option<String>,
    ) -> Option<T> {
        let message = format!(
            "`{}` is {}, allowed is {}",
            self.path,
            self.sink.source.quote(&self.span()),
            limits.words(units)
        );
        let diagnostic = Diagnostic::new("out-of-range", message);
        self.report(match help {
            Some(help) => diagnostic.help(help),
            None => diagnostic,
        });
        None
    }

    fn at<T>(&self, value: T) -> At<T> {
        At::new(value, self.span())
    }

    pub(crate) fn string(&self) -> Option<At<String>> {
        match self.value.get_ref() {
            DeValue::String(text) if text.trim().is_empty() => {
                let message = format!("`{}` is empty, a word is wanted", self.path);
                self.report(Diagnostic::new("empty-text", message));
                None
            }
            DeValue::String(text) => Some(self.at(text.trim().to_owned())),
            _ => self.wrong_type("text in quotes"),
        }
    }

    /// The range that the key table states for the numbers here.
    fn range(&self) -> Range {
        match self.content {
            Content::Number(range)
            | Content::Whole(range)
            | Content::Length(range)
            | Content::Speeds(range) => range,
            other => {
                debug_assert!(false, "`{}` is {other:?}", self.path);
                Range::ANY
            }
        }
    }

    /// A table of speeds by the names of their marks.
    pub(crate) fn speeds(&self) -> Option<Vec<(String, f64)>> {
        let DeValue::Table(entries) = self.value.get_ref() else {
            return self.wrong_type("a table of marks and speeds");
        };
        let speed = |(key, value): (&Spanned<DeString<'s>>, &'s Spanned<DeValue<'s>>)| {
            let mark: &str = key.get_ref();
            let path = format!("{}.{mark}", self.path);
            let content = Content::Number(self.range());
            let read = Value::new(self.sink, path, self.units, content, value).number()?;
            Some((mark.to_owned(), read.value))
        };
        entries.iter().map(speed).collect()
    }

    /// Text in quotes, which may be empty.
    pub(crate) fn text(&self) -> Option<()> {
        match self.value.get_ref() {
            DeValue::String(_) => Some(()),
            _ => self.wrong_type("text in quotes"),
        }
    }

    pub(crate) fn switch(&self) -> Option<bool> {
        match self.value.get_ref() {
            DeValue::Boolean(value) => Some(*value),
            _ => self.wrong_type("`true` or `false`"),
        }
    }

    /// A plain number without a unit.
    pub(crate) fn number(&self) -> Option<At<f64>> {
        let limits = self.range();
        let Some(number) = numeric(self.value.get_ref()) else {
            return self.wrong_type("a number");
        };
        if limits.hold(number) {
            Some(self.at(number))
        } else {
            let share = limits.percent(number).then(|| percent(number));
            self.out_of_range(limits, None, share)
        }
    }

    pub(crate) fn whole(&self) -> Option<At<u32>> {
        self.whole_within(self.range())
    }

    /// A whole number within a range that follows from other keys.
    pub(crate) fn whole_within(&self, limits: Range) -> Option<At<u32>> {
        let DeValue::Integer(integer) = self.value.get_ref() else {
            return self.wrong_type("a whole number, written without a point");
        };
        let number = u32::from_str_radix(integer.as_str(), integer.radix());
        match number {
            Ok(number) if limits.hold(f64::from(number)) => Some(self.at(number)),
            _ => self.out_of_range(limits, None, None),
        }
    }

    /// A bare number in the file's units, or text with a unit of its own.
    pub(crate) fn length(&self) -> Option<At<Length>> {
        self.length_within(self.range())
    }

    /// A length within a range that follows from other keys.
    pub(crate) fn length_within(&self, limits: Range) -> Option<At<Length>> {
        let (length, units) = match self.value.get_ref() {
            DeValue::String(written) => match text::parse(written) {
                Ok(length) => (length, text::unit_of(written)),
                Err(error) => return self.bad_length(written, error),
            },
            other => match numeric(other) {
                Some(number) => (self.units.one() * number, self.units),
                None => return self.wrong_type("a length"),
            },
        };
        let limits = limits.written_in(units);
        if limits.hold(length.as_mm()) {
            return Some(self.at(length));
        }
        let mut help = limits.other_unit(length, units);
        if let (Some(help), false) = (&mut help, self.value.get_ref().is_str()) {
            let other = units.other();
            help.push_str(&format!(
                ", or `units = \"{other}\"` at the top where all bare numbers of this file are"
            ));
            self.sink.doubt_units(&self.span());
        }
        let help = help.or_else(|| limits.tenth(length, units));
        self.out_of_range(limits, Some(self.units), help)
    }

    fn bad_length<T>(&self, written: &str, error: text::LengthError) -> Option<T> {
        let message = format!("`{}`: {} {error}", self.path, quoted(written));
        let help = match (text::suggestion(written), share(written)) {
            (Some(meant), _) => format!("write \"{meant}\""),
            (None, Some(number)) if error == text::LengthError::NoUnit => {
                let units = self.units;
                format!("write {number} without quotation marks, or \"{number} {units}\"")
            }
            _ => "write a number, or text such as \"9.5 mm\", \"0.375 in\", \"3/8 in\" or \"1 11/16 in\"".to_owned(),
        };
        self.report(Diagnostic::new("bad-length", message).help(help));
        None
    }

    /// One of the words an enum spells.
    pub(crate) fn choice<T: DeserializeOwned>(&self) -> Option<T> {
        let DeValue::String(word) = self.value.get_ref() else {
            return self.wrong_type("a word in quotes");
        };
        match choice::parse(word) {
            Ok(value) => Some(value),
            Err(allowed) => {
                let message = format!("`{}` is {}, allowed is {allowed}", self.path, quoted(word));
                self.report(with_nearest(
                    Diagnostic::new("unknown-word", message),
                    &choice::nearest(word, allowed.0.iter().copied()),
                ));
                None
            }
        }
    }

    /// As many values as the key table allows.
    pub(crate) fn list(&self) -> Option<Vec<Value<'s>>> {
        let DeValue::Array(values) = self.value.get_ref() else {
            return self.wrong_type("a list in [ ]");
        };
        let (least, most) = match self.content {
            Content::List(_, least, most) => (least, most),
            Content::Lengths(ranges) | Content::Numbers(ranges) => (ranges.len(), ranges.len()),
            _ => (0, usize::MAX),
        };
        if !(least..=most).contains(&values.len()) {
            let allowed = match most {
                most if most == least => least.to_string(),
                usize::MAX => format!("at least {least}"),
                most => format!("from {least} to {most}"),
            };
            let found = match values.len() {
                0 => "is empty".to_owned(),
                count => format!("has {count} values"),
            };
            let message = format!("`{}` {found}, allowed is {allowed}", self.path);
            self.report(Diagnostic::new("wrong-count", message));
            return None;
        }
        let item = |(index, value): (usize, &'s Spanned<DeValue<'s>>)| {
            let path = format!("{}[{}]", self.path, index + 1);
            let content = self.content.item(index)?;
            Some(Value::new(self.sink, path, self.units, content, value))
        };
        values.iter().enumerate().map(item).collect()
    }

    /// A list of exactly `N` lengths.
    pub(crate) fn lengths<const N: usize>(&self) -> Option<[Length; N]> {
        self.array(|item| item.length().map(|length| length.value))
    }

    /// A list of exactly `N` numbers.
    pub(crate) fn numbers<const N: usize>(&self) -> Option<[f64; N]> {
        self.array(|item| item.number().map(|number| number.value))
    }

    fn array<const N: usize, T>(&self, read: impl Fn(&Value<'s>) -> Option<T>) -> Option<[T; N]> {
        let list = self.list()?;
        // Read them all before giving up, so that every mistake is reported.
        let values: Vec<Option<T>> = list.iter().map(read).collect();
        let values: Option<Vec<T>> = values.into_iter().collect();
        values?.try_into().ok()
    }
}

/// `60 % is 0.6`.
pub(crate) fn percent(number: f64) -> String {
    let (percent, share) = (text::trimmed(number), text::trimmed(number / 100.0));
    format!("a share runs from 0 to 1: {percent} % is {share}")
}

/// A number in quotation marks, without a # before it, a percentage as a share.
fn share(text: &str) -> Option<String> {
    let plain = text::plain(text);
    let plain = plain.trim_start_matches('#');
    if let Some(percent) = plain.strip_suffix('%') {
        let number: f64 = percent.trim().parse().ok()?;
        return Some(text::trimmed(number / 100.0));
    }
    let number: f64 = plain.parse().ok()?;
    number.is_finite().then(|| text::trimmed(number))
}

fn numeric(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().parse().ok(),
        DeValue::Integer(integer) => i64::from_str_radix(integer.as_str(), integer.radix())
            .ok()
            .map(|number| number as f64),
        // Too great a number reads as infinity, which no range holds.
        DeValue::Float(float) => float.as_str().parse().ok(),
        _ => None,
    }
}

fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
