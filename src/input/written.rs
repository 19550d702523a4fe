//! What stands in a file at each key, for who shows and changes it key by key.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use crate::input::syntax::before_comment;

/// A key of a text with its value, as spelt there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Written {
    /// Such as `hinge.steps[2].depth`.
    pub(crate) path: String,
    /// The value as TOML spells it.
    pub(crate) raw: String,
    /// What it says where it is text, else as spelt.
    pub(crate) shown: String,
    /// Whether it is a table or a list.
    pub(crate) is_whole: bool,
    span: Range<usize>,
}

/// Every key of a text, tables and lists with what is in them. Of a text with
/// mistakes all that could be understood.
pub(crate) fn written(text: &str) -> Vec<Written> {
    let (document, _) = DeTable::parse_recoverable(text);
    let mut found = Vec::new();
    table(text, "", document.get_ref(), &mut found);
    found
}

fn table(text: &str, path: &str, entries: &DeTable<'_>, found: &mut Vec<Written>) {
    for (key, inner) in entries {
        let path = match path {
            "" => key.get_ref().to_string(),
            path => format!("{path}.{}", key.get_ref()),
        };
        let own = inner.span();
        // A table of a header or of dotted keys has no place of its own.
        let start = key.span().start.min(own.start);
        value(text, path, inner.get_ref(), start..own.end, own, found);
    }
}

fn value(
    text: &str,
    path: String,
    inner: &DeValue<'_>,
    span: Range<usize>,
    own: Range<usize>,
    found: &mut Vec<Written>,
) {
    let raw = text.get(own).unwrap_or_default().to_owned();
    found.push(Written {
        path: path.clone(),
        shown: match inner {
            DeValue::String(words) => words.to_string(),
            _ => raw.clone(),
        },
        raw,
        is_whole: matches!(inner, DeValue::Table(_) | DeValue::Array(_)),
        span,
    });
    match inner {
        DeValue::Table(entries) => table(text, &path, entries, found),
        DeValue::Array(values) => {
            for (index, item) in values.iter().enumerate() {
                let (path, own) = (format!("{path}[{}]", index + 1), item.span());
                value(text, path, item.get_ref(), own.clone(), own, found);
            }
        }
        _ => {}
    }
}

/// The key that a place of a text belongs to: the innermost that holds it, else
/// the one whose line it is, whose value could not be read.
#[cfg(any(test, feature = "page"))]
pub(crate) fn key_at(text: &str, keys: &[Written], line: u32, column: u32) -> Option<String> {
    let index = usize::try_from(line).ok()?.checked_sub(1)?;
    let start: usize = text.split_inclusive('\n').take(index).map(str::len).sum();
    let of_line = text.get(start..)?.lines().next()?;
    let before = of_line
        .chars()
        .take(usize::try_from(column).ok()?.saturating_sub(1));
    let at = start + before.map(char::len_utf8).sum::<usize>();
    let holds = |key: &&Written| key.span.contains(&at) || key.span.start == at;
    let innermost = keys.iter().filter(holds).min_by_key(|key| key.span.len());
    innermost
        .map(|key| key.path.clone())
        .or_else(|| key_of_line(text, index))
}

/// Where the value of a key stands on its line, comment left out, though the
/// text around it or the value itself may be no TOML.
pub(crate) fn value_on_line(text: &str, path: &str) -> Option<Range<usize>> {
    let (table, key) = path.rsplit_once('.').unwrap_or(("", path));
    let (mut start, mut header) = (0, "");
    for line in text.split_inclusive('\n') {
        header = header_of(line).unwrap_or(header);
        if header == table
            && line
                .split('=')
                .next()
                .is_some_and(|word| word.trim() == key)
        {
            let equals = line.find('=')? + 1;
            let end = before_comment(line).max(equals);
            let value = line.get(equals..end)?;
            let before = match value.trim() {
                "" => value.len().min(1),
                _ => value.len() - value.trim_start().len(),
            };
            let from = start + equals + before;
            return Some(from..from + value.trim().len());
        }
        start += line.len();
    }
    None
}

/// The table that a line begins.
fn header_of(line: &str) -> Option<&str> {
    let name = line.trim().strip_prefix('[')?.split(']').next()?;
    (!name.starts_with('[') && !line.contains('=')).then(|| name.trim())
}

#[cfg(any(test, feature = "page"))]
fn key_of_line(text: &str, index: usize) -> Option<String> {
    let lines: Vec<&str> = text.lines().take(index + 1).collect();
    let (key, _) = lines.last()?.split_once('=')?;
    let header = lines.iter().rev().find_map(|line| header_of(line));
    let key = key.trim();
    Some(match header {
        Some(table) => format!("{table}.{key}"),
        None => key.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "title = \"Tea\" # x\n[box]\nlength = 2_60\nwood = { name = 'oak' }\n[hinge]\nsteps = [\n  { length = 44, depth = \"1/2 in\" },\n]\n";

    #[test]
    fn every_key_has_its_value_as_spelt() {
        let keys = written(TEXT);
        let find = |path: &str| {
            let found = keys.iter().find(|key| key.path == path).unwrap();
            (found.raw.as_str(), found.shown.as_str())
        };
        assert_eq!(find("title"), ("\"Tea\"", "Tea"));
        assert_eq!(find("box.length"), ("2_60", "2_60"));
        assert_eq!(find("box.wood.name"), ("'oak'", "oak"));
        assert_eq!(find("hinge.steps[1].depth"), ("\"1/2 in\"", "1/2 in"));
        assert!(
            keys.iter()
                .any(|key| key.path == "hinge.steps" && key.is_whole)
        );
    }

    #[test]
    fn a_place_leads_to_its_key() {
        let keys = written(TEXT);
        let at = |line, column| key_at(TEXT, &keys, line, column);
        assert_eq!(at(1, 9).unwrap(), "title");
        assert_eq!(at(3, 10).unwrap(), "box.length");
        assert_eq!(at(4, 17).unwrap(), "box.wood.name");
        assert_eq!(at(7, 27).unwrap(), "hinge.steps[1].depth");
        assert_eq!(at(99, 1), None);
    }

    #[test]
    fn a_value_that_cannot_be_read_still_has_its_key() {
        let text = "[box]\nlength = 9,5\nwall = 18\n";
        let keys = written(text);
        assert_eq!(key_at(text, &keys, 2, 11).unwrap(), "box.length");
        assert!(keys.iter().any(|key| key.path == "box.wall"));
        let value = |text: &str, path| value_on_line(text, path).map(|span| text[span].to_owned());
        assert_eq!(value(text, "box.length").as_deref(), Some("9,5"));
        let text = "a = \"# no  # comment\nb =   # nothing\n";
        assert_eq!(value(text, "a").as_deref(), Some("\"# no  # comment"));
        assert_eq!(value(text, "b").as_deref(), Some(""));
        assert_eq!(value(text, "c"), None);
    }
}
