//! The feed table for people.

use std::fmt::Write as _;

use comfy_table::{CellAlignment, ContentArrangement, Table, presets};

use crate::feeds::{BitFeeds, Condition, FeedTable, Row};
use crate::shop::bit::care::{Choice, Origin};
use crate::shop::wood::Confidence;
use crate::units::{Feed, Length, Units, text};

/// The table as text, one block for each bit, lengths in `units`. Marks: `p`
/// stands after a figure that rests on common practice, `m` on memory.
pub(super) fn render(table: &FeedTable, units: Units) -> String {
    let mut text = format!(
        "{}: {} on {}\n",
        table.job,
        table.woods.join(" and "),
        table.machine
    );
    for bit in &table.bits {
        text.push('\n');
        text += &heading(bit, units);
        if bit.problems.is_empty() {
            text += &block(bit, units);
        }
        for problem in &bit.problems {
            let _ = writeln!(text, "  cannot do this job: {problem}");
        }
        text += &wall_care(bit);
        for row in &bit.states {
            if let Some(refusal) = &row.refusal {
                let _ = writeln!(text, "  {}: {refusal}", name(row));
            }
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

fn name(row: &Row) -> String {
    match row.condition {
        Condition::Fresh => "fresh".to_owned(),
        Condition::Present => format!("as it is ({:.2})", row.wear),
        Condition::Dull => "dull".to_owned(),
    }
}

fn block(bit: &BitFeeds, units: Units) -> String {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .force_no_tty()
        .set_content_arrangement(ContentArrangement::Disabled);
    let mut header = vec![String::new()];
    header.extend(bit.states.iter().map(|row| aligned(name(row))));
    table.set_header(header);
    for (label, cell) in lines(bit, units) {
        let mut cells = vec![label];
        cells.extend(bit.states.iter().map(|row| aligned(cell(row))));
        table.add_row(cells);
    }
    for column in table.column_iter_mut().skip(1) {
        column.set_cell_alignment(CellAlignment::Right);
    }
    let mut text = String::new();
    for line in table.to_string().lines() {
        let _ = writeln!(text, "  {}", line.trim_end());
    }
    text += &binding(bit);
    text
}

fn binding(bit: &BitFeeds) -> String {
    let mut text = String::new();
    let mut last = "";
    for row in &bit.states {
        if row.binding != last {
            let _ = writeln!(text, "  held by, {}: {}", name(row), row.binding);
        }
        last = &row.binding;
    }
    text
}

type Line<'a> = (String, Box<dyn Fn(&Row) -> String + 'a>);

fn lines(bit: &BitFeeds, units: Units) -> Vec<Line<'_>> {
    let small = match units {
        Units::Millimetre => 3,
        Units::Inch => 4,
    };
    let sources = bit.sources;
    let force = mark(Some(sources.force));
    let line = |label: String, cell: Box<dyn Fn(&Row) -> String>| (label, cell);
    let mut lines: Vec<Line<'_>> = vec![
        line("rpm".into(), Box::new(|row| format!("{:.0}", row.rpm))),
        line(
            format!("feed and ramp feed, {units}/min"),
            Box::new(move |row| feed(row.feed, units)),
        ),
        line(
            format!("finishing feed, {units}/min"),
            Box::new(move |row| feed(row.finish_feed, units)),
        ),
        line(
            format!("plunge feed, {units}/min"),
            Box::new(move |row| {
                row.plunge_feed
                    .map_or("never".into(), |plunge| feed(plunge, units))
            }),
        ),
        line(
            "ramp, degrees".into(),
            Box::new(move |row| format!("{:.1}{}", row.ramp_deg, mark(sources.ramp))),
        ),
        line(
            format!("chip load, {units} a tooth"),
            Box::new(move |row| length(row.chip_load, units, small)),
        ),
        line(
            format!("the same, {} a tooth", units.other()),
            Box::new(move |row| format!("{:.4}", row.chip_load.as_units(units.other()))),
        ),
        line(
            format!("least chip load, {units}"),
            Box::new(move |row| length(row.chip_min, units, small) + mark(sources.chip_min)),
        ),
        line(
            format!("greatest chip load, {units}"),
            Box::new(move |row| length(row.chip_max, units, small) + mark(sources.chip_max)),
        ),
        line(
            "surface speed, m/s".into(),
            Box::new(|row| format!("{:.1}", row.surface_speed)),
        ),
        line(
            format!("stepdown, {units}"),
            Box::new(move |row| length(row.stepdown, units, small - 1) + mark(sources.stepdown)),
        ),
    ];
    lines.push(line(
        match units {
            Units::Millimetre => "removed, cm3/min".into(),
            Units::Inch => "removed, in3/min".into(),
        },
        Box::new(move |row| match units {
            Units::Millimetre => format!("{:.1}", row.removal_rate / 1000.0),
            Units::Inch => format!("{:.2}", row.removal_rate / 25.4_f64.powi(3)),
        }),
    ));
    lines.extend([
        line("power, W".into(), Box::new(move |row| power(row) + force)),
        line(
            "force, N".into(),
            Box::new(move |row| format!("{:.1}{force}", row.force_n)),
        ),
        line(
            format!("bends, {units}"),
            Box::new(move |row| length(row.deflection_mm, units, small) + force),
        ),
        line(
            format!("bends finishing, {units}"),
            Box::new(move |row| length(row.finish_deflection_mm, units, small) + force),
        ),
        line(
            "time for the pockets, s".into(),
            Box::new(|row| format!("{:.0}", row.seconds.as_seconds())),
        ),
    ]);
    lines
}

