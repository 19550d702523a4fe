//! What is written, edited and printed: never what must not be replaced, never
//! half, never lost, and nothing that a terminal acts on.

use std::fs;
use std::process::{Command, Stdio};

use crate::harness::Workshop;

const JOB: &str = "examples/tea-box.toml";
const RACK: &str = "machines/bits.toml";
const MACHINE: &str = "machines/benchtop-mm.toml";

fn generated() -> Workshop {
    let workshop = Workshop::new();
    workshop.run(&["generate", JOB, "-o", "out"]).expect(0);
    workshop
}

#[test]
fn what_a_run_reads_it_does_not_replace() {
    let workshop = generated();
    let program = "out/tea-box.nc";
    let before = [JOB, RACK, MACHINE, program].map(|file| workshop.read(file));
    fs::hard_link(workshop.path(JOB), workshop.path("other-name.html")).unwrap();
    for target in [
        JOB,
        RACK,
        MACHINE,
        program,
        "other-name.html",
        "./out/../examples/tea-box.toml",
    ] {
        for arguments in [
            vec![
                "simulate",
                program,
                "out/tea-box-pilot.nc",
                "--job",
                JOB,
                "--sheet",
                target,
            ],
            vec![
                "retune", program, "--job", JOB, "--wear", "0.5", "-o", target,
            ],
        ] {
            let run = workshop.run(&arguments).expect(2);
            assert!(
                run.stderr.contains("this run reads it"),
                "{target}: {}",
                run.stderr
            );
        }
    }
    assert_eq!(
        before,
        [JOB, RACK, MACHINE, program].map(|file| workshop.read(file))
    );
    // A job that is called as its program is.
    workshop.write("same/box.nc", &workshop.read(JOB));
    let text = workshop.read("same/box.nc");
    workshop
        .run(&["generate", "same/box.nc", "-o", "same"])
        .expect(2);
    assert_eq!(workshop.read("same/box.nc"), text);
    assert_eq!(workshop.list("same"), ["box.nc"]);
}

#[cfg(unix)]
#[test]
fn only_files_are_replaced_and_links_stay() {
    use std::os::unix::fs::{FileTypeExt, PermissionsExt, symlink};
    let workshop = generated();
    let program = workshop.read("out/tea-box.nc");
    let pipe = workshop.path("pipe/tea-box.nc");
    fs::create_dir(workshop.path("pipe")).unwrap();
    assert!(
        Command::new("mkfifo")
            .arg(&pipe)
            .status()
            .unwrap()
            .success()
    );
    let run = workshop.run(&["generate", JOB, "-o", "pipe"]).expect(2);
    assert!(run.stderr.contains("a device or a pipe"), "{}", run.stderr);
    assert!(fs::metadata(&pipe).unwrap().file_type().is_fifo());
    assert_eq!(workshop.list("pipe"), ["tea-box.nc"]);
    let sheet = [
        "simulate",
        "out/tea-box.nc",
        "out/tea-box-pilot.nc",
        "--job",
        JOB,
        "--sheet",
    ];
    let run = workshop
        .run(&[sheet.as_slice(), &["/dev/null"]].concat())
        .expect(2);
    assert!(run.stderr.contains("a device or a pipe"), "{}", run.stderr);

    // A link to a program elsewhere stays a link, and a mode stays.
    workshop.write("kept/real.nc", "old");
    let real = workshop.path("kept/real.nc");
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
    fs::create_dir(workshop.path("linked")).unwrap();
    symlink("../kept/real.nc", workshop.path("linked/tea-box.nc")).unwrap();
    workshop.run(&["generate", JOB, "-o", "linked"]).expect(0);
    assert!(
        fs::symlink_metadata(workshop.path("linked/tea-box.nc"))
            .unwrap()
            .is_symlink()
    );
    assert_eq!(workshop.read("kept/real.nc"), program);
    assert_eq!(
        fs::metadata(&real).unwrap().permissions().mode() & 0o777,
        0o640
    );

    // A read-only one is left alone, and so is everything beside it.
    workshop.write("shut/tea-box.nc", "mine");
    let shut = workshop.path("shut/tea-box.nc");
    fs::set_permissions(&shut, fs::Permissions::from_mode(0o444)).unwrap();
    let run = workshop.run(&["generate", JOB, "-o", "shut"]).expect(2);
    assert!(run.stderr.contains("read-only"), "{}", run.stderr);
    assert_eq!(workshop.list("shut"), ["tea-box.nc"]);
    assert_eq!(workshop.read("shut/tea-box.nc"), "mine");
}

