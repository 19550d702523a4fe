//! A run of boxes: how wear grows, which program cuts which box, when a bit is
//! sharpened, and what the sheet has to tick.

use serde_json::Value;
use sha2::{Digest, Sha256};

use crate::harness::{Workshop, words_of};
use crate::retune::assert_same_but_for_figures;

const JOB: &str = "examples/tea-box.toml";
const BIT: &str = "6 mm up-spiral";
const METAL: (&str, &str) = ("flutes = 2\n", "flutes = 2\nmaterial = \"steel\"\n");

/// A workshop whose bit is of steel, which wears ten times as fast as carbide.
fn steel() -> Workshop {
    let workshop = Workshop::new();
    workshop.vary("machines/bits.toml", "machines/bits.toml", &[METAL]);
    workshop
}

fn rows(report: &Value) -> Vec<&Value> {
    let rows = report["boxes"].as_array().unwrap().iter();
    rows.filter(|row| row["bit"] == BIT).collect()
}

fn generate(workshop: &Workshop, boxes: &str, wear: &str) -> Value {
    let run = workshop.run(&[
        "generate", JOB, "-o", "out", "--boxes", boxes, "--wear", wear, "--format", "json",
    ]);
    run.expect(0).json()
}

// The other way: the programs are entered as run twice, and the rack's record
// tells what the third box begins with.
#[test]
fn wear_grows_as_the_record_of_what_was_run_does() {
    let workshop = Workshop::new();
    let run = generate(&workshop, "3", "0");
    let wear = |row: &Value| row["wear"].as_f64().unwrap();
    let rows = rows(&run);
    assert_eq!(rows.len(), 3);
    assert_eq!(wear(rows[0]), 0.0);
    let programs = ["out/tea-box.nc", "out/tea-box-pilot.nc"];
    let ran = [&["ran"], &programs[..], &["--job", JOB, "--times", "2"]].concat();
    workshop.run(&ran).expect(0);
    let next = workshop.run(&["generate", JOB, "-o", "next", "--format", "json"]);
    let entered = next.json()["feeds"]["wear"].as_f64().unwrap();
    // The record keeps centimetres.
    assert!((wear(rows[2]) - entered).abs() < 0.02 / 3000.0, "{entered}");
    assert!(wear(rows[2]) > 0.0);
}

#[test]
fn a_run_changes_no_byte_of_the_first_program() {
    let workshop = Workshop::new();
    generate(&workshop, "10", "0.3");
    let run = workshop.run(&["generate", JOB, "-o", "one", "--wear", "0.3"]);
    run.expect(0);
    for name in ["tea-box.nc", "tea-box-pilot.nc"] {
        assert_eq!(
            workshop.read(&format!("out/{name}")),
            workshop.read(&format!("one/{name}"))
        );
    }
    assert_eq!(workshop.list("out"), workshop.list("one"));
}

#[test]
fn a_retuned_program_takes_over_before_the_first_one_fails_and_is_proved() {
    let workshop = steel();
    let report = generate(&workshop, "20", "0.55");
    let rows = rows(&report);
    let first = "out/tea-box.nc";
    let change = rows.iter().find(|row| row["program"] != first).unwrap();
    let number = change["box"].as_u64().unwrap();
    let new = format!("out/tea-box-from-{number}.nc");
    assert_eq!(change["program"], new);
    assert_same_but_for_figures(&workshop.read(first), &workshop.read(&new));
    assert_ne!(workshop.read(first), workshop.read(&new));
    let simulated = |program: &str, wear: f64| {
        let wear = wear.to_string();
        let arguments = ["simulate", program, "--job", JOB, "--wear", &wear];
        workshop.run(&arguments).code
    };
    // A box wears what the next row has more.
    let wear = |index: usize| rows[index]["wear"].as_f64().unwrap();
    let index = usize::try_from(number).unwrap() - 1;
    let done = 2.0 * wear(index) - wear(index - 1);
    assert_eq!(simulated(first, wear(index)), 0);
    assert_eq!(simulated(first, done), 1);
    let last = 2.0 * wear(19) - wear(18);
    assert_eq!(simulated(rows[19]["program"].as_str().unwrap(), last), 0);
    assert_eq!(simulated(&new, done), 0);
}

