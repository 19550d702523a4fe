//! What a person reads first in a program; no dates, so that the same job
//! gives the same text.

use crate::cutting::Settings;
use crate::job::{Job, Layout, PartName, ZeroPoint};
use crate::plan::Operation;
use crate::shop::machine::SafeZ;
use crate::units::Length;

use super::program_text::ProgramText;

/// As much of the digest as tells two jobs apart.
const DIGEST: usize = 16;

pub(super) fn write(
    tape: &mut ProgramText,
    job: &Job,
    operation: &Operation,
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
    for line in zero(job) {
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

fn zero(job: &Job) -> Vec<String> {
    let fixture = &job.fixture;
    let [along, across] = fixture.letters();
    match (fixture.layout, fixture.zero) {
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
                    format!("{place}, stop end and outside face, Z on its mating face")
                })
                .collect()
        }
        (Layout::Book, ZeroPoint::Shared) => vec![
            format!("zero {along} at the stop ends, {across} in the middle of the divider"),
            "zero Z on the mating face of the box".to_owned(),
        ],
        (Layout::EndToEnd, ZeroPoint::Shared) => vec![
            format!("zero {along} in the middle of the stop, {across} at the fence"),
            "zero Z on the mating face of the box".to_owned(),
        ],
    }
}
