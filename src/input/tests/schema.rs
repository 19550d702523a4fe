//! The schemas and the reader know the same keys.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use serde_json::Value;

use super::{BITS, MACHINE, OVERLAY};
use crate::diagnostic::Diagnostics;
use crate::input::{FileKind, bits, hinges, job, machine, schema};

/// Keys by table path, the root's path empty.
type Keys = BTreeMap<String, BTreeSet<String>>;

/// A key that is like none, so that the complaint lists all that are allowed.
const ODD: &str = "§";

fn known_to_reader(errors: &Diagnostics) -> Keys {
    let mut keys = Keys::new();
    for error in errors.iter().filter(|error| error.code == "unknown-key") {
        let (_, table) = error.message.split_once("` ").unwrap();
        let table = match table {
            "here" => String::new(),
            inside => inside
                .trim_start_matches("in `")
                .trim_end_matches('`')
                .to_owned(),
        };
        let allowed = error.help.as_ref().unwrap().split('`').skip(1).step_by(2);
        keys.insert(table, allowed.map(str::to_owned).collect());
    }
    keys
}

fn known_to_schema(kind: FileKind) -> Keys {
    let mut keys = Keys::new();
    walk(&schema(kind), String::new(), &mut keys);
    keys
}

fn walk(schema: &Value, path: String, keys: &mut Keys) {
    for alternatives in ["anyOf", "oneOf", "allOf"] {
        for alternative in schema[alternatives].as_array().into_iter().flatten() {
            walk(alternative, path.clone(), keys);
        }
    }
    if schema["items"].is_object() {
        walk(&schema["items"], format!("{path}[1]"), keys);
    }
    let Some(properties) = schema["properties"].as_object() else {
        return;
    };
    keys.insert(path.clone(), properties.keys().cloned().collect());
    for (key, property) in properties {
        let below = if path.is_empty() {
            key.clone()
        } else {
            format!("{path}.{key}")
        };
        assert!(has_description(property), "{below} has no description");
        walk(property, below, keys);
    }
}

fn has_description(property: &Value) -> bool {
    let described = |value: &Value| {
        value["description"]
            .as_str()
            .is_some_and(|text| text.len() > 3)
    };
    let alternatives = property["anyOf"].as_array().into_iter().flatten();
    described(property) || alternatives.into_iter().any(described)
}

#[test]
fn job_schema_and_reader_know_the_same_keys() {
    let odd = format!("'{ODD}' = 1");
    let text = OVERLAY
        .replace("steps = [{ length = 44,", &format!("steps = [{{ {odd}, length = 44,"))
        .replace("wood = 'black walnut'", &format!("wood = {{ name = 'oak', {odd} }}"))
        .replace("[placement]", &format!(
            "{odd}\nlid_steps = [{{ {odd} }}]\nscrews = [{{ {odd} }}]\n[pilot]\n{odd}\n[placement]\n{odd}"
        ))
        .replace("[fit]", &format!("[fit]\n{odd}"))
        .replace("[fixture]", &format!("[fixture]\n{odd}\nclamps = [{{ {odd} }}]\npositions = [{{ {odd} }}]"))
        .replace("[box]", &format!("{odd}\nentry = [{{ {odd} }}]\n[box]\n{odd}"))
        .replace("[lid]", &format!("[lid]\n{odd}"))
        + &format!(
            "[template]\n{odd}\nrouter = {{ {odd} }}\nplate = {{ wood = {{ name = 'MDF', {odd} }}, {odd} }}\nbatten = {{ {odd} }}\n"
        );
    let errors = job("job.toml", &text).unwrap_err();
    let reader = known_to_reader(&errors);
    assert_eq!(reader, known_to_schema(FileKind::Job));
    assert!(reader.len() >= 15 && reader["box"].contains("wall"));
}

#[test]
fn machine_schema_and_reader_know_the_same_keys() {
    let odd = format!("'{ODD}' = 1");
    let text = MACHINE.replace(
        "[spindle]",
        &format!(
            "{odd}\nlimits = {{ {odd} }}\nnut = {{ {odd} }}\nnose = {{ {odd} }}\n[dialect]\n{odd}\n[spindle]\n{odd}"
        ),
    );
    let reader = known_to_reader(&machine("machine.toml", &text).unwrap_err());
    assert_eq!(reader, known_to_schema(FileKind::Machine));
}

#[test]
fn bits_schema_and_reader_know_the_same_keys() {
    let odd = format!("'{ODD}' = 1");
    let text = format!(
        "{odd}\nentry = [{{ {odd} }}]\n{}",
        BITS.replacen("diameter = 6", &format!("diameter = 6\n{odd}"), 1)
    );
    let reader = known_to_reader(&bits("bits.toml", &text).unwrap_err());
    assert_eq!(reader, known_to_schema(FileKind::Bits));
}

#[test]
fn hinges_schema_and_reader_know_the_same_keys() {
    let odd = format!("'{ODD}' = 1");
    let text = format!(
        "{odd}\nentry = [{{ {odd} }}]\n[[hinge]]\n{odd}\nlearned = [{{ {odd} }}]\n\
         steps = [{{ {odd} }}]\nlid_steps = [{{ {odd} }}]\nscrews = [{{ {odd} }}]"
    );
    let reader = known_to_reader(&hinges("hinges.toml", &text).unwrap_err());
    assert_eq!(reader, known_to_schema(FileKind::Hinges));
    assert!(reader.len() >= 7 && reader["hinge[1]"].contains("learned"));
}

