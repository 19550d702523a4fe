//! Files that are no TOML: every mistake, and none that follows from another.

use super::{OVERLAY, listing, overlay};
use crate::input::{bits, job};

/// The mistakes of a job as `line code` and the help of each.
#[track_caller]
fn found(text: &str) -> Vec<(u32, &'static str, String)> {
    let errors = job("job.toml", text).unwrap_err();
    errors
        .iter()
        .map(|error| {
            let line = error.place.as_ref().map_or(0, |place| place.line);
            (line, error.code, error.help.clone().unwrap_or_default())
        })
        .collect()
}

/// One line of the sample broken gives one mistake there, with this help.
#[track_caller]
fn one(old: &str, new: &str, help: &str) {
    let text = overlay(&[(old, new)]);
    let line = 1 + text.lines().position(|line| line.contains(new)).unwrap();
    let found = found(&text);
    let wanted = (u32::try_from(line).unwrap(), "toml-syntax", help.to_owned());
    assert_eq!(
        found,
        [wanted],
        "{}",
        listing(&job("j", &text).unwrap_err())
    );
}

#[test]
fn a_broken_value_is_one_mistake_with_what_to_write() {
    one("wall = 18", "wall = 1 3/4", "write `wall = \"1 3/4 in\"`");
    one("wall = 18", "wall = 18 mm", "write `wall = \"18 mm\"`");
    one("wall = 18", "wall = 18,5", "write `wall = 18.5`");
    one("wall = 18", "wall = .5", "write `wall = 0.5`");
    one(
        "title = 'Sample'",
        "title = “Sample”",
        "write `title = \"Sample\"`",
    );
    one(
        "layout = 'book'",
        "layout = book",
        "write `layout = \"book\"`",
    );
    one(
        "closing = 'overlay'",
        "closing = \"overlay",
        "write `closing = \"overlay\"`",
    );
}

#[test]
fn a_broken_line_is_one_mistake_with_what_to_write() {
    one("wall = 18", "wall : 18", "write `wall = 18`");
    one(
        "[lid]",
        "[lid",
        "a table's name stands in brackets: write `[lid]`",
    );
    one(
        "[lid]",
        "lid]",
        "a table's name stands in brackets: write `[lid]`",
    );
}

#[test]
fn several_broken_values_and_what_else_is_wrong_come_together() {
    let text = overlay(&[
        ("title = 'Sample'", "title = “Sample”"),
        ("length = 260", "length = 10 1/4"),
        ("wall = 18", "wall = '18 mn'"),
        ("depth = 4.5", "depth = 4,5"),
        ("inset = 45", "insett = 45"),
        ("gap = 0.4", "gap = 0,4"),
    ]);
    let codes: Vec<(u32, &str)> = found(&text)
        .into_iter()
        .map(|(line, code, _)| (line, code))
        .collect();
    assert_eq!(
        codes,
        [
            (1, "toml-syntax"),
            (6, "toml-syntax"),
            (7, "bad-length"),
            (19, "toml-syntax"),
            (22, "unknown-key"),
            (24, "toml-syntax"),
        ]
    );
}

#[test]
fn a_list_that_is_never_closed_hides_no_other_mistake_and_makes_none() {
    let steps = "steps = [{ length = 44, depth = 4.5 }, { length = 27, depth = 12 }]";
    let text = overlay(&[
        (
            steps,
            "steps = [\n  { length = 44, depth = 4.5 },\n  { length = 27, depth = 12 },",
        ),
        ("layout = 'book'", "layout = book"),
    ]);
    assert_eq!(
        found(&text),
        [
            (19, "toml-syntax", "write `]` where it ends".to_owned()),
            (28, "toml-syntax", "write `layout = \"book\"`".to_owned()),
        ]
    );
    let text = overlay(&[(
        steps,
        "steps = [\n  { length = 44, depth = 4.5 },\n  { length = 27, depth = 12\n]",
    )]);
    assert_eq!(
        found(&text),
        [(21, "toml-syntax", "write `}` where it ends".to_owned())]
    );
}

#[test]
fn a_key_given_twice_is_named() {
    let text = overlay(&[("wall = 18", "wall = 18\nwall = 19")]);
    let errors = job("job.toml", &text).unwrap_err();
    assert_eq!(errors[0].code, "duplicate-key");
    assert!(errors[0].message.contains("`wall`"), "{}", listing(&errors));
    assert_eq!(errors.len(), 1, "{}", listing(&errors));
}

#[test]
fn a_rack_left_open_is_told_once() {
    let text = "[[bit]\nname = 'a'\n";
    let errors = bits("bits.toml", text).unwrap_err();
    assert_eq!(errors.len(), 1, "{}", listing(&errors));
    assert_eq!(
        errors[0].help.as_deref(),
        Some("a table's name stands in brackets: write `[[bit]]`")
    );
}

#[test]
fn a_sound_file_is_sound_whatever_its_texts_hold() {
    assert!(job("job.toml", OVERLAY).is_ok());
    for title in [
        "\"a \\\" # [b {\"",
        "'[ # {'",
        "\"\"\"\n[lid\n{ [ \"\"\"",
        "\"“curly” 3/8\"",
    ] {
        let text = overlay(&[("title = 'Sample'", &format!("title = {title}"))]);
        let read = job("job.toml", &text);
        assert!(read.is_ok(), "{}", listing(&read.unwrap_err()));
    }
}
