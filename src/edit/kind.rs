//! What sort of value a key of a job holds, as the schema has it.

use serde_json::Value;

use crate::input::schema::{self, FileKind};

/// What sort of value a key holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A length, in the file's units or its own.
    Length,
    /// A plain number.
    Number,
    /// One of these words.
    Choice(Vec<String>),
    /// Yes or no.
    Switch,
    /// Anything in words.
    Text,
    /// A table.
    Table,
    /// A list, of so many values where that is fixed.
    List(Option<u64>),
}

impl Kind {
    /// The sort of a key of a job file; none where there is no such key, or
    /// where it is a record that a command keeps.
    pub(crate) fn of(path: &str) -> Option<Self> {
        if path == "entry" || path.starts_with("entry.") || path.starts_with("entry[") {
            return None;
        }
        schema::key(FileKind::Job, path).map(of)
    }

    /// The sort of what stands in the list of that key, where it is single values.
    pub(crate) fn item(&self, path: &str) -> Option<Self> {
        let Self::List(_) = self else {
            return None;
        };
        Self::of(&format!("{path}[1]")).filter(|item| !matches!(item, Self::Table | Self::List(_)))
    }
}

fn of(key: &Value) -> Kind {
    let types = types(key);
    let has = |name: &str| types.iter().any(|found| found == name);
    let words = words(key);
    if has("array") {
        let count = |name: &str| find(key, name).and_then(Value::as_u64);
        return Kind::List(count("minItems").filter(|least| count("maxItems") == Some(*least)));
    }
    match (
        has("object"),
        has("string"),
        has("number") || has("integer"),
    ) {
        // A wood: a name, or a table of its own.
        (true, true, _) => Kind::Text,
        (true, ..) => Kind::Table,
        _ if !words.is_empty() => Kind::Choice(words),
        _ if has("boolean") => Kind::Switch,
        (_, true, true) => Kind::Length,
        (_, false, true) => Kind::Number,
        _ => Kind::Text,
    }
}

fn forms(key: &Value) -> impl Iterator<Item = &Value> {
    let of = |name: &str| key.get(name).and_then(Value::as_array);
    of("anyOf").into_iter().chain(of("oneOf")).flatten()
}

fn types(key: &Value) -> Vec<String> {
    let mut found: Vec<String> = match key.get("type") {
        Some(Value::String(name)) => vec![name.clone()],
        Some(Value::Array(names)) => names
            .iter()
            .filter_map(Value::as_str)
            .map(str::to_owned)
            .collect(),
        _ => Vec::new(),
    };
    if found.is_empty() {
        found.extend(forms(key).flat_map(types));
    }
    found
}

fn words(key: &Value) -> Vec<String> {
    let listed = key
        .get("enum")
        .and_then(Value::as_array)
        .into_iter()
        .flatten();
    let mut found: Vec<String> = listed
        .chain(key.get("const"))
        .filter_map(Value::as_str)
        .map(str::to_owned)
        .collect();
    found.extend(forms(key).flat_map(words));
    found
}

fn find<'v>(key: &'v Value, name: &str) -> Option<&'v Value> {
    key.get(name)
        .or_else(|| forms(key).find_map(|form| find(form, name)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_schema_tells_what_sort_of_value_a_key_holds() {
        let choice =
            |words: &[&str]| Kind::Choice(words.iter().map(|word| (*word).to_owned()).collect());
        for (path, kind) in [
            ("hinge.width", Kind::Length),
            ("hinge.steps[2].depth", Kind::Length),
            ("fixture.park[1]", Kind::Length),
            ("placement.count", Kind::Number),
            ("fit.box_share", Kind::Number),
            ("lid.closing", choice(&["overlay", "inset"])),
            ("fixture.zero", choice(&["shared", "each"])),
            ("units", choice(&["mm", "in"])),
            ("fit.proud", Kind::Switch),
            ("box.wood", Kind::Text),
            ("title", Kind::Text),
            ("hinge", Kind::Table),
            ("fixture.clamps[1]", Kind::Table),
            ("hinge.steps", Kind::List(None)),
            ("fixture.park", Kind::List(Some(2))),
        ] {
            assert_eq!(Kind::of(path), Some(kind), "{path}");
        }
        let item = |path: &str| Kind::of(path).and_then(|kind| kind.item(path));
        assert_eq!(item("fixture.positions[2].hinges"), Some(Kind::Number));
        assert_eq!(item("placement.centres"), Some(Kind::Length));
        assert_eq!(item("hinge.steps"), None);
        assert_eq!(Kind::of("hinge.wdith"), None);
        assert_eq!(Kind::of("entry.number"), None);
    }
}
