//! From what a person types to what TOML spells.

use super::kind::Kind;
use crate::units::{Units, text};

/// A value as TOML spells it, and what is told of it where it was not taken letter by letter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Spelt {
    pub(super) value: String,
    pub(super) told: Option<String>,
}

/// Whatever is typed can be spelt: what is no value of its kind becomes text,
/// and the reader of the file says what is wrong with it.
pub(super) fn spell(kind: &Kind, typed: &str, units: Units) -> Spelt {
    let typed = typed.trim();
    match kind {
        Kind::Length => length(typed, units),
        Kind::Number => match number(&text::plain(typed)) {
            Some(value) => taken(typed, value.clone(), &value),
            None => quoted(typed),
        },
        Kind::Switch if ["true", "false"].contains(&typed) => Spelt {
            value: typed.to_owned(),
            told: None,
        },
        _ => quoted(typed),
    }
}

/// A list as it is typed: values between commas, or between semicolons where
/// there is one, in brackets or without.
pub(super) fn spell_list(kind: &Kind, typed: &str, units: Units) -> Spelt {
    let inside = typed
        .strip_prefix('[')
        .and_then(|rest| rest.strip_suffix(']'))
        .unwrap_or(typed);
    let between = if inside.contains(';') { ';' } else { ',' };
    let items = inside.split(between).map(str::trim);
    let items: Vec<Spelt> = items
        .filter(|item| !item.is_empty())
        .map(|item| spell(kind, bare(item), units))
        .collect();
    let is_literal = items.iter().all(|item| item.told.is_none());
    let values: Vec<&str> = items.iter().map(|item| item.value.as_str()).collect();
    let value = format!("[{}]", values.join(", "));
    let plain = value.replace('"', "");
    if is_literal && plain == format!("[{}]", inside.replace('"', "")) {
        return Spelt { value, told: None };
    }
    taken(typed, value.clone(), &value)
}

/// Without the quotes that TOML wants.
fn bare(item: &str) -> &str {
    let inside = |quote| item.strip_prefix(quote)?.strip_suffix(quote);
    inside('"').or_else(|| inside('\'')).unwrap_or(item)
}

fn length(typed: &str, units: Units) -> Spelt {
    let plain = text::plain(typed);
    if let Some(value) = number(&plain) {
        return taken(typed, value.clone(), &format!("{value} {units}"));
    }
    if text::parse(typed).is_ok() {
        return quoted(typed);
    }
    match text::suggestion(typed) {
        Some(meant) => taken(
            typed,
            toml::Value::String(meant.clone()).to_string(),
            &meant,
        ),
        None => quoted(typed),
    }
}

/// A length as options take it, and what it was taken to mean where it was not
/// taken letter by letter.
#[cfg(feature = "page")]
pub(crate) fn meant_length(typed: &str, units: Units) -> (String, Option<String>) {
    match length(typed, units) {
        Spelt { told: None, .. } => (typed.to_owned(), None),
        Spelt { value, told } => (bare(&value).to_owned(), told),
    }
}

fn quoted(typed: &str) -> Spelt {
    Spelt {
        value: toml::Value::String(typed.to_owned()).to_string(),
        told: None,
    }
}

fn taken(typed: &str, value: String, meant: &str) -> Spelt {
    let told = (value != typed).then(|| format!("`{typed}` was taken as {meant}"));
    Spelt { value, told }
}

/// A decimal number as TOML wants it: a digit before and after the point, no
/// zeros in front.
fn number(plain: &str) -> Option<String> {
    let (sign, digits) = match plain.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", plain),
    };
    let is_plain = |letter: char| letter.is_ascii_digit() || letter == '.';
    if digits.len() > 20
        || !digits.chars().all(is_plain)
        || !digits.contains(|letter: char| letter.is_ascii_digit())
    {
        return None;
    }
    let (whole, after) = digits
        .split_once('.')
        .map_or((digits, None), |(whole, after)| (whole, Some(after)));
    let whole = match whole.trim_start_matches('0') {
        "" => "0",
        whole => whole,
    };
    match after {
        Some(after) if after.contains('.') => None,
        None | Some("") => Some(format!("{sign}{whole}")),
        Some(after) => Some(format!("{sign}{whole}.{after}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(typed: &str, value: &str, told: Option<&str>) {
        let spelt = spell(&Kind::Length, typed, Units::Millimetre);
        assert_eq!((spelt.value.as_str(), spelt.told.as_deref()), (value, told));
    }

    #[test]
    fn lengths_are_taken_as_people_type_them() {
        check("9.5", "9.5", None);
        check(" 9.50 ", "9.50", None);
        check("-3", "-3", None);
        check("9,5", "9.5", Some("`9,5` was taken as 9.5 mm"));
        check(".5", "0.5", Some("`.5` was taken as 0.5 mm"));
        check("007", "7", Some("`007` was taken as 7 mm"));
        check("9.5 mm", "\"9.5 mm\"", None);
        check("1-11/16 in", "\"1-11/16 in\"", None);
        check("3/8", "\"3/8 in\"", Some("`3/8` was taken as 3/8 in"));
        check("1¾″", "\"1 3/4 in\"", Some("`1¾″` was taken as 1 3/4 in"));
        check("1.2.3", "\"1.2.3\"", None);
        check("ten", "\"ten\"", None);
    }

    #[test]
    fn whatever_is_typed_is_a_value() {
        for kind in [Kind::Length, Kind::Number, Kind::Switch, Kind::Text] {
            for typed in [
                "", "\"", "\\", "a\nb", "'''", "1e5", "nan", "true", "]", "# x", "\u{7}",
            ] {
                let spelt = spell(&kind, typed, Units::Inch);
                let text = format!("a = {}\n", spelt.value);
                assert!(text.parse::<toml_edit::DocumentMut>().is_ok(), "{text}");
            }
        }
    }
}
