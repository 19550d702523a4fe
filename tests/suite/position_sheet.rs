//! What a person is told of positions: the sheet, and what a job without them is told.

use crate::centers::{centers, generate};
use crate::harness::{Workshop, flowed, words_of};
use crate::positions::{DOOR, door};

/// The words of a position's section.
fn section(page: &str, number: usize) -> String {
    let from = page.find(&format!("id=\"position-{number}\"")).unwrap();
    let section = &page[from..];
    let end = section.find("</section>").unwrap();
    words_of(&section[..end])
}

/// By hand: the middle pockets' stop ends lie 260 to the left of the bar, the far
/// ends 720 - 260 to the right of it; at the far stop at 200 they lie from 200 - 720.
/// A bit of 6 is 3 from the bar, and 3 before the far stop.
#[test]
fn each_position_has_a_section_with_all_that_it_wants() {
    let workshop = Workshop::new();
    generate(&workshop, DOOR, "out");
    let page = workshop.read("out/cabinet-door.html");
    let first = section(&page, 1);
    assert!(
        first.contains("Both stop ends against the stop on the left"),
        "{first}"
    );
    assert!(
        first.contains("X from X 0.00 mm to 720.00 mm")
            || first.contains("from X 0.00 mm to 720.00 mm"),
        "{first}"
    );
    // What is done in every position is told once.
    let words = words_of(&page);
    assert_eq!(words.matches("Dry run in every position").count(), 1);
    for number in 1..=3 {
        let task = format!("dry run; cabinet-door-p{number}.nc.");
        assert!(words.contains(&task), "{words}");
    }
    let second = section(&page, 2);
    for words in [
        "Position 2: hinge 2",
        "Both blocks against the stop bar",
        "spans both parts at X0, clear above them",
        "Bar and blocks with their clamps no higher than 20.00 mm",
        "Touch off, before the parts go in",
        "at least 320.00 mm of the longer part",
        "The box hangs 80.00 mm below the bed",
        "an outside reading counts for all positions",
        "run the first step here alone: stepwell generate JOB.toml -o DIR --hinge 2 --step 1",
        "260.00 mm from that part's own stop end",
        "no higher than 20.00 mm above Z0, blocks no longer than 20.00 mm",
        "the box from X −260.00 mm to 460.00 mm, the lid from X −260.00 mm to 460.00 mm",
        "wants support",
        "Touch the stop bar's face, where the blocks will lie, from the right",
        "X3.000",
        "good to about 0.30 mm (common practice, no source)",
        "box 2: stop end to pocket",
        "329.95 mm",
        "stepwell fit JOB.toml --cut PROGRAM.nc --position 2",
        "--end-lid READING",
        "A block that is off moves its own half alone",
        "X 100",
    ] {
        assert!(second.contains(words), "{words}: {second}");
    }
    let third = section(&page, 3);
    for words in [
        "Both far ends against the far stop on the right",
        "The far stop's face stands 200.00 mm from X0, no higher than the mating faces",
        "and bar and blocks of a mark: the program travels lower",
        "the box 720.00 mm, the lid 720.00 mm; measure them",
        "the box from X −520.00 mm to 200.00 mm",
        "Touch the far stop's face, where the far ends will lie, from the left",
        "X197.000",
        "599.95 mm",
        "A length that is wrong moves its own half",
        "X 110",
    ] {
        assert!(third.contains(words), "{words}: {third}");
    }
    let words = words_of(&page);
    assert!(words.contains("--position N --sheet FILE.html"));
    // Each drawing has names of its own.
    for number in [1, 2, 3] {
        let own = format!("id=\"fixture-p{number}-");
        assert!(page.contains(&own), "{own}");
    }
}

#[test]
fn the_sections_follow_the_stop_and_the_axis() {
    let workshop = Workshop::new();
    let machine = "machines/benchtop-mm.toml";
    let travel = ("travel = [400, 300, 90]", "travel = [300, 400, 90]");
    workshop.vary(machine, "machines/benchtop-mm-turned.toml", &[travel]);
    let fixture = "[fixture]\nstop_end = \"right\"\nalong = \"y\"\n";
    let turned = ("-mm.toml", "-mm-turned.toml");
    let job = door(&workshop, "turned", &[("[fixture]\n", fixture), turned]);
    generate(&workshop, &job, "out");
    let page = workshop.read("out/turned.html");
    let second = section(&page, 2);
    assert!(
        second.contains("the box from Y −460.00 mm to 260.00 mm"),
        "{second}"
    );
    assert!(
        second.contains("Y-3.000") && second.contains("from the side of smaller Y"),
        "{second}"
    );
    let third = section(&page, 3);
    assert!(
        third.contains("Y-197.000") && third.contains("from the side of larger Y"),
        "{third}"
    );
    assert!(
        third.contains("Both far ends against the far stop on the left"),
        "{third}"
    );
}

