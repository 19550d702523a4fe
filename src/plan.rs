//! From a job to ordered motion, no text.
//!
//! Every pocket is planned where it lies in the fixture, so that climb stays
//! climb in the mirrored part: inside a pocket, with a spindle that turns
//! clockwise, climb is counter-clockwise travel along the wall.

mod bore;
mod cutter;
mod drill;
mod finish;
mod layout;
mod motion;
mod nearly_slot;
mod order;
mod path;
mod pocket;
mod rings;
mod score;
mod slot;
mod step;
#[cfg(test)]
mod testbed;
#[cfg(test)]
mod tests;
mod tick;
mod trace;
mod zigzag;

pub(crate) use layout::Frame;
pub(crate) use motion::{Motion, Pace, Turn};

use crate::cutting::{self, Settings, Task};
use crate::job::{Job, PartName, Pocket};
use crate::shop::bit::Bit;
use crate::units::Length;

use cutter::Cutter;
use layout::Placement;

/// Everything a run cuts, in order.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The pockets, then the pilot holes if there are any.
    pub(crate) operations: Vec<Operation>,
}

/// What one bit does.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Operation {
    pub(crate) kind: MotionKind,
    pub(crate) bit: Bit,
    pub(crate) settings: Settings,
    /// In the order they are cut.
    pub(crate) pieces: Vec<Piece>,
}

/// What sort of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum MotionKind {
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

/// Plans what of `job` is selected, at `settings` for the pockets' bit.
/// Whatever the job holds is planned; whether it is wise is the judge's to say.
pub fn job(job: &Job, settings: &Settings) -> Plan {
    let mut operations = vec![pockets(job, settings)];
    operations.extend(pilot(job));
    Plan { operations }
}

fn pockets(job: &Job, settings: &Settings) -> Operation {
    let cutter = Cutter::new(job, settings);
    let mut pieces = Vec::new();
    for part in order::parts(job) {
        let placement = Placement::of(job, part);
        for pocket in order::pockets(job, part) {
            pieces.push(pocket::piece(job, part, pocket, &placement, &cutter));
        }
        if job.selection.hinge.is_none() && job.selection.step.is_none() {
            let ticks = part.ticks.iter();
            pieces.extend(ticks.map(|tick| tick::piece(part, tick, &placement, &cutter)));
        }
    }
    pieces.retain(|piece| !piece.motions.is_empty());
    Operation {
        kind: MotionKind::Pockets,
        bit: job.bit.clone(),
        settings: settings.clone(),
        pieces,
    }
}

/// The screw holes; a run for one step alone drills none.
fn pilot(job: &Job) -> Option<Operation> {
    let pilot = job
        .pilot
        .as_ref()
        .filter(|_| job.selection.step.is_none())?;
    let settings = pilot_settings(job, &pilot.bit);
    let peck = settings.limits.stepdown.as_mm();
    let mut pieces = Vec::new();
    for part in order::parts(job) {
        let placement = Placement::of(job, part);
        for pocket in order::pockets(job, part) {
            let holes = pocket.holes.iter();
            pieces.extend(holes.map(|hole| drill::piece(part, pocket, hole, &placement, peck)));
        }
    }
    (!pieces.is_empty()).then(|| Operation {
        kind: MotionKind::Pilot,
        bit: pilot.bit.clone(),
        settings,
        pieces,
    })
}

fn pilot_settings(job: &Job, bit: &Bit) -> Settings {
    let woods: Vec<_> = job.parts.iter().map(|part| &part.wood).collect();
    let deepest = |wall: Length, pocket: &Pocket| {
        let holes = pocket.holes.iter();
        holes.fold(wall, |wall, hole| wall.max(hole.tip - hole.from))
    };
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    let task = Task {
        finish: Length::ZERO,
        wall: pockets.fold(Length::ZERO, deepest),
        engagement: bit.cutting_diameter(),
    };
    cutting::choose(bit, &woods, &job.machine, task)
}
