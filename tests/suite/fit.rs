//! The loop of the fit, through the program: test piece, reading, correction.

use crate::harness::Workshop;

const JOB: &str = "examples/tea-box.toml";

/// Least and greatest Y of the moves under Z0, on the lid's side of the divider.
fn lid_extent(program: &str) -> (f64, f64) {
    let (mut y, mut z) = (0.0, 0.0);
    let mut extent = (f64::MAX, f64::MIN);
    for line in program.lines().filter(|line| !line.starts_with('(')) {
        for word in line.split_whitespace() {
            let number = || word[1..].parse::<f64>().unwrap();
            match &word[..1] {
                "Y" => y = number(),
                "Z" => z = number(),
                _ => {}
            }
        }
        if z < 0.0 && y > 0.0 {
            extent = (extent.0.min(y), extent.1.max(y));
        }
    }
    extent
}

fn generate(workshop: &Workshop) -> (f64, f64) {
    workshop.run(&["generate", JOB, "-o", "out"]).expect(0);
    lid_extent(&workshop.read("out/tea-box.nc"))
}

// Setback 3.5 less half the clearance 0.05 leaves 3.45 mm; 3.15 measured is
// 0.30 short, so the lid's pockets move 0.30 mm inward, exactly.
#[test]
fn a_reading_moves_the_lids_pockets_in_the_program_by_exactly_the_correction() {
    let workshop = Workshop::new();
    let before = generate(&workshop);
    let job = workshop.read(JOB);
    let words = workshop
        .run(&["fit", JOB, "--outside-lid", "3.15"])
        .expect(0)
        .stdout;
    assert!(words.contains("lid moved 0.30 mm inward"), "{words}");
    let after = generate(&workshop);
    assert!(
        (after.0 - before.0 - 0.3).abs() < 1e-9,
        "{before:?} {after:?}"
    );
    assert!(
        (after.1 - before.1 - 0.3).abs() < 1e-9,
        "{before:?} {after:?}"
    );
    let corrected = workshop.read(JOB);
    for line in job.lines() {
        assert!(corrected.lines().any(|other| other == line), "{line}");
    }
}

#[test]
fn a_reading_is_never_applied_twice_and_dry_writes_nothing() {
    let workshop = Workshop::new();
    let job = workshop.read(JOB);
    let arguments = ["fit", JOB, "--outside-box", "3.40", "--gap", "0.5"];
    let mut dry = arguments.to_vec();
    dry.push("--dry");
    workshop.run(&dry).expect(0);
    assert_eq!(workshop.read(JOB), job);
    workshop.run(&arguments).expect(0);
    let once = workshop.read(JOB);
    assert_ne!(once, job);
    let words = workshop.run(&arguments).expect(0).stdout;
    assert!(words.contains("booked already"), "{words}");
    assert_eq!(workshop.read(JOB), once);
}

// Clearance 0.10 in the middle of five, 0.05 apart: pocket 5 has 0.20.
#[test]
fn the_test_pieces_pocket_widens_the_next_program() {
    let workshop = Workshop::new();
    let before = generate(&workshop);
    let size = ["--length", "150", "--width", "100", "--thickness", "20"];
    let mut arguments = vec!["test-piece", JOB, "-o", "out"];
    arguments.extend(size);
    let key = workshop.run(&arguments).expect(0).stdout;
    assert!(key.contains("5 ticks: clearance 0.20 mm"), "{key}");
    workshop.run(&["fit", JOB, "--pocket", "5"]).expect(0);
    let after = generate(&workshop);
    let grown = (after.1 - after.0) - (before.1 - before.0);
    assert!((grown - 0.1).abs() < 1e-9, "{before:?} {after:?}");
}

/// The deepest point of the report's program, and the depths of its steps.
fn depths(workshop: &Workshop) -> (f64, Vec<f64>) {
    let run = workshop.run(&["generate", JOB, "-o", "out", "--format", "json"]);
    let report = run.expect(0).json();
    let lowest = report["programs"][0]["bounds"]["min"][2].as_f64().unwrap();
    let pockets = report["pockets"].as_array().unwrap();
    let steps = pockets
        .iter()
        .flat_map(|pocket| pocket["steps"].as_array().unwrap());
    let depths = steps.map(|step| step["depth"].as_f64().unwrap()).collect();
    (lowest, depths)
}

// Depths 0.15 apart around the job's own: pocket 4 is 0.15 deeper.
#[test]
fn the_test_pieces_second_row_deepens_the_next_program_by_exactly_its_step() {
    let workshop = Workshop::new();
    let before = depths(&workshop);
    let series = ["--depth-step", "0.15mm"];
    let mut arguments = vec!["test-piece", JOB, "-o", "out"];
    arguments.extend(["--length", "200", "--width", "100", "--thickness", "20"]);
    arguments.extend(series);
    let key = workshop.run(&arguments).expect(0).stdout;
    let key = key.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        key.contains("3 ticks in the second row: leaf 4.70 mm deep, the job's own"),
        "{key}"
    );
    assert!(
        key.contains("it should lie 0.20 mm below the face"),
        "{key}"
    );
    assert!(
        key.contains("4 ticks in the second row: leaf 4.85 mm deep"),
        "{key}"
    );
    let mut arguments = vec!["fit", JOB, "--depth-pocket", "4"];
    workshop.run(&arguments).expect(2);
    arguments.extend(series);
    let words = workshop.run(&arguments).expect(0).stdout;
    assert!(
        words.contains("every step below it 0.15 mm deeper"),
        "{words}"
    );
    let after = depths(&workshop);
    assert!(
        (before.0 - after.0 - 0.15).abs() < 1e-9,
        "{before:?} {after:?}"
    );
    assert_eq!(after.1.len(), 8);
    for (before, after) in before.1.iter().zip(&after.1) {
        assert!((after - before - 0.15).abs() < 1e-9, "{before} {after}");
    }
    let words = workshop.run(&arguments).expect(0).stdout;
    assert!(words.contains("booked already"), "{words}");
    assert_eq!(depths(&workshop), after);
}

