//! What a person reads first in a program; no dates, so that the same job
//! gives the same text.

use crate::cutting::Settings;
use crate::job::position::{Located, Position};
use crate::job::{Job, Layout, PartName, ZeroPoint};
use crate::plan::Operation;
use crate::shop::machine::SafeZ;
use crate::units::Length;

use super::program_text::ProgramText;

/// As much of the digest as tells two jobs apart.
const DIGEST: usize = 16;

/// What is cut first, and how the parts lie for it.
pub(super) struct Lie<'a> {
    pub(super) operation: &'a Operation,
    pub(super) position: Option<&'a Position>,
}

pub(super) fn write(
    tape: &mut ProgramText,
    job: &Job,
    &Lie {
        operation,
        position,
    }: &Lie<'_>,
    settings: &Settings,
    marks: &[String],
) {
    let bit = &operation.bit;
    tape.comment(&format!("job {}", job.title));
    let digest: String = job.digest.chars().take(DIGEST).collect();
    tape.comment(&format!(
        "stepwell {}, inputs {digest}",
        env!("CARGO_PKG_VERSION")
    ));
    for mark in marks {
        tape.comment(mark);
    }
    tape.comment(&format!(
        "bit {}, tool {}, {:.0} rpm",
        bit.name,
        bit.tool,
        settings.speed.as_rpm()
    ));
    tape.comment(&format!("wood {}", woods(job)));
    for line in position.into_iter().flat_map(|position| lie(job, position)) {
        tape.comment(&line);
    }
    for line in zero(job, position) {
        tape.comment(&line);
    }
    if job.machine.dialect.safe_z == SafeZ::Work {
        let safe = operation.pieces.first().map_or(0.0, |piece| piece.safe);
        let units = job.machine.dialect.units;
        tape.comment(&format!(
            "start with the bit above Z {:.2} {units}",
            Length::from_mm(safe).as_units(units)
        ));
    }
}

fn woods(job: &Job) -> String {
    let mut names: Vec<&str> = Vec::new();
    for part in job.parts.iter().filter(|part| job.is_selected(part.name)) {
        if !names.contains(&part.wood.name.as_str()) {
            names.push(&part.wood.name);
        }
    }
    names.join(" and ")
}

/// Which position it is, and what the parts lie against in it.
fn lie(job: &Job, position: &Position) -> Vec<String> {
    let units = job.machine.dialect.units;
    let show = |length: Length| format!("{:.2} {units}", length.as_units(units));
    let number = position.number;
    let words = match position.located {
        Located::Stop => "stop ends at the stop".to_owned(),
        Located::Mark(mark) => format!("blocks {} from the stop ends", show(mark)),
        Located::FarStop(face) => format!("far ends at a stop {} from zero", show(face)),
    };
    vec![format!("position {number}, {words}")]
}

fn zero(job: &Job, position: Option<&Position>) -> Vec<String> {
    let fixture = &job.fixture;
    let stop = match position.map(|position| position.located) {
        None | Some(Located::Stop) => "at the stop ends",
        Some(Located::Mark(_)) => "at the stop bar",
        Some(Located::FarStop(_)) => "from the far stop",
    };
    let [along, across] = fixture.letters();
    match (fixture.layout, fixture.zero) {
        (Layout::Scrap, _) if job.plate.is_some() => {
            let words =
                "zero X Y at the lower left corner, Z on the underside of the plate, which lies up";
            vec![words.to_owned()]
        }
        (Layout::Scrap, _) => {
            vec!["zero X Y at the lower left corner, Z on top of the scrap".to_owned()]
        }
        (_, ZeroPoint::Each) => {
            let lines = [
                (PartName::Box, "G54 zero at the box"),
                (PartName::Lid, "G55 zero at the lid"),
            ];
            let selected = lines.iter().filter(|(part, _)| job.is_selected(*part));
            selected
                .map(|(_, place)| {
                    let stop = match position.map(|position| position.located) {
                        None | Some(Located::Stop) => "stop end",
                        Some(Located::Mark(_)) => "stop bar",
                        Some(Located::FarStop(_)) => "from the far stop",
                    };
                    format!("{place}, {stop} and outside face, Z on its mating face")
                })
                .collect()
        }
        (Layout::Book, ZeroPoint::Shared) => vec![
            format!("zero {along} {stop}, {across} in the middle of the divider"),
            "zero Z on the mating face of the box".to_owned(),
        ],
        (Layout::EndToEnd, ZeroPoint::Shared) => vec![
            format!("zero {along} in the middle of the stop, {across} at the fence"),
            "zero Z on the mating face of the box".to_owned(),
        ],
    }
}
