//! The hinge drawer, through the program: a hinge by its name, what its pockets
//! taught, and what of it suits a box.

use crate::harness::{Run, Workshop, flowed};

const JOB: &str = "examples/tea-box.toml";
const DRAWER: &str = "machines/hinges.toml";
const CUT: &str = "out/tea-box.nc";
const HINGE: &str = "middling, 44 long";

/// The tea box with its hinge from the drawer, and without a clearance of its own.
fn from_the_drawer() -> Workshop {
    let workshop = Workshop::new();
    let text = workshop.read(JOB);
    let (head, tail) = text.split_once("[hinge]\n").unwrap();
    let (_, tail) = tail.split_once("[placement]\n").unwrap();
    let head = head.replace(
        "bit     =",
        "hinges = \"../machines/hinges.toml\"\nbit     =",
    );
    let tail: String = tail
        .lines()
        .filter(|line| !line.starts_with("clearance"))
        .map(|line| format!("{line}\n"))
        .collect();
    workshop.write(
        JOB,
        &format!("{head}[hinge]\nname = \"{HINGE}\"\n\n[placement]\n{tail}"),
    );
    workshop.run(&["generate", JOB, "-o", "out"]).expect(0);
    workshop
}

fn fit(workshop: &Workshop, arguments: &[&str]) -> Run {
    workshop.run(&[&["fit", JOB], arguments].concat())
}

