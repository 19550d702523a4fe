//! Whatever is planned passes the judge: bits, widths, lengths, layouts, dialects.

use crate::sketch::Sketch;

const KINDS: [&str; 4] = ["single-flute", "double-flute", "up-spiral", "down-spiral"];

#[test]
fn pockets_of_every_width_and_length_pass_every_check() {
    for (number, kind) in KINDS.into_iter().enumerate() {
        for width in [6.0, 6.1, 6.4, 7.8, 10.2, 15.0, 24.0] {
            for length in [width + 4.0, 48.0] {
                Sketch {
                    kind,
                    layout: ["book", "end-to-end"][number % 2],
                    steps: vec![[length, width, 4.0], [length - 2.0, width, 9.0]],
                    ..Sketch::default()
                }
                .assert_passes();
            }
        }
    }
}

#[test]
fn steps_of_their_own_width_and_corner_pass() {
    for corner in [3.0, 3.2, 4.0] {
        Sketch {
            steps: vec![[44.0, 14.0, 3.0], [30.0, 9.0, 8.0]],
            corner: Some(corner),
            ..Sketch::default()
        }
        .assert_passes();
    }
    for width in [6.0, 6.3, 8.0] {
        Sketch {
            kind: "single-flute",
            steps: vec![[44.0, 14.0, 3.0], [30.0, width, 8.0], [12.0, width, 12.0]],
            ..Sketch::default()
        }
        .assert_passes();
    }
}

#[test]
fn round_pockets_pass() {
    for width in [6.3, 8.0, 15.0, 24.0] {
        Sketch {
            kind: "double-flute",
            steps: vec![[width, width, 6.0]],
            ..Sketch::default()
        }
        .assert_passes();
    }
}

#[test]
fn a_plunging_bit_bores_a_hole_of_its_own_size() {
    Sketch {
        steps: vec![[6.0, 6.0, 6.0]],
        bit: "plunges = true".to_owned(),
        ..Sketch::default()
    }
    .assert_passes();
}

#[test]
fn a_bit_that_does_not_plunge_is_refused_a_hole_of_its_own_size() {
    let judged = Sketch {
        steps: vec![[6.0, 6.0, 6.0]],
        ..Sketch::default()
    }
    .judged();
    assert!(
        judged
            .failures()
            .iter()
            .any(|line| line.starts_with("plunge"))
    );
}

#[test]
fn every_dialect_passes() {
    for units in [
        "units = \"mm\"\ndecimals = 3",
        "units = \"mm\"\ndecimals = 5",
        "units = \"in\"\ndecimals = 4",
    ] {
        for arcs in ["flat", "helix", "none"] {
            for width in [6.0, 6.1, 6.4, 10.0, 21.0] {
                Sketch {
                    kind: "single-flute",
                    steps: vec![[40.0, width, 4.0], [26.0, width, 8.0]],
                    dialect: format!("{units}\narcs = \"{arcs}\""),
                    ..Sketch::default()
                }
                .assert_passes();
            }
        }
    }
}

/// Hands find room at every change and at the end: 2 mm under the headroom, a
/// longer bit so much lower, and aside where the job says.
#[test]
fn the_tip_rises_and_goes_aside_for_hands() {
    for tool_change in ["split", "m6", "pause\"\nrezero_at_pause = true #"] {
        for zero in ["shared", "each"] {
            for layout in ["book", "end-to-end"] {
                let mut sketch = Sketch {
                    dialect: format!("tool_change = \"{tool_change}\""),
                    tables: "[pilot]\nbit = \"small drill\"\ndepth = 6\n".to_owned(),
                    screws: "screws = [{ along = 17.5, gauge = 4, length = 10 }]",
                    layout,
                    fixture: format!("zero = \"{zero}\"\nheadroom = 50\npark = [-40, 90]"),
                    ..Sketch::default()
                };
                sketch.steps = vec![[44.0, 10.0, 4.5]];
                let judged = sketch.assert_passes();
                let report = &judged.report;
                let highest = report
                    .programs
                    .iter()
                    .map(|program| program.bounds.max[2].as_mm());
                assert!(
                    highest.clone().all(|z| z <= 48.0 + 1e-9),
                    "{tool_change} {zero} {layout}"
                );
                assert!(highest.fold(0.0, f64::max) > 47.9);
                for program in &report.programs {
                    let [x, y] = [program.bounds.min[0], program.bounds.max[1]];
                    assert!(
                        x.as_mm() <= -40.0 + 1e-9 && y.as_mm() >= 90.0 - 1e-9,
                        "{layout}"
                    );
                }
                // Before every pause and the end the last move is the one aside.
                for program in &judged.programs {
                    let lines: Vec<&str> = program.text.lines().collect();
                    let stop = lines.iter().rposition(|line| *line == "M5").unwrap();
                    assert!(lines[stop - 1].starts_with("G0 X"), "{}", lines[stop - 1]);
                    assert!(lines[stop - 2].starts_with("G0 Z"), "{}", lines[stop - 2]);
                }
            }
        }
    }
}