/// A corrected job is still the person's own file: link, other names, mode,
/// line ends, mark and comments.
#[cfg(unix)]
#[test]
fn an_edited_file_stays_what_it_was() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
    let workshop = Workshop::new();
    workshop.run(&["generate", JOB, "-o", "out"]).expect(0);
    let fit = |file: &str| {
        workshop.run(&[
            "fit",
            file,
            "--cut",
            "out/tea-box.nc",
            "--outside-box",
            "3.30",
        ])
    };
    let text = workshop.read(JOB);
    let windows = format!("\u{feff}{}", text.replace('\n', "\r\n"));
    workshop.write("jobs/real.toml", &windows);
    let real = workshop.path("jobs/real.toml");
    fs::set_permissions(&real, fs::Permissions::from_mode(0o604)).unwrap();
    symlink("real.toml", workshop.path("jobs/link.toml")).unwrap();
    fs::hard_link(&real, workshop.path("jobs/twin.toml")).unwrap();
    let node = fs::metadata(&real).unwrap().ino();
    fit("jobs/link.toml").expect(0);
    assert!(
        fs::symlink_metadata(workshop.path("jobs/link.toml"))
            .unwrap()
            .is_symlink()
    );
    let after = fs::metadata(&real).unwrap();
    assert_eq!(
        (after.ino(), after.nlink(), after.mode() & 0o777),
        (node, 2, 0o604)
    );
    let new = workshop.read("jobs/real.toml");
    assert_eq!(workshop.read("jobs/twin.toml"), new);
    assert!(
        new.starts_with('\u{feff}') && new.contains("box_v"),
        "{new}"
    );
    assert_eq!(new.matches('\n').count(), new.matches("\r\n").count());
    // All of the old lines are there, in their order.
    let mut lines = new.lines();
    for line in windows.lines() {
        assert!(lines.any(|found| found == line), "`{line}` is lost");
    }

    workshop.write("jobs/shut.toml", &text);
    let shut = workshop.path("jobs/shut.toml");
    fs::set_permissions(&shut, fs::Permissions::from_mode(0o444)).unwrap();
    let run = fit("jobs/shut.toml").expect(2);
    assert!(run.stderr.contains("read-only"), "{}", run.stderr);
    assert_eq!(workshop.read("jobs/shut.toml"), text);
}

