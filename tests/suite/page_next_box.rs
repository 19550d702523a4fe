//! The next box on the page: what was run, and a run of boxes, with the bytes
//! that the command line writes.

use std::fs;

use crate::harness::words_of;
use crate::page_readings::{Two, plain};

const JOB: &str = "examples/tea-box.toml";

#[test]
fn what_was_run_is_entered_as_ran_enters_it() {
    let two = Two::with(JOB);
    let rack = two.by_page.read("machines/bits.toml");
    for (fields, options) in [
        (
            vec![("cut", "tea-box.nc"), ("times", "3")],
            vec!["examples/out/tea-box.nc", "--times", "3"],
        ),
        (
            vec![("cut", "tea-box-pilot.nc"), ("times", "")],
            vec!["examples/out/tea-box-pilot.nc"],
        ),
    ] {
        let answer = two.send(
            "next-box",
            &[[("form", "job")].as_slice(), &fields].concat(),
        );
        assert_eq!(answer.status, 303, "{}", words_of(&answer.body));
        let run = two
            .by_command
            .run(&[["ran"].as_slice(), &options, &["--job", JOB]].concat());
        let stdout = run.expect(0).stdout;
        two.alike();
        let told = plain(&two.page.get("next-box").body);
        assert!(told.contains(stdout.lines().next().unwrap()), "{told}");
        assert!(
            told.contains(&format!("stepwell ran {} --job {JOB}", options[0])),
            "{told}"
        );
    }
    let entered = two.by_page.read("machines/bits.toml");
    assert_ne!(entered, rack);
    for wrong in [
        ("times", "0"),
        ("times", "1001"),
        ("hinge", "2"),
        ("cut", "../x.nc"),
    ] {
        let fields = [wrong, ("form", "job"), ("cut", "tea-box.nc")];
        assert_eq!(two.send("next-box", &fields).status, 409, "{wrong:?}");
    }
    assert_eq!(two.by_page.read("machines/bits.toml"), entered);
}

#[test]
fn a_test_piece_that_was_run_is_entered_too() {
    let two = Two::with(JOB);
    let sizes = [("length", "200"), ("width", "110"), ("thickness", "19")];
    let seen = two.page.seen("readings");
    let fields = [[("seen", seen.as_str())].as_slice(), &sizes].concat();
    assert_eq!(two.page.post("test-piece/write", &fields).status, 303);
    let said = ["--length", "200", "--width", "110", "--thickness", "19"];
    let program = "examples/out/tea-box-test-piece.nc";
    two.by_command
        .run(&[["test-piece", JOB, "-o", "examples/out"].as_slice(), &said].concat())
        .expect(0);
    let own = [("form", "test-piece"), ("cut", "tea-box-test-piece.nc")];
    let answer = two.send("next-box", &[own.as_slice(), &sizes].concat());
    assert_eq!(answer.status, 303, "{}", words_of(&answer.body));
    two.by_command
        .run(
            &[
                ["ran", program, "--job", JOB, "--test-piece"].as_slice(),
                &said,
            ]
            .concat(),
        )
        .expect(0);
    two.alike();
}

#[test]
fn a_plug_is_drawn_and_written_as_generate_writes_it() {
    let two = Two::with(JOB);
    let asked = "next-box?form=plug&cut=tea-box.nc&part=lid&length=80&width=60&thickness=10";
    let wrong = plain(&two.page.get(asked).body);
    assert!(wrong.contains("--plug fills one pocket"), "{wrong}");
    let shown = two.page.get(&format!("{asked}&hinge=2")).body;
    let words = plain(&shown);
    assert!(shown.contains("<svg"), "{words}");
    assert!(words.contains("27.15 mm × 10.15 mm"), "{words}");
    let fields = [
        ("form", "plug"),
        ("cut", "tea-box.nc"),
        ("part", "lid"),
        ("hinge", "2"),
        ("length", "80"),
        ("width", "60"),
        ("thickness", "10"),
    ];
    let answer = two.send("next-box", &fields);
    assert_eq!(answer.status, 303, "{}", words_of(&answer.body));
    let command = "generate examples/tea-box.toml -o examples/out --part lid --hinge 2 \
                   --plug examples/out/tea-box.nc --length 80 --width 60 --thickness 10";
    let after = two.page.get("next-box").body;
    assert!(plain(&after).contains(command), "{}", plain(&after));
    // A plug's program is none of the job's.
    assert!(!after.contains("<option value=\"tea-box-lid-h2-plug.nc\""));
    let arguments: Vec<&str> = command.split(' ').collect();
    two.by_command.run(&arguments).expect(0);
    for suffix in ["html", "nc"] {
        let name = format!("examples/out/tea-box-lid-h2-plug.{suffix}");
        assert!(two.by_page.read(&name) == two.by_command.read(&name));
    }
}

#[test]
fn a_run_of_boxes_is_shown_and_written_as_generate_writes_it() {
    let two = Two::with(JOB);
    let shown = two.page.get("next-box?boxes=12").body;
    let plain_rows = plain(&shown);
    assert!(shown.matches("<tr>").count() >= 13, "{plain_rows}");
    let refused = plain(&two.page.get("next-box?boxes=0").body);
    assert!(
        refused.contains("a whole number from 1 to 200 is wanted"),
        "{refused}"
    );
    let answer = two.send("next-box", &[("form", "boxes"), ("boxes", "12")]);
    assert_eq!(answer.status, 303, "{}", words_of(&answer.body));
    let run = two
        .by_command
        .run(&["generate", JOB, "-o", "examples/out", "--boxes", "12"]);
    run.expect(0);
    let names = two.by_command.list("examples/out");
    assert_eq!(two.by_page.list("examples/out"), names);
    for name in names {
        let read = |workshop: &crate::harness::Workshop| {
            fs::read(workshop.path(&format!("examples/out/{name}"))).unwrap()
        };
        assert!(read(&two.by_page) == read(&two.by_command), "{name}");
    }
}
