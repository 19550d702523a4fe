//! What the rounding of printed coordinates is given the benefit of.

use crate::rs274::event::Move;

/// A height printed with its last digit rounded down is the height meant, in millimetres.
pub(crate) const ROUNDED_HEIGHT: f64 = 0.005;

/// The coarsest last digit that is given the benefit of rounding: three decimals of an inch.
const COARSEST: f64 = 0.0254;

/// The value of one last digit that a line is given.
pub(crate) fn last_digit(motion: &Move) -> f64 {
    motion.resolution.clamp(0.0, COARSEST)
}
