//! The test piece, through the program.

use crate::harness::{Workshop, examples, stem};

const SCRAP: [&str; 6] = [
    "--length",
    "160 mm",
    "--width",
    "110 mm",
    "--thickness",
    "19 mm",
];

/// The program of a job's test piece in a scrap that is large enough.
pub(crate) fn program(workshop: &Workshop, job: &str, folder: &str) -> String {
    let mut arguments = vec!["test-piece", job, "-o", folder];
    arguments.extend(SCRAP);
    workshop.run(&arguments).expect(0);
    workshop.read(&format!("{folder}/{}-test-piece.nc", stem(job)))
}

#[test]
fn every_example_has_a_test_piece_with_five_pockets_and_fifteen_ticks() {
    let workshop = Workshop::new();
    for example in examples() {
        let program = program(&workshop, &example, "out");
        assert_eq!(program.matches("(scrap mark)").count(), 15, "{example}");
        for pocket in 1..=5 {
            assert!(
                program.contains(&format!("(scrap pocket {pocket})")),
                "{example}"
            );
        }
    }
}

#[test]
fn a_scrap_too_small_is_told_how_large_it_must_be_and_nothing_is_written() {
    let workshop = Workshop::new();
    let job = "examples/tea-box.toml";
    let small = ["--length", "50", "--width", "50", "--thickness", "10"];
    let mut arguments = vec!["test-piece", job, "-o", "out", "--format", "json"];
    arguments.extend(small);
    let errors = workshop.run(&arguments).expect(2).json();
    let message = errors["errors"][0]["message"].as_str().unwrap();
    assert_eq!(errors["errors"][0]["code"], "scrap-too-small");
    assert!(
        message.contains("needs 95 mm long, 75 mm wide, 17 mm thick"),
        "{message}"
    );
    assert!(workshop.list("out").is_empty());
    let large = ["--length", "95", "--width", "75", "--thickness", "17"];
    let mut arguments = vec!["test-piece", job, "-o", "out"];
    arguments.extend(large);
    workshop.run(&arguments).expect(0);
}

#[test]
fn sizes_and_series_that_are_none_are_refused() {
    let workshop = Workshop::new();
    for extra in [
        ["--pockets", "4"],
        ["--pockets", "10"],
        ["--step", "0"],
        ["--step", "3 mm"],
        ["--depth-step", "x"],
    ] {
        let mut arguments = vec!["test-piece", "examples/tea-box.toml", "-o", "out"];
        arguments.extend(SCRAP);
        arguments.extend(extra);
        workshop.run(&arguments).expect(2);
    }
    let arguments = [
        "test-piece",
        "examples/tea-box.toml",
        "-o",
        "out",
        "--length",
        "160",
    ];
    workshop.run(&arguments).expect(2);
    assert!(workshop.list("out").is_empty());
}
