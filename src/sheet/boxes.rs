//! A run of boxes: what cuts each, to tick off, and what to write down of it.

use serde::Serialize;

use crate::job::Job;
use crate::report::{BoxReport, ProgramReport, Report, Stretch, stretches};
use crate::units::Units;

use super::caliper;
use super::measure::{Both, duration};
use super::path::file_name;

/// Each so many boxes the readings are taken (common practice, no source).
const EVERY: u32 = 5;

/// The section of a run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Boxes {
    count: u32,
    /// Each so many boxes are measured.
    every: u32,
    /// What cuts which boxes, in the order of the first of them.
    lines: Vec<String>,
    /// Machine time of all boxes.
    time: String,
    /// What is measured on a box.
    readings: Vec<Wanted>,
    rows: Vec<Row>,
    retuned: Vec<Retuned>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
struct Wanted {
    what: String,
    value: Both,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
struct Row {
    number: u32,
    programs: String,
    /// Wear of the pockets' bit before the box.
    wear: String,
    /// The bits that are sharpened before it.
    sharpen: String,
    measure: bool,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
struct Retuned {
    name: String,
    sha256: String,
    /// What proves it.
    command: String,
}

/// The section, where the report has a run.
pub(super) fn of(job: &Job, report: &Report, units: Units) -> Option<Boxes> {
    let count = report.boxes.last()?.number;
    let stretches = stretches(&report.boxes);
    let named = |stretch: &Stretch| Stretch {
        program: file_name(&stretch.program).to_owned(),
        ..stretch.clone()
    };
    let numbers = 1..=count;
    let seconds = report.boxes.iter().map(|row| row.seconds.as_seconds());
    Some(Boxes {
        count,
        every: EVERY,
        lines: stretches
            .iter()
            .map(|stretch| named(stretch).to_string())
            .collect(),
        time: duration(seconds.sum()),
        readings: caliper::outside(job, units)
            .into_iter()
            .map(|(what, value)| Wanted { what, value })
            .collect(),
        rows: numbers
            .map(|number| row(job, &report.boxes, &stretches, number))
            .collect(),
        retuned: report
            .retuned
            .iter()
            .map(|program| retuned(program, &stretches))
            .collect(),
    })
}

fn row(job: &Job, boxes: &[BoxReport], stretches: &[Stretch], number: u32) -> Row {
    let rows = boxes.iter().filter(|row| row.number == number);
    let rows: Vec<&BoxReport> = rows.collect();
    let names: Vec<&str> = rows.iter().map(|row| file_name(&row.program)).collect();
    let own = rows.iter().find(|row| row.bit == job.bit.name);
    let sharpened = rows.iter().filter(|row| row.sharpen);
    let mut sharpened: Vec<&str> = sharpened.map(|row| row.bit.as_str()).collect();
    sharpened.dedup();
    Row {
        number,
        programs: names.join(", "),
        wear: own.map_or_else(String::new, |row| format!("{:.2}", row.wear)),
        sharpen: sharpened.join(", "),
        measure: number.is_multiple_of(EVERY)
            || stretches.iter().any(|stretch| stretch.boxes[0] == number),
    }
}

fn retuned(program: &ProgramReport, stretches: &[Stretch]) -> Retuned {
    let name = file_name(&program.path).to_owned();
    let own = stretches
        .iter()
        .find(|stretch| file_name(&stretch.program) == name);
    let wear = own.map_or(0.0, |stretch| stretch.wear[1]);
    Retuned {
        command: format!("stepwell simulate {name} --job JOB.toml --wear {wear:.2}"),
        name,
        sha256: program.sha256.clone(),
    }
}
