//! Wood screws by gauge number.

use crate::units::Length;

/// Root diameters of cut-thread wood screws at mid-thread, in inches, by gauge
/// (public root-diameter table, read first-hand). Rolled threads are 15–20 %
/// thicker there.
const CUT_THREAD_ROOTS: [(u32, f64); 10] = [
    (2, 0.054),
    (4, 0.075),
    (6, 0.094),
    (8, 0.112),
    (10, 0.130),
    (12, 0.148),
    (14, 0.165),
    (16, 0.184),
    (18, 0.204),
    (20, 0.223),
];

/// Greatest diameters of flat heads in inches, by gauge (public size table of
/// ASME B18.6.1, read first-hand).
const FLAT_HEADS: [(u32, f64); 4] = [(4, 0.225), (6, 0.279), (8, 0.332), (10, 0.385)];

/// Greatest gauge number the rule is used for (the old tests went to No. 24).
pub const LARGEST_GAUGE: u32 = 24;

/// Shank (major) diameter of a gauge: 0.060 + 0.013 N inch (ASME B18.6.1; a
/// public size table agrees for gauges 0 to 12).
pub fn major_diameter(gauge: u32) -> Length {
    Length::from_inch(0.060 + 0.013 * f64::from(gauge))
}

/// Root diameter of a gauge: the cut-thread table where it has the gauge, else
/// two thirds of the shank (Wood Handbook, p. 8-10).
pub fn root_diameter(gauge: u32) -> Length {
    CUT_THREAD_ROOTS
        .iter()
        .find(|(known, _)| *known == gauge)
        .map_or_else(
            || root_of_shank(major_diameter(gauge)),
            |(_, root)| Length::from_inch(*root),
        )
}

/// Greatest diameter of a flat head on that shank, between the table's gauges
/// in proportion; none outside them.
pub fn head_diameter(shank: Length) -> Option<Length> {
    FLAT_HEADS.windows(2).find_map(|pair| {
        let [(thin, least), (thick, most)] = [pair[0], pair[1]];
        let [thin, thick] = [thin, thick].map(major_diameter);
        let share = (shank - thin) / (thick - thin);
        // A shank given in millimetres may be a hair off its gauge.
        (-0.01..=1.01)
            .contains(&share)
            .then(|| Length::from_inch(least + share * (most - least)))
    })
}

/// Root diameter where only the shank is known: two thirds of it (Wood
/// Handbook, p. 8-10).
pub fn root_of_shank(shank: Length) -> Length {
    shank * (2.0 / 3.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Handbook rows W31 and W32: No. 8 is 0.164 in, No. 10 is 0.190 in, each ±0.0005.
    #[test]
    fn gauge_gives_the_shank_of_the_size_table() {
        assert!((major_diameter(8).as_inch() - 0.164).abs() < 0.0005);
        assert!((major_diameter(10).as_inch() - 0.190).abs() < 0.0005);
    }

    // The table's own figures; No. 5 half-way between 0.225 and 0.279.
    #[test]
    fn a_flat_head_is_the_tables_or_between_two_of_it() {
        let head = |gauge| head_diameter(major_diameter(gauge)).map(|head| head.as_inch());
        for (gauge, wanted) in [(4, 0.225), (5, 0.252), (6, 0.279), (8, 0.332), (10, 0.385)] {
            assert!((head(gauge).unwrap() - wanted).abs() < 1e-9, "{gauge}");
        }
        assert_eq!((head(2), head(12)), (None, None));
    }

    // Rows W33 and W34 start from a root of 0.112 in for No. 8.
    #[test]
    fn root_is_the_table_value_or_two_thirds_of_the_shank() {
        assert!((root_diameter(8).as_inch() - 0.112).abs() < 1e-12);
        assert!((root_diameter(5).as_inch() - 0.125 * 2.0 / 3.0).abs() < 1e-12);
        assert!((root_diameter(0).as_inch() - 0.04).abs() < 1e-12);
    }
}
