//! The species table.
//!
//! Strength and gravity: Wood Handbook FPL-GTR-282, Table 5-3b (woods of the
//! United States) and Table 5-5b (imports), inch-pound printing, at 12 %
//! moisture. Shrinkage green to ovendry: Tables 4-3 and 4-4. Movement
//! coefficients: FPL-GTR-190, Table 13-5. Clear-wood averages: a single board
//! differs by a tenth in gravity and by a fifth in hardness.

use crate::shop::wood::movement::gravity_at;
use crate::shop::wood::{Confidence, Family, TABLE_MOISTURE};

/// One row of the species table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Species {
    /// Name as people say it, "black walnut".
    pub name: &'static str,
    /// Name as the handbook files it, "Walnut, black".
    pub handbook: &'static str,
    /// Other names of the trade.
    pub aliases: &'static [&'static str],
    /// What sort of material.
    pub family: Family,
    /// Ovendry weight over volume at 12 % moisture.
    pub gravity: f64,
    /// Ovendry weight over green volume, where the handbook prints only that.
    pub basic_gravity: Option<f64>,
    /// How sure the gravity is.
    pub gravity_seen: Confidence,
    /// Strength at 12 % moisture; none for sheet goods.
    pub strength: Option<Strength>,
    /// Shrinkage green to ovendry; none for sheet goods.
    pub shrinkage: Option<Shrinkage>,
    /// How it moves, where that is printed.
    pub movement: Option<Movement>,
    /// How fast it blunts an edge against clear wood of the same density;
    /// every factor but 1 is common practice, no source.
    pub abrasiveness: f64,
}

/// Strength at 12 % moisture, in the units of the primary printing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strength {
    /// Side hardness in pounds-force.
    pub hardness_lbf: f64,
    /// Compression parallel to grain, psi.
    pub compression_parallel_psi: f64,
    /// Compression perpendicular to grain, psi; not printed for imports.
    pub compression_perpendicular_psi: Option<f64>,
    /// Shear parallel to grain, psi.
    pub shear_psi: f64,
    /// Modulus of rupture, MPa.
    pub rupture_mpa: f64,
    /// How sure these are.
    pub seen: Confidence,
}

/// Pascals in one pound-force per square inch.
const PASCAL_PER_PSI: f64 = 6894.757;
/// Newtons in one pound-force.
const NEWTON_PER_POUND: f64 = 4.448_222;

impl Strength {
    /// Side hardness in newtons.
    pub fn hardness_n(&self) -> f64 {
        self.hardness_lbf * NEWTON_PER_POUND
    }

    /// Compression parallel to grain in megapascals.
    pub fn compression_parallel_mpa(&self) -> f64 {
        self.compression_parallel_psi * PASCAL_PER_PSI / 1e6
    }

    /// Shear parallel to grain in megapascals.
    pub fn shear_mpa(&self) -> f64 {
        self.shear_psi * PASCAL_PER_PSI / 1e6
    }
}

/// Printed change per percent of moisture from 6 to 14 %, as a share of the dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Movement {
    /// Across the growth rings, where that is printed.
    pub radial: Option<f64>,
    /// Along the growth rings.
    pub tangential: f64,
    /// How sure these are.
    pub seen: Confidence,
}

/// Shrinkage green to ovendry in percent of the green dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shrinkage {
    /// Across the growth rings.
    pub radial: f64,
    /// Along the growth rings.
    pub tangential: f64,
    /// How sure these are.
    pub seen: Confidence,
}

/// All species, hardwoods first.
pub const fn table() -> &'static [Species] {
    TABLE
}

/// Names for a row: as people say it, as the handbook files it, and others.
const fn named(
    name: &'static str,
    handbook: &'static str,
    aliases: &'static [&'static str],
    family: Family,
    gravity: f64,
) -> Species {
    Species {
        name,
        handbook,
        aliases,
        family,
        gravity,
        basic_gravity: None,
        gravity_seen: Second,
        strength: None,
        shrinkage: None,
        movement: None,
        abrasiveness: 1.0,
    }
}

impl Species {
    /// Hardness lbf, compression parallel psi, compression perpendicular psi
    /// (0: not printed), shear psi, modulus of rupture MPa.
    const fn strength(mut self, row: [f64; 5], seen: Confidence) -> Self {
        let [
            hardness_lbf,
            parallel,
            perpendicular,
            shear_psi,
            rupture_mpa,
        ] = row;
        self.strength = Some(Strength {
            hardness_lbf,
            compression_parallel_psi: parallel,
            compression_perpendicular_psi: if perpendicular > 0.0 {
                Some(perpendicular)
            } else {
                None
            },
            shear_psi,
            rupture_mpa,
            seen,
        });
        self.gravity_seen = seen;
        self
    }

