//! The hinge drawer, through the program: a hinge by its name, what its pockets
//! taught, and what of it suits a box.

use crate::harness::{Run, Workshop};

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

/// With the words of a text on one line.
fn flowed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
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
