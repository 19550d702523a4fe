//! How deep the heads of the hinge's screws want to go.

use std::collections::BTreeMap;

use super::{Advice, Topic};
use crate::job::{Job, screw};
use crate::units::{Length, text};

const BASIS: &str = "flat head by the public size table of ASME B18.6.1, in proportion between its \
gauges; 82 degrees, from memory";

/// Included angle of a flat head, in degrees (ASME B18.6.1, from memory).
const HEAD_ANGLE: f64 = 82.0;

pub(super) fn advise(job: &Job, advice: &mut Vec<Advice>) {
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    let screws = pockets.flat_map(|pocket| &pocket.screws);
    // By the shank in micrometres: each thickness is told once.
    let shanks: BTreeMap<i64, Length> = screws
        .map(|screw| {
            (
                (screw.diameter.as_mm() * 1e3).round() as i64,
                screw.diameter,
            )
        })
        .collect();
    let show = |length| text::decimal_with_unit(length, job.units);
    advice.extend(shanks.values().filter_map(|&shank| {
        let head = screw::head_diameter(shank)?;
        Some(Advice {
            topic: Topic::Countersink,
            parts: Vec::new(),
            warns: false,
            text: format!(
                "the flat head of a screw {} thick is up to {} wide, so its countersink is {} deep; \
                 where the leaf is thinner, countersink the wood under it too, by hand",
                show(shank),
                show(head),
                show(depth(head, shank))
            ),
            basis: BASIS,
        })
    }));
}

/// From the top of a flat head to where it is as thick as the shank.
pub(super) fn depth(head: Length, shank: Length) -> Length {
    let slope = (HEAD_ANGLE / 2.0).to_radians().tan();
    (head - shank) / (2.0 * slope)
}
