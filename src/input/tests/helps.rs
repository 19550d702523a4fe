//! What a mistake's help says to do.

use super::{BITS, MACHINE, OVERLAY, listing, overlay, resolve, resolve_with};
use crate::diagnostic::Diagnostics;
use crate::input::keys::describe;
use crate::input::{FileKind, schema};
use crate::input::{Overrides, bits, job, machine};

#[track_caller]
fn one(errors: Diagnostics) -> (String, String) {
    assert_eq!(errors.len(), 1, "{}", listing(&errors));
    let error = errors.into_iter().next().unwrap();
    (error.message, error.help.unwrap_or_default())
}

/// The one mistake of the sample so changed: its message and help.
#[track_caller]
fn found(old: &str, new: &str) -> (String, String) {
    one(resolve(&overlay(&[(old, new)])).unwrap_err())
}

#[test]
fn a_missing_key_is_told_what_it_is_and_how_it_is_measured() {
    let missing = |old: &str| {
        let (message, help) = found(old, "");
        assert!(message.ends_with("is missing"), "{message}");
        help
    };
    assert_eq!(
        missing("wall = 18\n"),
        "it is the thickness of the hinged wall at the rim; by caliper, outside jaws"
    );
    assert!(missing("closed_gap = 0.8\n").contains("caliper over both leaf backs"));
    assert!(missing("layout = 'book'\n").contains("\"end-to-end\""));
    assert!(missing(", depth = 12").contains("depth rod"));
    assert!(missing("count = 2\ninset = 45\n").contains("`centres`"));
    let (_, help) = found("closing = 'overlay'", "closing = 'inset'\nlength = 240");
    assert!(
        help.contains("from the box's stop end to the lid's stop end"),
        "{help}"
    );
    assert!(help.contains("by tape"), "{help}");
    let rack = BITS.replacen("stickout = 30\n", "", 1);
    let (_, help) = one(bits("bits.toml", &rack).unwrap_err());
    assert_eq!(
        help,
        "it is the length that stands out of the nut, nut to tip; by caliper"
    );
    let router = MACHINE.replacen("rpm = [8000, 24000]", "", 1);
    let (_, help) = one(machine("machine.toml", &router).unwrap_err());
    assert!(help.contains("revolutions a minute"), "{help}");
}

/// Every key that a file must have is described as a thing: `the …`.
#[test]
fn every_required_key_is_described_for_who_left_it_out() {
    fn walk(kind: FileKind, table: &serde_json::Value, path: &str, seen: &mut usize) {
        for form in table["anyOf"].as_array().into_iter().flatten() {
            walk(kind, form, path, seen);
        }
        if table["items"].is_object() {
            walk(kind, &table["items"], &format!("{path}[1]"), seen);
        }
        let Some(keys) = table["properties"].as_object() else {
            return;
        };
        let required: Vec<&str> = table["required"]
            .as_array()
            .into_iter()
            .flatten()
            .map(|key| key.as_str().unwrap())
            .collect();
        for (key, value) in keys {
            let path = format!("{path}.{key}");
            let path = path.trim_start_matches('.');
            if required.contains(&key.as_str()) {
                let words = describe(kind, path).unwrap_or_default();
                let is_a_thing = words.starts_with("the ") || words.starts_with("how ");
                assert!(is_a_thing, "{path}: {words:?}");
                *seen += 1;
            }
            walk(kind, value, path, seen);
        }
    }
    let mut seen = 0;
    for kind in FileKind::ALL {
        let root = serde_json::to_value(schema(kind)).unwrap();
        walk(kind, &root, "", &mut seen);
    }
    assert!(seen > 35, "{seen}");
}

#[test]
fn a_percentage_is_told_as_a_share() {
    let wear = |wear: f64| Overrides {
        wear: Some(wear),
        ..Overrides::default()
    };
    let (_, help) = one(resolve_with(OVERLAY, &wear(60.0)).unwrap_err());
    assert_eq!(help, "a share runs from 0 to 1: 60 % is 0.6");
    let (_, help) = one(resolve_with(OVERLAY, &wear(600.0)).unwrap_err());
    assert_eq!(help, "");
    let rack = BITS.replacen("stickout = 30", "stickout = 30\nwear = 35", 1);
    let (_, help) = one(bits("bits.toml", &rack).unwrap_err());
    assert_eq!(help, "a share runs from 0 to 1: 35 % is 0.35");
    let rack = BITS.replacen("stickout = 30", "stickout = 30\nwear = '35 %'", 1);
    let (_, help) = one(bits("bits.toml", &rack).unwrap_err());
    assert_eq!(help, "write 0.35, without quotation marks");
}

#[test]
fn a_count_with_a_point_is_told_so() {
    let (message, _) = found("count = 2", "count = 1.5");
    assert_eq!(
        message,
        "`placement.count` is 1.5, a number; allowed is a whole number, written without a point"
    );
    let leaf = "{ length = 44, depth = 4.5 }";
    let (_, help) = found(leaf, "[44, 4.5]");
    assert_eq!(
        help,
        "write its keys in braces: { key = value, key = value }"
    );
    let steps = "[{ length = 44, depth = 4.5 }, { length = 27, depth = 12 }]";
    let (_, help) = found(steps, leaf);
    assert_eq!(help, "put it in [ ], even where there is only one");
    let (_, help) = found("count = 2", "count = 2.0");
    assert_eq!(help, "write 2");
    let (_, help) = found("wall = 18", "wall = '18'");
    assert_eq!(help, "write 18 without quotation marks, or \"18 mm\"");
    let screws = "screws = [{ along = 17.5, gauge = '#5', length = 12 }]\n[placement]";
    let (_, help) = found("[placement]", screws);
    assert_eq!(help, "write 5, without quotation marks");
    let (_, help) = found("count = 2", "count = '2'");
    assert_eq!(help, "write 2, without quotation marks");
}

