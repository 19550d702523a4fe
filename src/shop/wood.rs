//! Wood: the species table and what a job says of its own boards.

mod confidence;
mod movement;
mod name;
mod near;
mod pair;
mod species;
mod spelling;

use serde::{Deserialize, Serialize};

pub use confidence::Confidence;
pub use movement::{Cut, density, dimensional_change};
pub use name::find;
pub use pair::{is_same_pair, pair_name};
pub use species::{Movement, Shrinkage, Species, Strength, table};

/// Moisture content of the strength tables, in percent.
pub const TABLE_MOISTURE: f64 = 12.0;

/// A board's wood as the job uses it.
#[derive(Clone, Debug, PartialEq)]
pub struct Wood {
    /// Name as the table writes it, or as the job named it.
    pub name: String,
    /// What sort of material.
    pub family: Family,
    /// Specific gravity: ovendry weight over volume at 12 % moisture.
    pub gravity: f64,
    /// Moisture content in percent.
    pub moisture: f64,
    /// How the grain runs.
    pub grain: Grain,
}

/// Density of the wood that an edge's life is stated for, in kilograms per
/// cubic metre (common practice, no source).
const REFERENCE_DENSITY: f64 = 650.0;

/// How much more a metre of path in these woods, in equal shares, wears an
/// edge than one in wood of middling density: by density and abrasiveness.
pub fn wear_weight(woods: &[&Wood]) -> f64 {
    let weight = |wood: &&Wood| wood.density() / REFERENCE_DENSITY * wood.abrasiveness();
    let sum: f64 = woods.iter().map(weight).sum();
    if woods.is_empty() {
        1.0
    } else {
        sum / woods.len() as f64
    }
}

/// What sort of material.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// Broad-leaved wood.
    Hardwood,
    /// Coniferous wood.
    Softwood,
    /// Veneers glued crosswise.
    Plywood,
    /// Medium-density fibreboard.
    Fibreboard,
}

/// How the grain runs relative to the hinged edge.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grain {
    /// With the hinged edge.
    #[default]
    Along,
    /// Across the hinged edge.
    Across,
}

impl Wood {
    /// The row of the species table that bears this wood's name.
    pub fn species(&self) -> Option<&'static Species> {
        name::lookup(&self.name)
    }

    /// Density in kilograms per cubic metre at this wood's moisture.
    ///
    /// Wood Handbook ch. 4: water's density × gravity × (1 + moisture).
    pub fn density(&self) -> f64 {
        density(self.gravity, self.moisture)
    }

    /// How fast it blunts an edge against clear wood of the same density; 1 for most.
    pub fn abrasiveness(&self) -> f64 {
        let by_family = match self.family {
            // Glue lines and resin; common practice, no source.
            Family::Plywood | Family::Fibreboard => 2.0,
            Family::Hardwood | Family::Softwood => 1.0,
        };
        self.species()
            .map_or(by_family, |species| species.abrasiveness)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dense_and_abrasive_wood_counts_for_more() {
        let of = |name: &str| wear_weight(&[&find(name).unwrap()]);
        assert!(of("white oak") > of("eastern white pine"));
        // Teak is lighter than white oak, but full of silica.
        assert!(of("teak") > 2.0 * of("white oak"));
        assert!(of("MDF") > of("hard maple"));
        let both = [&find("white oak").unwrap(), &find("teak").unwrap()];
        let mean = (of("white oak") + of("teak")) / 2.0;
        assert!((wear_weight(&both) - mean).abs() < 1e-12);
        assert_eq!(wear_weight(&[]), 1.0);
    }
}
