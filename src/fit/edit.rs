//! One figure changed in a TOML text, everything else left as it stands.

use toml_edit::{DocumentMut, InlineTable, Item, Table, TableLike, Value, value};

use super::reading::Reading;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::job::Job;
use crate::units::{Length, Units, text};

/// A spec file being edited.
pub(super) struct Document {
    tree: DocumentMut,
    units: Units,
    touched: bool,
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
        Ok(Self {
            tree,
            units,
            touched: false,
        })
    }

    /// The new text, where it differs from `old`.
    pub(super) fn changed(&self, old: &str) -> Option<String> {
        let text = self.tree.to_string();
        (self.touched && text != old).then_some(text)
    }

    pub(super) fn has_fit(&self, key: &str) -> bool {
        self.tree.get("fit").and_then(|fit| fit.get(key)).is_some()
    }

    pub(super) fn set_fit(&mut self, key: &str, length: Length) -> Result<(), Diagnostic> {
        let units = self.units;
        set_length(self.table("fit")?, key, length, units);
        Ok(())
    }

    pub(super) fn set_hinge(&mut self, key: &str, length: Length) -> Result<(), Diagnostic> {
        let units = self.units;
        set_length(self.table("hinge")?, key, length, units);
        Ok(())
    }

    /// Depth of the hinge's first step, the leaf.
    pub(super) fn leaf(&self) -> Option<Length> {
        let steps = self.tree.get("hinge")?.get("steps")?;
        let depth = steps.get(0)?.get("depth")?;
        length(depth, self.units)
    }

    /// Makes every step of the hinge so much deeper; tells whether the lid has
    /// steps of its own, which are left alone.
    pub(super) fn deepen_steps(&mut self, more: Length) -> Result<bool, Diagnostic> {
        let units = self.units;
        let hinge = self.table("hinge")?;
        let others = hinge.contains_key("lid_steps");
        let steps = hinge.get_mut("steps").ok_or_else(unexpected)?;
        let mut tables: Vec<&mut dyn TableLike> = match steps {
            Item::ArrayOfTables(tables) => tables
                .iter_mut()
                .map(|table| table as &mut dyn TableLike)
                .collect(),
            Item::Value(Value::Array(array)) => array
                .iter_mut()
                .filter_map(Value::as_inline_table_mut)
                .map(|table| table as &mut dyn TableLike)
                .collect(),
            _ => return Err(unexpected()),
        };
        for table in &mut tables {
            let depth = table.get("depth").and_then(|item| length(item, units));
            set_length(*table, "depth", depth.ok_or_else(unexpected)? + more, units);
        }
        Ok(others)
    }

    /// The reading of that kind booked last, and what it replaced.
    pub(super) fn booked(&self, kind: Reading) -> Option<(f64, Length)> {
        let entry = self.tree.get("fit")?.get("booked")?.get(kind.key())?;
        let number = |key| entry.get(key).and_then(|item| length(item, self.units));
        let reading = number("reading")?;
        let reading = match entry.get("reading").and_then(Item::as_integer) {
            Some(pocket) if kind.is_number() => pocket as f64,
            _ => reading.as_mm(),
        };
        Some((reading, number("was")?))
    }

    pub(super) fn set_booked(
        &mut self,
        kind: Reading,
        reading: f64,
        was: Length,
    ) -> Result<(), Diagnostic> {
        let units = self.units;
        let fit = self.table("fit")?;
        let booked = fit
            .entry("booked")
            .or_insert_with(|| value(InlineTable::new()));
        let booked = booked.as_table_like_mut().ok_or_else(unexpected)?;
        let mut entry = InlineTable::new();
        let reading = if kind.is_number() {
            Value::from(reading as i64)
        } else {
            number(Length::from_mm(reading), units)
        };
        entry.insert("reading", reading);
        entry.insert("was", number(was, units));
        booked.insert(kind.key(), value(entry));
        Ok(())
    }

    /// Sets `measured` of the bit of that name.
    pub(super) fn set_measured(&mut self, name: &str, length: Length) -> Result<(), Diagnostic> {
        self.touched = true;
        let units = self.units;
        let named = |table: &dyn TableLike| {
            let found = table.get("name").and_then(Item::as_str);
            found.is_some_and(|found| found.trim() == name)
        };
        let bits = self.tree.get_mut("bit").ok_or_else(unexpected)?;
        if let Some(tables) = bits.as_array_of_tables_mut() {
            let bit = tables.iter_mut().find(|table| named(*table));
            set_length(bit.ok_or_else(unexpected)?, "measured", length, units);
            return Ok(());
        }
        let inline = bits.as_array_mut().ok_or_else(unexpected)?;
        let mut tables = inline.iter_mut().filter_map(Value::as_inline_table_mut);
        let bit = tables.find(|table| named(*table));
        set_length(bit.ok_or_else(unexpected)?, "measured", length, units);
        Ok(())
    }

    fn table(&mut self, key: &str) -> Result<&mut dyn TableLike, Diagnostic> {
        self.touched = true;
        self.tree
            .entry(key)
            .or_insert_with(|| Item::Table(Table::new()))
            .as_table_like_mut()
            .ok_or_else(unexpected)
    }
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
    let mut new = match old.and_then(Value::as_str) {
        Some(written) if written.trim_end().ends_with("mm") => {
            Value::from(text::short(length, Units::Millimetre))
        }
        Some(_) => Value::from(text::short(length, Units::Inch)),
        None => number(length, units),
    };
    if let Some(old) = old {
        *new.decor_mut() = old.decor().clone();
    }
    if let Some(item) = table.get_mut(key) {
        *item = Item::Value(new);
    } else {
        table.insert(key, Item::Value(new));
    }
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

fn length(item: &Item, units: Units) -> Option<Length> {
    if let Some(written) = item.as_str() {
        return text::parse(written).ok();
    }
    let whole = item.as_integer().map(|number| number as f64);
    item.as_float().or(whole).map(|number| units.one() * number)
}

/// The job as it was with every step so much deeper.
pub(super) fn deepen(job: &mut Job, more: Length) {
    for part in &mut job.parts {
        for step in part.pockets.iter_mut().flat_map(|pocket| &mut pocket.steps) {
            step.depth += more;
        }
    }
}

/// The job as it was with this much more clearance.
pub(super) fn widen(job: &mut Job, more: Length) {
    job.fit.clearance += more;
    for part in &mut job.parts {
        for step in part.pockets.iter_mut().flat_map(|pocket| &mut pocket.steps) {
            step.length += more;
            step.width += more;
            step.corner += more / 2.0;
        }
    }
}