#[test]
fn a_bit_is_sharpened_before_the_box_that_would_wear_it_out() {
    let workshop = steel();
    let report = generate(&workshop, "20", "0.88");
    let rows = rows(&report);
    let wear = |row: &Value| row["wear"].as_f64().unwrap();
    let growth = wear(rows[1]) - wear(rows[0]);
    // The box within which it comes to 1.
    let worn_out = ((1.0 - 0.88) / growth).floor() as u64 + 1;
    let sharpened: Vec<u64> = rows
        .iter()
        .filter(|row| row["sharpen"] == true)
        .map(|row| row["box"].as_u64().unwrap())
        .collect();
    assert_eq!(sharpened, [worn_out]);
    let after = rows.iter().find(|row| row["box"] == worn_out).unwrap();
    assert_eq!(wear(after), 0.0);
    let told = workshop.run(&[
        "generate", JOB, "-o", "out", "--boxes", "20", "--wear", "0.88",
    ]);
    let told = crate::harness::flowed(&told.stdout);
    let words = format!("sharpen or replace `{BIT}` before box {worn_out}, and generate anew");
    assert!(told.contains(&words), "{told}");
    assert!(words_of(&workshop.read("out/tea-box.html")).contains(&words));
}

#[test]
fn the_sheet_has_a_row_to_tick_for_each_box_and_the_programs_as_written() {
    let workshop = steel();
    let report = generate(&workshop, "20", "0.55");
    let page = workshop.read("out/tea-box.html");
    let (_, section) = page.split_once("id=\"boxes\"").unwrap();
    let (section, _) = section.split_once("</section>").unwrap();
    assert_eq!(section.matches("type=\"checkbox\"").count(), 20);
    assert_eq!(section.matches("class=\"blank\"").count(), 40);
    let words = words_of(section);
    let new = workshop
        .list("out")
        .into_iter()
        .find(|name| name.contains("-from-"))
        .unwrap();
    let digest = Sha256::digest(workshop.read(&format!("out/{new}")));
    let digest = data_encoding::HEXLOWER.encode(&digest);
    assert!(words.contains(&format!("SHA-256 {digest}")), "{words}");
    // First of all, first after the change, and every fifth.
    let number: u32 = new
        .trim_end_matches(".nc")
        .rsplit('-')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    for box_number in 1..=20 {
        let measured = words.contains(&format!(" {box_number} measure tea-box"));
        let wanted = box_number == 1 || box_number == number || box_number % 5 == 0;
        assert_eq!(measured, wanted, "{box_number}: {words}");
    }
    let times = report["boxes"].as_array().unwrap().iter();
    let seconds: f64 = times.map(|row| row["seconds"].as_f64().unwrap()).sum();
    let (minutes, rest) = ((seconds / 60.0).floor(), (seconds % 60.0).round());
    let time = format!("Machine time of all: {minutes} min {rest:02} s");
    assert!(words.contains(&time), "{time}: {words}");
    // The sheet's own command proves it.
    let (_, command) = words.split_once("Proved by stepwell ").unwrap();
    let (command, _) = command.split_once(';').unwrap();
    let command = command.trim().replace("JOB.toml", JOB);
    let command = command.replace(&new, &format!("out/{new}"));
    let arguments: Vec<&str> = command.split(' ').collect();
    workshop.run(&arguments).expect(0);
    // The first box is cut by the first programs alone.
    let all = words_of(&page);
    assert!(all.contains("Run tea-box-pilot.nc"), "{all}");
    assert!(!all.contains(&format!("Run {new}")), "{all}");
    // Wood outside the pockets, as the first page has it.
    for part in ["box 1", "lid 1"] {
        assert_eq!(words.matches(&format!("{part}: ")).count(), 1, "{words}");
    }
}

