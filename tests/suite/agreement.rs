//! README, `--help`, schemas and the published list of keys say the same.

use std::collections::BTreeSet;
use std::fs;

use serde_json::Value;

use crate::harness::{Workshop, shipped};

/// The keys users were promised, a list for each kind of file.
const KEYS: [(&str, &[&str]); 3] = [
    (
        "job",
        &[
            "title units machine bits bit",
            "box.length box.wall box.height box.width box.wood",
            "lid.closing lid.length lid.width lid.thickness lid.wall lid.overhang lid.drop lid.end_inset",
            "lid.open_ends lid.wood",
            "hinge.width hinge.setback hinge.closed_gap hinge.open_gap hinge.steps hinge.lid_steps hinge.screws",
            "hinge.steps.length hinge.steps.depth hinge.steps.width hinge.steps.corner hinge.steps.shift",
            "hinge.screws.along hinge.screws.across hinge.screws.gauge hinge.screws.diameter hinge.screws.length",
            "placement.count placement.inset placement.centres",
            "pilot.bit pilot.depth",
            "fit.clearance fit.under fit.gap fit.box_share fit.finish fit.min_left",
            "fit.box_u fit.box_v fit.lid_u fit.lid_v",
            "fixture.layout fixture.divider fixture.lid_rise fixture.zero fixture.machine_zero fixture.clamps",
            "fixture.divider_height fixture.fence_height fixture.box_base fixture.lid_base",
            "fixture.positions.hinges fixture.positions.mark fixture.positions.far_stop fixture.positions.box_u",
            "fixture.positions.lid_u fixture.block_length fixture.block_height",
            "fixture.clamps.name fixture.clamps.min fixture.clamps.max fixture.clamps.height",
        ],
    ),
    (
        "machine",
        &[
            "name units travel feed_max rapid accel clearance daylight",
            "nut.diameter nut.length nose.diameter",
            "spindle.rpm spindle.power_w spindle.spin_up_s spindle.control",
            "dialect.units dialect.decimals dialect.arcs dialect.comments dialect.line_numbers",
            "dialect.line_limit dialect.percent dialect.dwell dialect.tool_change dialect.rezero_at_pause",
            "dialect.safe_z dialect.end dialect.dust",
        ],
    ),
    (
        "bits",
        &[
            "units",
            "bit.name bit.kind bit.diameter bit.measured bit.flutes bit.cutting_length bit.stickout bit.shank",
            "bit.material bit.plunges bit.point_angle bit.wear bit.stepdown bit.ramp_deg bit.chip_min",
            "bit.chip_max bit.stepover bit.tool bit.rpm_max bit.cut_m bit.wear_at_m",
        ],
    ),
];

#[test]
fn every_promised_key_is_in_the_schema_with_a_description() {
    let workshop = Workshop::new();
    for (kind, lists) in KEYS {
        let schema = workshop.run(&["schema", kind]).expect(0).json();
        let mut described = BTreeSet::new();
        gather(&schema, "", &mut described);
        for key in lists.iter().flat_map(|list| list.split(' ')) {
            assert!(
                described.contains(key),
                "{kind}: `{key}` is not described in {described:?}"
            );
        }
    }
}

/// Dotted paths of all properties that have a description.
fn gather(schema: &Value, path: &str, described: &mut BTreeSet<String>) {
    for (name, property) in schema["properties"].as_object().into_iter().flatten() {
        let path = if path.is_empty() {
            name.clone()
        } else {
            format!("{path}.{name}")
        };
        let words = property["description"].as_str().unwrap_or_default();
        if words.len() > 3 {
            described.insert(path.clone());
        }
        gather(property, &path, described);
    }
    for inner in ["items", "anyOf", "oneOf"] {
        match &schema[inner] {
            Value::Array(choices) => choices
                .iter()
                .for_each(|choice| gather(choice, path, described)),
            other => gather_object(other, path, described),
        }
    }
}

fn gather_object(schema: &Value, path: &str, described: &mut BTreeSet<String>) {
    if schema.is_object() {
        gather(schema, path, described);
    }
}

fn commands(workshop: &Workshop) -> Vec<String> {
    let help = workshop.run(&["--help"]).expect(0).stdout;
    let listed = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let names = listed.take_while(|line| !line.is_empty());
    // Words of a wrapped description are indented further than a name.
    let names = names.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let first = |line: &str| {
        line.split_whitespace()
            .next()
            .unwrap_or_default()
            .to_owned()
    };
    names.map(first).filter(|name| name != "help").collect()
}

#[test]
fn the_readme_names_every_command_and_no_other() {
    let workshop = Workshop::new();
    let readme = fs::read_to_string(shipped("README.md")).unwrap();
    let table = readme
        .lines()
        .filter(|line| line.starts_with("| `stepwell "));
    let named: BTreeSet<String> = table
        .flat_map(|line| line.split("`stepwell ").skip(1))
        .map(|rest| rest.split([' ', '`']).next().unwrap_or_default().to_owned())
        .collect();
    let known: BTreeSet<String> = commands(&workshop).into_iter().collect();
    assert_eq!(named, known);
}

#[test]
fn every_flag_in_the_readme_is_one_that_some_command_takes() {
    let workshop = Workshop::new();
    let readme = fs::read_to_string(shipped("README.md")).unwrap();
    let help: String = commands(&workshop)
        .iter()
        .map(|name| workshop.run(&[name, "--help"]).expect(0).stdout)
        .collect();
    let known = flags(&help);
    for flag in flags(&readme) {
        // Cargo's own.
        assert!(
            known.contains(&flag) || ["--release", "--path"].contains(&flag.as_str()),
            "{flag}"
        );
    }
}

fn flags(text: &str) -> BTreeSet<String> {
    let words = text.split(|letter: char| !(letter.is_ascii_lowercase() || letter == '-'));
    let long =
        words.filter(|word| word.len() > 3 && word.starts_with("--") && !word.starts_with("---"));
    long.map(str::to_owned).collect()
}

#[test]
fn help_reads_like_this() {
    let workshop = Workshop::new();
    let mut text = workshop.run(&["--help"]).expect(0).stdout;
    for command in commands(&workshop) {
        let help = workshop.run(&[&command, "--help"]).expect(0).stdout;
        assert!(help.contains("Examples:"), "{command} has no example");
        text.push_str(&format!("\n======== {command}\n{help}"));
    }
    insta::assert_snapshot!(text);
}

#[test]
fn completions_and_man_pages_know_every_command() {
    let workshop = Workshop::new();
    let completions = workshop.run(&["completions", "bash"]).expect(0).stdout;
    workshop.run(&["man", "man"]).expect(0);
    let pages = workshop.list("man");
    for command in commands(&workshop) {
        assert!(completions.contains(&command), "{command}");
        assert!(
            pages.contains(&format!("stepwell-{command}.1")),
            "{command} in {pages:?}"
        );
    }
    let page = workshop.read("man/stepwell-generate.1");
    assert!(
        page.contains(".TH stepwell-generate") && page.contains("force"),
        "{page}"
    );
}

#[test]
fn the_starter_job_generates_as_it_stands() {
    let workshop = Workshop::new();
    workshop.run(&["init", "my-box.toml"]).expect(0);
    workshop
        .run(&["generate", "my-box.toml", "-o", "out"])
        .expect(0);
    // Written once, never over somebody's figures.
    workshop.run(&["init", "my-box.toml"]).expect(2);
}
