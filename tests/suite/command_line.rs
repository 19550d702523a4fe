//! The outside as users meet it: commands, files, exit codes, report.

use std::fs;
use std::process::Stdio;

use crate::harness::{Workshop, examples, stem};

const ALL_CHECKS: [&str; 28] = [
    "syntax",
    "dialect",
    "preamble",
    "spindle-on",
    "rapid-in-wood",
    "travel-height",
    "pocket-bounds",
    "pocket-complete",
    "stepdown",
    "plunge",
    "ramp-angle",
    "feed-limit",
    "spindle-limit",
    "chip-load",
    "bit-speed",
    "edge-wear",
    "chip-room",
    "spindle-power",
    "deflection",
    "flute-reach",
    "nut-clearance",
    "clamp-clearance",
    "envelope",
    "wall-left",
    "floor-left",
    "fold-match",
    "opening",
    "program-end",
];

#[test]
fn every_example_is_generated_and_passes_every_check() {
    let workshop = Workshop::new();
    for example in examples() {
        let run = workshop
            .run(&["generate", &example, "-o", "out", "--format", "json"])
            .expect(0);
        let report = run.json();
        let ids: Vec<&str> = report["checks"]
            .as_array()
            .unwrap()
            .iter()
            .map(|check| check["id"].as_str().unwrap())
            .collect();
        assert_eq!(ids, ALL_CHECKS);
        for check in report["checks"].as_array().unwrap() {
            assert!(
                ["pass", "warn", "none"].contains(&check["verdict"].as_str().unwrap()),
                "{example}: {check}"
            );
            assert!(!check["message"].as_str().unwrap().is_empty(), "{check}");
        }
        for pocket in report["pockets"].as_array().unwrap() {
            assert!(pocket["gouge_mm"].as_f64().unwrap() <= 0.02, "{pocket}");
            assert!(pocket["residual_mm"].as_f64().unwrap() <= 0.02, "{pocket}");
        }
        let names = workshop.list("out");
        for wanted in [
            format!("{}.nc", stem(&example)),
            format!("{}.html", stem(&example)),
        ] {
            assert!(names.contains(&wanted), "{wanted} in {names:?}");
        }
    }
}

