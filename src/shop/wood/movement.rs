//! Density at a moisture content, and how far wood moves with it.

use crate::shop::wood::{Confidence, Species, TABLE_MOISTURE, Wood};
use crate::units::Length;

/// Density of water in kilograms per cubic metre.
const WATER: f64 = 1000.0;
/// Usual fibre saturation point, percent of moisture (from memory).
const SATURATION: f64 = 30.0;
/// Wood Handbook ch. 4, gravity against moisture (from memory; agrees with the
/// density printed on the species fact sheet for sapele within 1 %).
const SWELLING: f64 = 0.265;

/// How a board lies in the tree.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cut {
    /// Growth rings along the width: the width moves tangentially.
    Flatsawn,
    /// Growth rings across the width: the width moves radially.
    Quartersawn,
}

/// Specific gravity on volume at `moisture` percent, from the gravity on green volume.
pub(super) const fn gravity_at(basic: f64, moisture: f64) -> f64 {
    let dry = (SATURATION - moisture) / SATURATION;
    let dry = if dry < 0.0 { 0.0 } else { dry };
    basic / (1.0 - SWELLING * dry * basic)
}

/// Density in kilograms per cubic metre at `moisture` percent of a wood whose gravity at 12 % is `gravity`.
pub fn density(gravity: f64, moisture: f64) -> f64 {
    let dry = (SATURATION - TABLE_MOISTURE) / SATURATION;
    let basic = gravity / (1.0 + SWELLING * dry * gravity);
    WATER * gravity_at(basic, moisture) * (1.0 + moisture / 100.0)
}

impl Species {
    /// Dimensional change per percent of moisture between 6 and 14 %, as a
    /// share of the dimension: Wood Handbook Table 13-5 where printed, else by
    /// the same chapter's relation from the shrinkage green to ovendry, which
    /// gives the printed coefficients back. `None` where neither is known.
    pub fn movement_coefficient(&self, cut: Cut) -> Option<f64> {
        self.printed(cut).or_else(|| {
            self.shrinkage.map(|shrinkage| {
                movement_from_shrinkage(match cut {
                    Cut::Flatsawn => shrinkage.tangential,
                    Cut::Quartersawn => shrinkage.radial,
                })
            })
        })
    }

    /// How sure that coefficient is: as the print, or derived.
    pub fn movement_seen(&self, cut: Cut) -> Option<Confidence> {
        let printed = self.printed(cut).and(self.movement);
        let derived = self.shrinkage.map(|_| Confidence::Derived);
        printed.map(|movement| movement.seen).or(derived)
    }

    fn printed(&self, cut: Cut) -> Option<f64> {
        self.movement.and_then(|movement| match cut {
            Cut::Flatsawn => Some(movement.tangential),
            Cut::Quartersawn => movement.radial,
        })
    }
}

/// Coefficient per percent of moisture about 10 %, from a shrinkage in percent.
fn movement_from_shrinkage(percent: f64) -> f64 {
    1.0 / (SATURATION * 100.0 / percent - SATURATION + 10.0)
}

/// How much a dimension grows from moisture `from` to `to` percent, at a
/// coefficient per percent: Wood Handbook ch. 13, for 6 to 14 %.
pub fn dimensional_change(dimension: Length, coefficient: f64, from: f64, to: f64) -> Length {
    dimension * (coefficient * (to - from))
}

impl Wood {
    /// How much a board `width` wide grows when its moisture goes from one
    /// percentage to another (negative: it shrinks); `None` for sheet goods,
    /// woods outside the table and those of which no source tells it.
    pub fn movement(&self, width: Length, cut: Cut, from: f64, to: f64) -> Option<Length> {
        let coefficient = self.species()?.movement_coefficient(cut)?;
        Some(dimensional_change(width, coefficient, from, to))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::wood::{find, table};

    #[test]
    fn density_is_the_handbooks_at_twelve_percent() {
        // University forestry page quoting the Wood Handbook: G 0.40 at 12 % is 448 kg/m3.
        assert!((density(0.40, 12.0) - 448.0).abs() < 0.01);
    }

    #[test]
    fn shrinkage_gives_the_printed_movement_coefficients_back() {
        // Wood Handbook Table 13-5 against Table 4-3; the oak rows of 13-5 are
        // for mixed commercial lots, so they are left out.
        let mut compared = 0;
        for species in table() {
            let (Some(printed), Some(shrinkage)) = (species.movement, species.shrinkage) else {
                continue;
            };
            // Recalled ones are of woods that are saturated early.
            if species.handbook.starts_with("Oak") || printed.seen == Confidence::Memory {
                continue;
            }
            for (printed, percent) in [
                (printed.radial.unwrap(), shrinkage.radial),
                (printed.tangential, shrinkage.tangential),
            ] {
                let computed = movement_from_shrinkage(percent);
                assert!(
                    (computed - printed).abs() < 1e-5,
                    "{}: printed {printed}, computed {computed}",
                    species.name
                );
                compared += 1;
            }
        }
        assert_eq!(compared, 22);
    }

    // Wood Handbook Table 13-5, from memory: a coefficient that is printed counts,
    // never one computed. 200 mm of flatsawn teak over 6 %: 0.00186 x 6 x 200.
    #[test]
    fn a_printed_coefficient_counts_before_one_from_the_shrinkage() {
        for (name, radial, tangential) in [
            ("true mahogany", 0.001_72, 0.002_38),
            ("khaya", 0.001_41, 0.002_01),
            ("teak", 0.001_01, 0.001_86),
            ("coast Douglas-fir", 0.001_65, 0.002_67),
            ("western red cedar", 0.001_11, 0.002_34),
            ("old-growth redwood", 0.001_20, 0.002_05),
        ] {
            let species = find(name).unwrap().species().unwrap();
            for (cut, printed) in [(Cut::Quartersawn, radial), (Cut::Flatsawn, tangential)] {
                assert_eq!(species.movement_coefficient(cut), Some(printed), "{name}");
                assert_eq!(species.movement_seen(cut), Some(Confidence::Memory));
            }
        }
        let teak = find("teak").unwrap();
        let moved = teak.movement(Length::from_mm(200.0), Cut::Flatsawn, 6.0, 12.0);
        assert!((moved.unwrap().as_mm() - 2.232).abs() < 1e-9);
    }

    #[test]
    fn what_no_source_prints_is_not_known() {
        let seen = |name: &str, cut| {
            let species = find(name).unwrap().species().unwrap();
            let seen = species.movement_seen(cut);
            assert_eq!(seen.is_some(), species.movement_coefficient(cut).is_some());
            seen
        };
        for cut in [Cut::Flatsawn, Cut::Quartersawn] {
            assert_eq!(seen("black walnut", cut), Some(Confidence::First));
            assert_eq!(seen("sapele", cut), Some(Confidence::Derived));
            assert_eq!(seen("European oak", cut), None);
            assert_eq!(seen("birch plywood", cut), None);
        }
        for name in ["purpleheart", "wenge", "padauk", "jarrah"] {
            assert_eq!(seen(name, Cut::Flatsawn), Some(Confidence::Second));
            assert_eq!(seen(name, Cut::Quartersawn), None);
        }
        // 100 mm of jarrah, 0.00396 for each of 6 %.
        let jarrah = find("jarrah").unwrap();
        let moved = jarrah.movement(Length::from_mm(100.0), Cut::Flatsawn, 12.0, 6.0);
        assert!((moved.unwrap().as_mm() + 2.376).abs() < 1e-9);
    }
}
