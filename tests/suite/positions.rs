//! `fixture.positions`: parts longer than the machine, cut in turns.

use serde_json::Value;

use crate::centers::{assert_centers, assert_moved, centers, generate};
use crate::harness::{Run, Workshop, examples, flowed};

pub(crate) const DOOR: &str = "examples/cabinet-door.toml";

/// A copy of the door with replacements.
pub(crate) fn door(workshop: &Workshop, name: &str, replacements: &[(&str, &str)]) -> String {
    let name = format!("varied/{name}.toml");
    workshop.vary(DOOR, &name, replacements);
    name
}

fn simulate(workshop: &Workshop, programs: &[&str], job: &str, more: &[&str]) -> Run {
    let mut arguments = vec!["simulate"];
    arguments.extend(programs);
    arguments.extend(["--job", job, "--format", "json"]);
    arguments.extend(more);
    workshop.run(&arguments)
}

fn positions(report: &Value) -> Vec<(String, u64, u64)> {
    let pockets = report["pockets"].as_array().unwrap().iter();
    let position = |pocket: &Value| {
        (
            pocket["part"].as_str().unwrap().to_owned(),
            pocket["hinge"].as_u64().unwrap(),
            pocket["position"].as_u64().unwrap(),
        )
    };
    pockets.map(position).collect()
}

/// By hand from the contract: X is u, u less the mark, and the far stop less
/// what is left to the far end: 90; 360 - 260; 200 - (720 - 630). Y is 6 + 4 + 5
/// from the middle of the divider.
#[test]
fn each_position_lays_its_pockets_by_its_own_stop() {
    let workshop = Workshop::new();
    let report = generate(&workshop, DOOR, "out");
    assert_centers(
        &report,
        &[
            ("box", 1, 90.0, -15.0),
            ("box", 2, 100.0, -15.0),
            ("box", 3, 110.0, -15.0),
            ("lid", 1, 90.0, 15.0),
            ("lid", 2, 100.0, 15.0),
            ("lid", 3, 110.0, 15.0),
        ],
    );
    for (part, hinge, position) in positions(&report) {
        assert_eq!(hinge, position, "{part}");
    }
    assert_eq!(
        workshop.list("out"),
        [
            "cabinet-door-p1.nc",
            "cabinet-door-p2.nc",
            "cabinet-door-p3.nc",
            "cabinet-door.html"
        ]
    );
}

/// A lid 716 long that begins 2 past the box's stop end: 358 - 260, and 200 -
/// (716 - 628). The box stays where it was.
#[test]
fn each_part_counts_from_its_own_ends() {
    let workshop = Workshop::new();
    let lid = "length    = 716\nend_inset = 2\n";
    let job = door(
        &workshop,
        "shorter",
        &[("length    = 720          # measured too\n", lid)],
    );
    let report = generate(&workshop, &job, "out");
    assert_centers(
        &report,
        &[
            ("box", 1, 90.0, -15.0),
            ("box", 2, 100.0, -15.0),
            ("box", 3, 110.0, -15.0),
            ("lid", 1, 88.0, 15.0),
            ("lid", 2, 98.0, 15.0),
            ("lid", 3, 112.0, 15.0),
        ],
    );
}

#[test]
fn a_stop_on_the_right_mirrors_every_position_and_along_y_turns_it() {
    let workshop = Workshop::new();
    let plain = generate(&workshop, DOOR, "out");
    let machine = "machines/benchtop-mm.toml";
    let travel = ("travel = [400, 300, 90]", "travel = [300, 400, 90]");
    workshop.vary(machine, "machines/benchtop-mm-turned.toml", &[travel]);
    let turned = ("-mm.toml", "-mm-turned.toml");
    for (end, sign) in [("left", 1.0), ("right", -1.0)] {
        let fixture = format!("[fixture]\nstop_end = \"{end}\"\n");
        let job = door(&workshop, end, &[("[fixture]\n", &fixture)]);
        let report = generate(&workshop, &job, &format!("out-{end}"));
        assert_moved(&report, &plain, |x, y| [sign * x, y]);
        let fixture = format!("{fixture}along = \"y\"\n");
        let replacements = [("[fixture]\n", fixture.as_str()), turned];
        let job = door(&workshop, &format!("{end}-y"), &replacements);
        let report = generate(&workshop, &job, &format!("out-{end}-y"));
        assert_moved(&report, &plain, |x, y| [-y, sign * x]);
    }
}

