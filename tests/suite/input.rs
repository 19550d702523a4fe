//! Spec files, through the program: mistakes with their place, the starter
//! job, the schemas.

use crate::harness::{Workshop, flowed};

#[test]
fn mistakes_of_all_three_files_carry_file_line_and_column() {
    let workshop = Workshop::new();
    workshop.vary(
        "examples/tea-box.toml",
        "examples/bad.toml",
        &[
            ("wall   = 18 ", "wall   = '1/0 in'"),
            ("layout ", "lay_out "),
        ],
    );
    let run = workshop.run(&["generate", "examples/bad.toml", "--format", "json"]);
    let errors = run.expect(2).json();
    let errors = errors["errors"].as_array().unwrap();
    let text = workshop.read("examples/bad.toml");
    let line_of = |word: &str| 1 + text.lines().position(|line| line.contains(word)).unwrap();
    let wall = errors
        .iter()
        .find(|error| error["code"] == "bad-length")
        .unwrap();
    assert_eq!(wall["file"], "examples/bad.toml");
    assert_eq!(wall["line"], line_of("1/0 in"));
    assert_eq!((&wall["column"], &wall["length"]), (&10.into(), &8.into()));
    assert!(errors.iter().any(|error| error["code"] == "unknown-key"
        && error["line"] == line_of("lay_out")
        && error["message"].as_str().unwrap().contains("`layout`")));
    assert!(errors.iter().any(|error| error["code"] == "missing-key"));

    workshop.vary(
        "machines/benchtop-mm.toml",
        "machines/benchtop-mm.toml",
        &[("[8000, 24000]", "[24000, 8000]")],
    );
    workshop.vary(
        "machines/bits.toml",
        "machines/bits.toml",
        &[("flutes = 2", "flutes = 0")],
    );
    let run = workshop.run(&["generate", "examples/tea-box.toml", "--format", "json"]);
    let errors = run.expect(2).json();
    let codes: Vec<&str> = errors["errors"]
        .as_array()
        .unwrap()
        .iter()
        .map(|error| error["code"].as_str().unwrap())
        .collect();
    assert_eq!(codes, ["reversed-range", "out-of-range"]);
}

#[test]
fn the_starter_job_generates_as_it_stands() {
    let workshop = Workshop::new();
    workshop.run(&["init", "jobs/mine.toml"]).expect(0);
    assert!(
        workshop
            .read("jobs/mine.toml")
            .starts_with("#:schema job.schema.json")
    );
    workshop
        .run(&["generate", "jobs/mine.toml", "-o", "out"])
        .expect(0);
    let text = workshop.read("jobs/mine.toml");
    workshop.run(&["init", "jobs/mine.toml"]).expect(2);
    assert_eq!(workshop.read("jobs/mine.toml"), text);
    workshop.run(&["init", "far/deep/mine.toml"]).expect(0);
    let text = workshop.read("far/deep/mine.toml");
    assert!(text.contains("\"../../machines/bits.toml\""), "{text}");
    // Far from what was shipped machine and bits come along.
    let bare = Workshop::new();
    std::fs::remove_dir_all(bare.path("machines")).unwrap();
    let words = bare.run(&["init", "mine.toml"]).expect(0).stderr;
    let words = flowed(&words);
    assert!(
        words.contains("machines/benchtop-mm.toml and machines/bits.toml written too"),
        "{words}"
    );
    bare.run(&["generate", "mine.toml", "-o", "out"]).expect(0);
    bare.write("shop/bits.toml", "mine");
    let arguments = [
        "--machine",
        "shop/my router.toml",
        "--bits",
        "shop/bits.toml",
    ];
    let words = bare
        .run(&[&["init", "jobs/other.toml"], arguments.as_slice()].concat())
        .expect(0)
        .stderr;
    assert!(words.contains("put your own figures"), "{words}");
    assert_eq!(bare.read("shop/bits.toml"), "mine");
    let text = bare.read("jobs/other.toml");
    assert!(text.contains("\"../shop/my router.toml\""), "{text}");
    std::fs::copy(bare.path("machines/bits.toml"), bare.path("shop/bits.toml")).unwrap();
    bare.run(&["generate", "jobs/other.toml", "-o", "out"])
        .expect(0);
    let printed = workshop.run(&["init", "-"]).expect(0).stdout;
    assert!(
        printed.contains("their paths count from this file's"),
        "{printed}"
    );
    assert!(printed.contains("[hinge]"));
    workshop.run(&["init"]).expect(0);
    assert!(workshop.list(".").contains(&"job.toml".to_owned()));
}

