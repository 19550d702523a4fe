//! `stepwell template`: the plate that guides a hand-held router, made and proved
//! by the command line.

use serde_json::Value;

use crate::harness::{Run, Workshop, flowed};

const CHEST: &str = "examples/blanket-chest.toml";
const CABINET: &str = "examples/wall-cabinet.toml";

fn made(workshop: &Workshop, job: &str) -> Value {
    let run = workshop.run(&["template", job, "-o", "out", "--format", "json"]);
    assert_eq!(run.code, 0, "{}{}", run.stdout, run.stderr);
    run.json()
}

#[track_caller]
fn near(value: &Value, wanted: f64) {
    let found = value.as_f64().unwrap();
    assert!((found - wanted).abs() < 0.002, "{found}, wanted {wanted}");
}

#[track_caller]
fn at(value: &Value, wanted: [f64; 2]) {
    near(&value[0], wanted[0]);
    near(&value[1], wanted[1]);
}

/// By hand: pocket 58.1 × 10 (clearance in it), collar 24, bit 8, so all sides out by 8:
/// 74.1 × 26, corner 13, in the middle of a plate of 300 × 220. The body, 34.1 long and
/// 2.5 off: opening 50.1 long about 152.5. End pieces: 37.05 + 2.5 − 25.05 = 14.5 and
/// 9.5 long in their middles; their horns are cut off where they are 2 thick, 12.95 − 2
/// from the middle line, √(13² − 10.95²) = 7.007 before the hollow's centre. Middle of
/// the pocket to the outside face: 4 + 9.9/2 = 8.95. Battens 18 wide.
#[test]
fn the_plate_is_as_worked_out_by_hand() {
    let workshop = Workshop::new();
    let report = made(&workshop, CHEST);
    at(&report["plate"]["min"], [0.0, 0.0]);
    at(&report["plate"]["max"], [300.0, 220.0]);
    near(&report["plate"]["thickness"], 12.0);
    let openings = report["openings"].as_array().unwrap();
    assert_eq!(openings.len(), 1);
    at(&openings[0]["center"], [150.0, 110.0]);
    near(&openings[0]["length"], 74.1);
    near(&openings[0]["width"], 26.0);
    near(&openings[0]["corner"], 13.0);
    let pieces = report["inserts"][0]["pieces"].as_array().unwrap();
    assert_eq!(report["inserts"][0]["step"], 2);
    for (piece, middle) in pieces.iter().zip([14.5, 9.5]) {
        let size = |axis: usize| {
            piece["max"][axis].as_f64().unwrap() - piece["min"][axis].as_f64().unwrap()
        };
        let horn = (13.0_f64.powi(2) - 10.95_f64.powi(2)).sqrt();
        assert!((size(0) - (middle + 13.0 - horn)).abs() < 0.002, "{piece}");
        assert!((size(1) - 25.9).abs() < 0.002, "{piece}");
        assert!(
            piece["min"][1].as_f64().unwrap() > 220.0,
            "beside the plate"
        );
        near(&piece["end_radius"], 13.0);
    }
    let grooves = report["grooves"].as_array().unwrap();
    let wanted = [
        ("box", [5.0, 83.05], [109.95, 101.05]),
        ("box", [190.05, 83.05], [295.0, 101.05]),
        ("lid", [5.0, 118.95], [109.95, 136.95]),
        ("lid", [190.05, 118.95], [295.0, 136.95]),
    ];
    assert_eq!(grooves.len(), wanted.len());
    for (groove, (part, min, max)) in grooves.iter().zip(wanted) {
        assert_eq!(groove["part"], part);
        at(&groove["min"], min);
        at(&groove["max"], max);
        near(&groove["depth"], 4.0);
    }
}

/// Derived: pocket as wide as the bit, 3/8 in; the opening is as wide as the collar and
/// 0.1 mm, which is told. 1 3/4 in long: 44.45 + 25.4 − 9.525 = 60.325.
#[test]
fn an_opening_as_wide_as_the_collar_has_room_and_tells_it() {
    let workshop = Workshop::new();
    let report = made(&workshop, CABINET);
    near(&report["openings"][0]["width"], 25.5);
    near(&report["openings"][0]["length"], 60.325);
    let notes = report["notes"].to_string();
    assert!(notes.contains("a collar of 1 in would bind"), "{notes}");
    assert!(notes.contains("0.0039 in wider than 0.375 in"), "{notes}");
}