/// A zero for each part lies at the same place in every position.
#[test]
fn zeros_of_their_own_lie_where_the_stop_is() {
    let workshop = Workshop::new();
    let plain = generate(&workshop, DOOR, "out");
    let each = ("[fixture]\n", "[fixture]\nzero = \"each\"\n");
    let job = door(&workshop, "each", &[each]);
    let report = generate(&workshop, &job, "each");
    assert_eq!(centers(&report), centers(&plain));
    // The lid's centre line, 9 from its outside face, 25 on both sides of X110.
    let text = workshop.read("each/each-p3.nc");
    let (_, of_lid) = text.split_once("G55").unwrap();
    for word in ["Y9.000", "X135.000", "X85.000"] {
        assert!(of_lid.contains(word), "{word}: {text}");
    }
}

#[test]
fn programs_are_judged_in_the_positions_that_the_command_line_says() {
    let workshop = Workshop::new();
    generate(&workshop, DOOR, "out");
    let [one, two, three] = [1, 2, 3].map(|number| format!("out/cabinet-door-p{number}.nc"));
    let all = [one.as_str(), &two, &three];
    let whole = simulate(&workshop, &all, DOOR, &[]).expect(0).json();
    assert_eq!(whole["pockets"].as_array().unwrap().len(), 6);
    let programs = whole["programs"].as_array().unwrap();
    let own: Vec<u64> = programs
        .iter()
        .map(|program| program["position"].as_u64().unwrap())
        .collect();
    assert_eq!(own, [1, 2, 3]);
    // Each by itself, and in another order where that is said.
    for (program, number) in all.iter().zip(["1", "2", "3"]) {
        let alone = simulate(&workshop, &[program], DOOR, &["--position", number]);
        let report = alone.expect(0).json();
        let pockets = report["pockets"].as_array().unwrap();
        assert_eq!(pockets.len(), 2, "{program}");
    }
    let turned = ["--position", "3", "--position", "1"];
    simulate(&workshop, &[&three, &one], DOOR, &turned).expect(0);
    // What is said is not what it is: the pockets lie 10 aside.
    for (program, number) in [(&one, "2"), (&two, "3"), (&three, "1")] {
        let run = simulate(&workshop, &[program], DOOR, &["--position", number]).expect(1);
        assert_eq!(run.verdict("pocket-bounds"), "fail", "{program}");
        assert_eq!(run.verdict("pocket-complete"), "fail", "{program}");
    }
    let swapped = simulate(&workshop, &[&two, &one, &three], DOOR, &[]).expect(1);
    assert_eq!(swapped.verdict("pocket-bounds"), "fail");
}

#[test]
fn what_no_position_tells_is_asked_for() {
    let workshop = Workshop::new();
    generate(&workshop, DOOR, "out");
    let (one, two) = ("out/cabinet-door-p1.nc", "out/cabinet-door-p2.nc");
    for (programs, more, words) in [
        (vec![one, two], vec![], "2 programs and 3 positions"),
        (vec![one], vec![], "1 program and 3 positions"),
        (
            vec![one],
            vec!["--position", "4"],
            "--position is 4, allowed is from 1 to 3",
        ),
        (
            vec![one, two],
            vec!["--position", "1", "--position", "2", "--position", "3"],
            "3 positions named for 2 programs",
        ),
        (
            vec![two],
            vec!["--hinge", "2", "--position", "1"],
            "--position is 1, which does not cut hinge 2",
        ),
    ] {
        let run = simulate(&workshop, &programs, DOOR, &more).expect(2);
        let message = run.json()["errors"][0]["message"].to_string();
        assert!(message.contains(words), "{message}");
    }
    let run = simulate(
        &workshop,
        &[one],
        "examples/tea-box.toml",
        &["--position", "1"],
    );
    let message = run.expect(2).json()["errors"][0]["message"].to_string();
    assert!(
        message.contains("names no `fixture.positions`"),
        "{message}"
    );
}

