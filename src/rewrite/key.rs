//! The value of any key of a TOML text, set or taken away.

use std::ops::Range;

use toml_edit::{Document, DocumentMut, InlineTable, Item, Table, TableLike, Value};

use super::list::{append, take_out};
use super::table::{put, with_brace_kept};

/// Why a text is left as it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Refused {
    /// It is no TOML; why.
    Text(String),
    /// What is to be written is no TOML value; why.
    Value(String),
    /// The path leads through a value that is no table or list, or past the end of a list.
    Path,
}

/// One step of the way to a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step<'p> {
    Key(&'p str),
    /// From 0.
    Index(usize),
}

/// The text with `value`, as TOML spells it, at a path such as
/// `hinge.steps[2].depth`, indices from 1; without a value the key is taken
/// away. Tables on the way are made where there are none, a list grows by one.
///
/// # Errors
/// A text or a value that is no TOML, a path that leads nowhere.
pub(crate) fn set(text: &str, path: &str, value: Option<&str>) -> Result<String, Refused> {
    let way = way(path).ok_or(Refused::Path)?;
    let no_toml = |error: toml_edit::TomlError| Refused::Text(error.message().to_owned());
    let mut document: DocumentMut = text.parse().map_err(no_toml)?;
    match value {
        Some(value) => {
            let value: Value = value.parse().map_err(|error: toml_edit::TomlError| {
                Refused::Value(error.message().to_owned())
            })?;
            make_room(&mut document, &way);
            in_table(document.as_table_mut(), &way, value)?;
        }
        None => {
            let placed = Document::parse(text).map_err(no_toml)?;
            match line_of(placed.as_table(), &way) {
                Place::Lines(span) => return Ok(cut(text, span)),
                Place::Inside => take_away(document.as_item_mut(), &way)?,
                Place::Nowhere => {}
            }
        }
    }
    let mut new = document.to_string();
    if !text.is_empty() && !text.ends_with('\n') {
        new.truncate(new.trim_end_matches('\n').len());
    }
    Ok(new)
}

fn way(path: &str) -> Option<Vec<Step<'_>>> {
    let mut way = Vec::new();
    for segment in path.split('.') {
        let (key, indices) = segment.split_at(segment.find('[').unwrap_or(segment.len()));
        let is_bare = |letter: char| letter.is_ascii_alphanumeric() || "_-".contains(letter);
        if key.is_empty() || !key.chars().all(is_bare) {
            return None;
        }
        way.push(Step::Key(key));
        for index in indices.split_terminator(']') {
            let number: usize = index.strip_prefix('[')?.parse().ok()?;
            way.push(Step::Index(number.checked_sub(1)?));
        }
    }
    Some(way)
}

