//! How speed, chip and time of the job's bit go as it wears.

use crate::feeds::{Condition, Row, fitness, row};
use crate::job::Job;
use crate::shop::bit::Bit;
use crate::units::{Units, text};

/// Steps of wear between a fresh edge and a dull one.
const STEPS: u32 = 20;

/// One figure of the feed table over wear.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct OverWear {
    /// What it is.
    pub(crate) title: &'static str,
    /// In the reader's unit.
    pub(crate) unit: String,
    /// What belongs together, limits last.
    pub(crate) lines: Vec<WearLine>,
    /// Fresh, as the bit is, and dull, in words.
    pub(crate) words: String,
}

/// Wear, 0 fresh to 1 dull, and the figure, from left to right; no point where
/// no setting serves.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct WearLine {
    /// What it is.
    pub(crate) name: &'static str,
    /// The points.
    pub(crate) points: Vec<[f64; 2]>,
    /// Whether it is a limit of the others.
    pub(crate) is_limit: bool,
}

struct Figure {
    name: &'static str,
    of: fn(&Row, Units) -> f64,
    is_limit: bool,
}

const fn figure(name: &'static str, of: fn(&Row, Units) -> f64) -> Figure {
    Figure {
        name,
        of,
        is_limit: false,
    }
}

const fn limit(name: &'static str, of: fn(&Row, Units) -> f64) -> Figure {
    Figure {
        name,
        of,
        is_limit: true,
    }
}

/// Chip window, spindle speed and least time of the job's bit, as the feed table has
/// them; empty where it cannot cut these pockets.
pub(crate) fn over_wear(job: &Job) -> Vec<OverWear> {
    let Some(bit) = job.rack.iter().find(|bit| bit.name == job.bit.name) else {
        return Vec::new();
    };
    if !fitness::problems(job, bit).is_empty() {
        return Vec::new();
    }
    let steps = (0..=STEPS).map(|step| f64::from(step) / f64::from(STEPS));
    let rows: Vec<Row> = steps.map(|wear| at(job, bit, wear)).collect();
    let now = at(job, bit, job.bit.wear);
    let small = match job.units {
        Units::Millimetre => 3,
        Units::Inch => 4,
    };
    let seconds = figure("least time", |row, _| row.seconds.as_seconds());
    let speed = figure("spindle speed", |row, _| row.rpm);
    let chips = [
        figure("chosen", |row, units| row.chip_load.as_units(units)),
        limit("greatest", |row, units| row.chip_max.as_units(units)),
        limit("least", |row, units| row.chip_min.as_units(units)),
    ];
    let unit = format!("{} a tooth", job.units);
    let of = |title, unit, figures: &[Figure], decimals| {
        over(title, unit, figures, decimals, &rows, &now, job.units)
    };
    vec![
        of("Chip load", unit, &chips, small),
        of("Spindle speed", "rpm".to_owned(), &[speed], 0),
        of("Time in the wood", "s".to_owned(), &[seconds], 0),
    ]
}

fn at(job: &Job, bit: &Bit, wear: f64) -> Row {
    row::row(job, bit, Condition::Present, wear)
}

fn over(
    title: &'static str,
    unit: String,
    figures: &[Figure],
    decimals: usize,
    rows: &[Row],
    now: &Row,
    units: Units,
) -> OverWear {
    let serves = |row: &&Row| row.refusal.is_none();
    let lines = figures.iter().map(|figure| WearLine {
        name: figure.name,
        points: rows
            .iter()
            .filter(serves)
            .map(|row| [row.wear, (figure.of)(row, units)])
            .collect(),
        is_limit: figure.is_limit,
    });
    let ends = [
        ("fresh", rows.first()),
        ("now", Some(now)),
        ("dull", rows.last()),
    ];
    let told = ends.into_iter().filter_map(|(name, row)| {
        let row = row?;
        let name = match name {
            "now" => format!("as it is, wear {:.2}", row.wear),
            name => name.to_owned(),
        };
        if let Some(refusal) = &row.refusal {
            return Some(format!("{name}: {refusal}"));
        }
        let told = figures.iter().map(|figure| {
            let value = text::fixed((figure.of)(row, units), decimals);
            format!("{} {value}", figure.name)
        });
        Some(format!("{name}: {}", told.collect::<Vec<_>>().join(", ")))
    });
    let told: Vec<String> = told.collect();
    OverWear {
        title,
        words: format!("{unit}. {}.", told.join("; ")),
        lines: lines.collect(),
        unit,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::feeds;
    use crate::job::sample;
    use crate::units::Length;

    #[test]
    fn the_ends_are_the_feed_tables_own() {
        let job = sample::job();
        let table = feeds::table(&job, None);
        let own = table.bits.iter().find(|bit| bit.of_the_job).unwrap();
        let (fresh, dull) = (&own.states[0], &own.states[2]);
        let [chips, speed, time] = over_wear(&job).try_into().unwrap();
        let ends = |line: &WearLine| [line.points[0], *line.points.last().unwrap()];
        let mm = |length: Length| length.as_mm();
        for (line, of) in chips.lines.iter().zip([
            [mm(fresh.chip_load), mm(dull.chip_load)],
            [mm(fresh.chip_max), mm(dull.chip_max)],
            [mm(fresh.chip_min), mm(dull.chip_min)],
        ]) {
            assert_eq!(ends(line), [[0.0, of[0]], [1.0, of[1]]], "{}", line.name);
        }
        let speeds = [[0.0, fresh.rpm], [1.0, dull.rpm]];
        assert_eq!(ends(&speed.lines[0]), speeds);
        let seconds = [fresh, dull].map(|row| row.seconds.as_seconds());
        assert_eq!(ends(&time.lines[0]), [[0.0, seconds[0]], [1.0, seconds[1]]]);
        let told = format!("fresh: spindle speed {:.0}", fresh.rpm);
        assert!(speed.words.contains(&told), "{}", speed.words);
    }
}
