//! What is wanted: where each part, pocket and fixture piece lies in shared
//! program coordinates, worked out from the job alone.

mod board;
pub(crate) mod bounds;
pub(crate) mod feature;
mod fixture;
mod frame;
pub(crate) mod gouge;
pub(crate) mod greatest;
pub(crate) mod kerf;
mod laid;
pub(crate) mod opening;
pub(crate) mod outline;
pub(crate) mod piece_walls;
pub(crate) mod proposal;
pub(crate) mod remaining_wood;
pub(crate) mod site;
pub(crate) mod solid;
#[cfg(test)]
mod tests;

pub(crate) use board::Board;
pub(crate) use fixture::SolidKind;
pub(crate) use laid::Scene;
pub(crate) use site::{Depth, Site};
