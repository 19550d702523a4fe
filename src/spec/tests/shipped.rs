use std::fs;
use std::path::{Path, PathBuf};

use crate::bit::BitKind;
use crate::machine::{ArcSupport, ToolChange};
use crate::spec::{Overrides, STARTER, bits, job, machine};
use crate::units::Units;

fn folder(name: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    let entries = fs::read_dir(folder).unwrap();
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap()
}

#[test]
fn every_example_resolves_with_its_own_machine_and_rack() {
    let examples = folder("examples");
    assert!(examples.len() >= 3);
    for path in examples {
        let name = path.display().to_string();
        let spec = job(&name, &read(&path)).unwrap();
        let beside = |relative: &str| read(&path.parent().unwrap().join(relative));
        let machine = machine("machine.toml", &beside(spec.machine_path())).unwrap();
        let rack = bits("bits.toml", &beside(spec.bits_path())).unwrap();
        let job = spec.resolve(machine, rack, &Overrides::default());
        let job = job.unwrap_or_else(|errors| panic!("{}", super::listing(&errors)));
        assert_eq!(job.parts.len(), 2, "{name}");
        assert!(!job.parts[0].pockets.is_empty(), "{name}");
    }
}

#[test]
fn the_machines_are_one_metric_with_arcs_and_one_inch_without() {
    let path = |name| {
        Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("machines")
            .join(name)
    };
    let metric = machine("m", &read(&path("benchtop-mm.toml"))).unwrap();
    assert_eq!(metric.dialect.units, Units::Millimetre);
    assert_eq!(metric.dialect.arcs, ArcSupport::Flat);
    let inch = machine("m", &read(&path("benchtop-in.toml"))).unwrap();
    assert_eq!(inch.dialect.units, Units::Inch);
    assert_eq!(inch.dialect.arcs, ArcSupport::None);
    assert_eq!(inch.dialect.effective_tool_change(), ToolChange::Pause);
    assert_eq!(inch.travel[0].as_mm(), 16.0 * 25.4);
}

#[test]
fn the_rack_has_every_kind_of_bit() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("machines/bits.toml");
    let rack = bits("bits.toml", &read(&path)).unwrap();
    for kind in BitKind::ALL {
        assert!(rack.iter().any(|bit| bit.kind == kind), "{}", kind.name());
    }
}

#[test]
fn the_inch_example_cuts_a_pocket_as_wide_as_its_bit() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = read(&root.join("examples/recipe-box.toml"));
    let machine = machine("m", &read(&root.join("machines/benchtop-in.toml"))).unwrap();
    let rack = bits("b", &read(&root.join("machines/bits.toml"))).unwrap();
    let spec = job("recipe-box.toml", &text).unwrap();
    let job = spec.resolve(machine, rack, &Overrides::default()).unwrap();
    for step in &job.parts[0].pockets[0].steps {
        assert!((step.width - job.bit.diameter).abs().as_mm() < 1e-9);
    }
}

#[test]
fn the_starter_job_resolves_beside_the_shipped_machines() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let spec = job("box.toml", STARTER).unwrap();
    let machine = machine("m", &read(&root.join(spec.machine_path()))).unwrap();
    let rack = bits("b", &read(&root.join(spec.bits_path()))).unwrap();
    let job = spec.resolve(machine, rack, &Overrides::default()).unwrap();
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
