//! The feed table through the binary.

use serde_json::Value;

use crate::harness::Workshop;

fn table(arguments: &[&str]) -> Value {
    let workshop = Workshop::new();
    let mut all = vec!["feeds", "examples/tea-box.toml", "--format", "json"];
    all.extend(arguments);
    let run = workshop.run(&all).expect(0);
    assert_eq!(run.stderr, "");
    serde_json::from_str(&run.stdout).unwrap()
}

fn bit<'a>(table: &'a Value, name: &str) -> &'a Value {
    let bits = table["bits"].as_array().unwrap();
    bits.iter().find(|bit| bit["bit"] == name).unwrap()
}

#[test]
fn every_bit_has_three_states_whose_figures_agree() {
    let table = table(&[]);
    assert_eq!(table["job"], "Tea box");
    let mut rows = 0;
    for bit in table["bits"].as_array().unwrap() {
        let problems = bit["problems"].as_array().unwrap();
        let states = bit["states"].as_array().unwrap();
        assert_eq!(states.is_empty(), !problems.is_empty(), "{bit}");
        let flutes = if bit["kind"] == "single-flute" {
            1.0
        } else {
            2.0
        };
        for row in states {
            rows += 1;
            let figure = |name: &str| row[name].as_f64().unwrap();
            // feed = rpm x flutes x chip load; power = force x surface speed.
            let feed = figure("rpm") * flutes * figure("chip_load");
            assert!((figure("feed") - feed).abs() < 1e-6, "{row}");
            let power = figure("force_n") * figure("surface_speed");
            assert!((figure("power_w") - power).abs() < 1e-6, "{row}");
            assert!(figure("power_share") < 1.0, "{row}");
            assert!(figure("seconds") > 1.0, "{row}");
            assert!(!row["binding"].as_str().unwrap().is_empty());
        }
    }
    assert!(rows >= 9, "{rows}");
}

#[test]
fn wear_on_the_command_line_is_the_present_state_of_every_bit() {
    let table = table(&["--wear", "0.6"]);
    for bit in table["bits"].as_array().unwrap() {
        let states = bit["states"].as_array().unwrap();
        let Some([fresh, present, dull]) = states.get(0..3) else {
            continue;
        };
        assert_eq!(present["wear"], 0.6);
        for name in ["rpm", "stepdown", "surface_speed"] {
            let figure = |row: &Value| row[name].as_f64().unwrap();
            assert!(figure(fresh) >= figure(present), "{name} {bit}");
            assert!(figure(present) >= figure(dull), "{name} {bit}");
        }
        let least = |row: &Value| row["chip_min"].as_f64().unwrap();
        assert!(least(fresh) < least(present) && least(present) < least(dull));
    }
}

#[test]
fn a_drill_and_a_bit_too_wide_say_why_they_cannot() {
    let workshop = Workshop::new();
    workshop.vary(
        "examples/tea-box.toml",
        "examples/narrow.toml",
        &[("width      = 10", "width      = 7")],
    );
    let run = workshop
        .run(&["feeds", "examples/narrow.toml", "--format", "json"])
        .expect(0);
    let table: Value = serde_json::from_str(&run.stdout).unwrap();
    let problem = |name: &str| {
        bit(&table, name)["problems"][0]
            .as_str()
            .unwrap()
            .to_owned()
    };
    assert!(problem("2 mm drill").contains("cuts no pocket"));
    assert!(problem("8 mm double-flute").contains("8.00 mm wide"));
    let human = workshop.run(&["feeds", "examples/narrow.toml"]).expect(0);
    assert!(
        human
            .stdout
            .contains("cannot do this job: it cuts 8.00 mm wide")
    );
}

/// The line of each bit but the job's own, in the order told.
fn verdicts(stdout: &str) -> Vec<(String, String)> {
    let lines = stdout
        .lines()
        .skip_while(|line| !line.starts_with("The other bits, best first"));
    lines
        .skip(1)
        .take_while(|line| !line.is_empty())
        .map(|line| {
            let (name, words) = line.trim().split_once("  ").unwrap();
            (name.to_owned(), words.trim().to_owned())
        })
        .collect()
}

fn verdict<'a>(verdicts: &'a [(String, String)], name: &str) -> &'a str {
    let (_, words) = verdicts.iter().find(|(bit, _)| bit == name).unwrap();
    words
}

