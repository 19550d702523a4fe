//! The one model of force, chip, heat and wear; the only judgement that the
//! planner and the judge share.

pub mod bending;
pub mod chip;
mod choose;
mod constants;
pub mod edge;
mod force;
mod limits;
#[cfg(test)]
mod tests;

pub use choose::{Settings, Task, choose};
pub use constants::{Constant, constants};
pub use force::{Load, load, specific_force};
pub use limits::{Limits, limits};
