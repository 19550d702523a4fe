//! What an unknown name may have meant: woods of its kind before look-alikes.

use std::cmp::Ordering;

use crate::shop::wood::spelling::{kind, names, words};
use crate::shop::wood::{Family, Species, table};

/// How many names that are not of its kind an unknown name is answered with.
const SUGGESTIONS: usize = 3;

/// How alike two spellings of one noun are at least.
const SLIP: f64 = 0.75;

/// Words for a sheet of any make.
const SHEETS: [(&str, Family); 7] = [
    ("ply", Family::Plywood),
    ("plywood", Family::Plywood),
    ("fibreboard", Family::Fibreboard),
    ("fiberboard", Family::Fibreboard),
    ("hdf", Family::Fibreboard),
    ("chipboard", Family::Fibreboard),
    ("particleboard", Family::Fibreboard),
];

/// All of the kind that the name gives, a sheet's before its veneer's; where it
/// gives none, those that share a word, then the nearest spellings.
pub(super) fn nearest(query: &[String]) -> Vec<String> {
    let mut scored: Vec<(Kinship, &str)> = table()
        .iter()
        .map(|species| (Kinship::of(query, species), species.name))
        .collect();
    scored.sort_by(|(a, _), (b, _)| b.compare(a));
    let kin = scored
        .iter()
        .filter(|(kinship, _)| kinship.is_kin())
        .count();
    scored
        .into_iter()
        .take(if kin > 0 { kin } else { SUGGESTIONS })
        .map(|(_, name)| name.to_owned())
        .collect()
}

/// What a name has in common with a species, the weightiest first.
struct Kinship {
    is_sheet: bool,
    /// Likeness of the kind's noun; 0 where it is another noun.
    noun: f64,
    shares_a_word: bool,
    closeness: f64,
}

impl Kinship {
    fn of(query: &[String], species: &'static Species) -> Self {
        let is_sheet = SHEETS.iter().any(|(sheet, family)| {
            *family == species.family && query.iter().any(|word| word == sheet)
        });
        let kind = kind(species);
        let noun = query.iter().map(|word| alike(word, &kind));
        let noun = noun.fold(0.0, f64::max);
        Self {
            is_sheet,
            noun: if noun < SLIP { 0.0 } else { noun },
            shares_a_word: names(species)
                .flat_map(words)
                .any(|word| query.contains(&word)),
            closeness: closeness(query, species),
        }
    }

    fn is_kin(&self) -> bool {
        self.is_sheet || self.noun > 0.0
    }

    fn compare(&self, other: &Self) -> Ordering {
        self.is_sheet
            .cmp(&other.is_sheet)
            .then(self.noun.total_cmp(&other.noun))
            .then(self.shares_a_word.cmp(&other.shares_a_word))
            .then(self.closeness.total_cmp(&other.closeness))
    }
}

fn alike(word: &str, other: &str) -> f64 {
    strsim::normalized_damerau_levenshtein(word, other)
}

/// Likeness of the most alike of its names.
fn closeness(query: &[String], species: &'static Species) -> f64 {
    names(species)
        .map(|name| likeness(query, &words(name)))
        .fold(0.0, f64::max)
}

/// Half from the whole name, half from each word's best partner.
fn likeness(query: &[String], name: &[String]) -> f64 {
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
    use crate::shop::wood::find;

    #[track_caller]
    fn check(name: &str, expected: &[&str]) {
        let mut offered = find(name).unwrap_err();
        offered.sort_unstable();
        let mut expected = expected.to_vec();
        expected.sort_unstable();
        assert_eq!(offered, expected, "{name}");
    }

    #[test]
    fn a_kind_is_offered_whole_and_nothing_else() {
        check(
            "red gum oak",
            &["northern red oak", "European oak", "white oak"],
        );
        check("maple burl", &["red maple", "sugar maple"]);
        check("aromatic cedar", &["Spanish-cedar", "western red cedar"]);
        check("silver fir", &["coast Douglas-fir"]);
        check("Walnut, claro", &["black walnut", "European walnut"]);
    }

    #[test]
    fn a_sheet_comes_before_the_wood_of_its_veneer() {
        let offered = find("oak veneered ply").unwrap_err();
        let (sheets, woods) = offered.split_at(3);
        for sheet in ["plywood", "birch plywood", "bamboo board"] {
            assert!(sheets.iter().any(|name| name == sheet), "{offered:?}");
        }
        assert!(woods.len() == 3 && woods.iter().all(|name| name.ends_with("oak")));
        check("HDF", &["MDF"]);
    }

    #[test]
    fn a_word_in_common_is_worth_more_than_a_likeness() {
        let offered = find("european hornbeam").unwrap_err();
        assert!(offered.len() == 3 && offered.iter().all(|name| name.starts_with("European")));
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
}