/// Each of two runs at once enters its own metres.
#[test]
fn of_runs_at_once_none_loses_an_entry() {
    let workshop = generated();
    let ran = ["ran", "out/tea-box.nc", "--job", JOB];
    let once = workshop
        .run(&[ran.as_slice(), &["--dry", "--format", "json"]].concat())
        .expect(0);
    let words = once.json()["words"][0].as_str().unwrap().to_owned();
    let metres: f64 = words
        .split(": ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next())
        .unwrap()
        .parse()
        .unwrap();
    let runs = 12;
    let children: Vec<_> = (0..runs)
        .map(|_| {
            workshop
                .command(&ran)
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    for mut child in children {
        assert!(child.wait().unwrap().success());
    }
    let rack: toml_edit::DocumentMut = workshop.read(RACK).parse().unwrap();
    let entered: f64 = rack["bit"]
        .as_array_of_tables()
        .unwrap()
        .iter()
        .filter_map(|bit| bit.get("cut_m")?.as_float())
        .sum();
    // Each entry is rounded to a hundredth of a metre.
    assert!(
        (entered - f64::from(runs) * metres).abs() < 0.01 * f64::from(runs),
        "{entered} {metres}"
    );
    assert!(
        workshop
            .list("machines")
            .iter()
            .all(|name| !name.contains(".part"))
    );
}

#[test]
fn what_was_run_is_entered_for_its_bit_and_nothing_else_is() {
    let workshop = generated();
    let before = workshop.read(RACK);
    let report = workshop
        .run(&[
            "simulate",
            "out/tea-box.nc",
            "out/tea-box-pilot.nc",
            "--job",
            JOB,
            "--format",
            "json",
        ])
        .expect(0)
        .json();
    let ran = |arguments: &[&str]| workshop.run(&[&["ran"], arguments, &["--job", JOB]].concat());
    ran(&["out/tea-box.nc", "--times", "3"]).expect(0);
    ran(&["out/tea-box-pilot.nc"]).expect(0);
    let rack: toml_edit::DocumentMut = workshop.read(RACK).parse().unwrap();
    let mut found = Vec::new();
    for bit in rack["bit"].as_array_of_tables().unwrap() {
        if let Some(metres) = bit.get("cut_m").and_then(toml_edit::Item::as_float) {
            found.push((bit["name"].as_str().unwrap().to_owned(), metres));
        }
    }
    for (index, times) in [(0, 3.0), (1, 1.0)] {
        let program = &report["programs"][index];
        let metres = program["cut_mm"].as_f64().unwrap() / 1000.0 * times;
        let name = program["bit"].as_str().unwrap();
        let own = found.iter().find(|(bit, _)| bit == name).unwrap();
        assert!((own.1 - metres).abs() <= 0.0051, "{own:?} is not {metres}");
    }
    let kept: Vec<String> = workshop.read(RACK).lines().map(str::to_owned).collect();
    let kept: Vec<&String> = kept
        .iter()
        .filter(|line| !line.starts_with("cut_m"))
        .collect();
    assert_eq!(kept, before.lines().collect::<Vec<_>>());

    // Another job's program is not this job's, and is not entered.
    let rack = workshop.read(RACK);
    workshop.run(&["generate", "examples/keepsake-chest.toml", "-o", "out"]);
    let run = ran(&["out/keepsake-chest.nc"]);
    assert_ne!(run.code, 0, "{}", run.stdout);
    assert_eq!(workshop.read(RACK), rack);
}

#[test]
fn a_test_piece_counts_as_well_when_it_is_said_to_be_one() {
    let workshop = Workshop::new();
    let scrap = [
        "--length",
        "320",
        "--width",
        "90",
        "--thickness",
        "20",
        "--step",
        "0.06",
    ];
    workshop
        .run(&[&["test-piece", JOB, "-o", "out"], scrap.as_slice()].concat())
        .expect(0);
    let program = "out/tea-box-test-piece.nc";
    let said = [&["--job", JOB, "--test-piece"], scrap.as_slice()].concat();
    workshop
        .run(&[&["simulate", program], said.as_slice()].concat())
        .expect(0);
    workshop.run(&["simulate", program, "--job", JOB]).expect(1);
    workshop.run(&["ran", program, "--job", JOB]).expect(1);
    assert!(!workshop.read(RACK).contains("cut_m"));
    workshop
        .run(&[&["ran", program], said.as_slice()].concat())
        .expect(0);
    assert!(workshop.read(RACK).contains("cut_m"));
    // With another step the pockets are others.
    let other: Vec<&str> = said
        .iter()
        .map(|word| if *word == "0.06" { "0.05" } else { word })
        .collect();
    workshop
        .run(&[&["ran", program], other.as_slice()].concat())
        .expect(1);
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_exit_2_for_every_command() {
    let workshop = generated();
    for arguments in [
        vec!["generate", JOB, "-o", "again"],
        vec!["generate", JOB, "-o", "again", "--format", "json"],
        vec![
            "simulate",
            "out/tea-box.nc",
            "out/tea-box-pilot.nc",
            "--job",
            JOB,
        ],
        vec!["simulate", "out/tea-box.nc", "--machine", MACHINE],
        vec!["feeds", JOB],
        vec!["feeds", JOB, "--format", "json"],
        vec![
            "retune",
            "out/tea-box.nc",
            "--job",
            JOB,
            "--wear",
            "0",
            "-o",
            "new.nc",
        ],
        vec![
            "test-piece",
            JOB,
            "-o",
            "again",
            "--length",
            "300",
            "--width",
            "90",
            "--thickness",
            "20",
        ],
        vec![
            "fit",
            JOB,
            "--cut",
            "out/tea-box.nc",
            "--outside-box",
            "3.4",
            "--dry",
        ],
        vec!["ran", "out/tea-box.nc", "--job", JOB, "--dry"],
        vec!["init", "-"],
        vec!["schema", "job"],
        vec!["completions", "bash"],
        vec!["--help"],
        vec!["generate", "--help"],
        vec!["--version"],
    ] {
        let full = fs::File::options().write(true).open("/dev/full").unwrap();
        let output = workshop
            .command(&arguments)
            .stdout(full)
            .stderr(Stdio::piped())
            .output()
            .unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {said}");
        assert!(said.contains("standard output"), "{arguments:?}: {said}");
    }
}

/// A program that was right for the job as it was lies there still.
#[test]
fn a_run_that_fails_names_what_an_earlier_one_left() {
    let workshop = generated();
    let thin = [("wall   = 18", "wall   = 12")];
    workshop.vary(JOB, JOB, &thin);
    let run = workshop
        .run(&["generate", JOB, "-o", "out", "--format", "json"])
        .expect(1);
    let stale = run.json()["stale"].clone();
    let left = ["out/tea-box.nc", "out/tea-box-pilot.nc", "out/tea-box.html"];
    assert_eq!(stale, serde_json::json!(left));
    assert!(run.stderr.contains("of an earlier run"), "{}", run.stderr);
    workshop.vary(JOB, JOB, &[("wall   = 12", "wall   = 12 mm")]);
    let run = workshop.run(&["generate", JOB, "-o", "out"]).expect(2);
    assert!(
        run.stderr.contains("out/tea-box.nc, out/tea-box-pilot.nc"),
        "{}",
        run.stderr
    );
    let run = workshop
        .run(&["generate", JOB, "-o", "elsewhere"])
        .expect(2);
    assert!(!run.stderr.contains("earlier run"), "{}", run.stderr);
}

#[test]
fn a_narrow_terminal_breaks_no_word() {
    let workshop = Workshop::new();
    let mut command = workshop.command(&["generate", JOB, "-o", "out"]);
    let output = command.env("COLUMNS", "30").output().unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    for line in [
        "box 1, mm",
        "  centre from outside: 8.50",
        "  left below: 77.60",
    ] {
        assert!(said.lines().any(|found| found == line), "{line}: {said}");
    }
}

#[test]
fn what_killed_runs_have_left_is_cleaned_up() {
    let workshop = Workshop::new();
    workshop.write("out/.stepwell-dead.part", "half");
    workshop.write("out/.stepwell-alive.part", "half");
    workshop.write("out/mine.part", "mine");
    let alive = fs::File::open(workshop.path("out/.stepwell-alive.part")).unwrap();
    alive.lock().unwrap();
    workshop.run(&["generate", JOB, "-o", "out"]).expect(0);
    let names = workshop.list("out");
    assert!(
        !names.contains(&".stepwell-dead.part".to_owned()),
        "{names:?}"
    );
    assert!(
        names.contains(&".stepwell-alive.part".to_owned()),
        "{names:?}"
    );
    assert!(names.contains(&"mine.part".to_owned()), "{names:?}");
}

/// Titles, names of clamps, file names, comments and program lines.
#[test]
fn nothing_from_a_file_reaches_the_terminal_as_a_command() {
    let workshop = Workshop::new();
    let bell = "\\u001b]0;pwned\\u0007\\u009b2J";
    workshop.vary(
        JOB,
        "jobs/box.toml",
        &[("title", &format!("title = \"{bell}\" #"))],
    );
    let raw = |text: &str| {
        text.chars()
            .any(|c| c.is_control() && c != '\n' && c != '\t')
    };
    for arguments in [
        vec!["generate", "jobs/box.toml", "-o", "out"],
        vec!["generate", "jobs/box.toml", "-o", "out", "--format", "json"],
        vec!["feeds", "jobs/box.toml"],
        vec!["generate", "no\u{1b}[2Jthing.toml"],
        vec!["generate", "jobs/box.toml", "--bit", "\u{1b}[2J"],
        vec!["\u{1b}[2J"],
        vec!["simulate", "out/box.nc", "--job", "\u{7}.toml"],
    ] {
        let run = workshop.run(&arguments);
        assert!(!raw(&run.stdout), "{arguments:?}: {:?}", run.stdout);
        assert!(!raw(&run.stderr), "{arguments:?}: {:?}", run.stderr);
    }
    let shown = workshop
        .run(&["generate", "jobs/box.toml", "-o", "out"])
        .expect(0);
    assert!(
        shown.stdout.contains("\\u{1b}]0;pwned\\u{7}\\u{9b}2J"),
        "{}",
        shown.stdout
    );
    let sheet = workshop.read("out/box.html");
    assert!(!raw(&sheet), "the sheet carries control characters");
    workshop.write("bad.nc", "G21 (\u{7})\nG0 \u{1b}[2J X1\nM30\n");
    let run = workshop
        .run(&["simulate", "bad.nc", "--job", JOB])
        .expect(1);
    assert!(!raw(&run.stdout) && !raw(&run.stderr), "{:?}", run.stdout);
}
