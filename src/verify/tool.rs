//! The bit in the spindle, with what follows from it for this job.

use crate::cutting::{self, Limits};
use crate::replay::tip::Tip;
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;
use crate::verify::scene::Scene;
use crate::verify::scene::solid::{Turned, turned};

/// A bit as the judge uses it.
#[derive(Debug)]
pub(crate) struct Tool {
    pub(crate) bit: Bit,
    pub(crate) tip: Tip,
    /// Bit, shank, nut and nose.
    pub(crate) turned: Vec<Turned>,
    /// What it may do in the wood of each board.
    pub(crate) limits: Vec<Limits>,
    /// The same as if it were fresh.
    pub(crate) fresh: Vec<Limits>,
}

impl Tool {
    pub(crate) fn new(bit: &Bit, machine: &Machine, scene: &Scene) -> Self {
        let limits = |bit: &Bit| {
            let boards = scene.boards.iter();
            boards
                .map(|board| cutting::limits(bit, &board.wood))
                .collect()
        };
        let fresh = Bit {
            wear: 0.0,
            ..bit.clone()
        };
        Self {
            tip: Tip {
                radius: bit.cutting_diameter().as_mm() / 2.0,
                point: bit.point_height().as_mm(),
            },
            turned: turned(bit, machine),
            limits: limits(bit),
            fresh: limits(&fresh),
            bit: bit.clone(),
        }
    }
}
