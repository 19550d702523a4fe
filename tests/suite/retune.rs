//! Retuning through the binary: what may change and what may not.

use serde_json::Value;

use crate::harness::Workshop;

/// A line without the figures of its F and S words outside comments: what
/// retuning must leave alone. Written here anew, by another way than the
/// library's.
fn without_figures(line: &str) -> String {
    let mut kept = String::new();
    let mut in_comment = false;
    let mut in_figure = false;
    for character in line.chars() {
        if in_figure && (character.is_ascii_digit() || character == '.') {
            continue;
        }
        in_figure &= character == ' ';
        match character {
            '(' => in_comment = true,
            ')' => in_comment = false,
            'F' | 'S' | 'f' | 's' if !in_comment => in_figure = true,
            _ => {}
        }
        kept.push(character);
    }
    kept
}

#[track_caller]
pub(crate) fn assert_same_but_for_figures(before: &str, after: &str) {
    assert_eq!(before.split('\n').count(), after.split('\n').count());
    for (before, after) in before.split('\n').zip(after.split('\n')) {
        assert_eq!(without_figures(before), without_figures(after));
    }
}

/// A job planned for a worn bit, with the words of somebody who did not know.
fn too_fast(workshop: &Workshop, job: &str) -> String {
    let path = format!("examples/{job}.toml");
    workshop
        .run(&["generate", &path, "-o", "out", "--wear", "0.6"])
        .expect(0);
    let text = workshop.read(&format!("out/{job}.nc"));
    let speed = text.lines().find(|line| line.starts_with('S')).unwrap();
    text.replacen(speed, "S24000 M3 (S1 F1, set by ear)", 1)
}

fn retune(workshop: &Workshop, job: &str, wear: &str) -> crate::harness::Run {
    let path = format!("examples/{job}.toml");
    workshop.run(&[
        "retune", "in.nc", "--job", &path, "--wear", wear, "-o", "new.nc",
    ])
}

#[test]
fn a_program_too_fast_for_the_worn_bit_is_slowed_down_and_nothing_else() {
    for job in ["tea-box", "recipe-box"] {
        let workshop = Workshop::new();
        let before = too_fast(&workshop, job);
        workshop.write("in.nc", &before);
        let path = format!("examples/{job}.toml");
        let simulate =
            |program: &str| workshop.run(&["simulate", program, "--job", &path, "--wear", "0.6"]);
        let burns = simulate("in.nc").expect(1);
        assert!(burns.stderr.contains("chip-load"), "{}", burns.stderr);
        let run = retune(&workshop, job, "0.6").expect(0);
        assert!(run.stdout.contains("S24000 becomes S"), "{}", run.stdout);
        let after = workshop.read("new.nc");
        assert_ne!(after, before);
        assert!(after.contains("(S1 F1, set by ear)"));
        assert_same_but_for_figures(&before, &after);
        simulate("new.nc").expect(0);
    }
}

#[test]
fn our_own_programs_serve_a_fresh_bit_as_they_are() {
    let workshop = Workshop::new();
    let path = "examples/tea-box.toml";
    workshop.run(&["generate", path, "-o", "out"]).expect(0);
    for program in ["out/tea-box.nc", "out/tea-box-pilot.nc"] {
        let run = workshop
            .run(&[
                "retune", program, "--job", path, "--wear", "0", "-o", "new.nc",
            ])
            .expect(0);
        assert!(run.stdout.contains("serves as it is"), "{}", run.stdout);
        assert!(!workshop.path("new.nc").exists());
    }
}

#[test]
fn line_ends_case_and_spaces_stay() {
    let workshop = Workshop::new();
    let odd = too_fast(&workshop, "tea-box")
        .replace("S24000 M3", "s 24000  m3")
        .replace('\n', "\r\n");
    workshop.write("in.nc", &odd);
    retune(&workshop, "tea-box", "0.6").expect(0);
    let after = workshop.read("new.nc");
    assert_same_but_for_figures(&odd, &after);
    let speed = after.lines().find(|line| line.starts_with("s ")).unwrap();
    assert!(speed.ends_with("  m3 (S1 F1, set by ear)"), "{speed}");
}

