//! The woods of box and lid as one name.

use crate::shop::same_name;
use crate::shop::wood::{Wood, find};

/// Between the box's wood and the lid's.
const BETWEEN: &str = " / ";

/// `black walnut` where both are of it, else `black walnut / sugar maple`, the
/// box's first.
pub fn pair_name(of_box: &Wood, of_lid: &Wood) -> String {
    if same_name(&of_box.name, &of_lid.name) {
        of_box.name.clone()
    } else {
        format!("{}{BETWEEN}{}", of_box.name, of_lid.name)
    }
}

/// Whether two such names mean the same two woods, each in any spelling that
/// the wood table knows.
pub fn is_same_pair(one: &str, other: &str) -> bool {
    let both = |pair: &str| {
        let (of_box, of_lid) = pair.split_once(BETWEEN).unwrap_or((pair, pair));
        [of_box, of_lid].map(|name| find(name).map_or_else(|_| name.to_owned(), |wood| wood.name))
    };
    let (one, other) = (both(one), both(other));
    one.iter()
        .zip(&other)
        .all(|(one, other)| same_name(one, other))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pair_is_known_in_any_spelling_and_not_the_other_way_round() {
        let (walnut, maple) = (find("black walnut").unwrap(), find("hard maple").unwrap());
        assert_eq!(pair_name(&walnut, &walnut), "black walnut");
        let pair = pair_name(&walnut, &maple);
        assert_eq!(pair, "black walnut / sugar maple");
        assert!(is_same_pair(&pair, "Walnut, black / Maple, hard"));
        assert!(is_same_pair("walnut, black", "black walnut / Black Walnut"));
        assert!(!is_same_pair(&pair, "sugar maple / black walnut"));
        assert!(!is_same_pair(&pair, "black walnut"));
        assert!(is_same_pair("Bog oak", "bog oak") && !is_same_pair("bog oak", "bog ash"));
    }
}
