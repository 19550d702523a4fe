//! Which parts and pockets, and in what order: as little travel as may be.

use crate::job::position::Position;
use crate::job::{Job, Layout, Part, PartName, Pocket};

/// The selected parts, in the job's order.
pub(super) fn parts(job: &Job) -> impl Iterator<Item = &Part> {
    job.parts.iter().filter(|part| job.is_selected(part.name))
}

/// The selected pockets of `part` in this position: the box's towards the lid,
/// the lid's away from the box.
pub(super) fn pockets<'a>(
    job: &Job,
    part: &'a Part,
    position: Option<&Position>,
) -> Vec<&'a Pocket> {
    let wanted = |pocket: &&Pocket| {
        job.selection
            .hinge
            .is_none_or(|hinge| hinge == pocket.hinge)
            && position.is_none_or(|position| position.holds(pocket.hinge))
    };
    let mut pockets: Vec<_> = part.pockets.iter().filter(wanted).collect();
    pockets.sort_by(|a, b| a.center.x.total_cmp(&b.center.x));
    let backwards = matches!(
        (job.fixture.layout, part.name),
        (Layout::Book, PartName::Lid) | (Layout::EndToEnd, PartName::Box)
    );
    if backwards {
        pockets.reverse();
    }
    pockets
}