    const fn shrinks(mut self, radial: f64, tangential: f64, seen: Confidence) -> Self {
        self.shrinkage = Some(Shrinkage {
            radial,
            tangential,
            seen,
        });
        self
    }

    const fn moves(mut self, radial: f64, tangential: f64) -> Self {
        self.movement = Some(Movement {
            radial: Some(radial),
            tangential,
            seen: First,
        });
        self
    }

    /// For woods whose printed coefficients are recalled and were not read again:
    /// their fibres are saturated early, at 22 to 24 % (from memory), so that the
    /// relation from the shrinkage is wrong for them.
    const fn moves_as_recalled(mut self, radial: f64, tangential: f64) -> Self {
        self.movement = Some(Movement {
            radial: Some(radial),
            tangential,
            seen: Memory,
        });
        self
    }

    /// For woods of which a text after the handbook prints the tangential coefficient alone.
    const fn moves_tangentially(mut self, tangential: f64) -> Self {
        self.movement = Some(Movement {
            radial: None,
            tangential,
            seen: Second,
        });
        self
    }

    /// For the imports, whose gravity is printed on green volume.
    const fn printed_on_green_volume(mut self) -> Self {
        self.basic_gravity = Some(self.gravity);
        self.gravity = gravity_at(self.gravity, TABLE_MOISTURE);
        self
    }

    const fn blunts(mut self, abrasiveness: f64) -> Self {
        self.abrasiveness = abrasiveness;
        self
    }

    const fn gravity_is(mut self, seen: Confidence) -> Self {
        self.gravity_seen = seen;
        self
    }
}

use Confidence::{First, Memory, Second};
use Family::{Fibreboard, Hardwood, Plywood, Softwood};