#[test]
fn a_slow_feed_of_ones_own_is_kept_and_the_spindle_follows_it() {
    let workshop = Workshop::new();
    let before = too_fast(&workshop, "tea-box").replace("F3000", "F2000");
    workshop.write("in.nc", &before);
    retune(&workshop, "tea-box", "0.6").expect(0);
    let after = workshop.read("new.nc");
    assert!(after.contains("F2000"), "{after}");
    assert_same_but_for_figures(&before, &after);
    workshop
        .run(&[
            "simulate",
            "new.nc",
            "--job",
            "examples/tea-box.toml",
            "--wear",
            "0.6",
        ])
        .expect(0);
}

#[test]
fn a_bite_too_deep_for_the_worn_bit_is_refused_with_the_command_that_helps() {
    let workshop = Workshop::new();
    let path = "examples/tea-box.toml";
    // A bit of which the rack allows a thin chip only: worn, its least chip is
    // no thinner, and the force it then takes more is left to the bite alone.
    let thin = [("stickout = 28 ", "chip_max = 0.125\nstickout = 28 ")];
    workshop.vary("machines/bits.toml", "machines/bits.toml", &thin);
    workshop.run(&["generate", path, "-o", "out"]).expect(0);
    workshop.write("in.nc", &workshop.read("out/tea-box.nc"));
    workshop.write("new.nc", "as it was\n");
    let run = retune(&workshop, "tea-box", "0.9").expect(1);
    assert!(run.stderr.contains("stepdown"), "{}", run.stderr);
    assert!(run.stderr.contains("in.nc:"), "{}", run.stderr);
    assert!(
        run.stderr
            .contains("stepwell generate examples/tea-box.toml --wear 0.9"),
        "{}",
        run.stderr
    );
    assert_eq!(workshop.read("new.nc"), "as it was\n");
    let json = workshop.run(&[
        "retune", "in.nc", "--job", path, "--wear", "0.9", "-o", "new.nc", "--format", "json",
    ]);
    let told: Value = serde_json::from_str(&json.expect(1).stdout).unwrap();
    assert_eq!(told["objections"][0]["check"], "stepdown");
    let message = told["objections"][0]["message"].as_str().unwrap();
    assert!(
        message.contains("is deeper than its worn edge bears"),
        "{message}"
    );
    assert!(told["objections"][0]["line"].as_u64().unwrap() > 10);
}

#[test]
fn the_program_may_come_and_go_by_the_standard_streams() {
    let workshop = Workshop::new();
    let before = too_fast(&workshop, "tea-box");
    let run = workshop
        .run_with_input(
            &[
                "retune",
                "-",
                "--job",
                "examples/tea-box.toml",
                "--wear",
                "0.6",
                "-o",
                "-",
            ],
            before.as_bytes(),
        )
        .expect(0);
    assert_same_but_for_figures(&before, &run.stdout);
    assert!(run.stderr.contains("1 word changed"), "{}", run.stderr);
}

#[test]
fn programs_that_are_none_fail_syntax_and_write_nothing() {
    let workshop = Workshop::new();
    for text in ["", "G1 X#5\nM2\n", "hello\n", "G81 X1\nM30\n"] {
        workshop.write("in.nc", text);
        let run = retune(&workshop, "tea-box", "0.5").expect(1);
        assert!(run.stderr.contains("syntax"), "{text:?}: {}", run.stderr);
        assert!(!workshop.path("new.nc").exists());
    }
}

#[test]
fn cuts_without_an_s_or_f_word_are_refused() {
    let workshop = Workshop::new();
    let text = too_fast(&workshop, "tea-box");
    let speed = text.lines().find(|line| line.starts_with('S')).unwrap();
    workshop.write("in.nc", &text.replacen(speed, "M3", 1));
    let run = retune(&workshop, "tea-box", "0.6").expect(1);
    assert!(run.stderr.contains("no F and S words"), "{}", run.stderr);
}

/// What was wrong before is wrong after, however well the feeds are chosen.
#[test]
fn a_program_that_gouges_is_not_written_with_new_feeds() {
    let workshop = Workshop::new();
    let good = too_fast(&workshop, "tea-box");
    // Beside the last lift, where feed and speed are set.
    let place = good.rfind("G0 Z").unwrap();
    let (before, after) = good.split_at(place);
    let lift = after.lines().next().unwrap();
    let damages = [
        (
            "pocket-bounds",
            format!("{before}{lift}\nG0 X130. Y90.\nG0 Z-1.\n{after}"),
        ),
        (
            "rapid-in-wood",
            good.replacen("G1 Z", "G0 Z", 1).replacen("G1 X", "G0 X", 1),
        ),
        ("program-end", format!("{good}G0 Z30.\n")),
        ("preamble", good.replacen("G90", "", 1)),
    ];
    for (check, text) in damages {
        assert_ne!(text, good, "{check}");
        workshop.write("in.nc", &text);
        let run = retune(&workshop, "tea-box", "0.6").expect(1);
        assert!(run.stderr.contains(check), "{check}: {}", run.stderr);
        assert!(!workshop.path("new.nc").exists(), "{check}");
    }
}

