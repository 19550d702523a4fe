//! A plug for a pocket that came out wrong, through the program.

use crate::harness::{Run, Workshop};

const JOB: &str = "examples/tea-box.toml";
const POCKET: [&str; 4] = ["--part", "lid", "--hinge", "2"];
const SCRAP: [&str; 6] = ["--length", "80", "--width", "60", "--thickness", "10"];

/// A workshop in which the job has been cut.
fn workshop() -> Workshop {
    let workshop = Workshop::new();
    workshop.run(&["generate", JOB, "-o", "out"]).expect(0);
    workshop
}

fn plug(workshop: &Workshop, more: &[&str]) -> Run {
    let mut arguments = vec!["generate", JOB, "-o", "plug"];
    arguments.extend(POCKET);
    arguments.extend(more);
    workshop.run(&arguments)
}

fn with<'a>(scrap: &[&'a str], cut: &'a str) -> Vec<&'a str> {
    [scrap, &["--plug", cut]].concat()
}

/// The lid's pocket is cut 27.1 × 10.1, and 7.7 deeper than the leaf's floor.
#[test]
fn a_plug_is_as_large_as_the_program_cut_whatever_the_file_says_since() {
    let workshop = workshop();
    let said = plug(&workshop, &with(&SCRAP, "out/tea-box.nc")).stdout;
    let size = "27.15 mm × 10.15 mm, 8.70 mm high when it goes in";
    assert!(said.contains(size), "{said}");
    let again = "generate examples/tea-box.toml -o plug --part lid --hinge 2";
    assert!(said.contains(again), "{said}");
    workshop.vary(
        JOB,
        JOB,
        &[("clearance", "depth     = \"-0.3 mm\"\nclearance")],
    );
    let said = plug(&workshop, &with(&SCRAP, "out/tea-box.nc")).stdout;
    assert!(said.contains(size), "{said}");
}

#[test]
fn what_cannot_be_a_plug_is_refused_and_nothing_is_written() {
    let workshop = workshop();
    let arguments = ["generate", "examples/recipe-box.toml", "-o", "other"];
    workshop.run(&arguments).expect(0);
    let arguments = [
        "generate", JOB, "-o", "alone", "--part", "box", "--hinge", "1",
    ];
    workshop.run(&arguments).expect(0);
    for (scrap, cut, words) in [
        (
            SCRAP,
            "other/recipe-box.nc",
            "did not cut that pocket of this job",
        ),
        (
            SCRAP,
            "alone/tea-box-box-h1.nc",
            "did not cut that pocket of this job",
        ),
        (
            ["--length", "80", "--width", "60", "--thickness", "20"],
            "out/tea-box.nc",
            "plane or resaw the scrap to between",
        ),
        (
            ["--length", "60", "--width", "60", "--thickness", "9"],
            "out/tea-box.nc",
            "this plug needs 65 mm long, 57 mm wide,",
        ),
    ] {
        let run = plug(&workshop, &with(&scrap, cut)).expect(2);
        let said = crate::harness::flowed(&run.stderr);
        assert!(said.contains(words), "{said}");
    }
    plug(&workshop, &["--plug", "out/tea-box.nc"]).expect(2);
    let mut whole = vec!["generate", JOB, "-o", "plug", "--hinge", "2"];
    whole.extend(with(&SCRAP, "out/tea-box.nc"));
    let run = workshop.run(&whole).expect(2);
    assert!(
        run.stderr.contains("--part box or --part lid"),
        "{}",
        run.stderr
    );
    assert!(workshop.list("plug").is_empty());
}

#[test]
fn a_plug_is_written_with_its_sheet_and_proved_again() {
    let workshop = workshop();
    plug(&workshop, &with(&SCRAP, "out/tea-box.nc")).expect(0);
    let names = ["tea-box-lid-h2-plug.html", "tea-box-lid-h2-plug.nc"];
    assert_eq!(workshop.list("plug"), names);
    let text = workshop.read("plug/tea-box-lid-h2-plug.nc");
    for piece in ["(scrap piece 1)", "(scrap piece 2)"] {
        assert!(text.contains(piece), "{text}");
    }
    let sheet = workshop.read("plug/tea-box-lid-h2-plug.html");
    for words in ["<p>Plug</p>", "Glue it in", "27.15 mm × 10.15 mm"] {
        assert!(sheet.contains(words), "{words}");
    }
    let mut again = vec!["simulate", "plug/tea-box-lid-h2-plug.nc", "--job", JOB];
    again.extend(POCKET);
    again.extend(with(&SCRAP, "out/tea-box.nc"));
    workshop.run(&again).expect(0);
}

/// The sheet has what is done after the machine as steps of their own.
#[test]
fn the_sheet_says_how_the_plug_is_glued_in_and_the_pocket_cut_again() {
    let workshop = workshop();
    plug(&workshop, &with(&SCRAP, "out/tea-box.nc")).expect(0);
    let sheet = workshop.read("plug/tea-box-lid-h2-plug.html");
    let steps = sheet.split("Glue it in and cut again").nth(1).unwrap();
    let steps = steps.split("</ol>").next().unwrap();
    for words in [
        "piece 1 stands on the floor of step 2",
        "the scrap with its own along X",
        "never hold so small a piece to a saw",
        "mend what made it wrong",
        "tea-box.toml -o plug --part lid --hinge 2",
    ] {
        assert!(steps.contains(words), "{words}: {steps}");
    }
    assert!(!sheet.contains("The pockets"));
}
