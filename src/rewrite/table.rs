//! Tables: the one of a name, and a value set in one.

use toml_edit::{DocumentMut, InlineTable, Item, Table, TableLike, Value};

use super::list::around;

/// The table of the bit of that name in a bits file.
pub(crate) fn bit<'a>(document: &'a mut DocumentMut, name: &str) -> Option<&'a mut dyn TableLike> {
    named(document, "bit", name)
}

/// The table of that name in the list `key`, in whichever form the file holds
/// its list.
pub(crate) fn named<'a>(
    document: &'a mut DocumentMut,
    key: &str,
    name: &str,
) -> Option<&'a mut dyn TableLike> {
    let is_it = |table: &dyn TableLike| {
        let found = table.get("name").and_then(Item::as_str);
        found.is_some_and(|found| found.trim() == name)
    };
    match document.get_mut(key)? {
        Item::ArrayOfTables(tables) => tables
            .iter_mut()
            .find(|table| is_it(*table))
            .map(|table: &mut Table| table as &mut dyn TableLike),
        Item::Value(Value::Array(array)) => array
            .iter_mut()
            .filter_map(Value::as_inline_table_mut)
            .find(|table| is_it(*table))
            .map(|table| table as &mut dyn TableLike),
        _ => None,
    }
}

/// A table of a list, in either form.
pub(crate) enum Listed<'a> {
    /// `[[list]]`.
    Table(&'a mut Table),
    /// `list = [ { … } ]`.
    Inline(&'a mut InlineTable),
}

/// The table of that number, from 1, in a list of a table.
pub(crate) fn listed<'a>(
    document: &'a mut DocumentMut,
    (table, key): (&str, &str),
    number: usize,
) -> Option<Listed<'a>> {
    let index = number.checked_sub(1)?;
    let table = document.get_mut(table)?.as_table_like_mut()?;
    match table.get_mut(key)? {
        Item::ArrayOfTables(tables) => tables.get_mut(index).map(Listed::Table),
        Item::Value(Value::Array(array)) => {
            let value = array.get_mut(index)?;
            value.as_inline_table_mut().map(Listed::Inline)
        }
        _ => None,
    }
}

/// Sets a value where the old one stands, with the comment behind it, or adds it.
pub(crate) fn put(table: &mut dyn TableLike, key: &str, mut new: Value) {
    match table.get_mut(key) {
        Some(item) => {
            if let Some(old) = item.as_value() {
                *new.decor_mut() = old.decor().clone();
            }
            *item = Item::Value(new);
        }
        None => {
            table.insert(key, Item::Value(new));
        }
    }
}

/// Changes a table and keeps the blank before its brace there.
pub(crate) fn with_brace_kept(table: &mut InlineTable, change: impl FnOnce(&mut InlineTable)) {
    let last = |table: &mut InlineTable, blank: &str| {
        let (_, value) = table.iter_mut().last()?;
        // One that nobody has formatted yet is written with a blank.
        let is_plain = value.decor().suffix().is_none();
        let (_, after) = around(value);
        value.decor_mut().set_suffix(blank);
        Some(if is_plain { " ".to_owned() } else { after })
    };
    let blank = last(table, "");
    change(table);
    last(table, &blank.unwrap_or_else(|| " ".to_owned()));
}