#[test]
fn a_negative_reading_is_told_in_our_own_words() {
    let workshop = Workshop::new();
    let job = workshop.read(JOB);
    for option in [
        "--gap",
        "--slot",
        "--outside-box",
        "--outside-lid",
        "--end-box",
        "--end-lid",
        "--step",
        "--depth-step",
    ] {
        for reading in ["-0.1mm", "-0.1"] {
            let run = workshop.run(&[
                "fit", JOB, "--pocket", "3", option, reading, "--format", "json",
            ]);
            let errors = run.expect(2).json();
            let message = errors["errors"][0]["message"].as_str().unwrap();
            let wanted = format!("{option} is {reading}, allowed is more than 0");
            assert!(message.starts_with(&wanted), "{message}");
        }
    }
    for option in ["--length", "--width", "--thickness"] {
        let mut arguments = vec!["test-piece", JOB, "--format", "json"];
        for other in ["--length", "--width", "--thickness"] {
            arguments.extend([other, if other == option { "-20mm" } else { "200" }]);
        }
        let errors = workshop.run(&arguments).expect(2).json();
        let message = errors["errors"][0]["message"].as_str().unwrap();
        assert!(
            message.starts_with(&format!("{option} is -20mm")),
            "{message}"
        );
    }
    for (wear, words) in [
        ("-0.5", "--wear is -0.5"),
        ("0,6", "write 0.6"),
        ("60%", "write 0.6"),
        ("60", "60 % is 0.6"),
    ] {
        let run = workshop.run(&["generate", JOB, "--wear", wear, "--format", "json"]);
        let errors = run.expect(2).json();
        let message = errors["errors"][0]["message"].as_str().unwrap();
        assert!(message.contains(words), "{message}");
    }
    assert_eq!(workshop.read(JOB), job);
}

#[test]
fn a_slot_lands_in_the_rack_with_its_comments() {
    let workshop = Workshop::new();
    let rack = workshop.read("machines/bits.toml");
    let run = workshop.run(&["fit", JOB, "--slot", "6.03 mm", "--format", "json"]);
    let report = run.expect(0).json();
    assert_eq!(report["changed"][0], "examples/../machines/bits.toml");
    let corrected = workshop.read("machines/bits.toml");
    assert!(corrected.contains("measured = 6.03"));
    for line in rack.lines() {
        assert!(corrected.lines().any(|other| other == line), "{line}");
    }
}

#[test]
fn corrections_that_cannot_be_write_nothing_and_say_what_helps() {
    let workshop = Workshop::new();
    let inch = "examples/recipe-box.toml";
    let (job, rack) = (workshop.read(inch), workshop.read("machines/bits.toml"));
    let run = workshop.run(&["fit", inch, "--slot", "0.26"]).expect(2);
    let words = run.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("thinner bit"), "{words}");
    for wrong in ["abc", "-1", "0", "nan", "1/0in"] {
        let option = format!("--gap={wrong}");
        workshop.run(&["fit", inch, &option]).expect(2);
    }
    workshop.run(&["fit", inch]).expect(2);
    workshop.run(&["fit", inch, "--pocket", "6"]).expect(2);
    assert_eq!(workshop.read(inch), job);
    assert_eq!(workshop.read("machines/bits.toml"), rack);
}

// The file keeps five decimals of an inch, so 2.5 mm comes back as 2.50012.
#[test]
fn a_reading_that_the_file_rounds_is_not_booked_twice_either() {
    let inch = "examples/recipe-box.toml";
    for (job, option, reading) in [
        (inch, "--outside-box", "2.5mm"),
        (inch, "--gap", "0.3mm"),
        (inch, "--end-lid", "28.3mm"),
        (JOB, "--outside-box", "9/64 in"),
    ] {
        let workshop = Workshop::new();
        workshop.run(&["fit", job, option, reading]).expect(0);
        let once = workshop.read(job);
        let words = workshop
            .run(&["fit", job, option, reading])
            .expect(0)
            .stdout;
        assert!(words.contains("booked already"), "{option}: {words}");
        assert_eq!(workshop.read(job), once, "{option}");
    }
}

// The setback of 3.5 less half the clearance of 0.1 is 3.45 mm: a micrometre
// off it is no correction.
#[test]
fn a_reading_as_wanted_moves_nothing() {
    let workshop = Workshop::new();
    let job = workshop.read(JOB);
    let words = workshop
        .run(&["fit", JOB, "--outside-lid", "3.4513"])
        .expect(0)
        .stdout;
    assert!(words.contains("lid stays where it is"), "{words}");
    assert!(words.contains("nothing changed"), "{words}");
    assert_eq!(workshop.read(JOB), job);
}