#[test]
fn the_jobs_bit_has_its_figures_and_every_other_a_line() {
    let workshop = Workshop::new();
    let run = workshop
        .run(&["feeds", "examples/sewing-chest.toml"])
        .expect(0);
    let blocks: Vec<&str> = run.stdout.split("\n\n").collect();
    assert!(blocks[1].starts_with("5 mm single-flute"), "{}", run.stdout);
    assert_eq!(run.stdout.matches("surface speed").count(), 1);
    let lines = verdicts(&run.stdout);
    // The rack has eleven bits.
    assert_eq!(lines.len(), 10, "{}", run.stdout);
    // Its slot is 1.6 times as deep as the 6 mm down-spiral is wide.
    assert_eq!(lines[0].0, "3/16 in down-spiral");
    assert!(lines[0].1.starts_with("best: clean rim"), "{}", lines[0].1);
    assert!(verdict(&lines, "6 mm down-spiral").contains("1.6 bits deep"));
    assert!(verdict(&lines, "2 mm drill").starts_with("cannot do this job: a drill"));

    let all = workshop
        .run(&["feeds", "examples/sewing-chest.toml", "--all"])
        .expect(0);
    assert_eq!(verdicts(&all.stdout), lines);
    let serving = lines.iter().filter(|(_, words)| !words.contains("cannot"));
    let figures = all.stdout.matches("surface speed").count();
    assert_eq!(figures, 1 + serving.count());
    for (name, _) in &lines {
        assert!(all.stdout.contains(&format!("\n\n{name} (")), "{name}");
    }

    let json = workshop
        .run(&["feeds", "examples/sewing-chest.toml", "--format", "json"])
        .expect(0)
        .json();
    assert_eq!(json["best"].as_str(), Some(lines[0].0.as_str()));
}

#[test]
fn the_time_of_a_bit_stands_against_the_jobs_own() {
    let workshop = Workshop::new();
    let run = workshop.run(&["feeds", "examples/tea-box.toml"]).expect(0);
    let table = table(&[]);
    let seconds = |name: &str| bit(&table, name)["states"][1]["seconds"].as_f64().unwrap();
    let own = seconds("6 mm up-spiral").round();
    for (name, words) in verdicts(&run.stdout) {
        if words.starts_with("cannot") {
            continue;
        }
        let its = seconds(&name).round();
        let more = its - own;
        let wanted = match more {
            0.0 => format!("; {its} s, the same as the job's bit"),
            _ if more > 0.0 => format!("; {its} s, {more} s more than the job's bit"),
            _ => format!("; {its} s, {} s less than the job's bit", -more),
        };
        assert!(words.ends_with(&wanted), "{name}: {words}, not {wanted}");
    }
}

#[test]
fn a_bit_that_packs_its_chips_is_not_the_best_for_a_deep_slot() {
    let workshop = Workshop::new();
    // 9.2 + 0.4 = 9.6 deep: 1.6 bits of 6 mm, in steps 6.1 mm wide.
    workshop.vary(
        "examples/tea-box.toml",
        "examples/slot.toml",
        &[
            ("width      = 10", "width      = 6"),
            ("length = 27, depth = 12 ", "length = 27, depth = 9.2 "),
        ],
    );
    let run = workshop.run(&["feeds", "examples/slot.toml"]).expect(0);
    let lines = verdicts(&run.stdout);
    let words = verdict(&lines, "6 mm down-spiral");
    assert!(
        words.contains("chips have no way out: 1.6 bits deep"),
        "{words}"
    );
    assert!(
        run.stdout
            .contains("Best for these pockets: 6 mm up-spiral"),
        "{}",
        run.stdout
    );
    let at = |name: &str| lines.iter().position(|(bit, _)| bit == name).unwrap();
    assert!(at("4 mm up-spiral") < at("6 mm down-spiral"));
    assert!(!verdict(&lines, "4 mm up-spiral").contains("chips"));
    // The judge of a program says the same of the same bit.
    let spiral = [(
        "bit     = \"6 mm up-spiral\"",
        "bit     = \"6 mm down-spiral\"",
    )];
    workshop.vary("examples/slot.toml", "examples/packed.toml", &spiral);
    let judged = workshop.run(&["generate", "examples/packed.toml", "-o", "out"]);
    assert!(
        judged.stdout.contains("warning chip-room"),
        "{}",
        judged.stdout
    );
    // Where no bit of the rack lifts its chips, the best is told to pack them.
    let rack = workshop.read("machines/bits.toml");
    let few: String = rack
        .split_inclusive("\n\n")
        .filter(|bit| bit.contains("\"6 mm down-spiral\"") || bit.contains("\"2 mm drill\""))
        .collect();
    workshop.write("machines/bits.toml", &few);
    let run = workshop.run(&["feeds", "examples/packed.toml"]).expect(0);
    assert!(
        run.stdout.contains("clear them between passes"),
        "{}",
        run.stdout
    );
    assert_eq!(verdicts(&run.stdout).len(), 1, "{}", run.stdout);
}

