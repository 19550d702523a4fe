//! The fields of a section, from the key table.

use std::cmp::Reverse;

use serde::Serialize;

use super::mistakes::Mistake;
use super::now::Now;
use super::section::{self, Group, Section, Takes};
use super::typed::Typed;
use crate::edit::Kind;
use crate::input::FileKind;
use crate::input::keys;
use crate::sheet;
use crate::units::{Units, text};

/// Fields that are asked for together.
#[derive(Clone, Debug, Serialize)]
pub(super) struct FieldSet {
    title: String,
    /// What is wrong with the whole of it.
    mistakes: Vec<Mistake>,
    fields: Vec<Field>,
    /// The value of a list that these fields are, which can be taken away.
    removable: Option<String>,
    #[serde(skip)]
    path: String,
}

/// One key, as a person reads and changes it.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Field {
    path: String,
    name: String,
    meaning: String,
    value: String,
    /// `text`, `choice` or `switch`.
    kind: &'static str,
    choices: Vec<String>,
    unit: String,
    /// The value in the other unit, and the nearest 1/64 in.
    other: String,
    /// What counts where nothing is said.
    default: String,
    /// What the file says, where what is typed was not saved and stands as the value.
    file: Option<String>,
    /// What it was taken to mean, where that is not what is typed.
    taken: String,
    mistakes: Vec<Mistake>,
}

impl FieldSet {
    /// How many mistakes stand in it.
    pub(super) fn mistakes(&self) -> usize {
        let fields = self.fields.iter().map(|field| field.mistakes.len());
        self.mistakes.len() + fields.sum::<usize>()
    }
}

/// The fields of a section, no mistake at them yet.
pub(super) fn of(section: Section, now: &Now) -> Vec<FieldSet> {
    let groups = section.groups().into_iter();
    groups.flat_map(|group| sets_of(&group, now)).collect()
}

/// Puts each mistake at its field, else at the innermost set that its key
/// belongs to; those that belong to none are left.
pub(super) fn place<'s>(mistakes: &mut Vec<Mistake>, sets: impl Iterator<Item = &'s mut FieldSet>) {
    let mut inner_first: Vec<&mut FieldSet> = sets.collect();
    for set in &mut inner_first {
        for field in &mut set.fields {
            field.mistakes = taken(mistakes, |key| {
                key == field.path || is_within(key, &field.path)
            });
        }
    }
    inner_first.sort_by_key(|set| Reverse(set.path.len()));
    for set in inner_first {
        let own = set.path.clone();
        set.mistakes = taken(mistakes, |key| {
            !own.is_empty() && (key == own || is_within(key, &own))
        });
    }
}

/// Lets what is typed and was not saved stand in its field.
pub(super) fn keep(typed: &Typed, sets: &mut [FieldSet]) {
    for field in sets.iter_mut().flat_map(|set| &mut set.fields) {
        let own = typed.iter().find(|(path, _)| *path == field.path);
        if let Some((_, value)) = own.filter(|(_, value)| value.trim() != field.value.trim()) {
            field.file = Some(std::mem::replace(&mut field.value, value.clone()));
        }
    }
}

/// Says at each field what was taken to be meant there.
pub(super) fn take<'s>(taken: &[(String, String)], sets: impl Iterator<Item = &'s mut FieldSet>) {
    for field in sets.flat_map(|set| &mut set.fields) {
        let own = taken.iter().find(|(path, _)| *path == field.path);
        field.taken = own.map(|(_, words)| words.clone()).unwrap_or_default();
    }
}

fn is_within(key: &str, table: &str) -> bool {
    let rest = key.strip_prefix(table);
    rest.is_some_and(|rest| rest.starts_with(['.', '[']))
}

fn taken(mistakes: &mut Vec<Mistake>, is_own: impl Fn(&str) -> bool) -> Vec<Mistake> {
    let (own, left) = std::mem::take(mistakes)
        .into_iter()
        .partition(|mistake| mistake.key.as_deref().is_some_and(&is_own));
    *mistakes = left;
    own
}

fn sets_of(group: &Group, now: &Now) -> Vec<FieldSet> {
    let mut own = Vec::new();
    let mut lists = Vec::new();
    for key in keys_of(group.table) {
        if !group.takes.takes(&key) {
            continue;
        }
        let path = joined(group.table, &key);
        match Kind::of(&path) {
            Some(Kind::List(None)) => lists.extend(list(&path, now)),
            Some(Kind::List(Some(count))) => {
                own.extend((1..=count).map(|number| field(&format!("{path}[{number}]"), now)));
            }
            Some(Kind::Text) if now.keys.iter().any(|key| key.path == path && key.is_whole) => {
                own.extend(
                    keys_of(&path)
                        .iter()
                        .map(|key| field(&joined(&path, key), now)),
                );
            }
            Some(_) => own.push(field(&path, now)),
            None => {}
        }
    }
    let path = match group.takes {
        // A part of a table is not what a mistake of the whole stands at.
        Takes::Only(_) => String::new(),
        Takes::All | Takes::AllBut(_) => group.table.to_owned(),
    };
    let first = FieldSet {
        title: group.title.to_owned(),
        mistakes: Vec::new(),
        fields: own,
        removable: None,
        path,
    };
    let mut sets = vec![first];
    sets.extend(lists);
    sets
}

/// The keys of a table, in the order of the work.
fn keys_of(table: &str) -> Vec<String> {
    let paths = keys::paths(FileKind::Job);
    let keys = paths.iter().filter_map(|path| match table {
        "" => Some(path.as_str()),
        table => path.strip_prefix(table)?.strip_prefix('.'),
    });
    let mut keys: Vec<String> = keys
        .filter(|key| !key.contains('.'))
        .map(str::to_owned)
        .collect();
    keys.sort_by_key(|key| section::rank(key));
    keys
}

