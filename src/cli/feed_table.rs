//! The feed table for people.

mod figures;

use std::fmt::Write as _;

use crate::feeds::{self, BitFeeds, FeedTable, Standing};
use crate::shop::bit::care::{Choice, Origin};
use crate::units::{Units, text};

/// How much is told of the bits that are not the job's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Extent {
    /// A line each.
    Verdicts,
    /// The line, and the figures.
    All,
}

/// The job's bit with its figures, then the others, best first; lengths in
/// `units`. Marks: `p` stands after a figure that rests on common practice, `m`
/// on memory.
pub(super) fn render(table: &FeedTable, units: Units, extent: Extent) -> String {
    let mut text = format!(
        "{}: {} on {}\n",
        table.job,
        table.woods.join(" and "),
        table.machine
    );
    for own in table.bits.iter().filter(|bit| bit.of_the_job) {
        text += &whole(own, units);
    }
    let others = feeds::others(table);
    text += &verdicts(&others, extent);
    if extent == Extent::All {
        for other in &others {
            text += &whole(other.bit, units);
        }
    }
    text.push('\n');
    match &table.verdict.best {
        Some(best) => {
            let _ = writeln!(text, "Best for these pockets: {best}. {}", sentence(table));
        }
        None => {
            let _ = writeln!(text, "{}", sentence(table));
        }
    }
    text += FOOT;
    text
}

fn verdicts(others: &[Standing<'_>], extent: Extent) -> String {
    let mut text = String::new();
    if others.is_empty() {
        return text;
    }
    text += match extent {
        Extent::Verdicts => "\nThe other bits, best first; --all shows their figures:\n",
        Extent::All => "\nThe other bits, best first:\n",
    };
    let names = others.iter().map(|other| other.bit.bit.chars().count());
    let widest = names.max().unwrap_or_default();
    for Standing { bit, words } in others {
        let _ = writeln!(text, "  {:widest$}  {words}", bit.bit);
    }
    text
}

/// All that is told of one bit.
fn whole(bit: &BitFeeds, units: Units) -> String {
    let mut text = format!("\n{}", heading(bit, units));
    if bit.problems.is_empty() {
        text += &figures::of(bit, units);
    }
    for problem in &bit.problems {
        let _ = writeln!(text, "  cannot do this job: {problem}");
    }
    text += &wall_care(bit);
    for row in &bit.states {
        if let Some(refusal) = &row.refusal {
            let _ = writeln!(text, "  {}: {refusal}", figures::state(row));
        }
    }
    text
}

/// What is in force for rim and wall: for the job's own bit with the reason of
/// each choice and what else can be set, for the others in one line.
fn wall_care(bit: &BitFeeds) -> String {
    let mut text = String::new();
    if !bit.problems.is_empty() || bit.wall_care.is_empty() {
        return text;
    }
    if !bit.of_the_job {
        let values: Vec<String> = bit.wall_care.iter().map(value).collect();
        let _ = writeln!(text, "  rim and wall: {}", values.join(", "));
        return text;
    }
    let _ = writeln!(text, "  rim and wall, keys of the bits file:");
    for choice in &bit.wall_care {
        let _ = writeln!(text, "    {}: {}", value(choice), choice.effect);
        if !choice.otherwise.is_empty() {
            let _ = writeln!(text, "      or {}", choice.otherwise);
        }
    }
    text
}

fn value(choice: &Choice) -> String {
    let Choice { key, value, .. } = choice;
    let origin = match choice.origin {
        Origin::Default => "default",
        Origin::Rack => "the rack's choice",
    };
    format!("{key} = {value} ({origin})")
}

const FOOT: &str = "
p  common practice, no source: `stepdown`, `ramp_deg`, `chip_min`, `chip_max` in the bits file override it
m  from memory, half or double is possible: watch and listen to the first pass
rim and wall: common practice, no source; what each choice does is told at the job's own bit
time: the least that the feed allows, without rapids, acceleration and pauses
";

fn sentence(table: &FeedTable) -> String {
    let why = &table.verdict.why;
    let mut characters = why.chars();
    let first = characters
        .next()
        .map(|first| first.to_uppercase().to_string());
    format!("{}{}.", first.unwrap_or_default(), characters.as_str())
}

fn heading(bit: &BitFeeds, units: Units) -> String {
    let own = if bit.of_the_job {
        ", the job's bit"
    } else {
        ""
    };
    format!(
        "{} ({}, {}{own}; {})\n",
        bit.bit,
        bit.kind.name(),
        text::decimal_with_unit(bit.diameter, units),
        bit.rim.words()
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::feeds::sample::job;
    use crate::feeds::table;
    use crate::units::{Feed, Length};

    #[test]
    fn a_row_in_the_other_unit_stands_beside_the_chip() {
        let text = render(&table(&job(), None), Units::Inch, Extent::All);
        assert!(text.contains("chip load, in a tooth") && text.contains("the same, mm a tooth"));
        // 3000 mm/min is 118.1 in/min.
        assert!(text.contains("118.1"), "{text}");
        assert!(text.contains("in/min"));
    }

    #[test]
    fn a_machine_too_slow_is_said_to_burn_the_wood() {
        let mut job = job();
        job.machine.feed_max = [300.0, 300.0, 100.0].map(Feed::from_mm_per_minute);
        job.machine.spindle.slowest = crate::units::SpindleSpeed::from_rpm(20_000.0);
        let text = render(&table(&job, None), Units::Millimetre, Extent::All);
        assert!(text.contains("would burn the wood"));
    }

    #[test]
    fn figures_without_a_source_are_labelled() {
        let mut job = job();
        job.rack[0].stepdown = Some(Length::from_mm(3.0));
        job.rack.truncate(1);
        let text = render(&table(&job, None), Units::Millimetre, Extent::All);
        assert!(text.contains("3.00  "), "{text}");
        insta::assert_snapshot!(text);
    }

    #[test]
    fn rim_and_wall_are_explained_for_the_jobs_bit_and_named_for_the_others() {
        let mut job = job();
        job.rack[2].wall_care.spring_pass = true;
        let text = render(&table(&job, None), Units::Millimetre, Extent::All);
        assert!(text.contains("score = true (default): a shallow lap on the outline"));
        assert!(text.contains("or false saves one lap for each pocket"));
        assert!(text.contains("rim and wall: score = false (default), finish_direction = climb"));
        assert!(text.contains("spring_pass = true (the rack's choice)"));
        job.rack[0].wall_care.score = Some(false);
        let text = render(&table(&job, None), Units::Millimetre, Extent::All);
        assert!(
            text.contains(
                "6.00 mm, the job's bit; lifts the top fibres, and the rim is not scored"
            )
        );
    }
}
