//! One figure changed in a TOML text, everything else left as it stands.

use toml_edit::{DocumentMut, Item, Table, TableLike, Value};

use super::entry::Entry;
use super::learned::{Made, Owner};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::rewrite::{self, Listed, put, with_brace_kept};
use crate::units::{Length, Units, text};

/// A spec file being edited.
#[derive(Clone, Debug)]
pub(super) struct Document {
    pub(super) tree: DocumentMut,
    units: Units,
    /// Whether its last line has no end, or had none before the first entry.
    is_open: bool,
}

impl Document {
    /// # Errors
    /// Text that is no TOML; the spec reader has refused it before with a place.
    pub(super) fn parse(file: &str, text: &str) -> Result<Self, Diagnostics> {
        let tree: DocumentMut = text.parse().map_err(|error: toml_edit::TomlError| {
            let message = format!("`{file}`: {}", error.message());
            vec![Diagnostic::new("toml-syntax", message)]
        })?;
        let units = match tree.get("units").and_then(Item::as_str) {
            Some("in") => Units::Inch,
            _ => Units::Millimetre,
        };
        let was_open = Entry::all(&tree)
            .first()
            .is_some_and(|entry| entry.open_end);
        Ok(Self {
            tree,
            units,
            is_open: was_open || (!text.is_empty() && !text.ends_with('\n')),
        })
    }

    /// The new text, where it differs from `old`.
    pub(super) fn changed(&self, old: &str) -> Option<String> {
        let mut text = self.tree.to_string();
        if self.is_open && self.entries().is_empty() {
            text.truncate(text.trim_end_matches('\n').len());
        }
        (text != old).then_some(text)
    }

    pub(super) fn entries(&self) -> Vec<Entry> {
        Entry::all(&self.tree)
    }

    pub(super) fn has_fit(&self) -> bool {
        self.tree.get("fit").is_some()
    }

    /// The value of a key of `[fit]` as it stands, empty where there is none.
    pub(super) fn raw_fit(&self, key: &str) -> String {
        raw(self.tree.get("fit").and_then(|fit| fit.get(key)))
    }

    pub(super) fn raw_measured(&mut self, bit: &str) -> String {
        let table = rewrite::bit(&mut self.tree, bit);
        table.map_or(String::new(), |table| raw(table.get("measured")))
    }

    /// Sets a key of `[fit]`.
    pub(super) fn set_fit(&mut self, key: &str, length: Length) -> Result<(), Diagnostic> {
        let units = self.units;
        let table = self.fit()?;
        set_length(table, key, length, units);
        Ok(())
    }

    /// The value of a key of `[template]` as it stands, empty where there is none.
    pub(super) fn raw_template(&self, key: &str) -> String {
        raw(self.tree.get("template").and_then(|table| table.get(key)))
    }

    /// Sets a length of `[template]`, which the job has.
    pub(super) fn set_template(&mut self, key: &str, length: Length) -> Result<(), Diagnostic> {
        let units = self.units;
        set_length(self.template()?, key, length, units);
        Ok(())
    }

    /// Sets one of the two lengths of `template.off_centre`; the other stays.
    pub(super) fn set_off_centre(
        &mut self,
        index: usize,
        off: [Length; 2],
    ) -> Result<(), Diagnostic> {
        let units = self.units;
        let table = self.template()?;
        let old = table.get("off_centre").and_then(Item::as_array).cloned();
        let values = off.iter().enumerate().map(|(place, length)| {
            let kept = old.as_ref().and_then(|old| old.get(place));
            match kept {
                Some(kept) if place != index => kept.clone().decorated("", ""),
                _ => number(*length, units),
            }
        });
        put(table, "off_centre", Value::Array(values.collect()));
        Ok(())
    }

    /// Sets a key of `[template]` to nothing; it keeps its place.
    pub(super) fn clear_template(&mut self, key: &str) -> Result<(), Diagnostic> {
        let nothing = match key {
            "off_centre" => Value::Array([0, 0].into_iter().collect()),
            _ => Value::from(0),
        };
        put(self.template()?, key, nothing);
        Ok(())
    }

    fn template(&mut self) -> Result<&mut dyn TableLike, Diagnostic> {
        let table = self.tree.get_mut("template");
        table
            .and_then(Item::as_table_like_mut)
            .ok_or_else(unexpected)
    }

    /// The value of a key of a position, from 1, as it stands; empty where there is none.
    pub(super) fn raw_position(&mut self, number: usize, key: &str) -> String {
        let mut found = String::new();
        let done = self.with_position(number, |table| found = raw(table.get(key)));
        done.map_or_else(|_| String::new(), |()| found)
    }

    /// Sets a key of a position.
    pub(super) fn set_position(
        &mut self,
        number: usize,
        key: &str,
        length: Length,
    ) -> Result<(), Diagnostic> {
        let units = self.units;
        self.with_position(number, |table| set_length(table, key, length, units))
    }

    /// Sets a key of a position to nothing; it keeps its place.
    pub(super) fn clear_position(&mut self, number: usize, key: &str) -> Result<(), Diagnostic> {
        self.with_position(number, |table| put(table, key, Value::from(0)))
    }

    fn with_position(
        &mut self,
        number: usize,
        change: impl FnOnce(&mut dyn TableLike),
    ) -> Result<(), Diagnostic> {
        let found = rewrite::listed(&mut self.tree, ("fixture", "positions"), number);
        match found.ok_or_else(unexpected)? {
            Listed::Table(table) => change(table),
            Listed::Inline(table) => with_brace_kept(table, |table| change(table)),
        }
        Ok(())
    }