// The leaf's pocket is 44.1 mm long: half of it and 3 mm of wood are 25.05.
#[test]
fn a_hinge_past_the_end_is_told_the_least_inset_that_does() {
    let errors = resolve(&overlay(&[("inset = 45", "inset = 12")])).unwrap_err();
    let help = errors[0].help.as_deref().unwrap();
    assert_eq!(
        help,
        "`placement.inset` of at least 25.05 mm keeps the 3 mm of wood at the ends that `fit.min_left` asks for"
    );
    assert!(resolve(&overlay(&[("inset = 45", "inset = 25.05")])).is_ok());
    let (_, help) = found("count = 2\ninset = 45", "centres = [45, 245]");
    assert!(
        help.starts_with("from 25.05 mm to 234.95 mm its centre"),
        "{help}"
    );
    // The lid of 200 mm begins 40 mm in: its own ends decide.
    let lid = "closing = 'inset'\nlength = 180\nend_inset = 40";
    let text = overlay(&[("closing = 'overlay'", lid)]);
    let errors = resolve(&text).unwrap_err();
    let help = errors[0].help.as_deref().unwrap();
    assert!(help.contains("at least 65.05 mm"), "{}", listing(&errors));
    let short = overlay(&[
        ("length = 260", "length = 43"),
        ("count = 2\ninset = 45", "count = 1"),
    ]);
    let errors = resolve(&short).unwrap_err();
    assert!(
        listing(&errors).contains("take a shorter hinge"),
        "{}",
        listing(&errors)
    );
}

#[test]
fn a_figure_in_the_wrong_unit_is_doubted() {
    let doubted = |old: &str, new: &str, help: &str| {
        let (message, found) = found(old, new);
        assert!(message.contains("allowed is"), "{message}");
        assert!(found.contains(help), "{found}");
    };
    let millimetres = "if millimetres were meant, write \"";
    doubted(
        "wall = 18",
        "wall = '16 in'",
        &format!("16 in is 406.4 mm; {millimetres}16 mm\""),
    );
    doubted(
        "closing = 'overlay'",
        "closing = 'overlay'\noverhang = '1 in'",
        &format!("{millimetres}1 mm\""),
    );
    doubted(
        "length = 44",
        "length = '35 in'",
        &format!("{millimetres}35 mm\""),
    );
    doubted(
        "width = 10\n",
        "width = '10 in'\n",
        &format!("{millimetres}10 mm\""),
    );
    doubted(
        "setback = 3.5",
        "setback = '3.5 in'",
        &format!("{millimetres}3.5 mm\""),
    );
    doubted(
        "closed_gap = 0.8",
        "closed_gap = '0.8 in'",
        &format!("{millimetres}0.8 mm\""),
    );
    doubted(
        "length = 260",
        "length = '260 in'",
        &format!("{millimetres}260 mm\""),
    );
    doubted(
        "wall = 18",
        "wall = 0.75",
        "if inches were meant, write \"0.75 in\"",
    );
    doubted(
        "inset = 45",
        "inset = '45 in'",
        &format!("{millimetres}45 mm\""),
    );
    let travel = |travel: &str, units: &str| {
        let text = MACHINE.replacen(
            "travel = [400, 300, 90]",
            &format!("units = '{units}'\ntravel = {travel}\nfeed_max = [90, 90, 40]"),
            1,
        );
        let text = text.replacen("feed_max = [3000, 3000, 1200]\n", "", 1);
        machine("machine.toml", &text)
    };
    let errors = travel("[400, 300, 3.5]", "in").unwrap_err();
    assert_eq!(errors.len(), 2, "{}", listing(&errors));
    let help = errors[1].help.as_deref().unwrap();
    assert!(
        help.contains(&format!("300 in is 7620 mm; {millimetres}300 mm\"")),
        "{help}"
    );
    assert!(help.contains("`units = \"mm\"`"), "{help}");
    assert_eq!(travel("[16, 12, 3.5]", "mm").unwrap_err().len(), 3);
    // Machines and boxes as large as they are made.
    assert!(travel("[144, 60, 12]", "in").is_ok());
    assert!(travel("[4000, 2100, 300]", "mm").is_ok());
    let chest = overlay(&[
        ("length = 260", "length = '60 in'"),
        ("wall = 18", "wall = '2 in'"),
        ("height = 90", "height = '30 in'"),
        ("width = 180", "width = '24 in'"),
        (
            "closing = 'overlay'",
            "closing = 'overlay'\noverhang = '3/4 in'",
        ),
        ("setback = 3.5", "setback = '1/2 in'"),
    ]);
    assert!(
        resolve(&chest).is_ok(),
        "{}",
        listing(&resolve(&chest).unwrap_err())
    );
}

#[test]
fn a_length_in_words_is_written_out() {
    for (written, meant) in [
        ("'1¾ in'", "1 3/4 in"),
        ("'1,8 cm'", "18 mm"),
        ("'3/8″'", "3/8 in"),
    ] {
        let text = overlay(&[("wall = 18", &format!("wall = {written}"))]);
        let (_, help) = one(job("job.toml", &text).unwrap_err());
        assert_eq!(help, format!("write \"{meant}\""));
    }
}
