//! What the calipers must read after the first shallow pass.

use serde::Serialize;

use crate::job::{Job, Layout, PartName};
use crate::units::Units;

use super::measure::{Both, both};

/// One caliper reading.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Reading {
    what: String,
    value: Both,
    /// What to do where it differs.
    otherwise: String,
}

/// The readings for the parts that are cut.
pub(super) fn readings(job: &Job, units: Units) -> Vec<Reading> {
    let mut readings = Vec::new();
    for part in job.parts.iter().filter(|part| job.is_selected(part.name)) {
        let Some(pocket) = part.pockets.iter().find(|pocket| {
            job.selection
                .hinge
                .is_none_or(|hinge| hinge == pocket.hinge)
        }) else {
            continue;
        };
        let Some(step) = pocket.steps.first() else {
            continue;
        };
        let number = pocket.hinge;
        let name = part.name;
        if name == PartName::Scrap {
            readings.push(Reading {
                what: format!("slot {number}, across"),
                value: both(step.width, units),
                otherwise: "stepwell fit JOB.toml --slot READING, for a slot as wide as the bit"
                    .to_owned(),
            });
            continue;
        }
        readings.push(Reading {
            what: format!("{name} {number}: wood outside, face to pocket"),
            value: both(pocket.center.y() - step.width / 2.0, units),
            otherwise: format!("stepwell fit JOB.toml --outside-{name} READING"),
        });
        let start = pocket.center.x() + step.shift - step.length / 2.0;
        readings.push(Reading {
            what: format!("{name} {number}: stop end to pocket"),
            value: both(start, units),
            otherwise: format!("stepwell fit JOB.toml --end-{name} READING"),
        });
    }
    readings
}

/// How to read them.
pub(super) fn words(layout: Layout) -> &'static str {
    match layout {
        Layout::Book => {
            "Both parts off by the same amount in opposite senses: zero Y is wrong; \
             touch off again. Both off the same way: the bit or the setback."
        }
        Layout::EndToEnd => {
            "Both ends off by the same amount in opposite senses: zero X is wrong; \
             touch off again. Both off the same way: the bit or the inset."
        }
        Layout::Scrap => "Measure the slots when the spindle stands still.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    #[test]
    fn wood_outside_is_setback_less_half_the_clearance() {
        // By hand: 3.5 − 0.1/2 = 3.45 in both parts; 45 − 44.1/2 = 22.95 to the stop end.
        let values: Vec<_> = readings(&sample::job(), Units::Millimetre)
            .into_iter()
            .map(|reading| reading.value.first)
            .collect();
        assert_eq!(values, ["3.45 mm", "22.95 mm", "3.45 mm", "22.95 mm"]);
    }

    #[test]
    fn only_the_part_that_is_cut_is_measured() {
        let mut job = sample::job();
        job.selection.part = Some(PartName::Lid);
        let readings = readings(&job, Units::Millimetre);
        assert!(
            readings
                .iter()
                .all(|reading| reading.what.starts_with("lid"))
        );
        assert_eq!(readings.len(), 2);
    }
}
