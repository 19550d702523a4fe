//! What the calipers must read after the first shallow pass.

use serde::Serialize;

#[cfg(feature = "page")]
use crate::job::position::Position;
use crate::job::{Fixture, Job, Layout, Part, Pocket};
use crate::units::Units;

use super::measure::{Both, both};

/// One caliper reading.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Reading {
    what: String,
    value: Both,
    /// What to type where it differs: an option of `stepwell fit`; empty where
    /// there is none for this pocket.
    option: String,
}

#[cfg(feature = "page")]
impl Reading {
    /// Its option of `fit` without the dashes, and what must be read where; none
    /// where `fit` does not ask for it.
    pub(super) fn told(self, position: Option<&Position>) -> Option<(String, String)> {
        let option = self.option.strip_prefix("--")?.strip_suffix(" READING")?;
        let lie = position.map(|position| format!("position {}, ", position.number));
        let Both { first, second } = self.value;
        let words = format!(
            "{first} ({second}; {}{})",
            lie.unwrap_or_default(),
            self.what
        );
        Some((option.to_owned(), words))
    }
}

/// What makes a program of the first shallow step alone, to measure after; none
/// where there is no such program, or this is it.
pub(super) fn command(job: &Job) -> Option<String> {
    let options = first_step(job)?;
    Some(format!("stepwell generate JOB.toml -o DIR{options}"))
}

/// The options of that program.
fn first_step(job: &Job) -> Option<String> {
    if job.fixture.layout == Layout::Scrap || job.selection.step.is_some() {
        return None;
    }
    let part = job.selection.part.map(|part| format!(" --part {part}"));
    let first = || {
        let pocket = job.parts.iter().find_map(|part| part.pockets.first());
        pocket.map_or(1, |pocket| pocket.hinge)
    };
    let hinge = job.selection.hinge.unwrap_or_else(first);
    let part = part.unwrap_or_default();
    Some(format!("{part} --hinge {hinge} --step 1"))
}

/// What enters a reading that was taken on the first shallow step.
pub(super) fn fit_command(job: &Job) -> String {
    let as_selected = || {
        let selection = job.selection;
        let part = selection.part.map(|part| format!(" --part {part}"));
        let hinge = selection.hinge.map(|hinge| format!(" --hinge {hinge}"));
        let step = selection.step.map(|step| format!(" --step {step}"));
        [part, hinge, step].into_iter().flatten().collect()
    };
    let made: String = first_step(job).unwrap_or_else(as_selected);
    let measured = job.parts.iter().find_map(|part| measured(job, part));
    let position = measured.and_then(|pocket| job.position_of(pocket.hinge));
    let position = position.map(|position| format!(" --position {}", position.number));
    let position = position.unwrap_or_default();
    format!("stepwell fit JOB.toml --cut PROGRAM.nc{made}{position}")
}

/// The pocket of a part that is measured.
fn measured<'a>(job: &Job, part: &'a Part) -> Option<&'a Pocket> {
    part.pockets.iter().find(|pocket| {
        let hinge = job.selection.hinge;
        hinge.is_none_or(|hinge| hinge == pocket.hinge)
    })
}

/// When to measure, in the order things are done.
pub(super) fn introduction(job: &Job) -> String {
    if job.fixture.layout == Layout::Scrap {
        return "Measure the slots when the spindle stands still.".to_owned();
    }
    match (command(job), job.selection.step) {
        (Some(command), _) => {
            format!("Cut the first shallow step alone before the rest: {command} makes it.")
        }
        (None, Some(1) | None) => {
            "This program is the first shallow step alone: run it, measure, and only then \
             generate the rest without --step."
                .to_owned()
        }
        (None, Some(_)) => "Step 1 is cut already: measure it before this program runs.".to_owned(),
    }
}

/// The readings for the parts that are cut.
pub(super) fn readings(job: &Job, units: Units) -> Vec<Reading> {
    let mut readings = Vec::new();
    for part in job.parts.iter().filter(|part| job.is_selected(part.name)) {
        let Some(pocket) = measured(job, part) else {
            continue;
        };
        let Some(step) = pocket.steps.first() else {
            continue;
        };
        let number = pocket.hinge;
        let name = part.name;
        if name.lies_alone() {
            readings.push(Reading {
                what: format!("slot {number}, across"),
                value: both(step.width, units),
                option: "--slot READING".to_owned(),
            });
            continue;
        }
        readings.push(Reading {
            what: format!(
                "{name} {number}: {} to pocket",
                job.closing.faces(name).fence
            ),
            value: both(pocket.center.y() - step.width / 2.0, units),
            option: format!("--outside-{name} READING"),
        });
        let is_first = part.pockets.first().map(|first| first.hinge) == Some(number);
        let start = pocket.center.x() + step.shift - step.length / 2.0;
        readings.push(Reading {
            what: format!("{name} {number}: stop end to pocket"),
            value: both(start, units),
            // `fit` counts the way from the stop end to the first pocket alone.
            option: if is_first {
                format!("--end-{name} READING")
            } else {
                String::new()
            },
        });
    }
    readings
}

/// What is measured on each box of a run: the wood outside the first pocket of
/// each part.
pub(super) fn outside(job: &Job, units: Units) -> Vec<(String, Both)> {
    let readings = readings(job, units).into_iter();
    let outside = readings.filter(|reading| reading.option.starts_with("--outside"));
    outside
        .map(|reading| (reading.what, reading.value))
        .collect()
}

/// What a difference tells.
pub(super) fn words(fixture: &Fixture) -> String {
    let doubled = fixture.doubled_axis();
    match fixture.layout {
        Layout::Book => format!(
            "Both parts off by the same amount in opposite senses: zero {doubled} is wrong; \
             touch off again. Both off the same way: the bit or the setback."
        ),
        Layout::EndToEnd => format!(
            "Both ends off by the same amount in opposite senses: zero {doubled} is wrong; \
             touch off again. Both off the same way: the bit or the inset."
        ),
        Layout::Scrap => "That option is for a slot as wide as the bit.".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::PartName;
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

    #[test]
    fn only_the_first_pocket_is_entered_by_its_end() {
        let mut job = sample::job();
        let options = |job: &Job| -> Vec<String> {
            let readings = readings(job, Units::Millimetre).into_iter();
            readings.map(|reading| reading.option).collect()
        };
        assert_eq!(options(&job)[1], "--end-box READING");
        job.selection.hinge = Some(2);
        assert_eq!(options(&job)[..2], ["--outside-box READING", ""]);
    }

    #[test]
    fn the_first_step_is_made_of_the_hinge_in_hand() {
        let mut job = sample::job();
        let made = |job: &Job| command(job).unwrap_or_default();
        assert!(made(&job).ends_with("-o DIR --hinge 1 --step 1"));
        job.selection.hinge = Some(2);
        job.selection.part = Some(PartName::Lid);
        assert!(made(&job).ends_with("--part lid --hinge 2 --step 1"));
        assert!(introduction(&job).contains("--part lid --hinge 2 --step 1"));
    }

    #[test]
    fn a_sheet_of_the_first_step_does_not_ask_for_another() {
        let mut job = sample::job();
        for (step, words) in [(1, "This program is the first"), (2, "cut already")] {
            job.selection.step = Some(step);
            assert_eq!(command(&job), None);
            assert!(introduction(&job).contains(words), "{step}");
        }
    }
}