/// Makes the table of a key that has none, at the end, behind the comments
/// that stand there.
fn make_room(document: &mut DocumentMut, way: &[Step<'_>]) {
    let [Step::Key(table), Step::Key(_), ..] = way else {
        return;
    };
    if document.contains_key(table) {
        return;
    }
    let trailing = document.trailing().as_str().unwrap_or_default().to_owned();
    let mut made = Table::new();
    made.decor_mut().set_prefix(format!("{trailing}\n"));
    document.set_trailing("");
    document.insert(table, Item::Table(made));
}

fn in_table(table: &mut dyn TableLike, way: &[Step<'_>], value: Value) -> Result<(), Refused> {
    let (Step::Key(key), rest) = split(way)? else {
        return Err(Refused::Path);
    };
    let Some(next) = rest.first() else {
        put(table, key, value);
        return Ok(());
    };
    if !table.contains_key(key) {
        let made = match next {
            Step::Key(_) => Value::InlineTable(InlineTable::new()),
            Step::Index(_) => Value::Array(toml_edit::Array::new()),
        };
        table.insert(key, Item::Value(made));
    }
    in_item(table.get_mut(key).ok_or(Refused::Path)?, rest, value)
}

fn in_item(item: &mut Item, way: &[Step<'_>], value: Value) -> Result<(), Refused> {
    match item {
        Item::Table(table) => in_table(table, way, value),
        Item::Value(inside) => in_value(inside, way, value),
        Item::ArrayOfTables(tables) => {
            let (Step::Index(index), rest) = split(way)? else {
                return Err(Refused::Path);
            };
            if index == tables.len() {
                tables.push(Table::new());
            }
            in_table(tables.get_mut(index).ok_or(Refused::Path)?, rest, value)
        }
        Item::None => Err(Refused::Path),
    }
}

fn in_value(inside: &mut Value, way: &[Step<'_>], value: Value) -> Result<(), Refused> {
    match (inside, split(way)?) {
        (Value::InlineTable(table), (Step::Key(_), _)) => {
            let mut done = Ok(());
            with_brace_kept(table, |table| done = in_table(table, way, value));
            done
        }
        (Value::Array(list), (Step::Index(index), rest)) => {
            if index == list.len() {
                append(list, made(rest, value)?);
                return Ok(());
            }
            let old = list.get_mut(index).ok_or(Refused::Path)?;
            if rest.is_empty() {
                list.replace(index, value);
                return Ok(());
            }
            in_value(old, rest, value)
        }
        _ => Err(Refused::Path),
    }
}

/// A new value of a list that holds `value` at the end of the way.
fn made(way: &[Step<'_>], value: Value) -> Result<Value, Refused> {
    let mut made = match way.first() {
        None => return Ok(value),
        Some(Step::Key(_)) => Value::InlineTable(InlineTable::new()),
        Some(Step::Index(_)) => Value::Array(toml_edit::Array::new()),
    };
    in_value(&mut made, way, value)?;
    Ok(made)
}

fn split<'w, 'p>(way: &'w [Step<'p>]) -> Result<(Step<'p>, &'w [Step<'p>]), Refused> {
    let (first, rest) = way.split_first().ok_or(Refused::Path)?;
    Ok((*first, rest))
}

/// Where what is taken away stands.
enum Place {
    /// On lines of its own.
    Lines(Range<usize>),
    /// Inside a value.
    Inside,
    Nowhere,
}

fn line_of(root: &Table, way: &[Step<'_>]) -> Place {
    let mut table = root;
    let mut way = way;
    loop {
        let Some((Step::Key(key), rest)) = way.split_first() else {
            return Place::Nowhere;
        };
        let Some((written, item)) = table.get_key_value(key) else {
            return Place::Nowhere;
        };
        match (item, rest) {
            (Item::Value(value), []) => {
                let span = written.span().zip(value.span());
                return span.map_or(Place::Inside, |(key, value)| {
                    Place::Lines(key.start..value.end)
                });
            }
            (Item::Table(inner), []) => return whole(inner),
            (Item::Table(inner), rest) => (table, way) = (inner, rest),
            (Item::ArrayOfTables(tables), [Step::Index(index), rest @ ..]) => {
                let Some(inner) = tables.get(*index) else {
                    return Place::Nowhere;
                };
                if rest.is_empty() {
                    return whole(inner);
                }
                (table, way) = (inner, rest);
            }
            (Item::Value(_), _) => return Place::Inside,
            _ => return Place::Nowhere,
        }
    }
}

/// A table from its header to its last value.
fn whole(table: &Table) -> Place {
    let values = table.iter().filter_map(|(_, item)| item.span());
    let end = values.map(|span| span.end).max();
    table.span().map_or(Place::Inside, |header| {
        Place::Lines(header.start..end.unwrap_or(header.end).max(header.end))
    })
}

/// The text without the lines that `span` touches, and without one of two
/// empty lines that meet there.
fn cut(text: &str, span: Range<usize>) -> String {
    let before = text.get(..span.start).unwrap_or_default();
    let start = before.rfind('\n').map_or(0, |end| end + 1);
    let after = text.get(span.end..).unwrap_or_default();
    let end = after
        .find('\n')
        .map_or(text.len(), |end| span.end + end + 1);
    let (kept, mut rest) = (&text[..start], &text[end..]);
    if (kept.is_empty() || kept.ends_with("\n\n")) && rest.starts_with('\n') {
        rest = &rest[1..];
    }
    format!("{kept}{rest}")
}

fn take_away(item: &mut Item, way: &[Step<'_>]) -> Result<(), Refused> {
    let (first, rest) = split(way)?;
    match first {
        Step::Key(key) => {
            let table = item.as_table_like_mut().ok_or(Refused::Path)?;
            match table.get_mut(key) {
                Some(inner) => in_item_take(inner, rest),
                None => Ok(()),
            }
        }
        Step::Index(index) => {
            let tables = item.as_array_of_tables_mut().ok_or(Refused::Path)?;
            let table = tables.get_mut(index).ok_or(Refused::Path)?;
            let (Step::Key(key), rest) = split(rest)? else {
                return Err(Refused::Path);
            };
            match table.get_mut(key) {
                Some(inner) => in_item_take(inner, rest),
                None => Ok(()),
            }
        }
    }
}

fn in_item_take(item: &mut Item, way: &[Step<'_>]) -> Result<(), Refused> {
    match item {
        Item::Value(value) => in_value_take(value, way),
        other => take_away(other, way),
    }
}

fn in_value_take(value: &mut Value, way: &[Step<'_>]) -> Result<(), Refused> {
    match (value, split(way)?) {
        (Value::InlineTable(table), (Step::Key(key), [])) => {
            with_brace_kept(table, |table| {
                table.remove(key);
            });
            Ok(())
        }
        (Value::InlineTable(table), (Step::Key(key), rest)) => match table.get_mut(key) {
            Some(inner) => in_value_take(inner, rest),
            None => Ok(()),
        },
        (Value::Array(list), (Step::Index(index), [])) => {
            if index < list.len() {
                take_out(list, index);
            }
            Ok(())
        }
        (Value::Array(list), (Step::Index(index), rest)) => match list.get_mut(index) {
            Some(inner) => in_value_take(inner, rest),
            None => Ok(()),
        },
        _ => Err(Refused::Path),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const JOB: &str = "\
# A job.
title = \"Tea\"   # what it is called
units = \"mm\"

[box]
length = 260             # along the edge
wood   = \"walnut\"

[hinge]
width = 10
# Each step.
steps = [
  { length = 44, depth = 4.5 },   # the leaf
  { length = 27, depth = 12 },    # the body
]

# Where they sit.
[placement]
count = 2
# from the ends
inset = 45               # the first
# centres = [45]

[fixture]
layout = \"book\"
clamps  = [ { name = \"a\", min = [1, 2] } ]
# That is all.
";

    /// Lines that went and lines that came.
    #[track_caller]
    fn check(path: &str, value: Option<&str>, gone: &[&str], come: &[&str]) -> String {
        let new = set(JOB, path, value).unwrap();
        let (old_lines, new_lines): (Vec<&str>, Vec<&str>) =
            (JOB.lines().collect(), new.lines().collect());
        let only = |these: &[&str], others: &[&str]| {
            let mut others = others.to_vec();
            let mut only = Vec::new();
            for line in these {
                match others.iter().position(|other| other == line) {
                    Some(at) => drop(others.remove(at)),
                    None => only.push((*line).to_owned()),
                }
            }
            only
        };
        assert_eq!(only(&old_lines, &new_lines), gone, "{new}");
        assert_eq!(only(&new_lines, &old_lines), come, "{new}");
        new.parse::<DocumentMut>().unwrap();
        new
    }

    #[test]
    fn a_value_is_set_where_it_stands() {
        check(
            "box.length",
            Some("261.5"),
            &["length = 260             # along the edge"],
            &["length = 261.5             # along the edge"],
        );
        check(
            "hinge.steps[2].depth",
            Some("\"1/2 in\""),
            &["  { length = 27, depth = 12 },    # the body"],
            &["  { length = 27, depth = \"1/2 in\" },    # the body"],
        );
        check(
            "fixture.clamps[1].min[2]",
            Some("-7"),
            &["clamps  = [ { name = \"a\", min = [1, 2] } ]"],
            &["clamps  = [ { name = \"a\", min = [1, -7] } ]"],
        );
    }

    #[test]
    fn a_key_that_is_not_there_comes_into_its_table() {
        let new = check("box.wall", Some("18"), &[], &["wall = 18"]);
        assert!(new.contains("wood   = \"walnut\"\nwall = 18\n\n[hinge]"));
        check("bit", Some("\"6 mm\""), &[], &["bit = \"6 mm\""]);
        check(
            "hinge.steps[1].corner",
            Some("3"),
            &["  { length = 44, depth = 4.5 },   # the leaf"],
            &["  { length = 44, depth = 4.5, corner = 3 },   # the leaf"],
        );
    }

    #[test]
    fn a_table_that_is_not_there_comes_at_the_end() {
        let new = check("fit.gap", Some("0.4"), &[], &["", "[fit]", "gap = 0.4"]);
        assert!(
            new.ends_with("# That is all.\n\n[fit]\ngap = 0.4\n"),
            "{new}"
        );
        check("fixture.park[1]", Some("0"), &[], &["park = [0]"]);
    }

    #[test]
    fn a_list_grows_and_shrinks_and_comments_stay_with_their_values() {
        let longer = check(
            "hinge.steps[3].length",
            Some("9"),
            &[],
            &["  { length = 9 },"],
        );
        assert!(
            longer.contains("# the body\n  { length = 9 },\n]"),
            "{longer}"
        );
        assert_eq!(set(&longer, "hinge.steps[3]", None).unwrap(), JOB);
        check(
            "hinge.steps[2]",
            None,
            &["  { length = 27, depth = 12 },    # the body"],
            &[],
        );
        check(
            "hinge.steps[1]",
            None,
            &["  { length = 44, depth = 4.5 },   # the leaf"],
            &[],
        );
    }

    #[test]
    fn what_is_taken_away_leaves_every_other_line() {
        check(
            "placement.inset",
            None,
            &["inset = 45               # the first"],
            &[],
        );
        check(
            "title",
            None,
            &["title = \"Tea\"   # what it is called"],
            &[],
        );
        check(
            "fixture.clamps[1].name",
            None,
            &["clamps  = [ { name = \"a\", min = [1, 2] } ]"],
            &["clamps  = [ { min = [1, 2] } ]"],
        );
        let new = check(
            "placement",
            None,
            &[
                "[placement]",
                "count = 2",
                "# from the ends",
                "inset = 45               # the first",
            ],
            &[],
        );
        assert!(
            new.contains("# Where they sit.\n# centres = [45]\n"),
            "{new}"
        );
        assert_eq!(set(JOB, "pilot.bit", None).unwrap(), JOB);
        assert_eq!(set(JOB, "box.wall", None).unwrap(), JOB);
    }

    #[test]
    fn tables_in_lists_with_headers_are_changed_too() {
        let text = "[[bit]]\nname = \"a\"\n\n# the other\n[[bit]]\nname = \"b\" # worn\nwear = 1\n";
        let new = set(text, "bit[2].wear", Some("0.5")).unwrap();
        assert_eq!(new, text.replace("wear = 1", "wear = 0.5"));
        let new = set(text, "bit[2].wear", None).unwrap();
        assert_eq!(new, text.replace("wear = 1\n", ""));
        let new = set(text, "bit[1]", None).unwrap();
        assert_eq!(new, "# the other\n[[bit]]\nname = \"b\" # worn\nwear = 1\n");
        let new = set(text, "bit[3].name", Some("\"c\"")).unwrap();
        assert!(
            new.ends_with("wear = 1\n\n[[bit]]\nname = \"c\"\n"),
            "{new}"
        );
    }

    #[test]
    fn what_leads_nowhere_is_refused_and_a_last_line_stays_open() {
        for path in [
            "",
            "box..length",
            "box.length.more",
            "hinge.steps[4].depth",
            "a b",
            "x[0]",
        ] {
            assert_eq!(set(JOB, path, Some("1")), Err(Refused::Path), "{path}");
        }
        assert!(matches!(set("a = ", "a", Some("1")), Err(Refused::Text(_))));
        assert!(matches!(
            set(JOB, "title", Some("two words")),
            Err(Refused::Value(_))
        ));
        assert!(matches!(
            set(JOB, "title", Some("1\nx = 2")),
            Err(Refused::Value(_))
        ));
        assert_eq!(set("a = 1", "a", Some("2")).unwrap(), "a = 2");
    }
}
