//! `learned` of a hinge of the drawer: what its pockets taught with one bit in
//! one pair of woods.

use toml_edit::{Array, DocumentMut, InlineTable, Item, Value};

use crate::diagnostic::Diagnostic;
use crate::rewrite::{self, append, take_out};
use crate::shop::{same_name, wood};

/// Whose figure it is.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Owner {
    pub(super) hinge: String,
    pub(super) bit: String,
    /// The woods of box and lid as one name.
    pub(super) wood: String,
}

/// What had to be made for a figure.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Made {
    pub(super) table: bool,
    pub(super) list: bool,
}

const KEY: &str = "learned";

impl Owner {
    /// The table that holds its figures, where there is one.
    pub(super) fn table<'d>(&self, tree: &'d mut DocumentMut) -> Option<&'d mut InlineTable> {
        let mut tables = self.list(tree)?.iter_mut();
        tables.find_map(|value| {
            let table = value.as_inline_table_mut()?;
            self.is_it(table).then_some(table)
        })
    }

    fn list<'d>(&self, tree: &'d mut DocumentMut) -> Option<&'d mut Array> {
        let hinge = rewrite::named(tree, "hinge", &self.hinge)?;
        hinge.get_mut(KEY)?.as_array_mut()
    }

    fn is_it(&self, table: &InlineTable) -> bool {
        let word = |key| table.get(key).and_then(Value::as_str).unwrap_or_default();
        same_name(word("bit"), &self.bit) && wood::is_same_pair(word("wood"), &self.wood)
    }

    /// Makes that table at the end of its list where there is none; comments
    /// stay with what they stand behind.
    ///
    /// # Errors
    /// A drawer that holds its tables in a form that cannot be edited.
    pub(super) fn make(&self, tree: &mut DocumentMut) -> Result<Made, Diagnostic> {
        if self.table(tree).is_some() {
            return Ok(Made::default());
        }
        let hinge = rewrite::named(tree, "hinge", &self.hinge).ok_or_else(not_editable)?;
        let had_list = hinge.contains_key(KEY);
        if !had_list {
            hinge.insert(KEY, Item::Value(Value::Array(Array::new())));
        }
        let list = self.list(tree).ok_or_else(not_editable)?;
        let mut table = InlineTable::new();
        table.insert("bit", Value::from(&self.bit));
        table.insert("wood", Value::from(&self.wood));
        append(list, Value::InlineTable(table));
        Ok(Made {
            table: true,
            list: !had_list,
        })
    }

    /// Takes away what was made.
    pub(super) fn unmake(&self, tree: &mut DocumentMut, made: Made) {
        let Some(list) = self.list(tree) else {
            return;
        };
        let is_own = |value: &Value| {
            let table = value.as_inline_table();
            table.is_some_and(|table| self.is_it(table))
        };
        let own = list.iter().position(is_own);
        if let (Some(own), true) = (own, made.table) {
            take_out(list, own);
        }
        let is_empty = list.is_empty();
        if made.list
            && is_empty
            && let Some(hinge) = rewrite::named(tree, "hinge", &self.hinge)
        {
            hinge.remove(KEY);
        }
    }
}

fn not_editable() -> Diagnostic {
    let message = "the drawer holds `learned` in a form that cannot be edited";
    Diagnostic::new("not-editable", message).help("write it as `learned = []` in the hinge's table")
}
