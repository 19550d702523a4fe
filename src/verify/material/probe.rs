//! What must not meet wood, and how near it may come.

/// Wood lower than this is the rounding of coordinates, in millimetres.
pub(crate) const NO_WOOD: f64 = 0.005;

/// A bit may be this close to a wall without touching it, in millimetres.
pub(crate) const BESIDE: f64 = 0.02;

/// Something that must not meet wood.
#[derive(Debug)]
pub(crate) struct Probe {
    pub(crate) what: Probed,
    /// Radius in which wood would be met, in millimetres.
    pub(crate) reach: f64,
    /// Its lower end below the face, in millimetres.
    pub(crate) depth: f64,
    /// Whether all it can reach lies in the site; else it is in solid wood.
    pub(crate) is_inside: bool,
    /// How high wood stands above its lower end, in millimetres.
    pub(crate) standing: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Probed {
    /// The bit in a rapid, which may go anywhere in its bounding box: each axis
    /// moves at its own speed.
    Rapid,
    /// Shank, nut or nose, by its number among the turned parts.
    Part(usize),
}