#[test]
fn each_kind_of_file_has_a_schema_that_names_its_keys() {
    let workshop = Workshop::new();
    for (kind, key) in [("job", "hinge"), ("machine", "dialect"), ("bits", "bit")] {
        let schema = workshop.run(&["schema", kind]).expect(0).json();
        assert!(
            schema["properties"][key]["description"].is_string()
                || schema["properties"][key].is_object()
        );
        assert_eq!(schema["additionalProperties"], false);
        assert_eq!(schema["$schema"], "http://json-schema.org/draft-07/schema#");
    }
    workshop.run(&["schema", "hinge"]).expect(2);
}

#[test]
fn a_machine_file_that_is_not_there_is_shown_at_the_key_that_names_it() {
    let workshop = Workshop::new();
    std::fs::remove_file(workshop.path("machines/bits.toml")).unwrap();
    let run = workshop.run(&["generate", "examples/tea-box.toml", "-o", "out"]);
    let words = run.expect(2).stderr;
    assert!(words.contains("bits    = "), "{words}");
    let words = flowed(&words);
    assert!(words.contains("folder of the job file"), "{words}");
    let run = workshop.run(&["generate", "nosuch.toml", "-o", "out"]);
    let words = run.expect(2).stderr;
    assert!(words.contains("there is no such file"), "{words}");
    assert!(!words.contains("inside a job file"), "{words}");
}

// 2.4 in is 2.4 + 0.12 in into a wall of 5/8 in, 35 mm 40 mm into one of 18.
#[test]
fn a_setback_in_the_other_unit_is_answered_with_the_likely_slip() {
    let workshop = Workshop::new();
    for (job, from, to, words, help) in [
        (
            "examples/recipe-box.toml",
            "setback    = \"3/16 in\"",
            "setback    = 2.4",
            "a setback of 2.4 in puts the middle of the pocket 2.52 in into the box, which is only 0.625 in there",
            "if millimetres were meant, write \"2.4 mm\"",
        ),
        (
            "examples/tea-box.toml",
            "setback    = 3.5",
            "setback    = 35",
            "a setback of 35 mm puts the middle of the pocket 40 mm into the box, which is only 18 mm there",
            "was 3.5 mm meant?",
        ),
        (
            "examples/tea-box.toml",
            "wall   = 18",
            "wall   = 5",
            "a setback of 3.5 mm puts the middle of the pocket 8.5 mm into the box, which is only 5 mm there",
            "lessen `hinge.setback`, or take a thicker board",
        ),
    ] {
        workshop.vary(job, "examples/slip.toml", &[(from, to)]);
        let run = workshop.run(&["generate", "examples/slip.toml", "-o", "out"]);
        let told = flowed(&run.expect(2).stderr);
        assert!(told.contains(words) && told.contains(help), "{told}");
        assert!(workshop.list("out").is_empty());
    }
}

#[test]
fn a_book_has_no_fence_besides_its_divider() {
    let workshop = Workshop::new();
    let fence = ("[fixture]\n", "[fixture]\nfence_height = 30\n");
    workshop.vary("examples/tea-box.toml", "examples/fence.toml", &[fence]);
    let run = workshop.run(&["generate", "examples/fence.toml", "-o", "out"]);
    let told = flowed(&run.expect(2).stderr);
    assert!(
        told.contains("`fixture.fence_height` does not belong here"),
        "{told}"
    );
    assert!(told.contains("write `divider_height`"), "{told}");
}

#[test]
fn standard_output_is_no_folder() {
    let workshop = Workshop::new();
    let piece = ["test-piece", "examples/tea-box.toml", "-o", "-"];
    let scrap = ["--length", "300", "--width", "90", "--thickness", "20"];
    for arguments in [
        ["generate", "examples/tea-box.toml", "-o", "-"].to_vec(),
        [&piece[..], &scrap].concat(),
    ] {
        let run = workshop.run(&arguments).expect(2);
        assert!(run.stderr.contains("allowed is a folder"), "{}", run.stderr);
        assert!(!workshop.path("-").exists());
    }
}