/// A pocket of a position that is not cut in it is wood like any other.
#[test]
fn a_damaged_coordinate_fails() {
    let workshop = Workshop::new();
    generate(&workshop, DOOR, "out");
    let text = workshop.read("out/cabinet-door-p2.nc");
    // The centres of the far ends' arcs: 360 - 260 + 60.1 / 2 - 10.1 / 2.
    assert!(text.contains("X125.000"), "{text}");
    let damaged = text.replace("X125.000", "X125.300");
    workshop.write("out/damaged.nc", &damaged);
    let run = simulate(&workshop, &["out/damaged.nc"], DOOR, &["--position", "2"]).expect(1);
    assert_eq!(run.verdict("pocket-bounds"), "fail");
    // One part alone: the halves no longer meet.
    let (of_box, of_lid) = text.split_once("(lid pocket 2)").unwrap();
    let damaged = format!(
        "{of_box}(lid pocket 2){}",
        of_lid.replace("X125.000", "X125.300")
    );
    workshop.write("out/damaged.nc", &damaged);
    let run = simulate(&workshop, &["out/damaged.nc"], DOOR, &["--position", "2"]).expect(1);
    assert_eq!(run.verdict("fold-match"), "fail");
}

#[test]
fn a_part_of_the_job_is_cut_in_the_positions_that_it_needs() {
    let workshop = Workshop::new();
    let run = |options: &[&str], folder: &str| {
        let mut arguments = vec!["generate", DOOR, "-o", folder];
        arguments.extend(options);
        workshop.run(&arguments).expect(0);
        workshop.list(folder)
    };
    assert_eq!(
        run(&["--part", "lid", "--hinge", "2"], "a"),
        ["cabinet-door-lid-h2.html", "cabinet-door-p2-lid-h2.nc"]
    );
    assert_eq!(
        run(&["--hinge", "3", "--step", "1"], "b"),
        ["cabinet-door-h3-s1.html", "cabinet-door-p3-h3-s1.nc"]
    );
    assert_eq!(run(&["--part", "box"], "c").len(), 4);
    simulate(
        &workshop,
        &["a/cabinet-door-p2-lid-h2.nc"],
        DOOR,
        &["--part", "lid", "--hinge", "2"],
    )
    .expect(0);
}

#[test]
fn lead_holes_are_a_program_of_their_own_in_each_position() {
    let workshop = Workshop::new();
    let job = door(
        &workshop,
        "holes",
        &[(
            "[placement]",
            "screws = [ { along = 25, gauge = 5, length = 12 } ]\n\n[pilot]\nbit = \"2.5 mm drill\"\ndepth = 6\n\n[placement]",
        )],
    );
    let report = generate(&workshop, &job, "out");
    let programs = report["programs"].as_array().unwrap().iter();
    let paths: Vec<&str> = programs
        .map(|program| program["path"].as_str().unwrap())
        .collect();
    assert_eq!(
        paths,
        [
            "out/holes-p1.nc",
            "out/holes-p1-pilot.nc",
            "out/holes-p2.nc",
            "out/holes-p2-pilot.nc",
            "out/holes-p3.nc",
            "out/holes-p3-pilot.nc"
        ]
    );
    simulate(
        &workshop,
        &["out/holes-p2.nc", "out/holes-p2-pilot.nc"],
        &job,
        &["--position", "2"],
    )
    .expect(0);
    // The holes lie 25 from the pocket's middle: 125 in position 2, not 115.
    let holes = workshop.read("out/holes-p2-pilot.nc");
    assert!(
        holes.contains("X125.") && !holes.contains("X115."),
        "{holes}"
    );
}

/// Blocks and bar stand 20 above the mating faces unless the job says more.
#[test]
fn blocks_and_stop_bar_are_clamps() {
    let workshop = Workshop::new();
    generate(&workshop, DOOR, "out");
    let first_height = |path: &str| {
        let text = workshop.read(path);
        let line = text.lines().find(|line| line.starts_with("G0 Z"));
        line.unwrap().to_owned()
    };
    assert_eq!(first_height("out/cabinet-door-p1.nc"), "G0 Z5.000");
    assert_eq!(first_height("out/cabinet-door-p2.nc"), "G0 Z25.000");
    assert_eq!(first_height("out/cabinet-door-p3.nc"), "G0 Z5.000");
    let high = ("positions = [\n", "block_height = 35\npositions = [\n");
    let job = door(&workshop, "high", &[high]);
    generate(&workshop, &job, "out");
    assert_eq!(first_height("out/high-p2.nc"), "G0 Z40.000");
    // The program for the lower block knocks against the higher one.
    let text = workshop.read("out/cabinet-door-p2.nc");
    workshop.write("out/low.nc", &text);
    let run = simulate(&workshop, &["out/low.nc"], &job, &["--position", "2"]).expect(1);
    assert_eq!(run.verdict("travel-height"), "fail");
    // The pocket begins at 360 - 30.05 - 260 = 69.95, the block ends there too soon.
    let long = ("positions = [\n", "block_length = 75\npositions = [\n");
    let job = door(&workshop, "long", &[long]);
    let run = workshop.run(&["generate", &job, "-o", "out", "--format", "json"]);
    let run = run.expect(1);
    assert_eq!(run.verdict("clamp-clearance"), "fail");
    assert!(run.stdout.contains("block at the mark"), "{}", run.stdout);
    // With its stop on the right the block lies on the other side.
    let right = (
        "[fixture]\n",
        "[fixture]\nstop_end = \"right\"\nblock_length = 75\n",
    );
    let job = door(&workshop, "long-right", &[right]);
    let run = workshop.run(&["generate", &job, "-o", "out", "--format", "json"]);
    assert_eq!(run.expect(1).verdict("clamp-clearance"), "fail");
}