fn joined(table: &str, key: &str) -> String {
    match table {
        "" => key.to_owned(),
        table => format!("{table}.{key}"),
    }
}

/// The values of a list, each as a set, and an empty one to add.
fn list(path: &str, now: &Now) -> Vec<FieldSet> {
    let count = now.count(path);
    let name = path.rsplit('.').next().unwrap_or(path);
    let inner = keys_of(path);
    if inner.is_empty() {
        let fields = (1..=count + 1).map(|number| field(&format!("{path}[{number}]"), now));
        return vec![FieldSet {
            title: spaced(name),
            mistakes: Vec::new(),
            fields: fields.collect(),
            removable: (count > 0).then(|| path.to_owned()),
            path: path.to_owned(),
        }];
    }
    let sets = (1..=count + 1).map(|number| {
        let own = format!("{path}[{number}]");
        let mut fields = Vec::new();
        for key in &inner {
            let path = joined(&own, key);
            match Kind::of(&path) {
                Some(Kind::List(Some(count))) => {
                    fields
                        .extend((1..=count).map(|number| field(&format!("{path}[{number}]"), now)));
                }
                _ => fields.push(field(&path, now)),
            }
        }
        let added = if number > count { ", to add" } else { "" };
        FieldSet {
            title: format!("{} {number}{added}", spaced(name)),
            mistakes: Vec::new(),
            fields,
            removable: (number <= count).then(|| own.clone()),
            path: own,
        }
    });
    sets.collect()
}

fn spaced(name: &str) -> String {
    let words = name.replace('_', " ");
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

fn field(path: &str, now: &Now) -> Field {
    let kind = Kind::of(path).unwrap_or(Kind::Text);
    let plain = path
        .strip_suffix(']')
        .and_then(|path| path.rsplit_once('['));
    let meaning = keys::describe(FileKind::Job, path);
    let whole = plain.and_then(|(list, _)| keys::describe(FileKind::Job, list));
    let meaning = whole.or(meaning).unwrap_or_default();
    let meaning = spaced(&meaning.replace('`', "")).replace("  ", " ");
    let value = now.shown(path).to_owned();
    let default = keys::find(FileKind::Job, path).and_then(|(key, _)| key.presence.default());
    Field {
        name: match sheet::letter(path) {
            Some(letter) => format!("{} ({letter})", named(path)),
            None => named(path),
        },
        meaning: match kind {
            Kind::List(_) => format!("{meaning} Several with a comma between: 1, 2."),
            _ => meaning,
        },
        unit: match kind {
            Kind::Length => now.units.to_string(),
            _ => String::new(),
        },
        other: match kind {
            Kind::Length => other(&value, now.units),
            _ => String::new(),
        },
        default: default.unwrap_or_default(),
        choices: match &kind {
            Kind::Choice(words) => words.clone(),
            Kind::Switch => ["true", "false"].map(str::to_owned).into(),
            _ => Vec::new(),
        },
        kind: match kind {
            Kind::Choice(_) | Kind::Switch => "choice",
            _ => "text",
        },
        value,
        file: None,
        taken: String::new(),
        mistakes: Vec::new(),
        path: path.to_owned(),
    }
}

/// `closed gap`, or `min: X` of a list of fixed length.
fn named(path: &str) -> String {
    let last = path.rsplit('.').next().unwrap_or(path);
    match last.split_once('[') {
        None => spaced(last),
        Some((list, number)) => {
            let number = number.trim_end_matches(']');
            match (Kind::of(list_of(path)), number) {
                (Some(Kind::List(Some(_))), "1") => format!("{}: X", spaced(list)),
                (Some(Kind::List(Some(_))), "2") => format!("{}: Y", spaced(list)),
                (Some(Kind::List(Some(_))), "3") => format!("{}: Z", spaced(list)),
                _ => format!("{} {number}", spaced(list)),
            }
        }
    }
}

/// The list that a path ends in a value of.
pub(super) fn list_of(path: &str) -> &str {
    path.rfind('[').map_or(path, |at| &path[..at])
}

/// A length as typed, in the other unit and to the nearest 1/64 in.
fn other(value: &str, units: Units) -> String {
    let Ok(length) = text::parse_in(value, units) else {
        return String::new();
    };
    let written = match text::parse(value) {
        Ok(_) => text::unit_of(value),
        Err(_) => units,
    };
    let other = text::decimal_with_unit(length, written.other());
    match text::nearest_with_error(length, units) {
        fraction if fraction.is_empty() => other,
        fraction => format!("{other}; nearest {fraction}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // 10 mm are 0.3937 in, 25.2 sixty-fourths: 25/64 in = 9.922 mm.
    #[test]
    fn a_length_is_shown_in_the_other_unit_too() {
        let shown = "0.3937 in; nearest 25/64 in +0.08 mm";
        assert_eq!(other("10", Units::Millimetre), shown);
        // 0.0031 in more than 25/64 in (0.390625 in).
        let in_inches = "0.3937 in; nearest 25/64 in +0.0031 in";
        assert_eq!(other("10 mm", Units::Inch), in_inches);
        assert_eq!(
            other("3/8 in", Units::Millimetre),
            "9.525 mm; nearest 3/8 in"
        );
        assert_eq!(other("ten", Units::Inch), "");
    }

    #[test]
    fn names_are_words() {
        assert_eq!(named("hinge.closed_gap"), "Closed gap");
        assert_eq!(named("fixture.clamps[1].min[2]"), "Min: Y");
        assert_eq!(named("placement.centres[2]"), "Centres 2");
    }
}
