//! The library as a stranger meets it: the front door, and what it brings along.

use std::process::Command;

use stepwell::{Job, generate};

use crate::harness::{Workshop, examples, shipped};

#[test]
fn the_front_door_gives_what_the_command_line_writes() {
    let workshop = Workshop::new();
    for example in examples() {
        workshop.run(&["generate", &example, "-o", "out"]).expect(0);
        let job = Job::read(workshop.path(&example)).unwrap();
        let proof = generate(&job).unwrap();
        assert!(proof.passed(), "{example}");
        assert!(!proof.programs().is_empty());
        for check in proof.checks() {
            assert!(!check.id().is_empty() && !check.message().is_empty());
        }
        for program in proof.programs() {
            let written = workshop.read(&format!("out/{}", program.file_name()));
            assert_eq!(program.text(), written, "{example}");
        }
    }
}

#[test]
fn all_mistakes_of_all_files_are_one_error() {
    let workshop = Workshop::new();
    let wrong = [
        ("wall   = 18", "wall   = -18"),
        ("height = 90", "heigth = 90"),
    ];
    workshop.vary("examples/tea-box.toml", "examples/wrong.toml", &wrong);
    let error: Box<dyn std::error::Error> = Job::read(workshop.path("examples/wrong.toml"))
        .unwrap_err()
        .into();
    let said = error.to_string();
    assert!(said.lines().count() >= 2, "{said}");
    assert!(
        said.contains("wrong.toml:12:") && said.contains("heigth"),
        "{said}"
    );
    let missing = Job::read(workshop.path("examples/none.toml")).unwrap_err();
    assert_eq!(missing[0].code, "unreadable");
}

#[test]
fn without_its_default_features_it_knows_no_terminal_and_no_server() {
    let tree = |features: &[&str]| {
        let output = Command::new(env!("CARGO"))
            .args([
                "tree",
                "--offline",
                "--locked",
                "--edges",
                "normal",
                "--prefix",
                "none",
            ])
            .args(features)
            .current_dir(shipped("."))
            .output()
            .unwrap();
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        String::from_utf8(output.stdout).unwrap()
    };
    const EDGE: [&str; 9] = [
        "clap ",
        "anstream ",
        "annotate-snippets ",
        "indicatif ",
        "crossterm ",
        "comfy-table ",
        "axum ",
        "tokio ",
        "hyper ",
    ];
    let (alone, whole) = (tree(&["--no-default-features"]), tree(&[]));
    for name in EDGE {
        assert!(!alone.contains(name), "the library alone brings {name}");
        assert!(
            whole.contains(name),
            "command line and page have no {name} any more"
        );
    }
}
