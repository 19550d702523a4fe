//! The log: an `[[entry]]` for each figure that was entered, in the file it changes.

use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, value};

use super::reading::Reading;
use crate::diagnostic::Diagnostic;

/// One figure that was entered.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Entry {
    /// Counts up over all files; what was entered together has one number.
    pub(super) number: i64,
    pub(super) reading: String,
    /// What was read, as it was typed or counted.
    pub(super) found: String,
    /// SHA-256 of the programs it was read on.
    pub(super) program: String,
    /// What that text had of it, in millimetres.
    pub(super) text: f64,
    pub(super) bit: String,
    /// The key that changed: `fit.box_v`, `bit.measured`, `learned.depth`.
    pub(super) key: String,
    /// The value before, as it stood; empty where there was none.
    pub(super) was: String,
    /// The value now.
    pub(super) now: String,
    /// The file's last line had no end before it.
    pub(super) open_end: bool,
    /// `[fit]`, or the table in `learned`, was made for it.
    pub(super) made_table: bool,
    /// `learned` was made for it.
    pub(super) made_list: bool,
    /// The hinge of the drawer, for what was learned of it; else empty.
    pub(super) hinge: String,
    /// The woods of box and lid, for what was learned of a hinge; else empty.
    pub(super) wood: String,
}

const KEY: &str = "entry";

impl Entry {
    /// One that is read on no program and changes nothing yet.
    pub(super) fn new(number: i64, reading: Reading, found: String, bit: &str) -> Self {
        Self {
            number,
            reading: reading.name().to_owned(),
            found,
            program: String::new(),
            text: 0.0,
            bit: bit.to_owned(),
            key: String::new(),
            was: String::new(),
            now: String::new(),
            open_end: false,
            made_table: false,
            made_list: false,
            hinge: String::new(),
            wood: String::new(),
        }
    }

    /// All of a file, in their order.
    pub(super) fn all(tree: &DocumentMut) -> Vec<Self> {
        let entries = tree.get(KEY).and_then(Item::as_array_of_tables);
        entries
            .into_iter()
            .flatten()
            .map(|table| {
                let text = |key: &str| {
                    let found = table.get(key).and_then(Item::as_str);
                    found.unwrap_or_default().to_owned()
                };
                let flag = |key: &str| table.get(key).and_then(Item::as_bool) == Some(true);
                let number = |key: &str| table.get(key).and_then(Item::as_integer);
                Self {
                    number: number("number").unwrap_or(0),
                    reading: text("reading"),
                    found: text("found"),
                    program: text("program"),
                    text: table.get("text").and_then(Item::as_float).unwrap_or(0.0),
                    bit: text("bit"),
                    key: text("key"),
                    was: text("was"),
                    now: text("now"),
                    open_end: flag("open_end"),
                    made_table: flag("made_table"),
                    made_list: flag("made_list"),
                    hinge: text("hinge"),
                    wood: text("wood"),
                }
            })
            .collect()
    }

    /// Adds it at the end of the file.
    pub(super) fn append(&self, tree: &mut DocumentMut) -> Result<(), Diagnostic> {
        let list = tree
            .entry(KEY)
            .or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
        let list = list.as_array_of_tables_mut().ok_or_else(unexpected)?;
        let mut table = Table::new();
        table.insert("number", value(self.number));
        table.insert("reading", value(&self.reading));
        table.insert("found", value(&self.found));
        table.insert("program", value(&self.program));
        table.insert("text", value((self.text * 1e6).round() / 1e6));
        table.insert("bit", value(&self.bit));
        table.insert("key", value(&self.key));
        table.insert("was", value(&self.was));
        table.insert("now", value(&self.now));
        for (key, word) in [("hinge", &self.hinge), ("wood", &self.wood)] {
            if !word.is_empty() {
                table.insert(key, value(word));
            }
        }
        let flags = [
            ("open_end", self.open_end),
            ("made_table", self.made_table),
            ("made_list", self.made_list),
        ];
        for (key, _) in flags.into_iter().filter(|(_, is_set)| *is_set) {
            table.insert(key, value(true));
        }
        table.decor_mut().set_prefix(if list.is_empty() {
            "\n# What `stepwell fit` entered; it takes the last back with --undo.\n"
        } else {
            "\n"
        });
        list.push(table);
        Ok(())
    }

    /// Takes all entries of that number out of the file.
    pub(super) fn remove(tree: &mut DocumentMut, number: i64, program: &str) {
        let Some(list) = tree.get_mut(KEY).and_then(Item::as_array_of_tables_mut) else {
            return;
        };
        list.retain(|table| {
            let of_number = table.get("number").and_then(Item::as_integer) == Some(number);
            let own = table.get("program").and_then(Item::as_str).unwrap_or("");
            !of_number || own != program
        });
        if list.is_empty() {
            tree.remove(KEY);
        }
    }

    /// Whether both enter the same figure.
    pub(super) fn is_of_the_figure_of(&self, other: &Self) -> bool {
        let whose = |entry: &Self| match entry.key.split_once('.') {
            Some(("fit" | "fixture", _)) | None => None,
            Some(_) => Some((entry.bit.clone(), entry.hinge.clone(), entry.wood.clone())),
        };
        self.key == other.key && whose(self) == whose(other)
    }

    /// Whether it is of that kind.
    pub(super) fn is(&self, reading: Reading) -> bool {
        self.reading == reading.name()
    }
}

fn unexpected() -> Diagnostic {
    let message = "the file holds its `entry` in a form that cannot be edited";
    Diagnostic::new("not-editable", message).help("write `[[entry]]` for each")
}
