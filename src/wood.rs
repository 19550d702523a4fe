//! Wood: the species table and what a job says of its own boards.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

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
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Grain {
    /// With the hinged edge.
    #[default]
    Along,
    /// Across the hinged edge.
    Across,
}
