//! From a name as people write it to a row of the table.

use crate::shop::wood::{Grain, Species, TABLE_MOISTURE, Wood, table};

/// How many spellings an unknown name is answered with.
const SUGGESTIONS: usize = 3;

/// The wood of that name, at 12 % moisture with the grain along the edge.
///
/// Blind to case, hyphens, commas and word order: "hard maple", "sugar maple"
/// and "Maple, sugar" are one wood. A name that leaves out the qualifier
/// ("cherry") is taken where only one species fits.
///
/// # Errors
/// The nearest names of the table, best first, never empty: all that fit where
/// the name is ambiguous ("oak"), else the three nearest spellings.
///
/// # Examples
/// ```
/// let maple = stepwell::shop::wood::find("Maple, sugar").unwrap();
/// assert_eq!(maple.name, "sugar maple");
/// assert_eq!(stepwell::shop::wood::find("wallnut").unwrap_err()[0], "black walnut");
/// ```
pub fn find(name: &str) -> Result<Wood, Vec<String>> {
    let query = words(name);
    if let Some(species) = exact(&query) {
        return Ok(wood(species));
    }
    let fitting: Vec<&Species> = table()
        .iter()
        .filter(|species| fits(&query, species))
        .collect();
    match fitting.as_slice() {
        [only] => Ok(wood(only)),
        [] => Err(nearest(&query)),
        several => Err(several
            .iter()
            .map(|species| species.name.to_owned())
            .collect()),
    }
}

/// The row whose name, handbook name or alias is this one.
pub(super) fn lookup(name: &str) -> Option<&'static Species> {
    exact(&words(name))
}

fn wood(species: &Species) -> Wood {
    Wood {
        name: species.name.to_owned(),
        family: species.family,
        gravity: species.gravity,
        moisture: TABLE_MOISTURE,
        grain: Grain::default(),
    }
}

fn exact(query: &[String]) -> Option<&'static Species> {
    table()
        .iter()
        .find(|species| names(species).any(|name| words(name) == query))
}

fn names(species: &'static Species) -> impl Iterator<Item = &'static str> {
    [species.name, species.handbook]
        .into_iter()
        .chain(species.aliases.iter().copied())
}

/// Whether the name gives the head noun ("Maple" of "Maple, sugar") and
/// nothing that the species is not called.
fn fits(query: &[String], species: &'static Species) -> bool {
    let head = words(species.handbook.split(',').next().unwrap_or_default());
    let known: Vec<String> = names(species).flat_map(words).collect();
    head.iter().all(|word| query.contains(word)) && query.iter().all(|word| known.contains(word))
}

/// Lower-case words in alphabetical order.
fn words(name: &str) -> Vec<String> {
    let mut words: Vec<String> = name
        .split(|character: char| !character.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.sort_unstable();
    words
}

fn nearest(query: &[String]) -> Vec<String> {
    let mut scored: Vec<(f64, &str)> = table()
        .iter()
        .map(|species| (closeness(query, species), species.name))
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0));
    scored
        .into_iter()
        .take(SUGGESTIONS)
        .map(|(_, name)| name.to_owned())
        .collect()
}

/// Likeness of the most alike of its names.
fn closeness(query: &[String], species: &'static Species) -> f64 {
    names(species)
        .map(|name| likeness(query, &words(name)))
        .fold(0.0, f64::max)
}

/// Half from the whole name, half from each word's best partner.
fn likeness(query: &[String], name: &[String]) -> f64 {
    let alike = strsim::normalized_damerau_levenshtein;
    let whole = alike(&query.join(" "), &name.join(" "));
    let by_word: f64 = query
        .iter()
        .map(|word| {
            name.iter()
                .map(|known| alike(word, known))
                .fold(0.0, f64::max)
        })
        .sum();
    let words = query.len().max(1) as f64;
    0.5 * (whole + by_word / words)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(name: &str, expected: &str) {
        assert_eq!(find(name).map(|wood| wood.name), Ok(expected.to_owned()));
    }

    #[test]
    fn either_word_order_any_case_and_hyphens_find_the_wood() {
        check("black walnut", "black walnut");
        check("Walnut, black", "black walnut");
        check("  BLACK-Walnut ", "black walnut");
        check("hard maple", "sugar maple");
        check("Maple, hard", "sugar maple");
        check("sugar maple", "sugar maple");
        check("Maple, sugar", "sugar maple");
        check("Maple, sugar (hard)", "sugar maple");
        check("yellow poplar", "yellow-poplar");
        check("Yellow-poplar", "yellow-poplar");
        check("white oak", "white oak");
        check("plywood", "plywood");
        check("mdf", "MDF");
        check("douglas fir", "coast Douglas-fir");
        check("Spanish Cedar", "Spanish-cedar");
    }

    #[test]
    fn a_bare_noun_is_enough_where_one_species_has_it() {
        check("cherry", "black cherry");
        check("red oak", "northern red oak");
        check("spruce", "Sitka spruce");
        check("poplar", "yellow-poplar");
    }

    #[test]
    fn an_ambiguous_noun_names_all_that_fit() {
        assert_eq!(
            find("maple"),
            Err(vec!["red maple".to_owned(), "sugar maple".to_owned()])
        );
        assert_eq!(
            find("Oak").unwrap_err(),
            ["northern red oak", "white oak", "European oak"].map(str::to_owned)
        );
        // Two continents have one, and their feeds differ.
        for (noun, all) in [
            ("beech", ["American beech", "European beech"]),
            ("walnut", ["black walnut", "European walnut"]),
            ("ash", ["white ash", "European ash"]),
        ] {
            assert_eq!(find(noun).unwrap_err(), all.map(str::to_owned));
        }
        check("plywood", "plywood");
        check("Baltic birch", "birch plywood");
        assert!(find("mahogany").is_err());
    }

    #[test]
    fn an_unknown_name_gets_the_nearest_spellings() {
        assert_eq!(find("black wallnut").unwrap_err()[0], "black walnut");
        assert_eq!(find("tek").unwrap_err()[0], "teak");
        assert_eq!(find("suger mapel").unwrap_err()[0], "sugar maple");
        assert_eq!(find("").unwrap_err().len(), 3);
        assert_eq!(find("hard").unwrap_err()[0], "sugar maple");
        assert!(!find("snakewood").unwrap_err().is_empty());
    }

    #[test]
    fn every_name_of_the_table_finds_its_own_row() {
        for species in table() {
            for name in names(species) {
                check(name, species.name);
            }
            let reversed: Vec<&str> = species.name.split(' ').rev().collect();
            check(&reversed.join(", "), species.name);
        }
    }
}
