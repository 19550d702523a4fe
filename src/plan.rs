//! From a job to ordered motion, no text.
//!
//! Every pocket is planned where it lies in the fixture, so that climb stays
//! climb in the mirrored part: inside a pocket, with a spindle that turns
//! clockwise, climb is counter-clockwise travel along the wall.

mod bore;
mod clock;
mod contour;
mod crossing;
mod cutter;
mod descent;
mod drill;
mod finish;
mod heights;
mod job;
mod layout;
mod motion;
mod nearly_slot;
mod operation;
mod order;
mod outside;
mod outside_finish;
mod path;
mod pocket;
mod rings;
mod score;
mod segment;
mod sidestep;
mod slot;
mod spiral;
mod step;
#[cfg(test)]
mod testbed;
#[cfg(test)]
mod tests;
mod tick;
mod trace;
mod zigzag;

pub use job::job;
pub(crate) use layout::{Frame, origin};
pub(crate) use motion::{Motion, Pace, Turn};
pub use operation::Plan;
pub(crate) use operation::{Operation, OperationKind, Piece};
