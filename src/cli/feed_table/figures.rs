//! The figures of one bit, a column for each state of wear.

use std::fmt::Write as _;

use comfy_table::{CellAlignment, ContentArrangement, Table, presets};

use crate::feeds::{BitFeeds, Condition, Row};
use crate::shop::wood::Confidence;
use crate::units::{Feed, Length, Units};

pub(super) fn of(bit: &BitFeeds, units: Units) -> String {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .force_no_tty()
        .set_content_arrangement(ContentArrangement::Disabled);
    let mut header = vec![String::new()];
    header.extend(bit.states.iter().map(|row| aligned(state(row))));
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
            let _ = writeln!(text, "  held by, {}: {}", state(row), row.binding);
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

pub(super) fn state(row: &Row) -> String {
    match row.condition {
        Condition::Fresh => "fresh".to_owned(),
        Condition::Present => format!("as it is ({:.2})", row.wear),
        Condition::Dull => "dull".to_owned(),
    }
}