const TABLE: &[Species] = &[
    named(
        "American basswood",
        "Basswood, American",
        &["linden, American"],
        Hardwood,
        0.37,
    )
    .strength([410.0, 4730.0, 370.0, 990.0, 60.0], Second)
    .shrinks(6.6, 9.3, First)
    .moves(0.002_30, 0.003_30),
    named(
        "yellow-poplar",
        "Yellow-poplar",
        &["poplar", "tulip poplar", "tulipwood"],
        Hardwood,
        0.42,
    )
    .strength([540.0, 5540.0, 500.0, 1190.0, 70.0], Second)
    .shrinks(4.6, 8.2, First),
    named("red alder", "Alder, red", &[], Hardwood, 0.41)
        .strength([590.0, 5820.0, 440.0, 1080.0, 68.0], Second)
        .shrinks(4.4, 7.3, First)
        .moves(0.001_51, 0.002_56),
    named("butternut", "Butternut", &[], Hardwood, 0.38)
        .strength([490.0, 5110.0, 460.0, 1170.0, 56.0], Second)
        .shrinks(3.4, 6.4, First)
        .moves(0.001_16, 0.002_23),
    named(
        "black cherry",
        "Cherry, black",
        &["American cherry"],
        Hardwood,
        0.50,
    )
    .strength([950.0, 7110.0, 690.0, 1700.0, 85.0], Second)
    .shrinks(3.7, 7.1, First)
    .moves(0.001_26, 0.002_48),
    named(
        "black walnut",
        "Walnut, black",
        &["American walnut"],
        Hardwood,
        0.55,
    )
    .strength([1010.0, 7580.0, 1010.0, 1370.0, 101.0], Second)
    .shrinks(5.5, 7.8, First)
    .moves(0.001_90, 0.002_74),
    named("red maple", "Maple, red", &[], Hardwood, 0.54)
        .strength([950.0, 6540.0, 1000.0, 1850.0, 92.0], Second)
        .shrinks(4.0, 8.2, Second)
        .moves(0.001_37, 0.002_89),
    named(
        "sugar maple",
        "Maple, sugar (hard)",
        &["hard maple", "maple, sugar", "rock maple"],
        Hardwood,
        0.63,
    )
    .strength([1450.0, 7830.0, 1470.0, 2330.0, 109.0], Second)
    .shrinks(4.8, 9.9, Second)
    .moves(0.001_65, 0.003_53),
    named("yellow birch", "Birch, yellow", &[], Hardwood, 0.62)
        .strength([1260.0, 8170.0, 970.0, 1880.0, 114.0], Second)
        .shrinks(7.3, 9.5, First)
        .moves(0.002_56, 0.003_38),
    named("American beech", "Beech, American", &[], Hardwood, 0.64)
        .strength([1300.0, 7300.0, 1010.0, 2010.0, 103.0], Second)
        .shrinks(5.5, 11.9, First)
        .moves(0.001_90, 0.004_31),
    named("white ash", "Ash, white", &["American ash"], Hardwood, 0.60)
        .strength([1320.0, 7410.0, 1160.0, 1910.0, 106.0], Second)
        .shrinks(4.9, 7.8, First)
        .moves(0.001_69, 0.002_74),
    // Movement of the oaks: the rows for commercial red and white oak.
    named(
        "northern red oak",
        "Oak, northern red",
        &["red oak"],
        Hardwood,
        0.63,
    )
    .strength([1290.0, 6760.0, 1010.0, 1780.0, 99.0], Second)
    .shrinks(4.0, 8.6, Second)
    .moves(0.001_58, 0.003_69),
    named(
        "white oak",
        "Oak, white",
        &["American white oak"],
        Hardwood,
        0.68,
    )
    .strength([1360.0, 7440.0, 1070.0, 2000.0, 105.0], Second)
    .shrinks(5.6, 10.5, First)
    .moves(0.001_80, 0.003_65),
    named(
        "American sycamore",
        "Sycamore, American",
        &[],
        Hardwood,
        0.49,
    )
    .strength([770.0, 5380.0, 700.0, 1470.0, 69.0], Second)
    .shrinks(5.0, 8.4, First)
    .moves(0.001_72, 0.002_96),
    named(
        "pecan hickory",
        "Hickory, pecan",
        &["pecan"],
        Hardwood,
        0.66,
    )
    .strength([1820.0, 7850.0, 1720.0, 2080.0, 94.0], Second)
    .shrinks(4.9, 8.9, First),
    named(
        "true mahogany",
        "Mahogany, true",
        &[
            "genuine mahogany",
            "Honduras mahogany",
            "American mahogany",
            "bigleaf mahogany",
        ],
        Hardwood,
        0.45,
    )
    .strength([800.0, 6780.0, 0.0, 1230.0, 79.0], Second)
    .printed_on_green_volume()
    .shrinks(3.0, 4.1, First)
    .moves_as_recalled(0.001_72, 0.002_38),
    named(
        "African mahogany",
        "Mahogany, African",
        &["khaya"],
        Hardwood,
        0.42,
    )
    .strength([830.0, 6460.0, 0.0, 1500.0, 74.0], Second)
    .printed_on_green_volume()
    .shrinks(2.5, 4.5, First)
    .moves_as_recalled(0.001_41, 0.002_01),
    named("sapele", "Sapele", &[], Hardwood, 0.55)
        .strength([1510.0, 8160.0, 0.0, 2260.0, 105.0], Second)
        .printed_on_green_volume()
        .shrinks(4.6, 7.4, First),
    named(
        "Spanish-cedar",
        "Spanish-cedar",
        &["cedar, Spanish"],
        Hardwood,
        0.41,
    )
    .strength([600.0, 6210.0, 0.0, 1100.0, 79.0], First)
    .printed_on_green_volume()
    .shrinks(4.2, 6.3, Memory),
    // Up to 1.4 % silica with a marked blunting effect (read in retail sheets);
    // the factor itself is common practice, no source.
    named("teak", "Teak", &[], Hardwood, 0.55)
        .strength([1000.0, 8410.0, 0.0, 1890.0, 101.0], First)
        .printed_on_green_volume()
        .shrinks(2.5, 5.8, Memory)
        .moves_as_recalled(0.001_01, 0.001_86)
        .blunts(3.0),
    named(
        "eastern white pine",
        "Pine, eastern white",
        &["white pine"],
        Softwood,
        0.35,
    )
    .strength([380.0, 4800.0, 440.0, 900.0, 59.0], Second)
    .shrinks(2.1, 6.1, Memory),
    named("ponderosa pine", "Pine, ponderosa", &[], Softwood, 0.40)
        .strength([460.0, 5320.0, 580.0, 1130.0, 65.0], Second)
        .shrinks(3.9, 6.2, Memory),
    named("longleaf pine", "Pine, longleaf", &[], Softwood, 0.59)
        .strength([870.0, 8470.0, 960.0, 1510.0, 100.0], Second)
        .shrinks(5.1, 7.5, Memory),
    named(
        "coast Douglas-fir",
        "Douglas-fir, Coast",
        &[],
        Softwood,
        0.48,
    )
    .strength([710.0, 7230.0, 800.0, 1130.0, 85.0], Second)
    .shrinks(4.8, 7.6, First)
    .moves_as_recalled(0.001_65, 0.002_67),
    named(
        "western red cedar",
        "Cedar, western red",
        &["western redcedar", "red cedar, western"],
        Softwood,
        0.32,
    )
    .strength([350.0, 4560.0, 460.0, 990.0, 52.0], Second)
    .shrinks(2.4, 5.0, First)
    .moves_as_recalled(0.001_11, 0.002_34),
    named("Sitka spruce", "Spruce, Sitka", &[], Softwood, 0.40)
        .strength([510.0, 5610.0, 580.0, 1150.0, 70.0], Second)
        .shrinks(4.3, 7.5, Memory),
    named(
        "old-growth redwood",
        "Redwood, old-growth",
        &["coast redwood"],
        Softwood,
        0.40,
    )
    .strength([480.0, 6150.0, 700.0, 940.0, 69.0], Second)
    .shrinks(2.6, 4.4, Memory)
    .moves_as_recalled(0.001_20, 0.002_05),
    // Gravity from memory, no handbook read; strength, and movement where none is given, left out
    // for want of a source.
    named(
        "European oak",
        "Oak, European",
        &["English oak", "French oak"],
        Hardwood,
        0.66,
    )
    .gravity_is(Memory),
    named(
        "European beech",
        "Beech, European",
        &["steamed beech"],
        Hardwood,
        0.68,
    )
    .gravity_is(Memory),
    named("European ash", "Ash, European", &[], Hardwood, 0.65).gravity_is(Memory),
    named(
        "European walnut",
        "Walnut, European",
        &["English walnut", "French walnut"],
        Hardwood,
        0.61,
    )
    .gravity_is(Memory),
    named("purpleheart", "Purpleheart", &["amaranth"], Hardwood, 0.79)
        .gravity_is(Memory)
        .moves_tangentially(0.002_12),
    named("wenge", "Wenge", &[], Hardwood, 0.79)
        .gravity_is(Memory)
        .moves_tangentially(0.002_01),
    named("padauk", "Padauk", &["African padauk"], Hardwood, 0.70)
        .gravity_is(Memory)
        .moves_tangentially(0.001_80),
    named("jarrah", "Jarrah", &[], Hardwood, 0.78)
        .gravity_is(Memory)
        .moves_tangentially(0.003_96),
    named(
        "birch plywood",
        "Plywood, birch",
        &["Baltic birch", "birch ply"],
        Plywood,
        0.65,
    )
    .gravity_is(Memory)
    .blunts(2.0),
    // Strips glued with resin blunt about as sheet goods do (common practice, no source).
    named(
        "bamboo board",
        "Bamboo, board",
        &["bamboo", "bamboo plywood"],
        Plywood,
        0.68,
    )
    .gravity_is(Memory)
    .blunts(2.0),
    // Middle of the sheathing grade's range 0.40 … 0.60 (a materials database).
    named("plywood", "Plywood", &["ply"], Plywood, 0.50)
        .gravity_is(First)
        .blunts(2.0),
    // 700 … 800 kg/m3 is the usual density (from memory).
    named(
        "MDF",
        "MDF",
        &["medium density fibreboard", "medium density fiberboard"],
        Fibreboard,
        0.70,
    )
    .gravity_is(Memory)
    .blunts(2.0),
];

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn names_and_aliases_are_unique() {
        let mut names = BTreeSet::new();
        for species in table() {
            assert!(
                names.insert(species.name.to_lowercase()),
                "{}",
                species.name
            );
            for alias in species.aliases {
                assert!(names.insert(alias.to_lowercase()), "{alias}");
            }
        }
    }

    #[test]
    fn every_row_is_wood_that_floats_or_nearly() {
        for species in table() {
            assert!(
                0.3 < species.gravity && species.gravity < 0.8,
                "{}: {}",
                species.name,
                species.gravity
            );
        }
    }
}
