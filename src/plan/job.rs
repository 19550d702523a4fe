//! A whole job: its pockets, then its screw holes.

use crate::cutting::{self, Settings, Task};
use crate::job::position::Position;
use crate::job::{Job, Pocket};
use crate::shop::bit::Bit;
use crate::units::Length;

use super::cutter::Cutter;
use super::layout::Placement;
use super::operation::{Operation, OperationKind, Plan};
use super::pocket::Pockets;
use super::{contour, drill, order, tick};

/// Plans what of `job` is selected, at `settings` for the pockets' bit.
/// Whatever the job holds is planned; whether it is wise is the judge's to say.
pub fn job(job: &Job, settings: &Settings) -> Plan {
    let mut operations = Vec::new();
    for position in job.positions() {
        operations.push(pockets(job, settings, position));
        operations.extend(pilot(job, position));
    }
    Plan { operations }
}

fn pockets(job: &Job, settings: &Settings, position: Option<&Position>) -> Operation {
    let cutter = Cutter::new(job, settings);
    let mut pieces = Vec::new();
    for part in order::parts(job) {
        let placement = Placement::of(job, part, position);
        let mut pockets = Pockets::default();
        for pocket in order::pockets(job, part, position) {
            let of = (part, pocket);
            pieces.push(pockets.piece(job, of, &placement, &cutter, settings));
        }
        if job.selection.hinge.is_none() && job.selection.step.is_none() {
            let ticks = part.ticks.iter();
            pieces.extend(ticks.map(|tick| tick::piece(part, tick, &placement, &cutter)));
            let contours = part.contours.iter();
            pieces
                .extend(contours.map(|contour| contour::piece(part, contour, &placement, &cutter)));
        }
    }
    pieces.retain(|piece| !piece.motions.is_empty());
    Operation {
        kind: OperationKind::Pockets,
        position: position.map(|position| position.number),
        bit: job.bit.clone(),
        settings: settings.clone(),
        pieces,
    }
}

/// The screw holes; a run for one step alone drills none.
fn pilot(job: &Job, position: Option<&Position>) -> Option<Operation> {
    let pilot = job
        .pilot
        .as_ref()
        .filter(|_| job.selection.step.is_none())?;
    let settings = pilot_settings(job, &pilot.bit);
    let peck = settings.limits.stepdown.as_mm();
    let mut pieces = Vec::new();
    for part in order::parts(job) {
        let placement = Placement::of(job, part, position);
        for pocket in order::pockets(job, part, position) {
            let holes = pocket.holes.iter();
            pieces.extend(holes.map(|hole| drill::piece(part, pocket, hole, &placement, peck)));
        }
    }
    (!pieces.is_empty()).then(|| Operation {
        kind: OperationKind::Pilot,
        position: position.map(|position| position.number),
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
        reached: None,
    };
    cutting::choose(bit, &woods, &job.machine, task)
}