fn simulate(workshop: &Workshop, program: &str, more: &[&str]) -> Run {
    let mut arguments = vec!["simulate", program, "--job", CHEST, "--format", "json"];
    arguments.extend(more);
    workshop.run(&arguments)
}

fn failed(report: &Value) -> Vec<String> {
    let checks = report["checks"].as_array().unwrap().iter();
    let failed = checks.filter(|check| check["verdict"] == "fail");
    failed
        .map(|check| check["id"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn the_program_is_proved_again_as_what_it_is_and_as_nothing_else() {
    let workshop = Workshop::new();
    made(&workshop, CHEST);
    let program = "out/blanket-chest-template.nc";
    let run = simulate(&workshop, program, &["--template"]);
    assert_eq!(run.code, 0, "{}", run.stdout);
    let again = run.json();
    at(&again["openings"][0]["center"], [150.0, 110.0]);
    assert!(
        !again["notes"]
            .to_string()
            .contains("the job has a template")
    );
    let run = simulate(&workshop, program, &[]);
    assert_eq!(run.code, 1);
    let notes = run.json()["notes"].to_string();
    assert!(notes.contains("say --template"), "{notes}");
    assert!(failed(&run.json()).contains(&"pocket-complete".to_owned()));
}

/// Every tool path moved by 0.2 along X, or one depth made 0.2 less or more.
#[test]
fn a_template_that_is_off_is_refused() {
    let workshop = Workshop::new();
    made(&workshop, CHEST);
    let text = workshop.read("out/blanket-chest-template.nc");
    let shifted: String = text
        .lines()
        .map(|line| {
            let words = line.split(' ').map(|word| match word.strip_prefix('X') {
                Some(x) if !line.starts_with('(') => {
                    format!("X{:.3}", x.parse::<f64>().unwrap() + 0.2)
                }
                _ => word.to_owned(),
            });
            words.collect::<Vec<_>>().join(" ") + "\n"
        })
        .collect();
    for (name, text, wanted) in [
        ("shifted", shifted, "pocket-bounds"),
        (
            "shallow",
            text.replace("Z-12.500", "Z-12.300"),
            "pocket-complete",
        ),
        (
            "deep",
            text.replace("Z-11.500", "Z-11.700"),
            "pocket-bounds",
        ),
        (
            "groove",
            text.replace("Z-4.000", "Z-3.900"),
            "pocket-complete",
        ),
    ] {
        let program = format!("{name}.nc");
        assert_ne!(
            text,
            workshop.read("out/blanket-chest-template.nc"),
            "{name}"
        );
        workshop.write(&program, &text);
        let run = simulate(&workshop, &program, &["--template"]);
        assert_eq!(run.code, 1, "{name}");
        let failed = failed(&run.json());
        assert!(failed.contains(&wanted.to_owned()), "{name}: {failed:?}");
    }
}

/// By hand: the first step leaves 8.95 − 10/2 = 3.95 outside and 110 − 58.1/2 = 80.95 to
/// the stop end. A 4.35 and B 3.75: the bit stands 0.3 inward, the mean 4.05 is 0.1 too
/// much. The grooves then lie 8.95 − 0.3 − 0.1 = 8.55 from the middle: 110 − 8.55.
#[test]
fn trial_cuts_both_ways_round_tell_collar_from_batten() {
    let workshop = Workshop::new();
    workshop.vary(CHEST, "varied/chest.toml", &[]);
    let job = "varied/chest.toml";
    made(&workshop, job);
    let before = workshop.read(job);
    let program = "out/chest-template.nc";
    let fit = |readings: &[&str]| {
        let mut arguments = vec!["fit", job, "--cut", program, "--template"];
        arguments.extend(readings);
        workshop.run(&arguments)
    };
    let run = fit(&["--turned", "4.35", "3.75"]);
    assert_eq!(run.code, 0, "{}{}", run.stdout, run.stderr);
    let said = flowed(&(run.stdout + &run.stderr));
    assert!(
        said.contains("the bit stands 0.30 mm off the collar's middle, inward from the batten"),
        "{said}"
    );
    assert!(
        said.contains("the batten's grooves lie 0.10 mm nearer to the opening"),
        "{said}"
    );
    let now = workshop.read(job);
    assert!(now.contains("off_centre = [0.3, 0"), "{now}");
    assert!(now.contains("batten_off = -0.1"), "{now}");
    // Read again on the same program it changes nothing.
    let run = fit(&["--turned", "4.35", "3.75"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    assert_eq!(workshop.read(job), now);
    // To the right of who stands at the box: towards its stop end, so A is the less.
    let run = fit(&["--turned-end", "80.85", "81.05"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    assert!(workshop.read(job).contains("off_centre = [0.3, 0.1]"));
    let report = made(&workshop, job);
    near(&report["grooves"][0]["max"][1], 101.45);
    near(&report["grooves"][2]["min"][1], 118.55);
    let sheet = flowed(&workshop.read("out/chest-template.html"));
    // The bit stands 0.1 to the right: nearer to the box's stop end, farther from the lid's.
    for words in [
        "for hinge 1 110.10 mm to the right of it",
        "for hinge 1 109.90 mm to the left of it",
        "for hinge 3 109.90 mm to the left of it",
        "for hinge 3 110.10 mm to the right of it",
        "A reads 3.95 mm and B 3.35 mm",
    ] {
        assert!(sheet.contains(words), "{words}");
    }
    let read = workshop.read(job);
    assert_eq!(workshop.run(&["fit", job, "--new-setup"]).code, 0);
    let forgotten = workshop.read(job);
    assert!(forgotten.contains("off_centre = [0, 0]") && forgotten.contains("batten_off = 0"));
    assert_eq!(workshop.run(&["fit", job, "--undo"]).code, 0);
    assert_eq!(workshop.read(job), read);
    for _ in 0..2 {
        assert_eq!(workshop.run(&["fit", job, "--undo"]).code, 0);
    }
    assert_eq!(workshop.read(job), before);
    // 3.95 by 39.5: a slip of the decimal point.
    let run = fit(&["--turned", "39.5", "3.95"]);
    assert_eq!(run.code, 2);
    assert!(run.stderr.contains("check both readings"), "{}", run.stderr);
    // The readings are of a template.
    let run = workshop.run(&["fit", job, "--cut", program, "--turned", "4.35", "3.75"]);
    assert_eq!(run.code, 2);
    assert_eq!(workshop.read(job), before);
}

#[test]
fn what_is_missing_or_cannot_be_is_told() {
    let workshop = Workshop::new();
    let run = workshop.run(&["template", "examples/tea-box.toml", "-o", "out"]);
    assert_eq!(run.code, 2);
    assert!(run.stderr.contains("has no `[template]`"), "{}", run.stderr);
    for (name, from, to, wanted) in [
        (
            "reach",
            "collar_reach = 6                 # below the router's base\n",
            "",
            "`template.collar_reach` is missing",
        ),
        (
            "bit",
            "bit          = \"8 mm straight, hand\"",
            "bit = \"8 mm\"",
            "the rack has no bit `8 mm`",
        ),
        (
            "groove",
            "groove = 4 }",
            "groove = 4, deep = 2 }",
            "unknown key `deep`",
        ),
        (
            "play",
            "batten       =",
            "play = 2\nbatten       =",
            "allowed is from 0 to 0.6 mm",
        ),
    ] {
        let job = format!("varied/{name}.toml");
        workshop.vary(CHEST, &job, &[(from, to)]);
        let run = workshop.run(&["template", &job, "-o", "out"]);
        assert_eq!(run.code, 2, "{name}");
        let said = flowed(&run.stderr);
        assert!(said.contains(wanted), "{name}: {said}");
    }
    assert!(!workshop.path("out").exists());
}

/// Worked out another way than the sheet does: a groove of 104.95 less twice the
/// cutter's radius of 3; half of 150 and 20 is 95, less what the wall carries; depths
/// 4.6 + 0.2 of recess and 12.4 + 0.2 + 0.2 more room.
#[test]
fn the_sheet_tells_the_hand_held_routers_work() {
    let workshop = Workshop::new();
    made(&workshop, CHEST);
    let sheet = flowed(&workshop.read("out/blanket-chest-template.html"));
    for words in [
        "saw it to lengths of box 98.95 mm, box 98.95 mm, lid 98.95 mm, lid 98.95 mm",
        "its stop end is on the right. Plate top up, BOX SIDE towards you",
        "its stop end is on the left. Plate top up, LID SIDE towards you",
        // The collar's middle goes 1 mm to each side: 8.95 + 1 + 95 − 24 inside, 95 + 1 − 8.95 − 18
        // outside, 74.1 + 190 long.
        "on the inner side, 80.95 mm wide and 264.10 mm long",
        "outside, past the batten, 69.05 mm wide and 264.10 mm long",
        "its face, square to the centre line, lies for hinge 1 110.00 mm to the right of it",
        "Unplug the router before you touch bit or collar",
        "Never lift the router while the bit turns",
        "A reads 3.95 mm and B 3.95 mm",
        // 110 − 58.1/2.
        "read from that end to the pocket: A 80.95 mm and B 80.95 mm",
        // 14.5 and 9.5 in their middles, 5.993 more to the horns.
        "the piece 20.493 mm long over all lies at the stop end, on the right, the one of 15.493 mm",
        "the piece 20.493 mm long over all lies at the stop end, on the left, the one of 15.493 mm",
        // 40 − 4, and 12 + 12.8.
        "The batten stands 36.00 mm below the plate and the lid is 24.00 mm thick",
        "the bit stands 24.80 mm out of the base",
        "stepwell fit JOB.toml --cut PROGRAM.nc --template --turned A B",
        "Saw the strip off at Y 220.00 mm",
    ] {
        assert!(sheet.contains(words), "{words}");
    }
    // No tower of tape; and nothing of a pocket that a hinge goes in.
    assert!(sheet.contains("8.00 mm below the stop before<"));
    for words in [
        "layers of tape",
        "The pockets",
        "breaks through",
        "Where to measure the hinge",
    ] {
        assert!(!sheet.contains(words), "{words}");
    }
}

/// A rack with a cutter of 12 mm more, for the example's plate.
fn with_wide_cutter(workshop: &Workshop) {
    let rack = workshop.read("machines/template-bits.toml");
    let wide = "\n[[bit]]\nname = \"12 mm up-spiral\"\nkind = \"up-spiral\"\ndiameter = 12\nflutes = 2\n\
                cutting_length = 30\nstickout = 36\nshank = 12\ntool = 12\n";
    workshop.write("machines/wide-bits.toml", &format!("{rack}{wide}"));
}

/// The pockets are 10 wide; openings are 26, grooves 18, hollows 26.
#[test]
fn a_cutter_wider_than_the_pocket_cuts_the_plate() {
    let workshop = Workshop::new();
    with_wide_cutter(&workshop);
    let job = "varied/wide.toml";
    workshop.vary(
        CHEST,
        job,
        &[
            ("template-bits.toml", "wide-bits.toml"),
            ("bit     = \"6 mm up-spiral\"", "bit = \"12 mm up-spiral\""),
        ],
    );
    let run = workshop.run(&["template", job, "-o", "out"]);
    assert_eq!(run.code, 0, "{}{}", run.stdout, run.stderr);
    let program = "out/wide-template.nc";
    for arguments in [
        &["simulate", program, "--job", job, "--template"][..],
        &["ran", program, "--job", job, "--template", "--dry"],
        &[
            "fit",
            job,
            "--cut",
            program,
            "--template",
            "--turned",
            "4.35",
            "3.75",
            "--dry",
        ],
        &["fit", job, "--show"],
        &[
            "retune",
            program,
            "--job",
            job,
            "--template",
            "--wear",
            "0.1",
            "-o",
            "new.nc",
        ],
    ] {
        let run = workshop.run(arguments);
        assert_eq!(run.code, 0, "{arguments:?}: {}{}", run.stdout, run.stderr);
    }
    let run = workshop.run(&["generate", job, "-o", "out"]);
    assert_eq!(run.code, 2, "{}", run.stdout);
    assert!(
        flowed(&run.stderr).contains("the bit `12 mm up-spiral` cuts 12 mm"),
        "{}",
        run.stderr
    );
}

#[test]
fn a_cutter_too_wide_for_the_plate_is_refused_with_words() {
    let workshop = Workshop::new();
    workshop.vary(CHEST, "varied/batten.toml", &[("width = 18", "width = 5")]);
    let run = workshop.run(&["template", "varied/batten.toml", "-o", "out"]);
    assert_eq!(run.code, 2, "{}", run.stdout);
    let said = flowed(&run.stderr);
    for words in [
        "the groove for the batten is 5 mm wide, the cutter 6 mm",
        "take a thinner cutter or a wider batten",
    ] {
        assert!(said.contains(words), "{said}");
    }
}

/// 74.1 and 50.1 with 20 between them and 95 on both sides are 334.2 long; a step
/// too long for end pieces gets an opening too.
#[test]
fn an_opening_of_its_own_serves_a_step_that_is_off_the_middle() {
    for (name, changes) in [
        ("opening", &[("play", "deep = \"opening\"\nplay")][..]),
        ("fallback", &[("length = 34", "length = 52")]),
    ] {
        let workshop = Workshop::new();
        let job = format!("varied/{name}.toml");
        let mut all = vec![
            ("length = 300", "length = 380"),
            ("batten       =", "play = 0.1\nbatten ="),
        ];
        all.extend(changes);
        workshop.vary(CHEST, &job, &all);
        let report = made(&workshop, &job);
        let openings = report["openings"].as_array().unwrap();
        assert_eq!(openings.len(), 2, "{name}");
        assert!(
            report["inserts"].as_array().is_none_or(Vec::is_empty),
            "{name}"
        );
    }
}

#[test]
fn a_bore_as_wide_as_its_collar_is_refused_where_it_stands() {
    for bore in ["24", "30"] {
        let workshop = Workshop::new();
        let changes = [("collar_bore  = 21", format!("collar_bore = {bore}"))];
        let changes = changes.each_ref().map(|(from, to)| (*from, to.as_str()));
        workshop.vary(CHEST, "varied/bore.toml", &changes);
        let run = workshop.run(&["template", "varied/bore.toml", "-o", "out"]);
        assert_eq!(run.code, 2, "{}", run.stdout);
        let said = flowed(&run.stderr);
        for words in [
            "varied/bore.toml:",
            "`template.collar_bore` is",
            "allowed is less than the collar's outside, 24 mm",
            "`collar` is the collar's outside diameter",
        ] {
            assert!(said.contains(words), "{said}");
        }
    }
}

#[test]
fn a_groove_as_deep_as_the_plate_is_told_in_words() {
    let workshop = Workshop::new();
    workshop.vary(CHEST, "varied/deep.toml", &[("groove = 4", "groove = 12")]);
    let run = workshop.run(&["template", "varied/deep.toml", "-o", "out"]);
    assert_eq!(run.code, 1, "{}{}", run.stdout, run.stderr);
    let said = flowed(&run.stdout);
    assert!(
        !said.contains("at most \u{2212}") && !said.contains("at most -"),
        "{said}"
    );
}

/// By hand: the line runs 1 mm over each end, the bit's radius of 3 more: 8 in all, so
/// 392 of a travel of 400 are left.
#[test]
fn a_plate_too_large_for_the_machine_is_told_how_large_it_may_be() {
    let workshop = Workshop::new();
    let changes = [("length = 300, width = 220", "length = 420, width = 270")];
    workshop.vary(CHEST, "varied/large.toml", &changes);
    let run = workshop.run(&["template", "varied/large.toml", "-o", "out"]);
    assert_eq!(run.code, 1, "{}", run.stderr);
    let said = flowed(&run.stdout);
    for words in [
        "the plate may be 392.00 mm long here at most, since the lines over its edges take 8.00 mm",
        "wide here at most, since the strip with the inserts and the lines over its edges take",
    ] {
        assert!(said.contains(words), "{said}");
    }
    assert!(!said.contains("lay the parts closer"), "{said}");
}

#[test]
fn a_templates_program_is_retuned_as_what_it_is() {
    let workshop = Workshop::new();
    made(&workshop, CHEST);
    let program = "out/blanket-chest-template.nc";
    let retune = |wear: &str, more: &[&str]| {
        let mut arguments = vec!["retune", program, "--job", CHEST, "--wear", wear];
        arguments.extend(["-o", "new.nc"]);
        arguments.extend(more);
        workshop.run(&arguments)
    };
    let run = retune("0.1", &["--template"]);
    assert_eq!(run.code, 0, "{}{}", run.stdout, run.stderr);
    let run = retune("0.9", &["--template"]);
    assert_eq!(run.code, 1, "{}", run.stdout);
    let wanted = "stepwell template examples/blanket-chest.toml --wear 0.9";
    assert!(flowed(&run.stderr).contains(wanted), "{}", run.stderr);
    let run = retune("0.9", &[]);
    assert_eq!(run.code, 1, "{}", run.stdout);
    assert!(
        flowed(&run.stderr).contains("stepwell generate"),
        "{}",
        run.stderr
    );
}

#[test]
fn halves_that_differ_name_the_keys() {
    let workshop = Workshop::new();
    let lid = "lid_steps = [\n  { length = 56, depth = 4.6 },\n  { length = 34, depth = 12.4, shift = 2.5 },\n]\n\n[placement]";
    workshop.vary(CHEST, "varied/halves.toml", &[("[placement]", lid)]);
    let run = workshop.run(&["template", "varied/halves.toml", "-o", "out"]);
    assert_eq!(run.code, 2, "{}", run.stdout);
    let said = flowed(&run.stderr);
    assert!(
        said.contains("`hinge.lid_steps` and `hinge.steps` have different outlines"),
        "{said}"
    );
}