#[test]
fn a_replacement_of_an_earlier_run_is_told() {
    let workshop = steel();
    generate(&workshop, "20", "0.55");
    let old = workshop.list("out");
    let old = old.iter().find(|name| name.contains("-from-")).unwrap();
    workshop.write("out/tea-box-from-here.nc", "of somebody else");
    for boxes in [&[][..], &["--boxes", "2"]] {
        let arguments = [&["generate", JOB, "-o", "out"], boxes].concat();
        let run = workshop.run(&arguments).expect(0);
        let told = crate::harness::flowed(&run.stderr);
        let words = format!("out/{old}: of an earlier run, not of this job as it stands now");
        assert!(told.contains(&words), "{told}");
        assert!(!told.contains("from-here"), "{told}");
    }
}

#[test]
fn a_run_is_of_whole_boxes() {
    let workshop = Workshop::new();
    for (options, words) in [
        (&["--boxes", "0"][..], "from 1 to 200"),
        (&["--boxes", "201"], "from 1 to 200"),
        (&["--boxes", "ten"], "from 1 to 200"),
        (&["--boxes", "3", "--hinge", "1"], "--hinge"),
        (&["--boxes", "3", "--part", "lid"], "--part"),
        (&["--boxes", "3", "--force"], "--force"),
    ] {
        let run = workshop.run(&[&["generate", JOB, "-o", "out"], options].concat());
        let run = run.expect(2);
        assert!(run.stderr.contains(words), "{}", run.stderr);
        assert!(workshop.list("out").is_empty());
    }
}

// The steel bit is worn at 0.6 and sharpened on the way; the drill, also of
// steel, cuts a thirtieth of its way.
#[test]
fn only_the_bit_that_fails_is_sharpened() {
    let workshop = steel();
    let report = generate(&workshop, "60", "0.6");
    let all = report["boxes"].as_array().unwrap();
    let sharpened: Vec<&Value> = all.iter().filter(|row| row["sharpen"] == true).collect();
    assert!(!sharpened.is_empty());
    assert!(
        sharpened.iter().all(|row| row["bit"] == BIT),
        "{sharpened:?}"
    );
}

#[test]
fn one_edge_that_cuts_in_several_positions_is_sharpened_once_a_box() {
    let workshop = steel();
    let job = "examples/cabinet-door.toml";
    let arguments = [
        "generate", job, "-o", "out", "--boxes", "40", "--wear", "0.9",
    ];
    let run = workshop.run(&[&arguments[..], &["--format", "json"]].concat());
    let report = run.expect(0).json();
    let all = report["boxes"].as_array().unwrap();
    assert_eq!(all.len(), 120);
    let sharpened: Vec<&Value> = all.iter().filter(|row| row["sharpen"] == true).collect();
    assert_eq!(sharpened.len(), 1, "{sharpened:?}");
    // All three programs of that box begin with the fresh edge.
    let number = &sharpened[0]["box"];
    let wear: Vec<f64> = all
        .iter()
        .filter(|row| &row["box"] == number)
        .map(|row| row["wear"].as_f64().unwrap())
        .collect();
    assert_eq!(wear, [0.0; 3]);
    let told = workshop.run(&arguments).expect(0).stdout;
    assert_eq!(told.matches("sharpen or replace `").count(), 1, "{told}");
}

#[test]
fn programs_of_positions_that_are_no_more_are_told() {
    let workshop = Workshop::new();
    let job = "examples/cabinet-door.toml";
    workshop.run(&["generate", job, "-o", "out"]).expect(0);
    let three = "positions = [";
    let text = workshop.read(job);
    let (before, after) = text.split_once(three).unwrap();
    let (_, after) = after.split_once("\n]").unwrap();
    let two = "{ hinges = [1, 2] }, { hinges = [3], far_stop = \"140 mm\" } ]";
    workshop.write(job, &format!("{before}{three}{two}{after}"));
    let run = workshop.run(&["generate", job, "-o", "out"]);
    let told = crate::harness::flowed(&run.stderr);
    assert!(
        told.contains("out/cabinet-door-p3.nc: of an earlier run"),
        "{told} {}",
        run.stdout
    );
}