/// The first place where a value is not as a schema has it, by the words of
/// JSON Schema draft 7 that the schemas use.
fn complaint(schema: &Value, value: &Value, path: &str) -> Option<String> {
    let told = |why: &str| Some(format!("{path}: {value} {why}"));
    if let Some(forms) = schema["anyOf"].as_array() {
        let fits = |form: &Value| complaint(form, value, path).is_none();
        if !forms.iter().any(fits) {
            return told("has none of the forms");
        }
    }
    let is_of_type = match schema["type"].as_str() {
        Some("object") => value.is_object(),
        Some("array") => value.is_array(),
        Some("string") => value.is_string(),
        Some("boolean") => value.is_boolean(),
        Some("number") => value.is_number(),
        Some("integer") => value.is_u64(),
        Some(other) => panic!("{path}: type {other}"),
        None => true,
    };
    if !is_of_type {
        return told("is of the wrong type");
    }
    if let Some(words) = schema["enum"].as_array()
        && !words.contains(value)
    {
        return told("is none of the words");
    }
    let beyond = |limit: &str, past: fn(f64, f64) -> bool| {
        let limit = schema[limit].as_f64();
        limit
            .zip(value.as_f64())
            .is_some_and(|(limit, value)| past(value, limit))
    };
    if beyond("minimum", |value, least| value < least)
        || beyond("maximum", |value, most| value > most)
    {
        return told("is out of range");
    }
    if let Some(items) = value.as_array() {
        let count = |name: &str| schema[name].as_u64().map(|count| count as usize);
        if count("minItems").is_some_and(|least| items.len() < least)
            || count("maxItems").is_some_and(|most| items.len() > most)
        {
            return told("has the wrong count");
        }
        return items
            .iter()
            .find_map(|item| complaint(&schema["items"], item, &format!("{path}[]")));
    }
    let table = value.as_object()?;
    let required = schema["required"].as_array().into_iter().flatten();
    if let Some(missing) = required
        .filter_map(Value::as_str)
        .find(|key| !table.contains_key(*key))
    {
        return told(&format!("lacks {missing}"));
    }
    table.iter().find_map(|(key, inner)| {
        let below = format!("{path}.{key}");
        match (&schema["properties"][key], &schema["additionalProperties"]) {
            (Value::Null, Value::Bool(false)) => Some(format!("{below} is unknown")),
            (Value::Null, others) => complaint(others, inner, &below),
            (property, _) => complaint(property, inner, &below),
        }
    })
}

#[test]
fn every_shipped_file_is_as_the_schema_of_its_kind_has_it() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut seen = [0; 4];
    for folder in ["examples", "machines"] {
        for entry in fs::read_dir(root.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|ending| ending != "toml") {
                continue;
            }
            let value: Value = toml::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
            let has = |key: &str| !value[key].is_null();
            let kind = match () {
                () if has("box") => FileKind::Job,
                () if has("spindle") => FileKind::Machine,
                () if has("bit") => FileKind::Bits,
                () => FileKind::Hinges,
            };
            assert_eq!(
                complaint(&schema(kind), &value, ""),
                None,
                "{}",
                path.display()
            );
            seen[kind as usize] += 1;
        }
    }
    assert!(seen.iter().all(|seen| *seen > 0), "{seen:?}");
}

#[test]
fn a_schema_refuses_what_the_reader_refuses() {
    let job = |from: &str, to: &str| {
        assert!(OVERLAY.contains(from), "{from}");
        let value: Value = toml::from_str(&OVERLAY.replace(from, to)).unwrap();
        complaint(&schema(FileKind::Job), &value, "")
    };
    assert_eq!(job("[box]", "[box]"), None);
    for (from, to, told) in [
        (
            "closing = 'overlay'",
            "closing = 'over'",
            "none of the words",
        ),
        ("[box]", "[box]\nwidht = 1", ".box.widht is unknown"),
        ("layout = ", "along = 3\nlayout = ", "wrong type"),
        ("count = 2", "count = 0", "out of range"),
        ("[hinge]", "[hinge]\nlearned = []", "unknown"),
        ("[fixture]", "[fixture]\npark = [1]", "wrong count"),
    ] {
        let found = job(from, to).unwrap_or_default();
        assert!(found.contains(told), "{to}: {found}");
    }
    // Without a name a hinge says everything itself.
    let value: Value = toml::from_str(OVERLAY).unwrap();
    for (key, allowed) in [("width", false), ("open_gap", true)] {
        let mut value = value.clone();
        value["hinge"].as_object_mut().unwrap().remove(key);
        assert_eq!(
            complaint(&schema(FileKind::Job), &value, "").is_none(),
            allowed
        );
        value["hinge"]["name"] = "small".into();
        assert_eq!(complaint(&schema(FileKind::Job), &value, ""), None);
    }
}

#[test]
fn schemas_say_units_and_defaults() {
    let value = schema(FileKind::Job);
    let clearance = &value["properties"]["fit"];
    let text = clearance.to_string();
    assert!(text.contains("\"default\":\"0.1 mm\""), "{text}");
    assert!(!value.to_string().contains("scrap"));
}