/// With a bit of 6: the far stop is touched 3 before its face, the near one is gone.
#[test]
fn the_envelope_counts_the_face_that_stands() {
    let workshop = Workshop::new();
    let far = |name: &str, face: u32| {
        let stop = format!("far_stop = {face} ");
        let job = door(&workshop, name, &[("far_stop = 200 ", &stop)]);
        workshop.run(&["generate", &job, "-o", "out", "--format", "json"])
    };
    // Touched at 697, the pocket about 610: 3 would be more than 400 away.
    far("far", 700).expect(0);
    // Hinge 2 as well: its pocket lies 360 before the face, so from 3 before the
    // face it is 384 to 333.95 + ... within 400; hinge 1 lies 630 before it.
    let both = door(
        &workshop,
        "both",
        &[("{ hinges = [1] },  ", "{ hinges = [1], far_stop = 700 },")],
    );
    let run = workshop.run(&["generate", &both, "-o", "out", "--format", "json"]);
    let run = run.expect(1);
    assert_eq!(run.verdict("envelope"), "fail");
    let text = flowed(&run.stdout);
    // The bit goes to 70 - 27.05, is 3 before the face at 700.
    assert!(text.contains("X goes from 42.95 to 697.00 mm"), "{text}");
    assert!(text.contains("`far_stop` of position 1"), "{text}");
}

#[test]
fn where_the_machine_lies_decides_too() {
    let workshop = Workshop::new();
    let at = |name: &str, zero: &str| {
        let fixture = format!("[fixture]\nmachine_zero = {zero}\n");
        let machine = ("[fixture]\n", fixture.as_str());
        let job = door(&workshop, name, &[machine]);
        workshop.run(&["generate", &job, "-o", "out", "--format", "json"])
    };
    // 137.05 + 262.95 is the end of the travel.
    assert_eq!(
        at("in", "[262, 150, -72]").expect(0).verdict("envelope"),
        "pass"
    );
    assert_eq!(
        at("past", "[264, 150, -72]").expect(1).verdict("envelope"),
        "fail"
    );
}

