//! A part, a hinge or a step alone: re-cut or resumed from the same zero.

use crate::harness::{Workshop, examples, stem};

#[test]
fn every_part_hinge_and_step_alone_passes_its_checks_under_a_name_of_its_own() {
    let workshop = Workshop::new();
    for example in examples() {
        let stem = stem(&example);
        for (options, name) in [
            (vec!["--part", "box"], "-box"),
            (vec!["--part", "lid", "--hinge", "2"], "-lid-h2"),
            (vec!["--hinge", "1", "--step", "2"], "-h1-s2"),
        ] {
            let mut arguments = vec!["generate", &example, "-o", "out", "--format", "json"];
            arguments.extend(options);
            let report = workshop.run(&arguments).expect(0).json();
            let program = format!("{stem}{name}.nc");
            assert!(workshop.list("out").contains(&program), "{program}");
            assert!(!workshop.list("out").contains(&format!("{stem}.nc")));
            let pockets = report["pockets"].as_array().unwrap();
            assert!(!pockets.is_empty(), "{program}");
        }
    }
}

// The deep step of tea-box starts from the leaf's floor at 4.7 mm, which counts
// as cut already, so no feed move ends above it.
#[test]
fn a_step_alone_starts_from_the_floor_above_it() {
    let workshop = Workshop::new();
    let arguments = [
        "generate",
        "examples/tea-box.toml",
        "-o",
        "out",
        "--step",
        "2",
    ];
    workshop.run(&arguments).expect(0);
    let program = workshop.read("out/tea-box-s2.nc");
    let depths: Vec<f64> = program
        .lines()
        .filter(|line| line.starts_with("G1") || line.starts_with("G3") || line.starts_with("G2"))
        .flat_map(|line| line.split_whitespace())
        .filter_map(|word| word.strip_prefix('Z')?.parse().ok())
        .collect();
    let deepest = depths.iter().copied().fold(0.0, f64::min);
    assert!((deepest + 12.4).abs() < 1e-9, "{deepest}");
    assert!(
        depths.iter().all(|depth| *depth <= -4.7 + 1e-9),
        "{depths:?}"
    );
}

#[test]
fn a_selection_that_is_not_there_says_what_there_is() {
    let workshop = Workshop::new();
    for (option, words) in [
        ("--hinge", "allowed is from 1 to 2"),
        ("--step", "allowed is from 1 to 2"),
    ] {
        let arguments = [
            "generate",
            "examples/tea-box.toml",
            "-o",
            "out",
            option,
            "3",
        ];
        let run = workshop.run(&arguments).expect(2);
        assert!(run.stderr.contains(words), "{}", run.stderr);
        assert!(workshop.list("out").is_empty());
    }
}