/// Figures without a mark line up with those that have one.
fn aligned(cell: String) -> String {
    if cell.ends_with([' ', 'p', 'm']) {
        cell
    } else {
        cell + "  "
    }
}

const fn mark(seen: Option<Confidence>) -> &'static str {
    match seen {
        Some(Confidence::Practice) => " p",
        Some(Confidence::Memory) => " m",
        Some(Confidence::First | Confidence::Second | Confidence::Derived) | None => "  ",
    }
}

fn power(row: &Row) -> String {
    match row.power_share {
        Some(share) => format!("{:.0} ({:.0} %)", row.power_w, 100.0 * share),
        None => format!("{:.0}", row.power_w),
    }
}

fn feed(feed: Feed, units: Units) -> String {
    match units {
        Units::Millimetre => format!("{:.0}", feed.as_mm_per_minute()),
        Units::Inch => format!("{:.1}", feed.as_mm_per_minute() / 25.4),
    }
}

fn length(length: Length, units: Units, decimals: usize) -> String {
    format!("{:.decimals$}", length.as_units(units))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::feeds::sample::job;
    use crate::feeds::table;

    #[test]
    fn a_row_in_the_other_unit_stands_beside_the_chip() {
        let text = render(&table(&job(), None), Units::Inch);
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
        let text = render(&table(&job, None), Units::Millimetre);
        assert!(text.contains("would burn the wood"));
    }

    #[test]
    fn figures_without_a_source_are_labelled() {
        let mut job = job();
        job.rack[0].stepdown = Some(Length::from_mm(3.0));
        job.rack.truncate(1);
        let text = render(&table(&job, None), Units::Millimetre);
        assert!(text.contains("3.00  "), "{text}");
        insta::assert_snapshot!(text);
    }

    #[test]
    fn rim_and_wall_are_explained_for_the_jobs_bit_and_named_for_the_others() {
        let mut job = job();
        job.rack[2].wall_care.spring_pass = true;
        let text = render(&table(&job, None), Units::Millimetre);
        assert!(text.contains("score = true (default): a shallow lap on the outline"));
        assert!(text.contains("or false saves one lap for each pocket"));
        assert!(text.contains("rim and wall: score = false (default), finish_direction = climb"));
        assert!(text.contains("spring_pass = true (the rack's choice)"));
        job.rack[0].wall_care.score = Some(false);
        let text = render(&table(&job, None), Units::Millimetre);
        assert!(
            text.contains(
                "6.00 mm, the job's bit; lifts the top fibres, and the rim is not scored"
            )
        );
    }
}