/// Only the marks of a dial are chosen, and called by their name.
#[test]
fn a_dial_turns_at_its_marks() {
    let judged = Sketch {
        spindle: "control = \"manual\"\ndial = { 1 = 10000, 2 = 14000, 3 = 18000 }".to_owned(),
        ..Sketch::default()
    }
    .assert_passes();
    let text = &judged.programs[0].text;
    let speed = text
        .lines()
        .find_map(|line| line.strip_prefix("S"))
        .unwrap();
    let (mark, rpm) = ["10000", "14000", "18000"]
        .iter()
        .enumerate()
        .find(|(_, rpm)| speed.starts_with(**rpm))
        .unwrap();
    assert!(
        text.contains(&format!("dial at {}, {rpm} rpm", mark + 1)),
        "{text}"
    );
}

#[test]
fn every_way_to_begin_change_and_end_passes() {
    let tables = "[pilot]\nbit = \"small drill\"\ndepth = 6\n";
    for tool_change in [
        "tool_change = \"split\"",
        "tool_change = \"m6\"",
        "tool_change = \"pause\"",
        "tool_change = \"pause\"\nrezero_at_pause = true",
    ] {
        for others in [
            "",
            "percent = true\nline_numbers = true\ncomments = \"semicolon\"\ndust = \"M7\"",
            "comments = \"none\"\ndwell = \"milliseconds\"\nend = \"M2\"\ndust = \"M8\"",
            "safe_z = \"machine\"",
        ] {
            for spindle in ["", "control = \"manual\""] {
                for zero in ["shared", "each"] {
                    let mut sketch = Sketch {
                        dialect: format!("{tool_change}\n{others}"),
                        spindle: spindle.to_owned(),
                        tables: tables.to_owned(),
                        screws: "screws = [{ along = 17.5, gauge = 4, length = 10 }]",
                        fixture: format!(
                            "zero = \"{zero}\"\nlid_rise = -7\nmachine_zero = [100, 250, -60]"
                        ),
                        ..Sketch::default()
                    };
                    sketch.steps = vec![[44.0, 10.0, 4.5]];
                    let programs = sketch.assert_passes().programs;
                    assert!(programs.iter().any(|program| program.text.contains("T2")));
                }
            }
        }
    }
}

#[test]
fn hard_and_soft_woods_and_worn_bits_pass() {
    for wood in ["hard maple", "eastern white pine", "MDF", "plywood"] {
        for wear in ["wear = 0.0", "wear = 0.6"] {
            Sketch {
                wood,
                bit: wear.to_owned(),
                ..Sketch::default()
            }
            .assert_passes();
        }
    }
}

#[test]
fn bits_of_every_size_pass() {
    for diameter in [3.0, 4.0, 6.35, 8.0, 12.7] {
        for kind in KINDS {
            let width = diameter * 1.5;
            let depth = diameter;
            Sketch {
                kind,
                diameter,
                bit: "stepover = 0.4".to_owned(),
                steps: vec![
                    [diameter * 7.0, width, depth * 0.6],
                    [diameter * 5.0, width, depth],
                ],
                ..Sketch::default()
            }
            .assert_passes();
        }
    }
}

#[test]
fn every_care_for_rim_and_wall_passes() {
    for care in [
        "score = false",
        "finish_direction = \"conventional\"",
        "second_finish = true",
        "spring_pass = true",
        "finish_direction = \"conventional\"\nsecond_finish = true\nspring_pass = true",
    ] {
        for width in [6.0, 6.2, 10.0] {
            Sketch {
                steps: vec![[40.0, width, 4.0], [26.0, width, 8.0]],
                bit: care.to_owned(),
                ..Sketch::default()
            }
            .assert_passes();
        }
    }
    for kind in ["single-flute", "down-spiral"] {
        Sketch {
            kind,
            bit: "score = true".to_owned(),
            ..Sketch::default()
        }
        .assert_passes();
    }
}