#[test]
fn a_generated_program_simulates_to_the_same_report() {
    let workshop = Workshop::new();
    for example in examples() {
        let generated = workshop
            .run(&["generate", &example, "-o", "out", "--format", "json"])
            .expect(0)
            .json();
        let paths: Vec<String> = generated["programs"]
            .as_array()
            .unwrap()
            .iter()
            .map(|program| program["path"].as_str().unwrap().to_owned())
            .collect();
        let mut arguments = vec!["simulate"];
        arguments.extend(paths.iter().map(String::as_str));
        arguments.extend(["--job", &example, "--format", "json"]);
        let bits: Vec<String> = generated["programs"]
            .as_array()
            .unwrap()
            .iter()
            .map(|program| program["bit"].as_str().unwrap().to_owned())
            .collect();
        for bit in &bits {
            arguments.extend(["--bit", bit]);
        }
        let simulated = workshop.run(&arguments).expect(0).json();
        assert_eq!(simulated, generated, "{example}");
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let workshop = Workshop::new();
    for example in examples() {
        workshop
            .run(&["generate", &example, "-o", "first"])
            .expect(0);
        workshop
            .run(&["generate", &example, "-o", "second"])
            .expect(0);
        for name in workshop.list("first") {
            if name.ends_with(".nc") {
                assert_eq!(
                    workshop.read(&format!("first/{name}")),
                    workshop.read(&format!("second/{name}"))
                );
            }
        }
    }
}

#[test]
fn the_digest_in_the_report_is_that_of_the_file() {
    use sha2::{Digest, Sha256};
    let workshop = Workshop::new();
    let example = &examples()[0];
    let report = workshop
        .run(&["generate", example, "-o", "out", "--format", "json"])
        .expect(0)
        .json();
    for program in report["programs"].as_array().unwrap() {
        let bytes = fs::read(workshop.path(program["path"].as_str().unwrap())).unwrap();
        let digest: String = Sha256::digest(&bytes)
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect();
        assert_eq!(program["sha256"], digest);
        assert_eq!(program["bytes"], bytes.len());
    }
}

#[test]
fn a_program_comes_in_by_standard_input_too() {
    let workshop = Workshop::new();
    let example = &examples()[0];
    workshop.run(&["generate", example, "-o", "out"]).expect(0);
    let program = fs::read(workshop.path(&format!("out/{}.nc", stem(example)))).unwrap();
    workshop
        .run_with_input(&["simulate", "-", "--job", example], &program)
        .expect(0);
    let machines = workshop.list("machines");
    let machine = machines.iter().find(|name| name.contains("mm")).unwrap();
    let machine = format!("machines/{machine}");
    let run = workshop.run_with_input(
        &["simulate", "-", "--machine", &machine, "--format", "json"],
        &program,
    );
    let report = run.expect(0).json();
    assert!(report["programs"][0]["seconds"].as_f64().unwrap() > 0.0);
    assert!(report.get("pockets").is_none());
}

#[test]
fn a_program_that_is_no_program_fails_the_syntax_check() {
    let workshop = Workshop::new();
    let example = &examples()[0];
    for text in [
        "",
        "hello\n",
        "G0 X\u{e9}1\nM30\n",
        "G81 X1 Y1 Z-1 R1\nM30\n",
    ] {
        workshop.write("bad.nc", text);
        let run = workshop
            .run(&["simulate", "bad.nc", "--job", example, "--format", "json"])
            .expect(1);
        assert_eq!(run.verdict("syntax"), "fail", "{text:?}");
        assert!(run.stderr.contains("syntax"), "{}", run.stderr);
    }
}

#[test]
fn what_cannot_be_opened_is_the_command_lines_mistake() {
    let workshop = Workshop::new();
    let example = &examples()[0];
    fs::create_dir(workshop.path("folder")).unwrap();
    workshop.write("empty.toml", "");
    workshop.write("large.toml", &"# \n".repeat(400_000));
    fs::write(workshop.path("latin.toml"), b"title = \"caf\xe9\"").unwrap();
    for arguments in [
        vec!["generate", "none.toml", "-o", "out"],
        vec!["generate", "folder", "-o", "out"],
        vec!["generate", "empty.toml", "-o", "out"],
        vec!["generate", "large.toml", "-o", "out"],
        vec!["generate", "latin.toml", "-o", "out"],
        vec!["generate", example, "-o", "empty.toml/out"],
        vec!["generate", example, "-o", "out", "--bit", "no such bit"],
        vec!["generate", example, "-o", "out", "--wear", "1.5"],
        vec!["generate", example, "-o", "out", "--wear", "NaN"],
        vec!["generate", example, "-o", "out", "--hinge", "9"],
        vec!["generate", example, "-o", "out", "--step", "0"],
        vec!["simulate", "none.nc", "--job", example],
        vec!["simulate", "folder", "--job", example],
        vec!["simulate", "none.nc"],
        vec!["nonsense"],
    ] {
        let run = workshop.run(&arguments).expect(2);
        assert!(run.stdout.is_empty(), "{arguments:?}: {}", run.stdout);
        assert!(!run.stderr.is_empty(), "{arguments:?}");
        let mut arguments = arguments;
        arguments.extend(["--format", "json"]);
        let errors = workshop.run(&arguments).expect(2).json();
        let error = &errors["errors"][0];
        for key in ["code", "message", "file", "line", "column", "length"] {
            assert!(error.get(key).is_some(), "{arguments:?}: {errors}");
        }
        assert!(
            workshop.list("out").is_empty(),
            "{arguments:?} wrote {:?}",
            workshop.list("out")
        );
    }
}

#[test]
fn a_job_that_fails_a_check_writes_nothing_unless_forced() {
    let workshop = Workshop::new();
    let (example, key) = ("examples/tea-box.toml", "thickness");
    let text = workshop.read(example);
    let line = text
        .lines()
        .find(|line| line.trim_start().starts_with(key))
        .unwrap()
        .to_owned();
    workshop.vary(
        example,
        "examples/thin.toml",
        &[(&line, "thickness = \"6 mm\"")],
    );
    let run = workshop
        .run(&[
            "generate",
            "examples/thin.toml",
            "-o",
            "out",
            "--format",
            "json",
        ])
        .expect(1);
    assert_eq!(run.verdict("floor-left"), "fail");
    assert!(run.stderr.contains("floor-left"), "{}", run.stderr);
    assert!(workshop.list("out").is_empty());

    let run = workshop
        .run(&["generate", "examples/thin.toml", "-o", "out", "--force"])
        .expect(1);
    assert!(run.stderr.contains("floor-left"));
    assert_eq!(
        workshop.list("out"),
        ["thin-pilot.nc", "thin.html", "thin.nc"]
    );
    let program = workshop.read("out/thin.nc");
    let head: String = program.lines().take(12).collect();
    assert!(head.contains("floor-left"), "{head}");
    assert!(workshop.read("out/thin.html").contains("floor-left"));
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let workshop = Workshop::new();
    let mut child = workshop
        .command(&["generate", &examples()[0], "-o", "out", "--format", "json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    assert!(
        output.stderr.is_empty(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
}

#[test]
fn help_names_every_command_with_an_example() {
    let workshop = Workshop::new();
    let help = workshop.run(&["--help"]).expect(0).stdout;
    for command in ["generate", "simulate"] {
        assert!(help.contains(command));
        let own = workshop.run(&[command, "--help"]).expect(0).stdout;
        assert!(own.contains("Examples:"), "{own}");
        assert!(own.contains(&format!("stepwell {command}")), "{own}");
    }
}

#[test]
fn people_read_the_distance_in_their_unit_and_as_a_fraction() {
    let workshop = Workshop::new();
    let example = "examples/tea-box.toml";
    let metric = workshop
        .run(&["generate", example, "-o", "out", "--units", "mm"])
        .expect(0)
        .stdout;
    assert!(
        metric.contains("8.50") && metric.contains("21/64 in +0.17 mm"),
        "{metric}"
    );
    let inch = workshop
        .run(&["generate", example, "-o", "out", "--units", "in"])
        .expect(0)
        .stdout;
    assert!(
        inch.contains("0.3346") && inch.contains("21/64 in +0.0065 in"),
        "{inch}"
    );
}
