//! One key of a job's text changed.

use super::kind::Kind;
use super::typed::{self, Spelt};
use crate::diagnostic::Diagnostic;
use crate::input;
use crate::rewrite::{self, Refused};
use crate::units::Units;
use crate::visible;

/// A text in which one key has changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Change {
    /// The new text.
    pub(crate) text: String,
    /// The lines that went.
    pub(crate) gone: Vec<String>,
    /// The lines that came.
    pub(crate) come: Vec<String>,
    /// What was taken to be meant, where it was not taken letter by letter.
    pub(crate) told: Option<String>,
}

/// The job's text with the value that is typed for a key; with nothing typed
/// the key is taken away.
///
/// # Errors
/// A key that no job has or that holds no value, a value that is not one plain
/// line, and a text that is no TOML.
pub(crate) fn change(text: &str, path: &str, typed: &str) -> Result<Change, Diagnostic> {
    let kind = Kind::of(path).ok_or_else(|| unknown(path))?;
    let units = units(text);
    let spelt = match (typed.trim(), &kind) {
        ("", _) => None,
        (typed, _) if !visible::is_plain_line(typed) => return Err(broken(path)),
        (_, Kind::Table) => return Err(unknown(path)),
        (typed, Kind::List(_)) => {
            let item = kind.item(path).ok_or_else(|| unknown(path))?;
            Some(typed::spell_list(&item, typed, units))
        }
        (typed, kind) => Some(typed::spell(kind, typed, units)),
    };
    let value = spelt.as_ref().map(|spelt| spelt.value.as_str());
    let new = match rewrite::set(text, path, value) {
        Err(Refused::Text(why)) => {
            mended(text, path, value).ok_or_else(|| words(path, Refused::Text(why)))?
        }
        done => done.map_err(|refused| words(path, refused))?,
    };
    let (gone, come) = lines(text, &new);
    Ok(Change {
        gone,
        come,
        told: spelt.and_then(|Spelt { told, .. }| told),
        text: new,
    })
}

/// A text that is no TOML with the value of one line set, where that mends it.
fn mended(text: &str, path: &str, value: Option<&str>) -> Option<String> {
    let span = input::value_on_line(text, path)?;
    let mut new = text.to_owned();
    let is_bare = text.get(..span.start)?.ends_with('=');
    let blank = if is_bare { " " } else { "" };
    new.replace_range(span, &format!("{blank}{}", value?));
    rewrite::set(&new, path, value).ok()
}

/// The unit of a file's bare numbers.
pub(crate) fn units(text: &str) -> Units {
    let keys = input::written(text);
    let said = keys.iter().find(|key| key.path == "units");
    match said {
        Some(said) if said.shown == Units::Inch.symbol() => Units::Inch,
        _ => Units::Millimetre,
    }
}

fn broken(path: &str) -> Diagnostic {
    let message = format!(
        "what is typed for `{}` has a line break or a character that is not shown",
        visible::short(path)
    );
    Diagnostic::new("not-one-line", message).help("write it on one line, in plain characters")
}

fn unknown(path: &str) -> Diagnostic {
    let path = visible::short(path);
    let message = format!("`{path}` is no key of a job that holds a value");
    Diagnostic::new("unknown-key", message).help("`stepwell explain` tells what a key means")
}

fn words(path: &str, refused: Refused) -> Diagnostic {
    let path = visible::short(path);
    match refused {
        Refused::Text(why) => {
            let message = format!("`{path}` cannot be set while the file is no TOML: {why}");
            Diagnostic::new("not-editable", message).help("mend that line in a text editor first")
        }
        Refused::Value(why) => {
            let message = format!("what is typed for `{path}` cannot be written: {why}");
            Diagnostic::new("not-editable", message)
        }
        Refused::Path => {
            let message = format!("`{path}` leads to no place in this file");
            Diagnostic::new("not-editable", message).help("write it by hand")
        }
    }
}

