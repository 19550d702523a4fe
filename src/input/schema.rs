//! JSON Schemas of the four file kinds, for editors: what completes and
//! checks while typing. The reader of this module's parent decides what a
//! file means; a test holds the two to the same keys.

#![allow(dead_code, reason = "the fields are there for their schema")]

mod bits;
mod hinges;
mod job;
mod machine;
mod template;
mod wood;

use std::sync::OnceLock;

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};
use serde::Deserialize;
use serde_json::Value;

/// A kind of spec file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// What is cut.
    Job,
    /// What cuts it.
    Machine,
    /// The rack of bits.
    Bits,
    /// The drawer of hinges.
    Hinges,
}

impl FileKind {
    /// All kinds.
    pub const ALL: [Self; 4] = [Self::Job, Self::Machine, Self::Bits, Self::Hinges];
}

/// The JSON Schema (draft 7, which TOML editors read) of a file kind, with
/// descriptions, units, ranges and defaults.
pub fn schema(kind: FileKind) -> Schema {
    match kind {
        FileKind::Job => of::<job::JobFile>(),
        FileKind::Machine => of::<machine::MachineFile>(),
        FileKind::Bits => of::<bits::BitsFile>(),
        FileKind::Hinges => of::<hinges::HingesFile>(),
    }
}

/// What a key means and how it is measured, as the schema describes it:
/// `the thickness of …`, without a full stop. `path` is such as
/// `hinge.steps[2].depth`.
pub(crate) fn describe(kind: FileKind, path: &str) -> Option<String> {
    let text = key(kind, path)?.get("description")?.as_str()?;
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let text = text.trim_end_matches('.');
    let mut characters = text.chars();
    let first: String = characters.next()?.to_lowercase().collect();
    Some(first + characters.as_str())
}

/// The schema of a key. An index may be left out: `bit.wear`.
pub(crate) fn key(kind: FileKind, path: &str) -> Option<&'static Value> {
    let mut segments = path.split('.').peekable();
    let mut table = root(kind)?;
    while let Some(segment) = segments.next() {
        let (key, indices) = segment.split_at(segment.find('[').unwrap_or(segment.len()));
        let mut value = key_of(table, key)?;
        for _ in indices.matches('[') {
            value = value.get("items")?;
        }
        if segments.peek().is_some()
            && let Some(items) = value.get("items")
        {
            value = items;
        }
        table = value;
    }
    Some(table)
}

/// The paths of all keys of a kind, without indices, in its order.
pub(crate) fn paths(kind: FileKind) -> Vec<String> {
    let mut found = Vec::new();
    if let Some(root) = root(kind) {
        gather(root, "", &mut found);
    }
    found
}

fn gather(table: &Value, path: &str, found: &mut Vec<String>) {
    let forms = table.get("anyOf").and_then(Value::as_array);
    for form in forms.into_iter().flatten() {
        gather(form, path, found);
    }
    if let Some(items) = table.get("items") {
        gather(items, path, found);
    }
    let keys = table.get("properties").and_then(Value::as_object);
    for (key, value) in keys.into_iter().flatten() {
        let path = match path {
            "" => key.clone(),
            path => format!("{path}.{key}"),
        };
        if value.get("description").is_some() && !found.contains(&path) {
            found.push(path.clone());
        }
        gather(value, &path, found);
    }
}

/// The schema of a kind as a tree, made once: a file may have thousands of mistakes.
fn root(kind: FileKind) -> Option<&'static Value> {
    static ROOTS: [OnceLock<Option<Value>>; FileKind::ALL.len()] =
        [const { OnceLock::new() }; FileKind::ALL.len()];
    ROOTS[kind as usize]
        .get_or_init(|| serde_json::to_value(schema(kind)).ok())
        .as_ref()
}

/// The schema of a key, whichever of several forms the table has.
fn key_of<'v>(table: &'v Value, key: &str) -> Option<&'v Value> {
    let own = table.get("properties").and_then(|keys| keys.get(key));
    own.or_else(|| {
        let forms = table.get("anyOf")?.as_array()?;
        forms.iter().find_map(|form| key_of(form, key))
    })
}

fn of<T: JsonSchema>() -> Schema {
    let settings = SchemaSettings::draft07().with(|settings| settings.inline_subschemas = true);
    settings.into_generator().into_root_schema_for::<T>()
}

/// One figure that `stepwell fit` has entered, and what it replaced.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct EntryTable {
    /// The number of the entry, counted up; what was entered together has one.
    number: u32,
    /// The reading, such as "outside-box".
    reading: String,
    /// The figure that was read, as it was typed.
    found: String,
    /// The SHA-256 of the program it was read on.
    program: String,
    /// What that program had of it, in millimetres.
    text: Option<f64>,
    /// The bit that cut it.
    bit: String,
    /// The key that was changed.
    key: String,
    /// The value that was replaced, empty where there was none.
    was: String,
    /// The value that was entered.
    now: String,
    /// Whether the file's last line had no end before it.
    open_end: Option<bool>,
    /// Whether `[fit]`, or the entry of `learned`, was made for it.
    made_table: Option<bool>,
    /// Whether `learned` was made for it.
    made_list: Option<bool>,
    /// The hinge of the drawer, for what was learned of it.
    hinge: Option<String>,
    /// The woods of box and lid, for what was learned of a hinge.
    wood: Option<String>,
}

/// A bare number is in the file's units; text carries its own: "9.5 mm",
/// "0.375 in", "3/8 in", "1 11/16 in".
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
enum LengthValue {
    /// In the file's units.
    Number(f64),
    /// With a unit of its own.
    Text(
        #[schemars(regex(
            pattern = r#"^\s*-?(\d*\.?\d+\s*(mm|in|")|(\d+[ -] *)?\d+/\d+\s*(in|"))\s*$"#
        ))]
        String,
    ),
}

/// Whether the types of one of the four kinds read `text`.
#[cfg(test)]
pub(crate) fn accepts(text: &str) -> Result<(), String> {
    let job = toml::from_str::<job::JobFile>(text).map(drop);
    let machine = || toml::from_str::<machine::MachineFile>(text).map(drop);
    let bits = || toml::from_str::<bits::BitsFile>(text).map(drop);
    let hinges = || toml::from_str::<hinges::HingesFile>(text).map(drop);
    let read = job
        .or_else(|_| machine())
        .or_else(|_| bits())
        .or_else(|_| hinges());
    read.map_err(|error| error.to_string())
}
