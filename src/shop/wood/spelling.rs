//! The names of a species, word by word.

use crate::shop::wood::Species;

pub(super) fn names(species: &'static Species) -> impl Iterator<Item = &'static str> {
    [species.name, species.handbook]
        .into_iter()
        .chain(species.aliases.iter().copied())
}

/// The noun of the kind: "oak" of "Oak, white", "fir" of "Douglas-fir, Coast".
pub(super) fn kind(species: &'static Species) -> String {
    let head = species.handbook.split(',').next().unwrap_or_default();
    let noun = head.rsplit(|character: char| !character.is_alphanumeric());
    noun.map(str::to_lowercase).next().unwrap_or_default()
}

/// Lower-case words in alphabetical order.
pub(super) fn words(name: &str) -> Vec<String> {
    let mut words: Vec<String> = name
        .split(|character: char| !character.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.sort_unstable();
    words
}
