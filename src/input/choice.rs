//! Words of a fixed list, and the nearest spelling of a wrong one.

use std::fmt;

use serde::Deserialize;
use serde::de::value::StrDeserializer;

use crate::diagnostic::Diagnostic;

/// The words an enum allows.
#[derive(Debug)]
pub(crate) struct Allowed(pub(crate) Vec<&'static str>);

impl fmt::Display for Allowed {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&list(&self.0))
    }
}

impl std::error::Error for Allowed {}

impl serde::de::Error for Allowed {
    fn custom<T: fmt::Display>(_: T) -> Self {
        Self(Vec::new())
    }

    fn unknown_variant(_: &str, expected: &'static [&'static str]) -> Self {
        Self(expected.to_vec())
    }
}

/// The variant of `T` that its serde names spell `word`.
///
/// # Errors
/// The names that exist.
pub(crate) fn parse<'w, T: Deserialize<'w>>(word: &'w str) -> Result<T, Allowed> {
    T::deserialize(StrDeserializer::<Allowed>::new(word))
}

/// `a, b, c`, each in backticks.
pub(crate) fn list<T: AsRef<str>>(words: &[T]) -> String {
    let quoted: Vec<String> = words
        .iter()
        .map(|word| format!("`{}`", word.as_ref()))
        .collect();
    quoted.join(", ")
}

/// With the nearest spellings as a hint, where there are any.
pub(crate) fn with_nearest<T: AsRef<str>>(diagnostic: Diagnostic, nearest: &[T]) -> Diagnostic {
    match nearest {
        [] => diagnostic,
        [one] => diagnostic.help(format!("did you mean `{}`?", one.as_ref())),
        many => diagnostic.help(format!("did you mean one of {}?", list(many))),
    }
}

/// How alike two words must be to be offered as a correction.
const ALIKE: f64 = 0.75;

/// How much less alike a further offer may be than the first.
const AS_GOOD: f64 = 0.1;

/// Longest word that is compared; no key or name comes near it.
const LONGEST: usize = 100;

/// Up to three of `words` spelled most like `word`, the likest first.
pub(crate) fn nearest<'a>(word: &str, words: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    if word.len() > LONGEST {
        return Vec::new();
    }
    let word = word.to_lowercase();
    let mut scored: Vec<(f64, &str)> = words
        .into_iter()
        .filter(|other| other.len() <= LONGEST)
        .map(|other| (strsim::jaro_winkler(&word, &other.to_lowercase()), other))
        .filter(|(score, _)| *score >= ALIKE)
        .collect();
    scored.sort_by(|left, right| right.0.total_cmp(&left.0));
    let best = scored.first().map_or(0.0, |(score, _)| *score);
    scored
        .into_iter()
        .take(3)
        .filter(|(score, _)| *score >= best - AS_GOOD)
        .map(|(_, other)| other)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::bit::BitKind;
    use crate::shop::machine::ToolChange;

    #[test]
    fn serde_names_are_read_and_listed() {
        assert_eq!(parse::<BitKind>("up-spiral").unwrap(), BitKind::UpSpiral);
        let allowed = parse::<ToolChange>("m7").unwrap_err();
        assert_eq!(allowed.0, ["split", "m6", "pause"]);
        assert_eq!(allowed.to_string(), "`split`, `m6`, `pause`");
    }

    #[test]
    fn a_slip_of_the_finger_finds_its_word() {
        assert_eq!(nearest("lenght", ["length", "width"]), ["length"]);
        assert!(nearest("zzz", ["length", "width"]).is_empty());
    }
}