/// One position alone is replayed on a page, where it lies.
#[test]
fn a_sheet_of_one_position_shows_that_alone() {
    let workshop = Workshop::new();
    generate(&workshop, DOOR, "out");
    let arguments = [
        "simulate",
        "out/cabinet-door-p3.nc",
        "--job",
        DOOR,
        "--position",
        "3",
        "--sheet",
        "p3.html",
    ];
    workshop.run(&arguments).expect(0);
    let page = workshop.read("p3.html");
    assert!(page.contains("playback-data"));
    // The wood as it lies: from X -520 to 200.
    assert!(page.contains("\"area\":[-520.0,-25.0,200.0,-6.0]"), "slabs");
    let run = workshop
        .run(&["generate", DOOR, "-o", "svg", "--svg"])
        .expect(0);
    assert_eq!(run.code, 0);
    let names = workshop.list("svg");
    for number in [1, 2, 3] {
        let name = format!("cabinet-door-fixture-p{number}.svg");
        assert!(names.contains(&name), "{names:?}");
    }
}

/// A door that names no positions is told some, and pasted they do.
#[test]
fn what_a_job_past_the_travel_is_told_can_be_pasted() {
    let workshop = Workshop::new();
    let text = workshop.read(DOOR);
    let (before, _) = text.split_once("positions = [").unwrap();
    let before = before
        .replace("= 720", "= 1180")
        .replace("[90, 360, 630]", "[90, 590, 1090]");
    for (name, fixture, units) in [
        ("plain", "", "mm"),
        ("inches", "", "in"),
        ("right", "stop_end = \"right\"\n", "mm"),
        ("known", "machine_zero = [20, 150, -72]\n", "mm"),
    ] {
        let job = format!("long/{name}.toml");
        let without = before.replace("[fixture]\n", &format!("[fixture]\n{fixture}"));
        workshop.write(&job, &without);
        let run = workshop.run(&["generate", &job, "-o", "out", "--units", units]);
        let told = flowed(&run.expect(1).stdout);
        let from = told
            .find("positions = [")
            .unwrap_or_else(|| panic!("{name}: {told}"));
        let (positions, _) = told[from..].split_once("} ]").unwrap();
        assert!(
            positions.contains("far_stop") && positions.contains("mark"),
            "{told}"
        );
        workshop.write(&job, &format!("{without}{positions}}} ]\n"));
        let report = generate(&workshop, &job, "out");
        assert_eq!(centers(&report).len(), 6, "{name}");
        assert_eq!(report["programs"].as_array().unwrap().len(), 3, "{name}");
    }
}

// Who obeyed the figures of position 1 would cut hinge 2 at 100 mm instead of
// 360 from the stop end.
#[test]
fn the_sheet_of_one_positions_program_speaks_of_no_other() {
    let workshop = Workshop::new();
    generate(&workshop, DOOR, "out");
    let program = "out/cabinet-door-p2.nc";
    let arguments = ["simulate", program, "--job", DOOR, "--position", "2"];
    let sheet = ["--sheet", "out/two.html"];
    workshop.run(&[&arguments[..], &sheet].concat()).expect(0);
    let words = words_of(&workshop.read("out/two.html"));
    for right in [
        "Both blocks against the stop bar",
        "box 2 at X 100.00 mm",
        "--hinge 2 --step 1 --position 2",
        "Position 2. As its section says; dry run; cabinet-door-p2.nc.",
        "Play",
    ] {
        assert!(words.contains(right), "{right}: {words:.4000}");
    }
    for wrong in [
        "Both stop ends against the stop",
        "box 1",
        "Position 1",
        "Position 3",
        "X 90.00",
    ] {
        assert!(!words.contains(wrong), "{wrong}: {words:.4000}");
    }
}

// Position 2 cuts hinge 2 at X 100, position 1 hinge 1 at X 90, position 3
// hinge 3 at X 110: ten millimetres, which is no correction.
#[test]
fn a_program_of_another_position_is_not_taken_for_a_reading() {
    let workshop = Workshop::new();
    generate(&workshop, DOOR, "out");
    let job = workshop.read(DOOR);
    for (program, told, hinge, reading) in [
        ("2", "1", "2", ["--end-box", "69.9"]),
        ("1", "3", "1", ["--end-box", "579.9"]),
        ("3", "1", "3", ["--outside-box", "4.2"]),
        ("2", "3", "2", ["--gap", "0.8"]),
    ] {
        let path = format!("out/cabinet-door-p{program}.nc");
        let arguments = ["fit", DOOR, "--cut", &path, "--position", told];
        let run = workshop.run(&[&arguments[..], &reading].concat());
        let words =
            format!("cuts as position {program} does (hinge {hinge}): say --position {program}");
        assert_ne!(run.code, 0);
        let told = flowed(&format!("{}{}", run.stderr, run.stdout));
        assert!(told.contains(&words), "{told}");
        assert_eq!(workshop.read(DOOR), job);
    }
    let right = [
        "fit",
        DOOR,
        "--cut",
        "out/cabinet-door-p2.nc",
        "--position",
        "2",
    ];
    let reading = ["--end-box", "330.2"];
    workshop.run(&[&right[..], &reading].concat()).expect(0);
}
