//! The one model of force, chip, heat and wear; the only judgement that the
//! planner and the judge share.

mod bench;
pub mod bending;
pub mod chip;
mod choose;
mod constants;
pub mod edge;
mod force;
mod limits;
mod settings;
#[cfg(test)]
mod tests;

pub use choose::choose;
pub use constants::{Constant, FINISHING_DEFLECTION, ROUGHING_DEFLECTION, constants};
pub use force::{Load, load, specific_force};
pub use limits::{Limits, limits, stepdown_share_at};
pub use settings::{Settings, Task};