#[test]
fn mistakes_are_told_at_their_place() {
    let workshop = Workshop::new();
    let second = "{ hinges = [2], mark = 260 }";
    for (from, to, code, line, words) in [
        (
            "[3], far_stop",
            "[2, 3], far_stop",
            "hinge-in-two-positions",
            49,
            "hinge 2 is in positions 2 and 3",
        ),
        (
            "[3], far_stop",
            "[4], far_stop",
            "unknown-hinge",
            49,
            "names hinge 4, allowed is from 1 to 3",
        ),
        (
            second,
            "{ hinges = [1], mark = 260 }",
            "hinge-without-position",
            46,
            "no position cuts hinge 2",
        ),
        (
            second,
            "{ hinges = [2], mark = 260, far_stop = 300 }",
            "key-not-allowed",
            48,
            "positions[2].far_stop",
        ),
        (
            second,
            "{ hinges = [2], mark = 0 }",
            "out-of-range",
            48,
            "positions[2].mark",
        ),
        (
            second,
            "{ hinges = [2], mark = -3 }",
            "out-of-range",
            48,
            "positions[2].mark",
        ),
        (
            "far_stop = 200 ",
            "far_stop = 0 ",
            "out-of-range",
            49,
            "positions[3].far_stop",
        ),
        (
            second,
            "{ hinges = [2], mark = 335 }",
            "mark-past-hinge",
            48,
            "past hinge 2: its pocket in the box begins 329.95",
        ),
        (
            second,
            "{ hinges = [], mark = 260 }",
            "wrong-count",
            48,
            "positions[2].hinges` is empty",
        ),
        (
            second,
            "{ mark = 260 }",
            "missing-key",
            48,
            "positions[2].hinges` is missing",
        ),
        (
            second,
            "{ hinges = [2], marc = 260 }",
            "unknown-key",
            48,
            "`marc`",
        ),
        (
            second,
            "{ hinges = [2.5], mark = 260 }",
            "wrong-type",
            48,
            "whole number",
        ),
        (
            second,
            "{ hinges = [2], mark = 260, box_u = 40 }",
            "out-of-range",
            48,
            "positions[2].box_u",
        ),
        (
            "layout  = \"book\"",
            "layout  = \"end-to-end\"",
            "positions-not-in-a-book",
            46,
            "needs `layout = \"book\"`",
        ),
        (
            "divider = 12",
            "divider = 12\nblock_height = 0",
            "out-of-range",
            44,
            "fixture.block_height",
        ),
        (
            "lid_base = 19 ",
            "block_height = 25\nlid_base = 49 ",
            "out-of-range",
            45,
            "allowed is more than the lid's mating face, 30",
        ),
    ] {
        let job = door(&workshop, "wrong", &[(from, to)]);
        let run = workshop.run(&["generate", &job, "-o", "out", "--format", "json"]);
        let errors = run.expect(2).json()["errors"].clone();
        let errors = errors.as_array().unwrap();
        let found = errors.iter().find(|error| error["code"] == code);
        let found = found.unwrap_or_else(|| panic!("{code}: {errors:?}"));
        assert_eq!(found["line"], line, "{found}");
        let message = found["message"].as_str().unwrap();
        assert!(message.contains(words), "{message}");
    }
    assert_eq!(workshop.list("out"), [""; 0]);
}

#[test]
fn a_list_of_no_positions_is_told() {
    let workshop = Workshop::new();
    let text = workshop.read(DOOR);
    let (before, _) = text.split_once("positions = [").unwrap();
    workshop.write("none/none.toml", &format!("{before}positions = []\n"));
    let run = workshop.run(&["generate", "none/none.toml", "--format", "json"]);
    let error = run.expect(2).json()["errors"][0].clone();
    assert_eq!(
        (error["code"].as_str(), error["line"].as_u64()),
        (Some("wrong-count"), Some(46))
    );
    let message = error["message"].as_str().unwrap();
    assert!(message.contains("allowed is from 1 to 100"), "{message}");
}

/// 630 - 30.05 is left by the program from the stop end to the third pocket.
#[test]
fn a_reading_in_a_position_is_entered_there_and_taken_back() {
    let workshop = Workshop::new();
    let job = door(&workshop, "door", &[]);
    let before = workshop.read(&job);
    generate(&workshop, &job, "out");
    let fit = |more: &[&str]| {
        let mut arguments = vec!["fit", job.as_str(), "--cut", "out/door-p3.nc"];
        arguments.extend(more);
        workshop.run(&arguments)
    };
    // Both parts off alike: that is the far stop, which the position cancels.
    fit(&[
        "--position",
        "3",
        "--end-box",
        "600.20",
        "--end-lid",
        "600.20",
    ])
    .expect(0);
    let text = workshop.read(&job);
    let third = "{ hinges = [3], far_stop = 200, box_u = -0.25, lid_u = -0.25 },    # far ends";
    assert!(text.contains(third), "{text}");
    assert!(
        text.contains("key = \"fixture.positions[3].box_u\""),
        "{text}"
    );
    // The same again on the same program changes nothing.
    let again = fit(&["--position", "3", "--end-box", "600.20"]).expect(0);
    assert!(again.stdout.contains("nothing changes"), "{}", again.stdout);
    let report = generate(&workshop, &job, "new");
    let x: Vec<f64> = centers(&report).iter().map(|center| center.2).collect();
    assert_eq!(x, [90.0, 100.0, 109.75, 90.0, 100.0, 109.75]);
    // On the new program another reading replaces the first.
    workshop
        .run(&[
            "fit",
            &job,
            "--cut",
            "new/door-p3.nc",
            "--position",
            "3",
            "--end-box",
            "599.80",
        ])
        .expect(0);
    assert!(
        workshop.read(&job).contains("box_u = -0.1,"),
        "{}",
        workshop.read(&job)
    );
    workshop.run(&["fit", &job, "--undo"]).expect(0);
    workshop.run(&["fit", &job, "--undo"]).expect(0);
    assert_eq!(workshop.read(&job), before);
    // A program of another position is none of this one.
    let wrong = fit(&["--position", "2", "--end-box", "600.20"]).expect(1);
    assert!(
        wrong.stderr.contains("nothing was entered"),
        "{}",
        wrong.stderr
    );
    // What is measured across belongs to the part in all positions.
    fit(&["--position", "3", "--outside-lid", "4.05"]).expect(0);
    assert!(
        workshop.read(&job).contains("lid_v = -0.1"),
        "{}",
        workshop.read(&job)
    );
}

