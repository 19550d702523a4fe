//! The wood that one move takes.

/// What one move takes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Bite {
    /// Greatest height of wood taken at one point.
    pub(crate) whole: f64,
    /// The same without wood at the walls.
    pub(crate) core: f64,
    /// The same of wood at the walls only.
    pub(crate) wall: f64,
    /// Cubic millimetres.
    pub(crate) volume: f64,
}

impl Bite {
    /// A bite in solid wood.
    pub(crate) fn solid(height: f64) -> Self {
        Self {
            whole: height,
            core: height,
            wall: 0.0,
            volume: 0.0,
        }
    }
}
