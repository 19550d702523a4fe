//! What a check looks at, what a key means, and what to do about a topic: the
//! text beside `explain`, one file for each check id, and the key table's own words.

use strsim::damerau_levenshtein;

use crate::diagnostic::Diagnostic;
use crate::input::FileKind;
use crate::input::keys;
use crate::report::CheckId;

/// What there is to say about a check id, a key such as `hinge.width`, or a topic.
///
/// # Errors
/// A word that is none of them, with those that are near.
pub fn explain(word: &str) -> Result<String, Diagnostic> {
    let word = word.trim();
    let check = CheckId::ALL.iter().find(|id| id.name() == word);
    if let Some(id) = check {
        return Ok(format!("{word}\n\n{}", of_check(*id)));
    }
    if let Some((_, text)) = TOPICS.iter().find(|(name, _)| *name == word) {
        return Ok(format!("{word}\n\n{text}"));
    }
    let found: Vec<String> = FileKind::ALL
        .into_iter()
        .filter_map(|kind| of_key(kind, word))
        .collect();
    if found.is_empty() {
        return Err(unknown(word));
    }
    Ok(found.join("\n"))
}

macro_rules! topics {
    ($($name:literal)*) => {
        [$(($name, include_str!(concat!("explain/topics/", $name, ".md")))),*]
    };
}

const TOPICS: [(&str, &str); 7] =
    topics!["closing" "dull" "page" "plug" "screws" "template" "test-piece"];

fn of_check(id: CheckId) -> &'static str {
    macro_rules! texts {
        ($($id:ident $name:literal)*) => {
            match id {
                $(CheckId::$id => include_str!(concat!("explain/checks/", $name, ".md")),)*
            }
        };
    }
    texts! {
        Syntax "syntax" Dialect "dialect" Preamble "preamble" SpindleOn "spindle-on"
        RapidInWood "rapid-in-wood" TravelHeight "travel-height" PocketBounds "pocket-bounds"
        PocketComplete "pocket-complete" Stepdown "stepdown" Plunge "plunge"
        RampAngle "ramp-angle" FeedLimit "feed-limit" SpindleLimit "spindle-limit"
        ChipLoad "chip-load" BitSpeed "bit-speed" EdgeWear "edge-wear" ChipRoom "chip-room"
        SpindlePower "spindle-power" Deflection "deflection"
        FluteReach "flute-reach" NutClearance "nut-clearance" ClampClearance "clamp-clearance"
        Envelope "envelope" WallLeft "wall-left" FloorLeft "floor-left" FoldMatch "fold-match"
        Opening "opening" ProgramEnd "program-end"
        TemplateMatch "template-match" CollarRoom "collar-room" PlateLeft "plate-left"
    }
}

/// Meaning, default and range of a key of one kind of file.
fn of_key(kind: FileKind, path: &str) -> Option<String> {
    let file = match kind {
        FileKind::Job => "job",
        FileKind::Machine => "machine",
        FileKind::Bits => "bits",
        FileKind::Hinges => "hinges",
    };
    let (key, content) = keys::find(kind, path)?;
    let meaning = keys::describe(kind, path)?;
    let mut text = format!("`{path}` of the {file} file: {meaning}.\n");
    if let Some(default) = key.presence.default() {
        text += &format!("Default: {default}.\n");
    }
    if let Some(allowed) = content.allowed() {
        text += &format!("Allowed: {allowed}.\n");
    }
    Some(text)
}

/// Every word that can be explained.
fn words() -> Vec<String> {
    let checks = CheckId::ALL.iter().map(|id| id.name().to_owned());
    let topics = TOPICS.iter().map(|(name, _)| (*name).to_owned());
    let keys = FileKind::ALL.into_iter().flat_map(keys::paths);
    checks.chain(topics).chain(keys).collect()
}

fn unknown(word: &str) -> Diagnostic {
    let message = format!("`{word}` is no check, no key and no topic");
    let diagnostic = Diagnostic::new("unknown-word", message);
    let all = words();
    // A key by its last part, or one that is nearly right.
    let ends = |known: &&String| known.rsplit('.').next() == Some(word);
    let mut near: Vec<&String> = all.iter().filter(ends).collect();
    if near.is_empty() {
        let distance = |known: &&String| damerau_levenshtein(word, known);
        near = all.iter().filter(|known| distance(known) <= 2).collect();
    }
    let topics: Vec<&str> = TOPICS.iter().map(|(name, _)| *name).collect();
    let help = match near.as_slice() {
        [] => format!(
            "name a check id as a report prints it, a key with its table such as \
             `hinge.width`, or a topic: {}",
            topics.join(", ")
        ),
        near => {
            let near: Vec<String> = near
                .iter()
                .take(6)
                .map(|word| format!("`{word}`"))
                .collect();
            format!("did you mean {}?", near.join(", "))
        }
    };
    diagnostic.help(help)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_check_says_what_it_looks_at_and_what_it_takes_on_trust() {
        for id in CheckId::ALL {
            let text = explain(id.name()).unwrap();
            for part in [
                "Looks at: ",
                "Why: ",
                "How exactly: ",
                "What to do: ",
                "Taken on trust: ",
            ] {
                assert_eq!(text.matches(part).count(), 1, "{part} of {id}");
            }
        }
    }

    #[test]
    fn every_key_of_every_file_is_explained() {
        let keys: Vec<String> = words()
            .into_iter()
            .filter(|word| word.contains('.'))
            .collect();
        assert!(keys.len() > 80, "{keys:?}");
        for key in keys {
            let text = explain(&key).unwrap_or_else(|error| panic!("{key}: {error}"));
            assert!(text.starts_with(&format!("`{key}` of the ")), "{text}");
        }
        let text = explain("bit.wear").unwrap();
        assert!(
            text.contains("Default: 0.\n") && text.contains("Allowed: from 0 to 1.\n"),
            "{text}"
        );
        assert!(explain("travel").unwrap().contains("machine file"));
        // A length's range is told too, and that of each of several.
        assert!(
            explain("fit.under")
                .unwrap()
                .ends_with("Default: 0.2 mm.\nAllowed: from 0 to 2 mm.\n")
        );
        assert!(
            explain("fixture.park")
                .unwrap()
                .contains("Allowed: each from -250000 to 250000 mm.")
        );
    }

    #[test]
    fn a_word_that_is_none_is_told_those_that_are_near() {
        let help = |word: &str| explain(word).unwrap_err().help.unwrap();
        assert!(help("pocket-bound").contains("`pocket-bounds`"));
        assert!(help("setback").contains("`hinge.setback`"));
        assert!(help("xyzzy").contains("closing, dull, page, plug, screws, template, test-piece"));
    }
}
