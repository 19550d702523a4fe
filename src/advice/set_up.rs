//! What must be so on the bed before a program runs, and is taken from the job.

use crate::job::position::Located;
use crate::job::{Along, Closing, Job, Layout, PartName};
use crate::units::{Length, text};

/// How high divider, fence and stop may stand, and what is cut loose.
pub fn set_up(job: &Job) -> Vec<String> {
    let fixture = &job.fixture;
    let divider = fixture.divider > Length::ZERO;
    let between = (fixture.divider_height, "fixture.divider_height");
    let fence = (fixture.fence_height, "fixture.fence_height");
    let solids = match fixture.layout {
        Layout::Scrap => return Vec::new(),
        Layout::Book => vec![("divider", between, divider)],
        Layout::EndToEnd => vec![("fence", fence, true), ("centre stop", between, divider)],
    };
    let mut words: Vec<String> = solids
        .into_iter()
        .filter(|(_, _, stands)| *stands)
        .map(|(name, (height, key), _)| {
            if height.is_near(Length::ZERO, Length::SAME) {
                format!("the {name} is taken as flush with the mating face; else write `{key}`")
            } else {
                let height = text::decimal_with_unit(height, job.units);
                format!("the {name} may stand {height} above the box's mating face (`{key}`)")
            }
        })
        .collect();
    if fixture.layout == Layout::Book {
        let side = match fixture.along {
            Along::X => format!("on the {}", fixture.stop_end),
            Along::Y => "at the stop ends".to_owned(),
        };
        words.push(format!(
            "the stop {side} stands no higher than the mating faces"
        ));
    }
    let mut located = fixture.positions.iter().map(|position| position.located);
    if located.any(|located| matches!(located, Located::Mark(_))) {
        let show = |length| text::decimal_with_unit(length, job.units);
        words.push(format!(
            "at a mark the stop bar and the blocks may stand {} above the box's mating face \
             (`fixture.block_height`), the blocks reach {} from the bar (`fixture.block_length`)",
            show(fixture.block_height),
            show(fixture.block_length)
        ));
    }
    let mut located = fixture.positions.iter().map(|position| position.located);
    if located.any(|located| matches!(located, Located::FarStop(_))) {
        words.push("a far stop stands no higher than the mating faces".to_owned());
    }
    if fixture.headroom.is_none() {
        words.push(
            "for bit changes and at the end the tip rises to the safe height alone, \
             since `fixture.headroom` is not known"
                .to_owned(),
        );
    }
    let mut words = vec![words.join("; ")];
    if job.closing == Closing::Inset && job.is_selected(PartName::Box) {
        words.push("the hinged wall is cut as a loose board before glue-up".to_owned());
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::StopEnd;
    use crate::job::position::Position;
    use crate::job::sample;

    #[test]
    fn every_part_of_the_fixture_is_said_to_be_flush_or_how_high() {
        let mut job = sample::job();
        assert!(set_up(&job)[0].starts_with("the divider is taken as flush"));
        job.fixture.divider_height = Length::from_mm(5.0);
        assert!(set_up(&job)[0].contains("may stand 5.00 mm above"));
        job.fixture.layout = Layout::EndToEnd;
        let words = &set_up(&job)[0];
        assert!(words.starts_with("the fence is taken as flush"));
        assert!(words.contains("`fixture.fence_height`"));
        assert!(words.contains("the centre stop may stand 5.00 mm above"));
        job.fixture.layout = Layout::Book;
        job.fixture.positions = vec![Position {
            number: 1,
            hinges: vec![1, 2],
            located: Located::Mark(Length::from_mm(10.0)),
            box_u: Length::ZERO,
            lid_u: Length::ZERO,
        }];
        assert!(set_up(&job)[0].contains("may stand 20.00 mm above the box's mating face"));
        job.fixture.positions.clear();
        assert!(!set_up(&job)[0].contains("block"));
        job.fixture.divider = Length::ZERO;
        job.closing = Closing::Inset;
        let words = set_up(&job);
        assert!(words[0].starts_with("the stop on the left stands no higher"));
        assert!(words[1].contains("loose board before glue-up"));
        job.fixture.stop_end = StopEnd::Right;
        assert!(set_up(&job)[0].starts_with("the stop on the right stands no higher"));
        job.fixture.along = Along::Y;
        assert!(set_up(&job)[0].starts_with("the stop at the stop ends stands no higher"));
    }
}
