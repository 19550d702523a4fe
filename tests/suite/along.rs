//! `fixture.along`: the same layouts a quarter turn round.

use serde_json::Value;

use crate::centers::{assert_centers, assert_moved, centers, generate};
use crate::harness::{Run, Workshop, examples, flowed, stem, words_of};
use crate::test_piece;

/// The clamps of the tea box, as they lie on the machine after a quarter turn.
const TURNED_CLAMPS: [(&str, &str); 2] = [
    (
        "min = [105, -180], max = [155, -130]",
        "min = [130, 105], max = [180, 155]",
    ),
    (
        "min = [105, 130], max = [155, 190]",
        "min = [-190, 105], max = [-130, 155]",
    ),
];

/// A copy of an example with its hinged edges along Y, on the same machine
/// where the longer travel is that of Y.
fn along_y(workshop: &Workshop, example: &str, more: &str) -> String {
    let text = workshop.read(example);
    for (machine, travel, turned) in [
        (
            "benchtop-mm",
            "travel = [400, 300, 90]",
            "travel = [300, 400, 90]",
        ),
        (
            "benchtop-in",
            "travel = [16, 12, 3.5]",
            "travel = [12, 16, 3.5]",
        ),
    ] {
        let shipped = format!("machines/{machine}.toml");
        let replacement = [(travel, turned)];
        workshop.vary(
            &shipped,
            &format!("machines/{machine}-turned.toml"),
            &replacement,
        );
    }
    let name = format!("turned/{}.toml", stem(example));
    let fixture = format!("[fixture]\nalong = \"y\"\n{more}");
    let mut replacements = vec![
        ("[fixture]\n", fixture.as_str()),
        ("-mm.toml", "-mm-turned.toml"),
    ];
    if text.contains("benchtop-in") {
        replacements[1] = ("-in.toml", "-in-turned.toml");
    }
    if text.contains("clamps") {
        replacements.extend(TURNED_CLAMPS);
    }
    workshop.vary(example, &name, &replacements);
    name
}

fn simulate(workshop: &Workshop, program: &str, job: &str) -> Run {
    workshop.run(&["simulate", program, "--job", job, "--format", "json"])
}

/// Length and width of every step, pocket by pocket.
fn sizes(report: &Value) -> Vec<(f64, f64)> {
    let pockets = report["pockets"].as_array().unwrap().iter();
    let steps = pockets.flat_map(|pocket| pocket["steps"].as_array().unwrap());
    let size = |step: &Value| {
        let [length, width] = ["length", "width"].map(|key| step[key].as_f64().unwrap());
        ((length * 1e6).round(), (width * 1e6).round())
    };
    steps.map(size).collect()
}

#[test]
fn every_example_passes_along_y_and_is_turned() {
    let workshop = Workshop::new();
    for example in examples() {
        for (end, sign) in [("left", 1.0), ("right", -1.0)] {
            // Clamps lie where they lie: the tea box's are in the way of the other end.
            if end == "right" && stem(&example) == "tea-box" {
                continue;
            }
            let straight = generate(&workshop, &example, "out");
            let job = along_y(&workshop, &example, &format!("stop_end = \"{end}\"\n"));
            let turned = generate(&workshop, &job, "out-turned");
            assert_moved(&turned, &straight, |x, y| [-y, sign * x]);
            // Length is along the hinged edge, whichever axis that is.
            assert_eq!(sizes(&turned), sizes(&straight), "{example}");
        }
    }
}

/// By hand, tea box: X = 6 + 3.5 + 5 from the middle of the divider, the box's
/// side positive; Y = u.
#[test]
fn a_book_along_y_has_the_box_at_larger_x() {
    let workshop = Workshop::new();
    let job = along_y(&workshop, "examples/tea-box.toml", "");
    assert_centers(
        &generate(&workshop, &job, "out"),
        &[
            ("box", 1, 14.5, 45.0),
            ("box", 2, 14.5, 215.0),
            ("lid", 1, -14.5, 45.0),
            ("lid", 2, -14.5, 215.0),
        ],
    );
}

#[test]
fn a_program_along_the_other_axis_is_refused() {
    let workshop = Workshop::new();
    for example in examples() {
        let job = along_y(&workshop, &example, "");
        generate(&workshop, &example, "straight");
        generate(&workshop, &job, "turned-out");
        for (folder, job) in [("straight", &job), ("turned-out", &example)] {
            let program = format!("{folder}/{}.nc", stem(&example));
            let run = simulate(&workshop, &program, job).expect(1);
            assert_eq!(run.verdict("pocket-complete"), "fail", "{program} {job}");
        }
    }
}

/// The clamp stays where it is stated: about the first pocket of the turned
/// box, and far from every pocket of the one that is not turned.
#[test]
fn clamps_are_not_turned_with_the_layout() {
    let workshop = Workshop::new();
    let clamp = "[fixture]\nclamps = [ { name = \"low clamp\", min = [\"10 mm\", \"40 mm\"], max = [\"20 mm\", \"60 mm\"], height = \"3 mm\" } ]\n";
    let straight = "clamped/recipe-box.toml";
    workshop.vary(
        "examples/recipe-box.toml",
        straight,
        &[("[fixture]\n", clamp)],
    );
    generate(&workshop, straight, "out");
    let turned = "clamped/turned.toml";
    workshop.vary(
        straight,
        turned,
        &[("[fixture]\n", "[fixture]\nalong = \"y\"\n")],
    );
    let run = workshop.run(&["generate", turned, "-o", "out", "--format", "json"]);
    assert_eq!(run.expect(1).verdict("clamp-clearance"), "fail");
}