#[test]
fn a_bit_worn_too_far_says_that_it_is_the_wear() {
    let workshop = Workshop::new();
    workshop.vary(
        "machines/bits.toml",
        "machines/bits.toml",
        &[(
            "name = \"6 mm down-spiral\"",
            "name = \"6 mm down-spiral\"\nchip_max = 0.1\nwear = 1.0",
        )],
    );
    let run = workshop.run(&["feeds", "examples/tea-box.toml"]).expect(0);
    let lines = verdicts(&run.stdout);
    let words = verdict(&lines, "6 mm down-spiral");
    assert!(
        words.starts_with("not as worn as it is (1.00): "),
        "{words}"
    );
    let at = |name: &str| lines.iter().position(|(bit, _)| bit == name).unwrap();
    assert!(at("8 mm double-flute") < at("6 mm down-spiral"));
    assert!(at("6 mm down-spiral") < at("2 mm drill"));
}

#[test]
fn the_human_table_labels_what_has_no_source() {
    let workshop = Workshop::new();
    let run = workshop.run(&["feeds", "examples/tea-box.toml"]).expect(0);
    assert!(run.stdout.contains("common practice, no source"));
    assert!(run.stdout.contains("from memory"));
    assert!(
        run.stdout
            .contains("Best for these pockets: 6 mm down-spiral")
    );
    let stepdown = run
        .stdout
        .lines()
        .find(|line| line.contains("stepdown, mm"));
    assert!(stepdown.unwrap().ends_with(" p"), "{}", run.stdout);
    let inches = workshop
        .run(&["feeds", "examples/tea-box.toml", "--units", "in"])
        .expect(0);
    assert!(inches.stdout.contains("in/min"));
}

#[test]
fn what_a_bit_does_for_rim_and_wall_comes_with_its_reason() {
    let workshop = Workshop::new();
    workshop.vary(
        "machines/bits.toml",
        "machines/bits.toml",
        &[(
            "name = \"6 mm down-spiral\"",
            "name = \"6 mm down-spiral\"\nfinish_direction = \"conventional\"",
        )],
    );
    let run = workshop
        .run(&["feeds", "examples/tea-box.toml", "--format", "json"])
        .expect(0);
    let table: Value = serde_json::from_str(&run.stdout).unwrap();
    let care = |name: &str, key: &str| {
        let choices = bit(&table, name)["wall_care"].as_array().unwrap();
        let choice = choices.iter().find(|choice| choice["key"] == key);
        choice.unwrap().clone()
    };
    let score = care("6 mm up-spiral", "score");
    assert_eq!(score["value"], "true");
    assert_eq!(score["origin"], "default");
    assert!(score["effect"].as_str().unwrap().contains("top fibres"));
    assert!(score["otherwise"].as_str().unwrap().contains("false"));
    let direction = care("6 mm down-spiral", "finish_direction");
    assert_eq!(direction["value"], "conventional");
    assert_eq!(direction["origin"], "rack");
    let drill = bit(&table, "2 mm drill");
    assert_eq!(drill["wall_care"], serde_json::json!([]));
}

