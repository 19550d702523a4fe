//! What people read, through the program.

use crate::harness::{Workshop, examples};

/// Whether a figure of `unit` stands in the text outside parentheses and names.
fn has_figure(text: &str, unit: &str) -> bool {
    let outside: String = text.split('`').step_by(2).collect();
    let outside: String = outside.split(['(', ')']).step_by(2).collect();
    outside
        .split_whitespace()
        .collect::<Vec<_>>()
        .windows(2)
        .any(|pair| {
            let number = pair[0]
                .trim_start_matches(['+', '-', 'Z'])
                .parse::<f64>()
                .is_ok();
            let word = pair[1].trim_end_matches([',', ';', ':', '.']);
            number
                && (word == unit
                    || word
                        .strip_prefix(unit)
                        .is_some_and(|rest| rest.starts_with('/')))
        })
}

#[test]
fn every_report_obeys_the_unit_asked_for() {
    let workshop = Workshop::new();
    // The rack's names have units of their own.
    let rack = workshop.read("machines/bits.toml");
    let names = rack.lines().filter(|line| line.starts_with("name"));
    let names: Vec<&str> = names.filter_map(|line| line.split('"').nth(1)).collect();
    assert!(names.len() > 3);
    for (units, other) in [("mm", "in"), ("in", "mm")] {
        for example in examples() {
            let run = workshop.run(&["generate", &example, "-o", "out", "--units", units]);
            let said = run.expect(0).stdout;
            let said = names.iter().fold(said, |said, name| said.replace(name, ""));
            // The table shows sixty-fourths of an inch beside either unit.
            for line in said.lines().skip_while(|line| !line.starts_with("out/")) {
                assert!(!has_figure(line, other), "{example} in {units}: {line}");
            }
            assert!(has_figure(&said, units), "{said}");
            assert!(!said.contains(" in in "), "{said}");
        }
        workshop.vary(
            "examples/tea-box.toml",
            "examples/thin.toml",
            &[("thickness = 18", "thickness = 12")],
        );
        let run = workshop.run(&[
            "generate",
            "examples/thin.toml",
            "-o",
            "out",
            "--units",
            units,
        ]);
        let said = run.expect(1).stdout;
        let found = said
            .lines()
            .find(|line| line.contains("cuts through the lid"))
            .unwrap();
        assert!(
            has_figure(found, units) && !has_figure(found, other),
            "{found}"
        );
    }
}

#[test]
fn the_unit_that_people_read_changes_no_program() {
    let workshop = Workshop::new();
    for units in ["mm", "in"] {
        let arguments = [
            "generate",
            "examples/tea-box.toml",
            "-o",
            units,
            "--units",
            units,
        ];
        workshop.run(&arguments).expect(0);
    }
    assert_eq!(
        workshop.read("mm/tea-box.nc"),
        workshop.read("in/tea-box.nc")
    );
}

#[test]
fn what_is_refused_stands_before_what_is_only_worth_a_look() {
    let workshop = Workshop::new();
    workshop.vary(
        "examples/tea-box.toml",
        "examples/thin.toml",
        &[
            ("thickness = 18", "thickness = 12"),
            ("wall   = 18 ", "wall   = 15 "),
        ],
    );
    let run = workshop.run(&["generate", "examples/thin.toml", "-o", "out"]);
    let said = run.expect(1).stdout;
    let place = |word: &str| {
        said.find(word)
            .unwrap_or_else(|| panic!("no {word} in {said}"))
    };
    assert!(
        place("FAILED floor-left") < place("warning wall-left"),
        "{said}"
    );
}

// The box of walnut is not cut: nothing is said of it, and nothing twice.
#[test]
fn notes_are_told_once_and_only_of_what_is_cut() {
    let workshop = Workshop::new();
    let said = workshop
        .run(&["generate", "examples/tea-box.toml", "-o", "out"])
        .expect(0)
        .stdout;
    let notes: Vec<&str> = said
        .lines()
        .filter(|line| line.starts_with("note: "))
        .collect();
    assert_eq!(notes.len(), 1, "{said}");
    assert!(
        notes[0].starts_with("note: box and lid: across the pocket"),
        "{said}"
    );
    let arguments = [
        "generate",
        "examples/tea-box.toml",
        "-o",
        "out",
        "--part",
        "lid",
    ];
    let said = workshop.run(&arguments).expect(0).stdout;
    assert!(
        said.contains("note: lid: across the pocket") && !said.contains("box:"),
        "{said}"
    );
    let arguments = [
        "simulate",
        "out/tea-box.nc",
        "--job",
        "examples/tea-box.toml",
        "--part",
        "box",
    ];
    let said = workshop.run(&arguments).expect(1).stdout;
    assert!(
        said.contains("note: box: across the pocket") && !said.contains("lid: across"),
        "{said}"
    );
}
