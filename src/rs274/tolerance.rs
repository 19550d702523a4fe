//! How exact the standard wants an arc.

use crate::units::Units;

/// How far the radius at the start may differ from that at the end, in `units`.
pub(super) fn allowed_radius_error(units: Units) -> f64 {
    match units {
        Units::Millimetre => 0.002,
        Units::Inch => 0.0002,
    }
}
