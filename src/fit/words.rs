//! Corrections in words.

use super::reading::SAME;
use crate::job::{Job, PartName};
use crate::units::{Length, Units, text};

/// `lid moved 0.30 mm inward`; `offset` along u or v, away from the outside
/// face or the stop end positive.
pub(super) fn moved(part: PartName, along: bool, offset: Length, units: Units) -> String {
    if offset.is_near(Length::ZERO, SAME) {
        return format!("{part} stays where it is and nothing changes");
    }
    let way = match (along, offset > Length::ZERO) {
        (false, true) => "inward",
        (false, false) => "outward",
        (true, true) => "away from the stop end",
        (true, false) => "towards the stop end",
    };
    format!(
        "{part} moved {} {way}",
        text::decimal_with_unit(offset.abs(), units)
    )
}

/// What the corrections of the parts that are cut do, a sentence each; none
/// where nothing is corrected.
pub fn corrections(job: &Job) -> Vec<String> {
    let mut words = Vec::new();
    for part in job.parts.iter().filter(|part| job.is_selected(part.name)) {
        for (along, offset) in [(false, part.correction_v), (true, part.correction_u)] {
            if !offset.is_near(Length::ZERO, SAME) {
                words.push(moved(part.name, along, offset, job.units));
            }
        }
    }
    // What the drawer has learned is told with the hinge.
    if !job.fit.is_depth_learned && !job.fit.depth.is_near(Length::ZERO, SAME) {
        let way = if job.fit.depth > Length::ZERO {
            "deeper"
        } else {
            "shallower"
        };
        words.push(format!(
            "every step {} {way}, as `fit.depth` says",
            text::decimal_with_unit(job.fit.depth.abs(), job.units)
        ));
    }
    if let Some(measured) = job.bit.measured {
        words.push(format!(
            "{} taken as {} wide, as measured, nominal {}",
            job.bit.name,
            text::decimal_with_unit(measured, job.units),
            text::decimal_with_unit(job.bit.diameter, job.units)
        ));
    }
    words
}
