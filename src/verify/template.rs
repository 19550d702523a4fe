//! The checks that a template alone has: what a hand-held router cuts that
//! follows the replayed plate, and whether it can.
//!
//! The plate is judged as the text cuts it: openings, pieces, grooves and lines come
//! from the replayed moves (`traced`), the pockets they must give from the job of
//! the box. How exact it is: edges are points at most 0.03 mm apart, each
//! within 0.003 mm, and the collar's place is found to 0.005 mm.

mod collar_room;
mod hole;
mod marks;
pub(crate) mod moves;
mod nearest;
mod plate_left;
mod pose;
mod region;
mod rolled;
mod rolling;
#[cfg(test)]
mod sample;
mod template_match;
#[cfg(test)]
mod tests;
mod told;
mod traced;
mod wanted;

use crate::job::Job;
use crate::report::{CheckId, SupportBlock};
use crate::units::ruler::Ruler;
use crate::verify::findings::Tally;
use crate::verify::template::moves::PlateMoves;
use crate::verify::template::traced::Traced;

/// Judges the plate where the job is a template's.
pub(crate) fn check(tally: &mut Tally, job: &Job, moves: &PlateMoves) -> Vec<SupportBlock> {
    let ids = CheckId::ALL.into_iter();
    let mut refuse = |reason: &str| {
        for id in ids.clone().filter(|id| id.is_only_of_template()) {
            tally.none(id, reason);
        }
        Vec::new()
    };
    if job.plate.is_none() {
        return Vec::new();
    }
    if !job.selection.is_whole() {
        return refuse("only a part of the plate is cut in this run");
    }
    let Some(traced) = Traced::of(job, moves) else {
        return refuse("the job has no `[template]`");
    };
    let ruler = Ruler::new(job.units);
    template_match::check(tally, &traced, ruler);
    collar_room::check(tally, &traced, ruler);
    plate_left::check(tally, &traced, ruler)
}