#[test]
fn a_wrong_command_line_is_exit_2() {
    let workshop = Workshop::new();
    workshop.write("in.nc", "M30\n");
    let job = "examples/tea-box.toml";
    for arguments in [
        [
            "retune", "in.nc", "--job", job, "--wear", "1.5", "-o", "new.nc",
        ],
        [
            "retune", "no.nc", "--job", job, "--wear", "0.5", "-o", "new.nc",
        ],
        [
            "retune", "in.nc", "--job", "no.toml", "--wear", "0.5", "-o", "new.nc",
        ],
        [
            "retune", "in.nc", "--job", job, "--bit", "no such", "-o", "new.nc",
        ],
        [
            "retune", "in.nc", "--job", job, "--wear", "0.5", "-o", "examples",
        ],
    ] {
        let run = workshop.run(&arguments).expect(2);
        assert!(!run.stderr.is_empty(), "{arguments:?}");
    }
}

/// What was planned for a sharp bit serves until the bit is well worn: force,
/// power, bending, chip and heat are kept by other figures of F and S alone.
#[test]
fn programs_planned_for_a_fresh_bit_are_retuned_up_to_seven_tenths_of_wear() {
    let workshop = Workshop::new();
    for job in ["tea-box", "recipe-box", "sewing-chest"] {
        let path = format!("examples/{job}.toml");
        workshop.run(&["generate", &path, "-o", "out"]).expect(0);
        let before = workshop.read(&format!("out/{job}.nc"));
        for wear in ["0.3", "0.5", "0.7"] {
            workshop.write("in.nc", &before);
            let _ = std::fs::remove_file(workshop.path("new.nc"));
            let run = retune(&workshop, job, wear).expect(0);
            let written = workshop.path("new.nc").exists();
            assert_eq!(
                written,
                !run.stdout.contains("nothing to change"),
                "{}",
                run.stdout
            );
            let after = if written {
                workshop.read("new.nc")
            } else {
                before.clone()
            };
            assert_same_but_for_figures(&before, &after);
            // The judge takes the bit to be as worn, whatever retune thinks.
            workshop.write("judged.nc", &after);
            let arguments = [
                "simulate",
                "judged.nc",
                "--job",
                &path,
                "--wear",
                wear,
                "--format",
                "json",
            ];
            let judged = workshop.run(&arguments);
            for check in &[
                "stepdown",
                "chip-load",
                "spindle-power",
                "deflection",
                "feed-limit",
                "spindle-limit",
            ] {
                let verdict = judged.verdict(check);
                // What acceleration leaves of the feed no F and S words better.
                let findings = judged.json();
                let findings = findings["checks"].as_array().unwrap();
                let found = findings.iter().find(|found| found["id"] == *check).unwrap();
                let message = found["message"].as_str().unwrap();
                let is_reached = check == &"chip-load" && message.contains("of the roughing path");
                if !(verdict == "warn" && is_reached) {
                    assert_eq!(verdict, "pass", "{job} worn {wear}: {check}");
                }
            }
        }
    }
}

// A program planned for a worn bit turns slower than the model would have it.
#[test]
fn the_models_choice_is_not_told_as_the_programs_own() {
    let workshop = Workshop::new();
    let job = "examples/tea-box.toml";
    let generated = workshop.run(&["generate", job, "-o", "out", "--wear", "0.6"]);
    let words = "the model's choice for this job, not the program's: 6 mm up-spiral";
    assert!(!generated.expect(0).stdout.contains(words));
    let both = ["out/tea-box.nc", "out/tea-box-pilot.nc"];
    let simulated = workshop.run(&[&["simulate"], &both[..], &["--job", job]].concat());
    assert!(simulated.stdout.contains(words), "{}", simulated.stdout);
}
