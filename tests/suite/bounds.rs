//! However long a file is, memory stays small and nothing breaks.

use std::fmt::Write as _;
use std::process::{Command, Stdio};

use crate::harness::Workshop;

/// A spiral of short chords down the box's first pocket: each takes wood.
fn long_program(moves: u32) -> String {
    let mut text =
        String::from("G21 G17 G40 G49 G90 G94 G54\nG0 Z30.\nS12000 M3\nG4 P5.\nG0 X45. Y-16.\n");
    for step in 0..moves {
        let (sin, cos) = (f64::from(step) * 0.05).sin_cos();
        let z = -12.0 * f64::from(step) / f64::from(moves);
        let (x, y) = (45.0 + 8.0 * cos, -16.0 + sin);
        let _ = writeln!(text, "G1 X{x:.3} Y{y:.3} Z{z:.5} F900");
    }
    text + "G0 Z30.\nM5\nM30\n"
}

/// The exit code under a limit on the address space, in kilobytes.
#[cfg(target_os = "linux")]
fn code_within(workshop: &Workshop, kilobytes: u32, arguments: &[&str]) -> Option<i32> {
    let own = workshop.command(arguments);
    let mut command = Command::new("sh");
    command
        .arg("-c")
        .arg(format!("ulimit -v {kilobytes}; exec \"$0\" \"$@\""))
        .arg(own.get_program())
        .args(arguments)
        .current_dir(workshop.path("."))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command.status().unwrap().code()
}

#[cfg(target_os = "linux")]
#[test]
fn memory_does_not_grow_with_the_program() {
    let workshop = Workshop::new();
    workshop.write("long.nc", &long_program(600_000));
    // The text alone is 20 MB; kept whole, its moves would take a hundred.
    let job = "examples/tea-box.toml";
    let simulate = ["simulate", "long.nc", "--job", job];
    assert_eq!(code_within(&workshop, 60_000, &simulate), Some(1));
    // The limit does bite: with the whole text on a page it is too little.
    assert_ne!(code_within(&workshop, 6_000, &simulate), Some(1));
    workshop.write("blank.nc", &"\n".repeat(40_000_000));
    for arguments in [
        vec!["simulate", "blank.nc", "--job", job],
        vec![
            "simulate",
            "blank.nc",
            "--job",
            job,
            "--sheet",
            "sheet.html",
        ],
        vec!["ran", "blank.nc", "--job", job],
    ] {
        assert_eq!(
            code_within(&workshop, 160_000, &arguments),
            Some(1),
            "{arguments:?}"
        );
    }
    assert!(
        workshop
            .read("sheet.html")
            .contains("too many moves to replay")
    );
}

/// Columns past what any printer of tables counts to, and thousands of
/// mistakes on one line.
#[test]
fn mistakes_far_out_are_told_by_their_place() {
    let workshop = Workshop::new();
    let good = workshop.read("examples/tea-box.toml");
    let far = format!(
        "{}[fixture.x]\n{}y = [1, {}\n",
        good,
        "",
        "2, ".repeat(70_000)
    );
    workshop.write("examples/far.toml", &far);
    let run = workshop.run(&["generate", "examples/far.toml"]).expect(2);
    assert!(run.stderr.contains("far.toml:"), "{}", run.stderr);
    let clamps = format!("clamps = [{}]\n", vec!["{}"; 20_000].join(", "));
    let many = good.replacen("[fixture]\n", &format!("[fixture]\n{clamps}"), 1);
    workshop.write("examples/many.toml", &many);
    let run = workshop.run(&["generate", "examples/many.toml"]).expect(2);
    assert!(
        run.stderr.contains("more mistakes in this file"),
        "{}",
        run.stderr
    );
    assert!(run.stderr.len() < 60_000, "{} bytes", run.stderr.len());
}
