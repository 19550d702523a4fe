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
    // A finding is printed once.
    let found = "lid pocket 1 cuts through the lid by 0.40 mm";
    assert_eq!(said.matches(found).count(), 1, "{said}");
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
        .filter(|line| line.starts_with("note: ") && line.contains(": across the pocket"))
        .collect();
    assert_eq!(notes.len(), 2, "{said}");
    assert!(
        notes[0].starts_with("note: box: across the pocket"),
        "{said}"
    );
    assert!(
        notes[1].starts_with("note: lid: across the pocket"),
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

/// The errors that a command line gives as JSON, each with its six keys.
#[track_caller]
fn errors(workshop: &Workshop, arguments: &[&str]) -> Vec<serde_json::Value> {
    let mut arguments = arguments.to_vec();
    arguments.extend(["--format", "json"]);
    let report = workshop.run(&arguments).expect(2).json();
    let errors = report["errors"].as_array().unwrap().clone();
    for error in &errors {
        for key in ["code", "message", "file", "line", "column", "length"] {
            assert!(error.get(key).is_some(), "{key} in {error}");
        }
        assert!(error["message"].as_str().unwrap().len() > 10, "{error}");
    }
    errors
}

#[test]
fn a_file_that_is_no_spec_is_named_with_what_it_is() {
    let workshop = Workshop::new();
    let text = workshop.read("examples/tea-box.toml");
    let wide: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    std::fs::write(workshop.path("examples/wide.toml"), wide).unwrap();
    let latin: Vec<u8> = text
        .replace("Tea", "T\u{e9}a")
        .chars()
        .map(|letter| letter as u8)
        .collect();
    std::fs::write(workshop.path("examples/latin.toml"), latin).unwrap();
    let found = errors(&workshop, &["generate", "examples/wide.toml"]);
    assert_eq!(
        (&found[0]["code"], &found[0]["file"]),
        (&"not-utf8".into(), &"examples/wide.toml".into())
    );
    assert!(
        found[0]["message"].as_str().unwrap().contains("UTF-16"),
        "{found:?}"
    );
    let found = errors(&workshop, &["generate", "examples/latin.toml"]);
    let line = 1 + text
        .lines()
        .position(|line| line.contains("Tea box\""))
        .unwrap();
    assert_eq!(
        (&found[0]["line"], &found[0]["column"]),
        (&line.into(), &13.into()),
        "{found:?}"
    );
    for (job, wanted) in [
        ("machines/bits.toml", "a bits file"),
        ("machines/benchtop-mm.toml", "a machine file"),
    ] {
        let found = errors(&workshop, &["generate", job]);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(
            found[0]["message"].as_str().unwrap().contains(wanted),
            "{found:?}"
        );
        assert_eq!(found[0]["file"], job);
    }
    // Line ends of Windows and a byte order mark are nobody's mistake.
    let text = text.replace('\n', "\r\n");
    workshop.write("examples/windows.toml", &format!("\u{feff}{text}"));
    workshop
        .run(&["generate", "examples/windows.toml", "-o", "out"])
        .expect(0);
}

#[test]
fn a_path_that_leads_nowhere_is_told_with_what_is_there() {
    let workshop = Workshop::new();
    let found = errors(&workshop, &["generate", "examples/teabox.toml"]);
    assert_eq!(found[0]["file"], "examples/teabox.toml");
    assert!(
        found[0]["message"]
            .as_str()
            .unwrap()
            .contains("`tea-box.toml`"),
        "{found:?}"
    );
    let found = errors(&workshop, &["generate", "examples"]);
    assert!(
        found[0]["message"]
            .as_str()
            .unwrap()
            .contains("`tea-box.toml`"),
        "{found:?}"
    );
    workshop.vary(
        "examples/tea-box.toml",
        "examples/lost.toml",
        &[("../machines/bits.toml", "../machines/bitts.toml")],
    );
    let found = errors(&workshop, &["generate", "examples/lost.toml"]);
    let message = found[0]["message"].as_str().unwrap();
    assert!(
        message.contains("count from the folder") && message.contains("`bits.toml`"),
        "{message}"
    );
    assert_eq!(found[0]["file"], "examples/lost.toml");
    let found = errors(
        &workshop,
        &[
            "generate",
            "examples/tea-box.toml",
            "-o",
            "examples/tea-box.toml",
        ],
    );
    assert_eq!(found[0]["code"], "unwritable");
    assert!(
        found[0]["file"]
            .as_str()
            .unwrap()
            .starts_with("examples/tea-box.toml/"),
        "{found:?}"
    );
}

#[test]
fn slips_on_the_command_line_are_told_in_words() {
    let workshop = Workshop::new();
    let job = "examples/tea-box.toml";
    for (arguments, words) in [
        (
            vec!["generate", job, "--hinge", "-1"],
            "a whole number from 1",
        ),
        (
            vec!["generate", job, "--step", "two"],
            "a whole number from 1",
        ),
        (vec!["generate", job, "--part", "Lid"], "box, lid, both"),
        (vec!["generate", job, "--prat", "lid"], "--part"),
        (vec!["generate"], "<JOB.toml>"),
        (
            vec!["fit", job, "--cut", "box.nc", "--gap", "--dry"],
            "write the figure after --gap",
        ),
        (
            vec!["fit", job, "--cut", "box.nc", "--gap", "0,3 mm"],
            "write \"0.3 mm\"",
        ),
        (vec!["test-piece", job, "--length", "150"], "--width"),
    ] {
        let found = errors(&workshop, &arguments);
        let message = found[0]["message"].as_str().unwrap();
        assert!(message.contains(words), "{arguments:?}: {message}");
    }
    let inch = "examples/recipe-box.toml";
    let arguments = [
        "test-piece",
        inch,
        "--length",
        "150",
        "--width",
        "100",
        "--thickness",
        "20",
    ];
    let found = errors(&workshop, &arguments);
    assert_eq!(found.len(), 3, "{found:?}");
    assert!(
        found[0]["message"]
            .as_str()
            .unwrap()
            .contains("write --length 150mm"),
        "{found:?}"
    );
}
