//! From a name as people write it to a row of the table.

use crate::shop::wood::near::nearest;
use crate::shop::wood::spelling::{names, words};
use crate::shop::wood::{Grain, Species, TABLE_MOISTURE, Wood, table};

/// The wood of that name, at 12 % moisture with the grain along the edge.
///
/// Blind to case, hyphens, commas and word order: "hard maple", "sugar maple"
/// and "Maple, sugar" are one wood. A name that leaves out the qualifier
/// ("cherry") is taken where only one species fits.
///
/// # Errors
/// The nearest names of the table, best first, never empty: all that fit where
/// the name is ambiguous ("oak"), else those of its kind, else the three nearest.
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

/// Whether the name gives the head noun ("Maple" of "Maple, sugar") and
/// nothing that the species is not called.
fn fits(query: &[String], species: &'static Species) -> bool {
    let head = words(species.handbook.split(',').next().unwrap_or_default());
    let known: Vec<String> = names(species).flat_map(words).collect();
    head.iter().all(|word| query.contains(word)) && query.iter().all(|word| known.contains(word))
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
