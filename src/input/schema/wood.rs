//! A part's wood. Field comments are what editors show.

use schemars::JsonSchema;
use serde::Deserialize;

use crate::shop::wood::Grain;

/// A name of the wood table ("black walnut", "hard maple", "plywood", "MDF"), or a table of its own.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub(super) enum WoodValue {
    /// A name of the wood table, in either word order.
    Name(String),
    /// A wood described by hand.
    Own(WoodTable),
}

/// A wood described by hand; what is left out comes from the wood table.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct WoodTable {
    /// The wood's name: one of the wood table, or any where the gravity is given.
    name: String,
    /// Specific gravity: ovendry weight over volume at 12 % moisture.
    #[schemars(range(min = 0.05, max = 1.5))]
    gravity: Option<f64>,
    /// Moisture content in percent.
    #[schemars(range(min = 0.0, max = 30.0), extend("default" = 12))]
    moisture: Option<f64>,
    /// How the grain runs: with the hinged edge, or across it.
    #[schemars(extend("default" = "along"))]
    grain: Option<Grain>,
}
