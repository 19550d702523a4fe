//! What is cut, in order: operations of one bit each, pieces between two travels.

use crate::cutting::Settings;
use crate::job::PartName;
use crate::shop::bit::Bit;

use super::layout::Frame;
use super::motion::Motion;

/// Everything a run cuts, in order.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The pockets, then the pilot holes if there are any.
    pub(crate) operations: Vec<Operation>,
}

/// What one bit does.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Operation {
    pub(crate) kind: OperationKind,
    /// Number of the position it is cut in, where the job has positions.
    pub(crate) position: Option<usize>,
    pub(crate) bit: Bit,
    pub(crate) settings: Settings,
    /// In the order they are cut.
    pub(crate) pieces: Vec<Piece>,
}

/// What sort of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum OperationKind {
    Pockets,
    Pilot,
}

/// Work between two travels at the safe height: it begins with a rapid
/// sideways at that height and ends with a rapid up to it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Piece {
    pub(crate) part: PartName,
    /// What the motion counts from.
    pub(crate) frame: Frame,
    /// Safe height in that frame.
    pub(crate) safe: f64,
    pub(crate) motions: Vec<Motion>,
}
