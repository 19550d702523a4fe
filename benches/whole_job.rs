//! Whole processes from outside, as the person at the desk waits for them:
//! `generate` of each example over the start of an empty process, rows of
//! many pockets, and how many moves a second are judged with their wood.
//!
//! `cargo bench --bench whole_job`

#![allow(clippy::print_stdout)]

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

const EXAMPLES: [&str; 3] = ["tea-box", "sewing-chest", "recipe-box"];
/// Times each example is made, the empty process before it.
const ROUNDS: usize = 40;
/// Pockets of the long rows, in both parts together.
const ROWS: [usize; 3] = [100, 1_000, 10_000];
/// Times a long program is judged.
const JUDGED: usize = 5;

fn main() {
    let folder = tempfile::tempdir().expect("a folder for what is made");
    examples(folder.path());
    rows(folder.path());
}

/// Milliseconds that one run takes, and whether it ended well.
fn run(arguments: &[&str]) -> (f64, bool) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_stepwell"));
    command
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    let start = Instant::now();
    let status = command.status().expect("the program starts");
    (start.elapsed().as_secs_f64() * 1e3, status.success())
}

/// The least and the median.
fn least_and_median(mut times: Vec<f64>) -> (f64, f64) {
    times.sort_by(f64::total_cmp);
    (times[0], times[times.len() / 2])
}

fn examples(folder: &Path) {
    println!("milliseconds over an empty process, {ROUNDS} runs in turn");
    println!("                 least  median");
    let mut empty = Vec::new();
    let mut made = EXAMPLES.map(|_| Vec::new());
    for _ in 0..ROUNDS {
        for (name, times) in EXAMPLES.iter().zip(&mut made) {
            let (start, _) = run(&["--version"]);
            let job = format!("{}/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
            let (time, passed) = run(&["generate", &job, "-o", &folder.display().to_string()]);
            assert!(passed, "{name} does not pass");
            empty.push(start);
            times.push(time - start);
        }
    }
    for (name, times) in EXAMPLES.iter().zip(made) {
        let (least, median) = least_and_median(times);
        println!("{name:14} {least:7.1} {median:7.1}");
    }
    let (least, median) = least_and_median(empty);
    println!("an empty one   {least:7.1} {median:7.1}");
}

/// The tea box with so many hinges in a row, on a machine as long.
fn row(folder: &Path, hinges: usize) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let read = |name: &str| fs::read_to_string(root.join(name)).expect("a file of the project");
    let replaced = |text: String, from: &str, to: &str| {
        assert!(text.contains(from), "`{from}` is not there");
        text.replace(from, to)
    };
    let length = hinges * 49 + 41;
    let machine = read("machines/benchtop-mm.toml");
    let travel = format!("travel = [{}, 300, 90]", length + 100);
    let machine = replaced(machine, "travel = [400, 300, 90]", &travel);
    let job = read("examples/tea-box.toml");
    let job = replaced(job, "../machines/", "");
    let job = replaced(job, "length = 260", &format!("length = {length}"));
    let job = replaced(job, "length    = 260", &format!("length = {length}"));
    let mut job = replaced(job, "count = 2", &format!("count = {hinges}"));
    // The clamps stand in the way of so long a row.
    let clamps = job.find("clamps").expect("clamps");
    job.truncate(clamps);
    let write = |name: &str, text: &str| fs::write(folder.join(name), text).expect("written");
    write("benchtop-mm.toml", &machine);
    write("bits.toml", &read("machines/bits.toml"));
    write("row.toml", &job);
    folder.join("row.toml").display().to_string()
}

fn rows(folder: &Path) {
    println!();
    println!("a row of tea-box pockets: seconds to make it, milliseconds a pocket;");
    println!(
        "moves of its program, thousands of them judged with their wood a second, median of {JUDGED}"
    );
    println!("pockets   made s  ms each     moves  thousand/s");
    for pockets in ROWS {
        let job = row(folder, pockets / 2);
        let (time, passed) = run(&["generate", &job, "-o", &folder.display().to_string()]);
        assert!(passed, "{pockets} pockets do not pass");
        let program = folder.join("row.nc");
        let text = fs::read_to_string(&program).expect("the program");
        let moves = text.lines().filter(|line| line.starts_with('G')).count();
        let program = program.display().to_string();
        let arguments = [
            "simulate",
            &program,
            "--job",
            &job,
            "--bit",
            "6 mm up-spiral",
        ];
        let times = (0..JUDGED).map(|_| {
            let (start, _) = run(&["--version"]);
            run(&arguments).0 - start
        });
        let (_, median) = least_and_median(times.collect());
        println!(
            "{pockets:7} {:8.2} {:8.2} {moves:9} {:11.0}",
            time / 1e3,
            time / pockets as f64,
            moves as f64 / median
        );
    }
}
