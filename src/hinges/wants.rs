//! The other way round: the thinnest lid and wall that a hinge asks for.

use crate::job::{Closing, Job, PartName};
use crate::units::Length;
use crate::verify::{self, About};

/// How thick the lid, or the hinged wall of the box, has to be for the wood
/// that the job wants beside and below the hinge's pockets and screws.
///
/// A pocket goes down into an overlay lid and into the wall of an inset box;
/// the others it crosses. An overlay lid with walls of its own is as thick as
/// its board all the same.
pub(super) fn thickness(job: &Job, name: PartName) -> Option<Length> {
    let part = job.part(name)?;
    let goes_down = (name == PartName::Lid) == (job.closing == Closing::Overlay);
    let (has, about): (Length, &[About]) = if goes_down {
        let below = [About::Floor, About::HoleTip, About::ScrewTip];
        (part.below, &below.clone())
    } else {
        (part.across, &[About::Far])
    };
    let left = verify::remaining(job)
        .into_iter()
        .filter(|remaining| remaining.part == name && about.contains(&remaining.about))
        .map(|remaining| remaining.left)
        .reduce(Length::min)?;
    Some(has - left + job.fit.min_left)
}