#[test]
fn a_racks_own_figure_carries_no_label() {
    let workshop = Workshop::new();
    workshop.vary(
        "machines/bits.toml",
        "machines/bits.toml",
        &[("stickout = 28 ", "stepdown = 2.5\nstickout = 28 ")],
    );
    let run = workshop
        .run(&["feeds", "examples/tea-box.toml", "--format", "json"])
        .expect(0);
    let table: Value = serde_json::from_str(&run.stdout).unwrap();
    let own = bit(&table, "6 mm up-spiral");
    assert_eq!(own["sources"]["stepdown"], Value::Null);
    assert_eq!(own["sources"]["ramp"], "practice");
    assert_eq!(own["states"][0]["stepdown"], 2.5);
    // Worn out it takes half as much force again (a table from memory), and a
    // thicker chip less for its thickness: k chip^(1 - 0.4), a thirtieth spared.
    let dull = &own["states"][2];
    let figure = |key: &str| dull[key].as_f64().unwrap();
    let share = (figure("chip_max") / figure("chip_load")).powf(0.6) / 1.5;
    let wanted = 2.5 * 0.97 * share.min(1.0);
    assert!(
        (figure("stepdown") - wanted).abs() < 0.02,
        "{wanted} in {dull}"
    );
}

#[test]
fn a_record_of_metres_is_the_present_wear_unless_one_is_stated() {
    let workshop = Workshop::new();
    let present = |workshop: &Workshop| {
        let run = workshop
            .run(&["feeds", "examples/tea-box.toml", "--format", "json"])
            .expect(0);
        let table: Value = serde_json::from_str(&run.stdout).unwrap();
        bit(&table, "6 mm up-spiral")["states"][1]["wear"]
            .as_f64()
            .unwrap()
    };
    let vary = |from: &str, to: &str| {
        workshop.vary("machines/bits.toml", "machines/bits.toml", &[(from, to)]);
    };
    vary("stickout = 28 ", "cut_m = 1200\nstickout = 28 ");
    // 1200 m of the 3000 m that a carbide edge lasts in wood of 650 kg/m³: black
    // walnut (W31: 0.55) at 12 % weighs 616 (Wood Handbook ch. 4).
    let since = 0.4 * 616.0 / 650.0;
    assert!((present(&workshop) - since).abs() < 1e-9);
    vary("cut_m = 1200", "cut_m = 1200\nwear = 0.1");
    assert!((present(&workshop) - 0.1 - since).abs() < 1e-9);
    vary("cut_m = 1200", "cut_m = 1200\nwear_at_m = 1200");
    assert!((present(&workshop) - 0.1).abs() < 1e-9);
}

#[test]
fn bad_input_is_refused_with_the_place() {
    let workshop = Workshop::new();
    for wear in ["1.5", "-0.1", "NaN", "inf"] {
        let wear = format!("--wear={wear}");
        let run = workshop
            .run(&["feeds", "examples/tea-box.toml", &wear])
            .expect(2);
        assert!(run.stderr.contains("wear"), "{wear}: {}", run.stderr);
        assert!(run.stdout.is_empty());
    }
    workshop.run(&["feeds", "examples/nowhere.toml"]).expect(2);
    for (from, to) in [
        ("flutes = 2", "flutes = 0"),
        ("stickout = 28 ", "wear = 1.01\nstickout = 28 "),
    ] {
        let workshop = Workshop::new();
        workshop.vary("machines/bits.toml", "machines/bits.toml", &[(from, to)]);
        let run = workshop.run(&["feeds", "examples/tea-box.toml"]).expect(2);
        assert!(run.stderr.contains("bits.toml"), "{}", run.stderr);
    }
    for (file, from, to) in [
        (
            "machines/benchtop-mm.toml",
            "[8000, 24000]",
            "[24000, 8000]",
        ),
        ("machines/benchtop-mm.toml", "power_w = 500", "power_w = 0"),
        (
            "examples/tea-box.toml",
            "\"black walnut\"",
            "{ name = \"x\", gravity = 0 }",
        ),
        (
            "examples/tea-box.toml",
            "\"black walnut\"",
            "{ name = \"x\", gravity = 3 }",
        ),
        (
            "examples/tea-box.toml",
            "\"black walnut\"",
            "\"black wallnut\"",
        ),
    ] {
        let workshop = Workshop::new();
        workshop.vary(file, file, &[(from, to)]);
        let run = workshop.run(&["feeds", "examples/tea-box.toml"]).expect(2);
        let name = file.rsplit('/').next().unwrap();
        assert!(run.stderr.contains(name), "{to}: {}", run.stderr);
    }
}