/// Each part with a zero of its own and a way to park, in shared coordinates.
#[test]
fn own_zeros_lie_a_quarter_turn_round_and_park_does_not() {
    let workshop = Workshop::new();
    for (example, parked) in [
        // In the lid's own frame, whose zero lies half a divider of 12.7 back along X.
        ("examples/recipe-box.toml", "G0 X-2.1122 Y3.9370"),
        // Half a stop of 10 on along Y.
        ("examples/sewing-chest.toml", "G0 X-60.000 Y95.000"),
    ] {
        let shared = along_y(&workshop, example, "");
        let expected = centers(&generate(&workshop, &shared, "shared"));
        let each = "zero = \"each\"\npark = [\"-60 mm\", \"100 mm\"]\n";
        let each = along_y(&workshop, example, each);
        assert_eq!(centers(&generate(&workshop, &each, "each")), expected);
        let program = workshop.read(&format!("each/{}.nc", stem(example)));
        let last = program.lines().rev().find(|line| line.starts_with("G0 X"));
        assert_eq!(last, Some(parked), "{example}");
    }
}

#[test]
fn the_sheet_is_seen_from_the_side_and_names_the_other_axis() {
    let workshop = Workshop::new();
    let words = |job: &str| {
        generate(&workshop, job, "out");
        words_of(&workshop.read(&format!("out/{}.html", stem(job))))
    };
    let book = words(&along_y(&workshop, "examples/tea-box.toml", ""));
    for wanted in [
        "Seen from the machine's right-hand side: Y runs to the right, X towards you. Like a book",
        "seen from the machine's right",
        "opened like a book about the divider, along Y",
        "from the side of larger Y (parts not in): Y3.000 ",
        "from the side of smaller Y and type Y-3.000",
        "An error in X counts twice",
        "Y at the stop, X in the middle of the divider",
        "zero X is wrong",
        // Half of 12 and half of the bit's 6, on the lid's side.
        "X-9.000",
        "box 1 at X 14.50 mm Y 45.00 mm",
        // The plan's labels: the box's outside face and pockets, the far end.
        "X 6.00 box outside face",
        "X 14.50 box pocket centres",
        "X −14.50 lid pocket centres",
        "Y 260.00",
    ] {
        assert!(book.contains(wanted), "{wanted}");
    }
    let line = words(&along_y(&workshop, "examples/sewing-chest.toml", ""));
    for wanted in [
        "end to end along one fence, along Y",
        "An error in Y counts twice",
        "Y in the middle of the centre stop, X at the fence",
        "zero Y is wrong",
        "X 0.00 fence: rim, show face",
        "X −9.50 box pocket centres",
    ] {
        assert!(line.contains(wanted), "{wanted}");
    }
    let straight = words("examples/tea-box.toml");
    assert!(!straight.contains("Seen from"));
}

#[test]
fn the_head_of_a_program_names_the_axes() {
    let workshop = Workshop::new();
    for (example, words) in [
        (
            "examples/recipe-box.toml",
            "zero Y at the stop ends, X in the middle of the divider",
        ),
        (
            "examples/sewing-chest.toml",
            "zero Y in the middle of the stop, X at the fence",
        ),
    ] {
        let job = along_y(&workshop, example, "");
        generate(&workshop, &job, "out");
        let program = workshop.read(&format!("out/{}.nc", stem(example)));
        assert!(program.contains(words), "{example}: {words}");
    }
}

/// A lid pocket 0.3 nearer to the fence and 0.2 nearer to the stop end than
/// wanted: v is -X there and u is Y.
#[test]
fn readings_are_entered_in_the_parts_own_frame() {
    let workshop = Workshop::new();
    let job = along_y(&workshop, "examples/tea-box.toml", "");
    generate(&workshop, &job, "out");
    let fit = ["fit", &job, "--cut", "out/tea-box.nc"];
    // Both parts off alike across the edges: the zero, which lies along X.
    let alike = ["--outside-box", "3.75", "--outside-lid", "3.15"];
    let run = workshop.run(&[&fit[..], &alike].concat()).expect(2);
    let asked = flowed(&run.stderr);
    assert!(asked.contains("that is the X zero"), "{asked}");
    let readings = ["--outside-lid", "3.15", "--end-lid", "22.75"];
    workshop.run(&[&fit[..], &readings].concat()).expect(0);
    assert_centers(
        &generate(&workshop, &job, "out"),
        &[
            ("box", 1, 14.5, 45.0),
            ("box", 2, 14.5, 215.0),
            ("lid", 1, -14.8, 45.2),
            ("lid", 2, -14.8, 215.2),
        ],
    );
}

#[test]
fn a_test_piece_is_not_turned() {
    let workshop = Workshop::new();
    let job = along_y(&workshop, "examples/tea-box.toml", "");
    let lines = |job: &str, folder: &str| {
        let text = test_piece::program(&workshop, job, folder);
        let moves = text.lines().filter(|line| line.starts_with('G'));
        moves
            .filter(|line| line.contains('X') || line.contains('Y'))
            .map(|line| line.split(" F").next().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    assert_eq!(lines(&job, "b"), lines("examples/tea-box.toml", "a"));
}

#[test]
fn explain_says_what_is_not_turned() {
    let workshop = Workshop::new();
    let told = workshop.run(&["explain", "fixture.along"]).expect(0).stdout;
    let told = flowed(&told);
    assert!(told.contains("X, Y become −Y, X"), "{told}");
    assert!(told.contains("Clamps, `park` and `machine_zero`"), "{told}");
    assert!(told.contains("are not turned"), "{told}");
}
