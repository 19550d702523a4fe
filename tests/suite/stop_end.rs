//! `fixture.stop_end`: the same box laid against a stop at the other end.

use crate::centers::{assert_centers, assert_moved, centers, generate};
use crate::harness::{Workshop, examples, flowed, stem, words_of};
use crate::test_piece;

/// The clamps of the tea box, as they lie on the machine when its parts lie
/// on the other side of the stop.
const MIRRORED_CLAMPS: [(&str, &str); 2] = [
    (
        "min = [105, -180], max = [155, -130]",
        "min = [-155, -180], max = [-105, -130]",
    ),
    (
        "min = [105, 130], max = [155, 190]",
        "min = [-155, 130], max = [-105, 190]",
    ),
];

/// A copy of an example with its stop at the right-hand end.
fn with_stop_on_the_right(workshop: &Workshop, example: &str) -> String {
    let name = format!("right/{}.toml", stem(example));
    let mut replacements = vec![("[fixture]\n", "[fixture]\nstop_end = \"right\"\n")];
    if workshop.read(example).contains("clamps") {
        replacements.extend(MIRRORED_CLAMPS);
    }
    workshop.vary(example, &name, &replacements);
    name
}

#[test]
fn every_example_passes_with_its_stop_at_either_end_and_is_mirrored() {
    let workshop = Workshop::new();
    for example in examples() {
        let left = generate(&workshop, &example, "out");
        let job = with_stop_on_the_right(&workshop, &example);
        let right = generate(&workshop, &job, "out-right");
        assert_moved(&right, &left, |x, y| [-x, y]);
        for report in [&left, &right] {
            let checks = report["checks"].as_array().unwrap();
            assert!(checks.iter().all(|check| check["verdict"] != "fail"));
        }
    }
}

/// By hand, tea box: X = -u, u 45 and 260 - 45; Y = 6 + 3.5 + 5 from the middle
/// of the divider.
#[test]
fn a_book_runs_to_the_left_of_a_stop_on_the_right() {
    let workshop = Workshop::new();
    let job = with_stop_on_the_right(&workshop, "examples/tea-box.toml");
    assert_centers(
        &generate(&workshop, &job, "out"),
        &[
            ("box", 1, -45.0, -14.5),
            ("box", 2, -215.0, -14.5),
            ("lid", 1, -45.0, 14.5),
            ("lid", 2, -215.0, 14.5),
        ],
    );
}

/// By hand, sewing chest: the centre stop is 10 thick, the hinges lie 46 and
/// 150 from the box's stop end, 16.5 less from the lid's; X is 5 more.
#[test]
fn parts_end_to_end_change_sides_with_a_stop_on_the_right() {
    let workshop = Workshop::new();
    let job = with_stop_on_the_right(&workshop, "examples/sewing-chest.toml");
    let report = generate(&workshop, &job, "out");
    let x: Vec<f64> = centers(&report)
        .into_iter()
        .map(|center| center.2)
        .collect();
    for (found, expected) in x.iter().zip([51.0, 155.0, -34.5, -138.5]) {
        assert!((found - expected).abs() < 1e-6, "{x:?}");
    }
}

#[test]
fn a_program_for_the_other_end_is_refused() {
    let workshop = Workshop::new();
    for (example, refusals) in [
        // The parts of a book lie where the other program leaves the air.
        (
            "examples/recipe-box.toml",
            ["pocket-complete", "travel-height"],
        ),
        // Box and lid have changed sides: each gets the other's pockets.
        (
            "examples/sewing-chest.toml",
            ["pocket-complete", "pocket-bounds"],
        ),
    ] {
        let job = with_stop_on_the_right(&workshop, example);
        generate(&workshop, example, "left");
        generate(&workshop, &job, "right-out");
        for (folder, job) in [("left", job.as_str()), ("right-out", example)] {
            let program = format!("{folder}/{}.nc", stem(example));
            let arguments = ["simulate", &program, "--job", job, "--format", "json"];
            let run = workshop.run(&arguments).expect(1);
            for refusal in refusals {
                assert_eq!(run.verdict(refusal), "fail", "{refusal}: {program} {job}");
            }
        }
    }
}

