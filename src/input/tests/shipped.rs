use std::fs;
use std::path::Path;

use crate::input::sample::{resolve_at, shipped};
use crate::input::{STARTER, bits, job, machine};
use crate::shop::bit::BitKind;
use crate::shop::machine::{ArcSupport, ToolChange};
use crate::units::Units;

#[test]
fn every_example_resolves_with_its_own_machine_and_rack() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let names = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name());
    let mut count = 0;
    // Pictures lie there too.
    for name in names.filter(|name| name.to_str().unwrap().ends_with(".toml")) {
        let path = format!("examples/{}", name.to_str().unwrap());
        let job = resolve_at(&path, &shipped(&path));
        let job = job.unwrap_or_else(|errors| panic!("{}", super::listing(&errors)));
        assert_eq!(job.parts.len(), 2, "{path}");
        assert!(!job.parts[0].pockets.is_empty(), "{path}");
        count += 1;
    }
    assert!(count >= 3);
}

#[test]
fn the_machines_are_one_metric_with_arcs_and_one_inch_without() {
    let metric = machine("m", &shipped("machines/benchtop-mm.toml")).unwrap();
    assert_eq!(metric.dialect.units, Units::Millimetre);
    assert_eq!(metric.dialect.arcs, ArcSupport::Flat);
    let inch = machine("m", &shipped("machines/benchtop-in.toml")).unwrap();
    assert_eq!(inch.dialect.units, Units::Inch);
    assert_eq!(inch.dialect.arcs, ArcSupport::None);
    assert_eq!(inch.dialect.effective_tool_change(), ToolChange::Pause);
    assert_eq!(inch.travel[0].as_mm(), 16.0 * 25.4);
}

#[test]
fn the_rack_has_every_kind_of_bit() {
    let rack = bits("bits.toml", &shipped("machines/bits.toml")).unwrap();
    for kind in BitKind::ALL {
        assert!(rack.iter().any(|bit| bit.kind == kind), "{}", kind.name());
    }
}

#[test]
fn the_inch_example_cuts_a_pocket_as_wide_as_its_bit() {
    let path = "examples/recipe-box.toml";
    let job = resolve_at(path, &shipped(path)).unwrap();
    for step in &job.parts[0].pockets[0].steps {
        assert!((step.width - job.bit.diameter).abs().as_mm() < 1e-9);
    }
}

#[test]
fn the_starter_job_resolves_beside_the_shipped_machines() {
    let job = resolve_at("box.toml", STARTER).unwrap();
    assert_eq!(job.parts[1].pockets.len(), 2);
    assert!(STARTER.starts_with("#:schema "));
}

// Every commented-out key is one that the reader takes.
#[test]
fn the_starter_jobs_suggestions_are_read_too() {
    let lines = STARTER.lines().map(|line| {
        let suggestion = line.strip_prefix("# ").filter(|rest| {
            rest.starts_with('[')
                || rest
                    .split_once(" =")
                    .is_some_and(|(key, _)| !key.trim().contains(' '))
        });
        suggestion.unwrap_or(line)
    });
    let text: Vec<&str> = lines
        .filter(|line| !line.starts_with("centres") && !line.starts_with("drop"))
        .collect();
    let text = text.join("\n");
    assert!(
        text.contains("\n[pilot]") && text.contains("\nscrews = [") && text.contains("\nclamps")
    );
    let errors = job("box.toml", &text);
    assert!(errors.is_ok(), "{}", super::listing(&errors.unwrap_err()));
}
