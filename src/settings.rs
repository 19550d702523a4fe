//! The model's choice of speeds and feeds for a whole job.

use crate::cutting::{self, Settings, Task};
use crate::job::Job;
use crate::shop::bit::Bit;
use crate::units::Length;

/// Speeds and feeds for the pockets' bit in all the job's woods.
pub fn for_job(job: &Job) -> Settings {
    for_bit(job, &job.bit)
}

/// Speeds and feeds as if `bit` cut the pockets of `job`.
pub fn for_bit(job: &Job, bit: &Bit) -> Settings {
    let woods: Vec<_> = job.parts.iter().map(|part| &part.wood).collect();
    cutting::choose(bit, &woods, &job.machine, task(job, bit))
}

/// What the job asks of a pocket bit: the highest single step's wall is
/// finished in one go, and that of a piece cut free as far as the edge reaches.
pub fn task(job: &Job, bit: &Bit) -> Task {
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    let wall = pockets.fold(Length::ZERO, |wall, pocket| {
        let mut floor = Length::ZERO;
        pocket.steps.iter().fold(wall, |wall, step| {
            let height = step.depth - floor;
            floor = step.depth;
            wall.max(height)
        })
    });
    let pieces = job.parts.iter().flat_map(|part| &part.contours);
    let wall = pieces.fold(wall, |wall, piece| {
        wall.max(piece.depth.min(bit.cutting_length))
    });
    Task {
        finish: job.fit.finish,
        wall,
        engagement: bit.cutting_diameter(),
    }
}