    /// Sets `measured` of the bit of that name.
    pub(super) fn set_measured(&mut self, bit: &str, length: Length) -> Result<(), Diagnostic> {
        let units = self.units;
        let table = rewrite::bit(&mut self.tree, bit).ok_or_else(unexpected)?;
        set_length(table, "measured", length, units);
        Ok(())
    }

    /// What the drawer has learned, as it stands; empty where it has nothing.
    pub(super) fn raw_learned(&mut self, owner: &Owner, key: &str) -> String {
        let table = owner.table(&mut self.tree);
        table.map_or(String::new(), |table| raw(TableLike::get(table, key)))
    }

    /// Sets what the drawer has learned, and says what had to be made for it.
    pub(super) fn set_learned(
        &mut self,
        owner: &Owner,
        key: &str,
        length: Length,
    ) -> Result<Made, Diagnostic> {
        let made = owner.make(&mut self.tree)?;
        let units = self.units;
        let table = owner.table(&mut self.tree).ok_or_else(unexpected)?;
        with_brace_kept(table, |table| set_length(table, key, length, units));
        Ok(made)
    }

    /// Logs an entry at the end of the file.
    pub(super) fn log(&mut self, entry: Entry) -> Result<(), Diagnostic> {
        let open_end = self.is_open && self.entries().is_empty();
        Entry { open_end, ..entry }.append(&mut self.tree)
    }

    /// Sets a key of `[fit]` to nothing; it keeps its place.
    pub(super) fn clear_fit(&mut self, key: &str) -> Result<(), Diagnostic> {
        let table = self.fit()?;
        put(table, key, Value::from(0));
        Ok(())
    }

    /// Puts back what an entry has replaced.
    pub(super) fn restore(&mut self, entry: &Entry) -> Result<(), Diagnostic> {
        let owner = Owner {
            hinge: entry.hinge.clone(),
            bit: entry.bit.clone(),
            wood: entry.wood.clone(),
        };
        let (kind, key) = entry.key.split_once('.').ok_or_else(unexpected)?;
        let back = |table: &mut dyn TableLike| -> Result<(), Diagnostic> {
            if entry.was.is_empty() {
                table.remove(key);
            } else {
                let old: Value = entry.was.parse().map_err(|_| unexpected())?;
                put(table, key, old);
            }
            Ok(())
        };
        match kind {
            "bit" => back(rewrite::bit(&mut self.tree, &entry.bit).ok_or_else(unexpected)?)?,
            "learned" => {
                let table = owner.table(&mut self.tree).ok_or_else(unexpected)?;
                let mut done = Ok(());
                with_brace_kept(table, |table| done = back(table));
                done?;
            }
            "fit" => back(self.fit()?)?,
            "template" => back(self.template()?)?,
            "fixture" => {
                let (number, own) = position_of_key(&entry.key).ok_or_else(unexpected)?;
                let old = match entry.was.as_str() {
                    "" => None,
                    was => Some(was.parse::<Value>().map_err(|_| unexpected())?),
                };
                self.with_position(number, |table| match old {
                    Some(old) => put(table, own, old),
                    None => drop(table.remove(own)),
                })?;
            }
            _ => return Err(unexpected()),
        }
        let made = Made {
            table: entry.made_table,
            list: entry.made_list,
        };
        match kind {
            "learned" => owner.unmake(&mut self.tree, made),
            _ if made.table => {
                self.tree.remove("fit");
            }
            _ => {}
        }
        Ok(())
    }

    fn fit(&mut self) -> Result<&mut dyn TableLike, Diagnostic> {
        self.tree
            .entry("fit")
            .or_insert_with(|| Item::Table(Table::new()))
            .as_table_like_mut()
            .ok_or_else(unexpected)
    }
}

/// The path of a key of a position, from 1.
pub(super) fn position_key(number: usize, key: &str) -> String {
    format!("fixture.positions[{number}].{key}")
}

/// The way back of [`position_key`].
fn position_of_key(path: &str) -> Option<(usize, &str)> {
    let rest = path.strip_prefix("fixture.positions[")?;
    let (number, key) = rest.split_once("].")?;
    Some((number.parse().ok()?, key))
}

fn raw(item: Option<&Item>) -> String {
    let value = item.and_then(Item::as_value);
    value.map_or(String::new(), |value| {
        let mut bare = value.clone();
        bare.decor_mut().clear();
        bare.to_string()
    })
}

/// The reader has accepted the file, so its tables are where they belong.
fn unexpected() -> Diagnostic {
    let message = "the file holds its tables in a form that cannot be edited";
    Diagnostic::new("not-editable", message).help("write the figure by hand")
}

/// A figure that was text with a unit stays text with that unit; comments and
/// spaces about it stay.
fn set_length(table: &mut dyn TableLike, key: &str, length: Length, units: Units) {
    let old = table.get(key).and_then(Item::as_value);
    let new = match old.and_then(Value::as_str) {
        Some(written) if written.trim_end().ends_with("mm") => {
            Value::from(text::short(length, Units::Millimetre))
        }
        Some(_) => Value::from(text::short(length, Units::Inch)),
        None => number(length, units),
    };
    put(table, key, new);
}

/// Four decimals of a millimetre or five of an inch: finer than any reading.
fn number(length: Length, units: Units) -> Value {
    let places = match units {
        Units::Millimetre => 1e4,
        Units::Inch => 1e5,
    };
    let rounded = (length.as_units(units) * places).round() / places;
    Value::from(if rounded == 0.0 { 0.0 } else { rounded })
}