/// Each part with a zero of its own, a way to park, and a machine whose zero
/// is known: all of it lies on the side that the stop leaves to the parts.
#[test]
fn own_zeros_and_a_park_position_lie_on_the_other_side_too() {
    let workshop = Workshop::new();
    for example in ["examples/recipe-box.toml", "examples/sewing-chest.toml"] {
        let name = format!("each/{}.toml", stem(example));
        let fixture =
            "[fixture]\nstop_end = \"right\"\nzero = \"each\"\npark = [\"-60 mm\", \"100 mm\"]\n";
        workshop.vary(example, &name, &[("[fixture]\n", fixture)]);
        let shared = with_stop_on_the_right(&workshop, example);
        let expected = centers(&generate(&workshop, &shared, "shared"));
        assert_eq!(centers(&generate(&workshop, &name, "each-out")), expected);
        let program = workshop.read(&format!("each-out/{}.nc", stem(example)));
        let last = program.lines().rev().find(|line| line.starts_with("G0 X"));
        // In the last part's own frame: half the divider from the shared zero.
        let parked = match example {
            "examples/recipe-box.toml" => "G0 X-2.3622 Y3.6870",
            _ => "G0 X-55.000 Y100.000",
        };
        assert_eq!(last, Some(parked), "{example}");
    }
}

#[test]
fn the_sheet_says_at_which_end_the_stop_stands() {
    let workshop = Workshop::new();
    let words = |job: &str, folder: &str| {
        generate(&workshop, job, folder);
        words_of(&workshop.read(&format!("{folder}/{}.html", stem(job))))
    };
    let book = with_stop_on_the_right(&workshop, "examples/tea-box.toml");
    let (left, right) = (words("examples/tea-box.toml", "a"), words(&book, "b"));
    for (page, stop, wood, typed, without) in [
        (
            &left,
            "left",
            "right",
            "X3.000",
            "from the left and type X-3.000",
        ),
        (
            &right,
            "right",
            "left",
            "X-3.000",
            "from the right and type X3.000",
        ),
    ] {
        for wanted in [
            format!("Both stop ends against the stop on the {stop}."),
            format!("both stop ends against the stop on the {stop}."),
            format!("from the {wood} (parts not in): {typed} "),
            without.to_owned(),
            format!("the stop on the {stop} stands no higher"),
        ] {
            assert!(page.contains(&wanted), "{stop}: {wanted}");
        }
        assert!(!page.contains(&format!("stop on the {wood}")), "{stop}");
    }
    let line = with_stop_on_the_right(&workshop, "examples/sewing-chest.toml");
    let page = words(&line, "c");
    for wanted in [
        "On the left: the lid",
        "On the right: the hinged wall as a loose board",
        "Lid on the left, box on the right",
        // Half of 10 and half of the bit's 5.
        "X-7.500",
    ] {
        assert!(page.contains(wanted), "{wanted}");
    }
}

/// Setback 3.5 less half the clearance leaves 3.45 outside, 45 less half of
/// 44.1 leaves 22.95 to the stop end, at whichever end it is.
#[test]
fn readings_are_entered_in_the_parts_own_frame() {
    let workshop = Workshop::new();
    let job = with_stop_on_the_right(&workshop, "examples/tea-box.toml");
    generate(&workshop, &job, "out");
    let readings = ["--outside-lid", "3.15", "--end-lid", "22.75"];
    let fit = ["fit", &job, "--cut", "out/tea-box.nc"];
    workshop.run(&[&fit[..], &readings].concat()).expect(0);
    assert_centers(
        &generate(&workshop, &job, "out"),
        &[
            ("box", 1, -45.0, -14.5),
            ("box", 2, -215.0, -14.5),
            ("lid", 1, -45.2, 14.8),
            ("lid", 2, -215.2, 14.8),
        ],
    );
}

#[test]
fn a_test_piece_has_no_stop() {
    let workshop = Workshop::new();
    let job = with_stop_on_the_right(&workshop, "examples/tea-box.toml");
    let program = |job: &str, folder: &str| {
        let text = test_piece::program(&workshop, job, folder);
        let lines = text.lines().filter(|line| !line.contains("inputs "));
        lines.map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(program(&job, "b"), program("examples/tea-box.toml", "a"));
}

#[test]
fn explain_tells_what_the_key_means() {
    let workshop = Workshop::new();
    let told = workshop
        .run(&["explain", "fixture.stop_end"])
        .expect(0)
        .stdout;
    let told = flowed(&told);
    assert!(told.contains("X runs towards the left from it"), "{told}");
    assert!(told.contains("as they lie on the machine"), "{told}");
}
