//! `learned` of a hinge of the drawer: what its pockets taught with one bit in
//! one pair of woods.

use toml_edit::{Array, DocumentMut, InlineTable, Item, TableLike, Value};

use crate::diagnostic::Diagnostic;
use crate::rewrite;
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

impl Owner {
    /// The table that holds its figures, where there is one.
    pub(super) fn table<'d>(&self, tree: &'d mut DocumentMut) -> Option<&'d mut dyn TableLike> {
        let hinge = rewrite::named(tree, "hinge", &self.hinge)?;
        rewrite::find(hinge.get_mut(KEY)?, |table| self.is_it(table))
    }

    fn is_it(&self, table: &dyn TableLike) -> bool {
        let word = |key| table.get(key).and_then(Item::as_str).unwrap_or_default();
        same_name(word("bit"), &self.bit) && wood::is_same_pair(word("wood"), &self.wood)
    }

    /// Makes that table where there is none.
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
        let list = hinge.get_mut(KEY).and_then(Item::as_array_mut);
        let list = list.ok_or_else(not_editable)?;
        let mut table = InlineTable::new();
        table.insert("bit", Value::from(&self.bit));
        table.insert("wood", Value::from(&self.wood));
        let mut table = Value::InlineTable(table);
        match list.iter().last() {
            // As the one before stands, one a line or all in one.
            Some(last) => {
                let before = last.decor().prefix().and_then(|prefix| prefix.as_str());
                table
                    .decor_mut()
                    .set_prefix(before.filter(|before| !before.is_empty()).unwrap_or(" "));
            }
            None => table.decor_mut().set_prefix(""),
        }
        list.push_formatted(table);
        Ok(Made {
            table: true,
            list: !had_list,
        })
    }

    /// Takes away what was made.
    pub(super) fn unmake(&self, tree: &mut DocumentMut, made: Made) {
        let Some(hinge) = rewrite::named(tree, "hinge", &self.hinge) else {
            return;
        };
        if made.table
            && let Some(list) = hinge.get_mut(KEY).and_then(Item::as_array_mut)
        {
            list.retain(|value| {
                !value
                    .as_inline_table()
                    .is_some_and(|table| self.is_it(table))
            });
            if made.list && list.is_empty() {
                hinge.remove(KEY);
            }
        }
    }
}

const KEY: &str = "learned";

fn not_editable() -> Diagnostic {
    let message = "the drawer holds `learned` in a form that cannot be edited";
    Diagnostic::new("not-editable", message).help("write it as `learned = []` in the hinge's table")
}