/// A program without its head, which has the digest of what it was made from.
fn moves(program: &str) -> String {
    let lines = program.lines().filter(|line| !line.starts_with('('));
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn a_named_hinge_cuts_what_the_same_hinge_written_out_does() {
    let own = Workshop::new();
    own.run(&["generate", JOB, "-o", "out"]).expect(0);
    let named = from_the_drawer();
    for program in [CUT, "out/tea-box-pilot.nc"] {
        assert_eq!(moves(&own.read(program)), moves(&named.read(program)));
    }
    // Terminal and sheet say where the hinge comes from.
    let told = format!("the hinge is `{HINGE}` of the drawer ../machines/hinges.toml");
    let run = named.run(&["generate", JOB, "-o", "out"]).expect(0);
    assert!(flowed(&run.stdout).contains(&told), "{}", run.stdout);
    assert!(named.read("out/tea-box.html").contains(HINGE));
}

#[test]
fn what_the_drawer_has_learned_is_cut_and_told() {
    let workshop = Workshop::new();
    let chest = "examples/sewing-chest.toml";
    let width = |workshop: &Workshop| {
        let run = workshop.run(&["generate", chest, "-o", "out", "--format", "json"]);
        let report = run.expect(0).json();
        let width = report["pockets"][0]["steps"][0]["width"].as_f64().unwrap();
        (width, report["notes"].to_string())
    };
    let (learned, notes) = width(&workshop);
    assert!((learned - 8.12).abs() < 1e-9, "{learned}");
    assert!(notes.contains("a clearance of 0.12 mm, as"), "{notes}");
    assert!(
        workshop
            .read("out/sewing-chest.html")
            .contains("a clearance of 0.12 mm, as")
    );
    let other = workshop
        .read(DRAWER)
        .replace("clearance = 0.12", "clearance = 0.2");
    workshop.write(DRAWER, &other);
    assert!((width(&workshop).0 - 8.2).abs() < 1e-9);
    workshop.write(
        DRAWER,
        &other.replace("5 mm single-flute", "6 mm up-spiral"),
    );
    let (default, notes) = width(&workshop);
    assert!(
        (default - 8.1).abs() < 1e-9 && !notes.contains("learned"),
        "{default} {notes}"
    );
}

#[test]
fn mistakes_of_the_drawer_are_told_at_its_line() {
    let workshop = from_the_drawer();
    let text = workshop.read(DRAWER);
    let wrong = text.replace("closed_gap = 0.8", "closed_gap = 80");
    workshop.write(DRAWER, &wrong);
    let run = workshop.run(&["generate", JOB, "-o", "out", "--format", "json"]);
    let errors = run.expect(2).json();
    let error = &errors["errors"][0];
    let line = 1 + wrong
        .lines()
        .position(|line| line.contains("= 80"))
        .unwrap();
    assert_eq!(error["line"], line);
    assert_eq!(error["column"], 14);
    assert!(error["file"].as_str().unwrap().ends_with("hinges.toml"));
    std::fs::remove_file(workshop.path(DRAWER)).unwrap();
    let words = workshop.run(&["generate", JOB]).expect(2).stderr;
    assert!(words.contains("hinges = "), "{words}");
    workshop.write(DRAWER, &text.replace(HINGE, "middling, 45 long"));
    let words = flowed(&workshop.run(&["generate", JOB]).expect(2).stderr);
    assert!(
        words.contains("did you mean `middling, 45 long`?"),
        "{words}"
    );
}

const SCRAP: [&str; 7] = [
    "--test-piece",
    "--length",
    "300",
    "--width",
    "90",
    "--thickness",
    "20",
];

fn test_piece(workshop: &Workshop) {
    let arguments = [&["test-piece", JOB, "-o", "out"], &SCRAP[1..]].concat();
    workshop.run(&arguments).expect(0);
}

/// Pocket 4 of steps of 0.05 mm about 0.1 is 0.15; the gap of 0.5 where 0.4 was wanted makes
/// every step 0.05 deeper. Both belong to the hinge, so the next box has them too.
#[test]
fn what_fits_is_entered_in_the_drawer_and_the_next_box_has_it() {
    let workshop = from_the_drawer();
    let (job, drawer) = (workshop.read(JOB), workshop.read(DRAWER));
    test_piece(&workshop);
    let piece = [&["--cut", "out/tea-box-test-piece.nc"], SCRAP.as_slice()].concat();
    let run = fit(&workshop, &[piece.as_slice(), &["--pocket", "4"]].concat()).expect(0);
    assert!(
        run.stdout.contains("machines/hinges.toml: written"),
        "{}",
        run.stdout
    );
    let first = workshop.read(DRAWER);
    let learned =
        "learned = [{ bit = \"6 mm up-spiral\", wood = \"black walnut\", clearance = 0.15 }]";
    assert!(first.contains(learned), "{first}");
    fit(&workshop, &["--cut", CUT, "--gap", "0.5"]).expect(0);
    let second = workshop.read(DRAWER);
    assert!(
        second.contains("clearance = 0.15, depth = 0.05 }]"),
        "{second}"
    );
    // The readings of places stay with the job.
    fit(&workshop, &["--cut", CUT, "--outside-lid", "3.15"]).expect(0);
    assert_eq!(workshop.read(DRAWER), second);
    assert!(workshop.read(JOB).contains("lid_v"));
    for line in drawer.lines() {
        assert!(second.lines().any(|other| other == line), "{line}");
    }
    let shown = fit(&workshop, &["--show"]).expect(0).stdout;
    for part in [
        "learned.clearance is 0.15, was not set",
        "learned.depth is 0.05",
        HINGE,
        "fit.lid_v",
    ] {
        assert!(shown.contains(part), "{part}: {shown}");
    }
    // Another box with the same hinge, bit and wood.
    workshop.vary(
        JOB,
        "examples/coffee-box.toml",
        &[("Tea box", "Coffee box"), ("inset = 45", "inset = 60")],
    );
    let run = workshop.run(&[
        "generate",
        "examples/coffee-box.toml",
        "-o",
        "out",
        "--format",
        "json",
    ]);
    let step = run.expect(0).json()["pockets"][0]["steps"][0].clone();
    // 10 + 0.15 wide, 4.5 + 0.2 of recess + 0.05 deep.
    assert!(
        (step["width"].as_f64().unwrap() - 10.15).abs() < 1e-9,
        "{step}"
    );
    assert!(
        (step["depth"].as_f64().unwrap() - 4.75).abs() < 1e-9,
        "{step}"
    );
    for (job_now, drawer_now) in [(true, &second), (true, &first), (true, &drawer)] {
        fit(&workshop, &["--undo"]).expect(0);
        assert_eq!(&workshop.read(DRAWER), drawer_now);
        assert_eq!(workshop.read(JOB) == job, job_now);
    }
    fit(&workshop, &["--undo"]).expect(2);
}

#[test]
fn what_the_job_states_itself_is_entered_in_the_job() {
    let workshop = from_the_drawer();
    let stated = workshop
        .read(JOB)
        .replace("\nunder ", "\nclearance = 0.1\nunder ");
    workshop.write(JOB, &stated);
    test_piece(&workshop);
    let drawer = workshop.read(DRAWER);
    let piece = [&["--cut", "out/tea-box-test-piece.nc"], SCRAP.as_slice()].concat();
    fit(&workshop, &[piece.as_slice(), &["--pocket", "4"]].concat()).expect(0);
    assert_eq!(workshop.read(DRAWER), drawer);
    assert!(workshop.read(JOB).contains("clearance = 0.15"));
}

/// A bit that cuts 0.03 wider than thought: every clearance found with it grows by that.
#[test]
fn a_slot_changes_what_was_learned_with_its_bit() {
    let workshop = from_the_drawer();
    let mine = workshop.read(DRAWER).replacen(
        "  { along = -18.5, gauge = 5, length = 12 },\n]\n",
        "  { along = -18.5, gauge = 5, length = 12 },\n]\nlearned = [\n  # tried twice\n  \
         { bit = \"6 mm up-spiral\", wood = \"black walnut\", clearance = \"0.14 mm\" }, # snug\n  \
         { bit = \"6 mm up-spiral\", wood = \"teak\", clearance = 0.2 },\n]\n",
        1,
    );
    workshop.write(DRAWER, &mine);
    workshop.run(&["generate", JOB, "-o", "out"]).expect(0);
    fit(&workshop, &["--cut", CUT, "--slot", "6.03"]).expect(0);
    let now = workshop.read(DRAWER);
    assert!(now.contains("clearance = \"0.17 mm\" }, # snug"), "{now}");
    assert!(now.contains("wood = \"teak\", clearance = 0.23 }"), "{now}");
    // That of another bit stays.
    assert!(now.contains("clearance = 0.12 }"), "{now}");
    assert!(
        workshop
            .read("machines/bits.toml")
            .contains("measured = 6.03")
    );
    fit(&workshop, &["--undo"]).expect(0);
    assert_eq!(workshop.read(DRAWER), mine);
}

/// Whatever form the drawer has, comments among it.
#[test]
fn the_drawer_comes_back_byte_for_byte_in_every_form() {
    let workshop = from_the_drawer();
    let plain = workshop.read(DRAWER);
    let (head, tail) = plain
        .split_once(&format!("name       = \"{HINGE}\"\n"))
        .unwrap();
    let with = |learned: &str| format!("{head}name = \"{HINGE}\"\nlearned = {learned}\n{tail}");
    let other = "{ bit = \"6 mm up-spiral\", wood = \"teak\", depth = 0.1 }";
    let forms = [
        plain.replace('\n', "\r\n"),
        plain.trim_end().to_owned(),
        with("[]"),
        with("[ ]  # nothing yet"),
        with(&format!("[ {other} ]")),
        with(&format!("[\n  {other}, # teak\n]")),
        with(&format!("[\n  {other}\n  # more to come\n]")),
    ];
    for (index, form) in forms.iter().enumerate() {
        workshop.write(DRAWER, form);
        fit(&workshop, &["--cut", CUT, "--gap", "0.5"]).expect(0);
        let entered = workshop.read(DRAWER);
        let figure = "wood = \"black walnut\", depth = 0.05 }";
        assert!(entered.contains(figure), "form {index}: {entered}");
        // A comment stays behind what it was written behind.
        if form.contains("# teak") {
            assert!(entered.contains(&format!("{other}, # teak\n")), "{entered}");
        }
        workshop.run(&["generate", JOB, "-o", "out2"]).expect(0);
        fit(&workshop, &["--undo"]).expect(0);
        assert_eq!(&workshop.read(DRAWER), form, "form {index}");
    }
    let tables = format!(
        "{head}name = \"{HINGE}\"\n{}\n[[hinge.learned]]\nbit = \"x\"\nwood = \"teak\"\n",
        tail.split_once("[[hinge]]").unwrap().0
    );
    workshop.write(DRAWER, &tables);
    let words = fit(&workshop, &["--cut", CUT, "--gap", "0.5"])
        .expect(2)
        .stderr;
    assert!(
        flowed(&words).contains("write it as `learned = []`"),
        "{words}"
    );
    assert_eq!(workshop.read(DRAWER), tables);
}

/// Two runs at once, one after the other: neither loses what the other wrote.
#[test]
fn taking_back_in_one_job_leaves_what_another_taught_the_drawer() {
    let workshop = from_the_drawer();
    const OTHER: &str = "examples/other.toml";
    let title = [("title   = \"Tea box\"", "title   = \"Other box\"")];
    workshop.vary(JOB, OTHER, &title);
    workshop.run(&["generate", OTHER, "-o", "out"]).expect(0);
    let other = workshop.read(OTHER);
    let reading = ["--cut", "out/other.nc", "--outside-box", "3.25mm"];
    workshop
        .run(&[&["fit", OTHER][..], &reading[..]].concat())
        .expect(0);
    assert_ne!(workshop.read(OTHER), other);
    // Both entries are the first of their job.
    test_piece(&workshop);
    let piece = "out/tea-box-test-piece.nc";
    fit(
        &workshop,
        &[&["--cut", piece][..], &SCRAP[..], &["--pocket", "4"][..]].concat(),
    )
    .expect(0);
    let taught = workshop.read(DRAWER);
    assert!(taught.contains("number = 1"), "{taught}");
    let run = workshop.run(&["fit", OTHER, "--undo"]).expect(0);
    assert!(run.stdout.contains("fit.box_v"), "{}", run.stdout);
    assert_eq!(workshop.read(OTHER), other);
    assert_eq!(workshop.read(DRAWER), taught);
}

#[test]
fn two_readings_at_once_are_both_entered() {
    let workshop = from_the_drawer();
    workshop.vary(
        JOB,
        "examples/second.toml",
        &[("\"black walnut\"", "\"teak\"")],
    );
    workshop
        .run(&["generate", "examples/second.toml", "-o", "out"])
        .expect(0);
    let mut first = workshop.command(&["fit", JOB, "--cut", CUT, "--gap", "0.5"]);
    let mut second = workshop.command(&[
        "fit",
        "examples/second.toml",
        "--cut",
        "out/second.nc",
        "--gap",
        "0.6",
    ]);
    let (mut one, mut two) = (first.spawn().unwrap(), second.spawn().unwrap());
    assert!(one.wait().unwrap().success() && two.wait().unwrap().success());
    let drawer = workshop.read(DRAWER);
    assert!(
        drawer.contains("wood = \"black walnut\", depth = 0.05"),
        "{drawer}"
    );
    assert!(
        drawer.contains("wood = \"teak / black walnut\", depth = 0.1"),
        "{drawer}"
    );
}

#[test]
fn a_starter_job_takes_its_hinge_from_a_starter_drawer() {
    let workshop = Workshop::new();
    let init = ["init", "jobs/mine.toml", "--hinges", "shop/hinges.toml"];
    let words = flowed(&workshop.run(&init).expect(0).stderr);
    assert!(
        words.contains("your hinge drawer, shop/hinges.toml"),
        "{words}"
    );
    let job = workshop.read("jobs/mine.toml");
    assert!(job.contains("\nhinges  = \"../shop/hinges.toml\""), "{job}");
    assert!(
        workshop
            .read("shop/hinges.toml")
            .contains("caliper, outside jaws")
    );
    let run = workshop
        .run(&["generate", "jobs/mine.toml", "-o", "out"])
        .expect(0);
    assert!(flowed(&run.stdout).contains(HINGE), "{}", run.stdout);
    // A drawer that is there is the user's: its hinges are not guessed at.
    workshop.write("shop/mine.toml", "[[hinge]]\nname = 'x'\n");
    let init = ["init", "jobs/other.toml", "--hinges", "shop/mine.toml"];
    workshop.run(&init).expect(0);
    assert_eq!(workshop.read("shop/mine.toml"), "[[hinge]]\nname = 'x'\n");
    assert!(
        workshop
            .read("jobs/other.toml")
            .contains("\nclosed_gap = 0.8")
    );
}

/// The judgement of the job at `path`, by the hinges' names.
fn judged(workshop: &Workshop, path: &str) -> Vec<serde_json::Value> {
    let run = workshop
        .run(&["hinges", path, "--format", "json"])
        .expect(0);
    run.json()["hinges"].as_array().unwrap().clone()
}

fn names(judged: &[serde_json::Value]) -> Vec<(&str, &str)> {
    judged
        .iter()
        .map(|one| {
            (
                one["name"].as_str().unwrap(),
                one["verdict"].as_str().unwrap(),
            )
        })
        .collect()
}

fn reasons(judged: &serde_json::Value) -> String {
    let reasons = judged["reasons"].as_array().unwrap().iter();
    let reasons: Vec<&str> = reasons.map(|reason| reason.as_str().unwrap()).collect();
    reasons.join("\n")
}

#[track_caller]
fn near(found: &serde_json::Value, wanted: f64) {
    let number = found.as_f64().unwrap_or(f64::NAN);
    assert!((number - wanted).abs() < 1e-9, "{found} is not {wanted}");
}

// By hand, for lid and wall of 18: the recess of the middling hinge is (0.8 - 0.4) / 2, its body
// 12 + 0.2 + 0.2 = 12.4 deep; 3.5 - 0.05 outside, 18 - 13.55 inside, 18 - 12.4 below, 45 - 22.05
// at the end. The large one is 16.2 + 0.2 + 0.3 = 16.7 deep and reaches 16.75 from the outside.
#[test]
fn each_hinge_of_the_drawer_is_judged_in_the_box() {
    let workshop = from_the_drawer();
    let all = judged(&workshop, JOB);
    assert_eq!(
        names(&all),
        [
            ("small, 32 long", "suits"),
            (HINGE, "suits"),
            ("large, 60 long", "tight")
        ]
    );
    let middling = &all[1];
    for (side, wood) in [
        ("outside", 3.45),
        ("inside", 4.45),
        ("below", 5.6),
        ("end", 22.95),
    ] {
        near(&middling["left"][side], wood);
    }
    near(&middling["thinnest_lid"], 15.4);
    near(&middling["thinnest_wall"], 16.55);
    assert_eq!(middling["count"], 2);
    assert_eq!(middling["bit"], "6 mm up-spiral");
    assert_eq!(middling["opens_flat"], true);
    assert!(middling["reasons"].as_array().unwrap().is_empty());
    // The hand's figures of the advice: 283 N a leaf.
    assert!(
        middling["screws"][0]
            .as_str()
            .unwrap()
            .contains("may carry 283 N")
    );
    let large = reasons(&all[2]);
    assert!(
        large.contains("16.7 deep leaves 1.3 under the lid, wanted 3 mm"),
        "{large}"
    );
    assert!(
        large.contains(
            "12.8 wide at a setback of 4 leaves 1.25 to the inside face of the box, wanted 3 mm"
        ),
        "{large}"
    );
    near(&all[2]["thinnest_lid"], 19.7);
    let text = workshop.run(&["hinges", JOB]).expect(0).stdout;
    assert!(text.contains("\nmiddling, 44 long: suits\n"), "{text}");
    let lines = flowed(&text);
    assert!(lines.contains("large, 60 long: tight, "), "{text}");
    assert!(
        lines.contains("wants a lid at least 15.40 thick and a hinged wall of 16.55"),
        "{text}"
    );
}

#[test]
fn a_hinge_too_deep_or_too_wide_is_told_with_the_figures() {
    let workshop = from_the_drawer();
    workshop.vary(
        JOB,
        "examples/thin.toml",
        &[("thickness = 18", "thickness = 14")],
    );
    let all = judged(&workshop, "examples/thin.toml");
    assert_eq!(
        names(&all),
        [
            ("small, 32 long", "suits"),
            (HINGE, "tight"),
            ("large, 60 long", "does not")
        ]
    );
    let middling = reasons(&all[1]);
    assert!(
        middling.starts_with("12.4 deep leaves 1.6 under the lid, wanted 3"),
        "{middling}"
    );
    let large = reasons(&all[2]);
    assert!(
        large.starts_with("16.7 deep goes through the lid by 2.7 mm"),
        "{large}"
    );
    let text = flowed(
        &workshop
            .run(&["hinges", "examples/thin.toml"])
            .expect(0)
            .stdout,
    );
    assert!(
        text.contains("large, 60 long: does not, 16.7 deep goes through"),
        "{text}"
    );
    // A leaf that stands 4 + 4 apart where 9 would do, and one that may stand 7 apart at most.
    let drawer = workshop
        .read(DRAWER)
        .replace("open_gap   = 9", "open_gap   = 7");
    workshop.write(DRAWER, &drawer);
    let flat = reasons(&judged(&workshop, JOB)[2]);
    assert!(
        flat.contains("opens flat with the leaves 7 apart, here they are 8 mm"),
        "{flat}"
    );
}

/// The other way round agrees with the judge of `generate`: at the thinnest lid
/// and wall nothing warns, a tenth less and it does.
#[test]
fn the_thinnest_lid_and_wall_are_those_at_which_the_judge_is_content() {
    for (job, lid, wall) in [
        (JOB, "thickness = 18", "wall   = 18"),
        (
            "examples/sewing-chest.toml",
            "thickness = 15",
            "wall   = 16",
        ),
    ] {
        let workshop = from_the_drawer();
        let named = if job == JOB { HINGE } else { "small, 32 long" };
        let all = judged(&workshop, job);
        let own = all.iter().find(|one| one["name"] == named).unwrap();
        let thinnest = |key: &str| own[key].as_f64().unwrap();
        let verdicts = |less_lid: f64, less_wall: f64| {
            let (thickness, across) = (
                thinnest("thinnest_lid") - less_lid,
                thinnest("thinnest_wall") - less_wall,
            );
            let (new_lid, new_wall) = (
                format!("thickness = {thickness:.4}"),
                format!("wall = {across:.4}"),
            );
            workshop.vary(
                job,
                "examples/thin.toml",
                &[(lid, &new_lid), (wall, &new_wall)],
            );
            let run = workshop.run(&[
                "generate",
                "examples/thin.toml",
                "-o",
                "out",
                "--format",
                "json",
            ]);
            let run = run.expect(0);
            [run.verdict("wall-left"), run.verdict("floor-left")]
        };
        assert_eq!(verdicts(0.0, 0.0), ["pass", "pass"], "{job}");
        let overlay = job == JOB;
        let (floor, side) = (["pass", "warn"], ["warn", "pass"]);
        assert_eq!(
            verdicts(0.1, 0.0),
            if overlay { floor } else { side },
            "{job}"
        );
        assert_eq!(
            verdicts(0.0, 0.1),
            if overlay { side } else { floor },
            "{job}"
        );
    }
}

#[test]
fn bits_count_and_overrides_are_looked_at_too() {
    let workshop = from_the_drawer();
    // 1 mm wide: no bit of the rack goes in.
    let drawer = workshop.read(DRAWER);
    let narrow = drawer
        .replacen("width      = 8\n", "width      = 1\n", 1)
        .replacen(", width = 7.5, corner = 3", "", 1);
    workshop.write(DRAWER, &narrow);
    let all = judged(&workshop, JOB);
    let small = all
        .iter()
        .find(|one| one["name"] == "small, 32 long")
        .unwrap();
    assert_eq!(small["verdict"], "does not");
    assert!(
        reasons(small).contains("no bit of the rack cuts it"),
        "{}",
        reasons(small)
    );
    assert!(small["bit"].is_null());
    workshop.write(DRAWER, &drawer);
    // What the job says over the drawer's is its own hinge's alone.
    workshop.vary(
        JOB,
        "examples/set.toml",
        &[(HINGE, &format!("{HINGE}\"\nsetback = \"5 mm"))],
    );
    let all = judged(&workshop, "examples/set.toml");
    let by = |name: &str| all.iter().find(|one| one["name"] == name).unwrap().clone();
    near(&by(HINGE)["left"]["outside"], 4.95);
    near(&by("small, 32 long")["left"]["outside"], 3.45);
    // Seven such leaves hold a slab of teak 1800 long, by the advice's own sums; by its length
    // alone it wants 3 + (1800 - 600) / 400 = 6.
    workshop.vary(
        JOB,
        "examples/long.toml",
        &[
            ("length = 260", "length = 1800"),
            ("length    = 260", "length    = 1800"),
        ],
    );
    let long = judged(&workshop, "examples/long.toml");
    let middling = long.iter().find(|one| one["name"] == HINGE).unwrap();
    assert_eq!(middling["count"], 6);
    assert!(
        reasons(middling).contains("6 are usual"),
        "{}",
        reasons(middling)
    );
    // Two hinges that run into each other at 30 from both ends of a short box.
    workshop.vary(
        JOB,
        "examples/short.toml",
        &[
            ("length = 260", "length = 100"),
            ("length    = 260", "length    = 100"),
            ("inset = 45", "inset = 33"),
        ],
    );
    let short = judged(&workshop, "examples/short.toml");
    let large = short
        .iter()
        .find(|one| one["name"] == "large, 60 long")
        .unwrap();
    assert_eq!(large["verdict"], "does not");
    assert!(
        reasons(large).contains("into each other"),
        "{}",
        reasons(large)
    );
}

#[test]
fn a_job_without_a_drawer_is_told_how_to_get_one() {
    let workshop = Workshop::new();
    let run = workshop.run(&["hinges", JOB]).expect(2);
    let words = flowed(&run.stderr);
    assert!(
        words.contains("names no hinge drawer") && words.contains("init --hinges"),
        "{words}"
    );
    // The job's own hinge need not be one that can be cut.
    let workshop = from_the_drawer();
    workshop.vary(JOB, "examples/lost.toml", &[(HINGE, "lost")]);
    assert_eq!(judged(&workshop, "examples/lost.toml").len(), 3);
}
