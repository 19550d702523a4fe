//! The shape of a bit at its lower end.

/// The end of a bit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tip {
    pub(crate) radius: f64,
    /// Height of a drill's point; zero for a flat end.
    pub(crate) point: f64,
}