/// The lines in which two texts differ, those of the first and of the second.
fn lines(old: &str, new: &str) -> (Vec<String>, Vec<String>) {
    let (old, new): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
    let both = old.iter().zip(&new);
    let before = both.take_while(|(one, other)| one == other).count();
    let (old, new) = (&old[before..], &new[before..]);
    let both = old.iter().rev().zip(new.iter().rev());
    let after = both.take_while(|(one, other)| one == other).count();
    let own = |lines: &[&str]| {
        let kept = lines.len() - after;
        lines[..kept]
            .iter()
            .map(|line| (*line).to_owned())
            .collect()
    };
    (own(old), own(new))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::STARTER;

    #[test]
    fn a_change_tells_the_line_it_wrote() {
        let done = change(STARTER, "hinge.width", "10,2").unwrap();
        assert_eq!(done.gone.len(), 1);
        assert_eq!(
            done.come,
            ["width      = 10.2          # caliper, outside jaws: across one leaf"]
        );
        assert_eq!(done.told.as_deref(), Some("`10,2` was taken as 10.2 mm"));
        let back = change(&done.text, "hinge.width", "10").unwrap();
        assert_eq!(back.text, STARTER);
        let none = change(STARTER, "hinge.width", "10").unwrap();
        assert_eq!(
            (none.text.as_str(), none.gone.len(), none.come.len()),
            (STARTER, 0, 0)
        );
    }

    #[test]
    fn a_list_of_plain_values_is_set_as_a_whole() {
        let text = format!("{STARTER}positions = [\n  {{ hinges = [1] }},\n]\n");
        for typed in ["[1, 2]", "1, 2", "1,2", "1; 2"] {
            let done = change(&text, "fixture.positions[1].hinges", typed).unwrap();
            assert_eq!(done.come, ["  { hinges = [1, 2] },"], "{typed}");
            let done = change(&text, "fixture.positions[2].hinges", typed).unwrap();
            assert_eq!(done.come, ["  { hinges = [1, 2] },"], "{typed}");
        }
        let done = change(&text, "placement.centres", "45, 1/2 in, \"9 mm\"").unwrap();
        assert_eq!(done.come, ["centres = [45, \"1/2 in\", \"9 mm\"]"]);
        assert_eq!(done.told, None);
        let done = change(&text, "fixture.park", "4,5").unwrap();
        assert_eq!(done.told.as_deref(), Some("`4,5` was taken as [4, 5]"));
    }

    #[test]
    fn a_value_is_one_plain_line() {
        for typed in ["9\n5", "9\u{7}", "a\u{202e}b", "a\tb", "9\r\n5"] {
            for path in ["hinge.width", "title", "lid.closing", "fixture.park"] {
                let refused = change(STARTER, path, typed).unwrap_err();
                assert_eq!(refused.code, "not-one-line", "{path} {typed:?}");
            }
        }
        let long = "x".repeat(5000);
        assert!(change(STARTER, &long, "1").unwrap_err().message.len() < 200);
        let long = format!("fixture.park[{}1]", "0".repeat(5000));
        assert!(change(STARTER, &long, "1").is_ok());
        let long = format!("fixture.park[{}]", "9".repeat(5000));
        assert!(change(STARTER, &long, "1").unwrap_err().message.len() < 200);
    }

    #[test]
    fn what_is_no_key_of_a_job_is_refused() {
        for path in [
            "hinge.wdith",
            "entry",
            "entry[1].was",
            "hinge",
            "hinge.steps",
            "a b",
            "",
        ] {
            assert!(change(STARTER, path, "1").is_err(), "{path}");
        }
        assert!(change(STARTER, "hinge.steps[2]", "").is_ok());
        let broken = change("a = \n", "title", "x").unwrap_err();
        assert_eq!(broken.code, "not-editable");
    }

    #[test]
    fn the_line_that_breaks_a_file_is_mended_by_its_key() {
        for wrong in ["9,5", "", "= 9", "\"9.5 mm", "9.5 mm", "ten # or so"] {
            let line = format!("height = {wrong} # by tape\n");
            let text = format!("[box]\n{line}wall = 18 # caliper\n");
            let done = change(&text, "box.height", "90").unwrap();
            assert!(done.text.starts_with("[box]\nheight = 90"), "{}", done.text);
            assert!(
                done.text.ends_with("\nwall = 18 # caliper\n"),
                "{}",
                done.text
            );
            assert!(change(&text, "box.wall", "19").is_err(), "{wrong}");
        }
    }

    #[test]
    fn the_files_own_unit_counts() {
        let text = STARTER.replace("units   = \"mm\"", "units = \"in\"");
        let done = change(&text, "hinge.width", ",5").unwrap();
        assert!(done.come[0].contains("\",5\""), "{:?}", done.come);
        let done = change(&text, "hinge.width", "0,5").unwrap();
        assert_eq!(done.told.as_deref(), Some("`0,5` was taken as 0.5 in"));
    }
}
