//! How far the lid opens, as the hinge is wanted.

use crate::job::Job;
use crate::units::Length;

/// Rounding of figures that were given as decimals, in millimetres.
pub(crate) const ROUNDED: f64 = 1e-6;

/// How far apart the leaves stand when the lid lies open, and may stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// Near side to near side of the leaves: twice the setback, and overhang or drop.
    pub apart: Length,
    /// What the hinge allows when it is open flat.
    pub flat: Length,
}

impl Opening {
    /// Whether the lid opens flat.
    pub fn is_flat(self) -> bool {
        self.apart.as_mm() <= self.flat.as_mm() + ROUNDED
    }
}

/// The opening of a job's hinge; nothing where its `open_gap` is not known.
pub fn opening(job: &Job) -> Option<Opening> {
    let hinge = &job.hinge;
    Some(Opening {
        apart: hinge.setback * 2.0 + hinge.overhang_or_drop,
        flat: hinge.open_gap?,
    })
}