#[test]
fn a_new_set_up_forgets_what_its_positions_had() {
    let workshop = Workshop::new();
    let own = ("far_stop = 200 }", "far_stop = 200, lid_u = 0.4 }");
    let job = door(&workshop, "door", &[own]);
    workshop.run(&["fit", &job, "--new-setup"]).expect(0);
    let text = workshop.read(&job);
    assert!(text.contains("far_stop = 200, lid_u = 0 }"), "{text}");
    workshop.run(&["fit", &job, "--undo"]).expect(0);
    assert!(workshop.read(&job).contains("lid_u = 0.4 }"));
}

/// The correction of a position lies in its own pockets alone, and the halves
/// still match where they should.
#[test]
fn corrections_of_a_position_are_its_own() {
    let workshop = Workshop::new();
    let own = ("mark = 260 }", "mark = 260, box_u = 0.3, lid_u = -0.2 }");
    let job = door(&workshop, "door", &[own]);
    let report = generate(&workshop, &job, "out");
    let x: Vec<f64> = centers(&report).iter().map(|center| center.2).collect();
    let expected = [90.0, 100.3, 110.0, 90.0, 99.8, 110.0];
    for (found, expected) in x.iter().zip(expected) {
        assert!((found - expected).abs() < 1e-9, "{x:?}");
    }
}

#[test]
fn a_program_of_a_position_is_retuned_and_entered_as_run() {
    let workshop = Workshop::new();
    let job = door(&workshop, "door", &[]);
    generate(&workshop, &job, "out");
    let retune = |more: &[&str]| {
        let mut arguments = vec!["retune", "out/door-p2.nc", "--job", job.as_str()];
        arguments.extend(["--wear", "0.6", "-o", "out/worn.nc"]);
        arguments.extend(more);
        workshop.run(&arguments)
    };
    let asked = retune(&[]).expect(2);
    assert!(asked.stderr.contains("--position"), "{}", asked.stderr);
    retune(&["--position", "1"]).expect(1);
    retune(&["--position", "2"]).expect(0);
    simulate(
        &workshop,
        &["out/worn.nc"],
        &job,
        &["--position", "2", "--wear", "0.6"],
    )
    .expect(0);
    let programs = ["out/door-p1.nc", "out/door-p2.nc", "out/door-p3.nc"];
    let ran = |programs: &[&str], more: &[&str]| {
        let mut arguments = vec!["ran"];
        arguments.extend(programs);
        arguments.extend(["--job", job.as_str()]);
        arguments.extend(more);
        workshop.run(&arguments)
    };
    ran(&programs, &[]).expect(0);
    ran(&programs[1..2], &["--position", "2"]).expect(0);
    ran(&programs[1..2], &["--position", "3"]).expect(1);
    ran(&programs[1..2], &[]).expect(2);
}

#[test]
fn a_run_that_fails_names_the_older_programs_of_its_positions() {
    let workshop = Workshop::new();
    let job = door(&workshop, "door", &[]);
    generate(&workshop, &job, "out");
    let text = workshop
        .read(&job)
        .replace("thickness = 21", "thickness = 13");
    workshop.write(&job, &text);
    let run = workshop.run(&["generate", &job, "-o", "out", "--format", "json"]);
    let stale = run.expect(1).json()["stale"].clone();
    assert_eq!(stale.as_array().unwrap().len(), 4, "{stale}");
    assert!(stale.to_string().contains("door-p2.nc"), "{stale}");
}

/// The other examples name no positions and their reports say nothing of them.
#[test]
fn a_job_without_positions_is_as_it_was() {
    let workshop = Workshop::new();
    for example in examples() {
        let report = generate(&workshop, &example, "out");
        assert!(!report.to_string().contains("\"position\""), "{example}");
    }
}
