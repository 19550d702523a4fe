//! The schemas and the reader know the same keys.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use serde_json::Value;

use super::{BITS, MACHINE, OVERLAY};
use crate::diagnostic::Diagnostics;
use crate::input::schema::{FileKind, schema};
use crate::input::{bits, hinges, job, machine};

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
    walk(
        &serde_json::to_value(schema(kind)).unwrap(),
        String::new(),
        &mut keys,
    );
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

// The types behind the schemas read the shipped files, so a schema refuses none of them.
#[test]
fn the_types_behind_the_schemas_read_every_shipped_file() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut read = 0;
    for folder in ["examples", "machines"] {
        for entry in fs::read_dir(root.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|ending| ending != "toml") {
                continue;
            }
            let text = fs::read_to_string(&path).unwrap();
            let result = crate::input::schema::accepts(&text);
            assert_eq!(result, Ok(()), "{}", path.display());
            read += 1;
        }
    }
    assert!(read >= 7);
    assert!(crate::input::schema::accepts("nothing = 1").is_err());
}

#[test]
fn schemas_say_units_and_defaults() {
    let value = serde_json::to_value(schema(FileKind::Job)).unwrap();
    let clearance = &value["properties"]["fit"];
    let text = clearance.to_string();
    assert!(text.contains("\"default\":\"0.1 mm\""), "{text}");
    assert!(!value.to_string().contains("scrap"));
}
