//! JSON Schemas of the four kinds of file, for editors: what completes and
//! checks while typing. They say what the key table says.

use serde_json::{Map, Value, json};

use crate::input::keys::{Content, FileKind, Key, Presence};
use crate::units::{Length, Units, text};

/// A length as text with a unit of its own.
const LENGTH_TEXT: &str = r#"^\s*-?(\d*\.?\d+\s*(mm|in|")|(\d+[ -] *)?\d+/\d+\s*(in|"))\s*$"#;

/// The JSON Schema (draft 7, which TOML editors read) of a kind of file, with
/// descriptions, units, ranges and defaults.
pub fn schema(kind: FileKind) -> Value {
    let mut root = Map::new();
    root.insert(
        "$schema".to_owned(),
        json!("http://json-schema.org/draft-07/schema#"),
    );
    root.insert("description".to_owned(), json!(kind.about()));
    root.extend(table(kind.keys()));
    Value::Object(root)
}

fn table(keys: &[Key]) -> Map<String, Value> {
    let named = |wanted: fn(&Key) -> bool| -> Vec<&str> {
        let keys = keys.iter().filter(|key| wanted(key));
        keys.map(|key| key.name).collect()
    };
    let mut table = Map::new();
    table.insert("type".to_owned(), json!("object"));
    let properties = keys.iter().map(|key| (key.name.to_owned(), of_key(key)));
    table.insert(
        "properties".to_owned(),
        properties.collect::<Map<_, _>>().into(),
    );
    let required = named(|key| key.presence == Presence::Required);
    if !required.is_empty() {
        table.insert("required".to_owned(), json!(required));
    }
    let spared = keys.iter().find_map(|key| match key.presence {
        Presence::Unless(other) => Some(other),
        _ => None,
    });
    if let Some(other) = spared {
        let all = named(|key| matches!(key.presence, Presence::Unless(_)));
        let either = json!([{ "required": [other] }, { "required": all }]);
        table.insert("anyOf".to_owned(), either);
    }
    table.insert("additionalProperties".to_owned(), json!(false));
    table
}

fn of_key(key: &Key) -> Value {
    let mut schema = Map::new();
    schema.insert("description".to_owned(), json!(key.meaning()));
    schema.extend(of_content(key.content));
    if let Some(default) = default(key) {
        schema.insert("default".to_owned(), default);
    }
    Value::Object(schema)
}

/// What counts where a key is left out.
fn default(key: &Key) -> Option<Value> {
    let length = |mm: f64| match mm {
        0.0 => json!(0),
        mm => json!(text::short(Length::from_mm(mm), Units::Millimetre)),
    };
    Some(match key.presence {
        Presence::Required | Presence::Unless(_) | Presence::Optional => return None,
        Presence::Mm(mm) => length(mm),
        Presence::Figure(number) => text::trimmed(number).parse().unwrap_or_default(),
        Presence::Said(word) => json!(word),
        Presence::Is(is) => json!(is),
        Presence::Each(all) => all.iter().copied().map(length).collect(),
    })
}

fn of_content(content: Content) -> Map<String, Value> {
    let schema = match content {
        Content::Text => json!({ "type": "string" }),
        Content::Switch => json!({ "type": "boolean" }),
        Content::Number(range) => {
            json!({ "type": "number", "minimum": range.least(), "maximum": range.most() })
        }
        Content::Whole(range) => {
            json!({ "type": "integer", "minimum": range.least(), "maximum": range.most() })
        }
        Content::Length(_) => json!({
            "anyOf": [
                { "description": "In the file's units.", "type": "number" },
                { "description": "With a unit of its own: \"9.5 mm\", \"0.375 in\", \"3/8 in\", \"1 11/16 in\".",
                  "type": "string", "pattern": LENGTH_TEXT },
            ]
        }),
        Content::Word(words) => json!({ "type": "string", "enum": words() }),
        Content::Wood => json!({
            "anyOf": [
                { "description": "A name of the wood table, in either word order.", "type": "string" },
                Content::Wood.keys().map(table),
            ]
        }),
        Content::Lengths(ranges) | Content::Numbers(ranges) => json!({
            "type": "array",
            "items": content.item(0).map(of_content),
            "minItems": ranges.len(),
            "maxItems": ranges.len(),
        }),
        Content::Speeds(range) => json!({
            "type": "object",
            "additionalProperties": of_content(Content::Number(range)),
        }),
        Content::Table(keys) => return table(keys),
        Content::List(item, least, most) => {
            let mut list = json!({ "type": "array", "items": of_content(*item) });
            for (name, count, says) in [
                ("minItems", least, least > 0),
                ("maxItems", most, most < usize::MAX),
            ] {
                if says {
                    list[name] = json!(count);
                }
            }
            list
        }
    };
    match schema {
        Value::Object(schema) => schema,
        _ => Map::new(),
    }
}
