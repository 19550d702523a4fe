//! Which hinges of the drawer suit a box and its lid, and why the others do not.

mod judge;
mod reasons;
mod suitability;
mod text;
mod wants;

pub use judge::{Judged, Judgement, judge};
pub use suitability::Suitability;
pub use text::render;
