//! A proved program, damaged where the input says: the judge with a job on
//! whatever is left, whole and in pieces.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use stepwell::cutting::Settings;
use stepwell::input::{self, Overrides};
use stepwell::job::Job;
use stepwell::report::Report;
use stepwell::verify::Judge;
use stepwell::{plan, post, settings};
use stepwell_fuzz::{BITS, JOB, MACHINE, program};

struct Bench {
    job: Job,
    settings: Settings,
    lines: Vec<String>,
}

static BENCH: LazyLock<Bench> = LazyLock::new(|| {
    let machine = input::machine("machine", MACHINE).expect("the shipped machine reads");
    let rack = input::bits("bits", BITS).expect("the shipped rack reads");
    let written = input::job("job", JOB).expect("the shipped job reads");
    let job = written
        .resolve(machine, rack, &Overrides::default())
        .expect("the shipped job resolves");
    let settings = settings::for_job(&job);
    let texts = post::programs(&plan::job(&job, &settings), &job, &settings, &[]);
    let lines = texts[0].text.lines().map(str::to_owned).collect();
    Bench {
        job,
        settings,
        lines,
    }
});

/// A stretch of the program, with words of the input put between its lines.
fn damaged(data: &[u8]) -> String {
    let lines = &BENCH.lines;
    let mut text = String::new();
    for piece in data.chunks(8) {
        let at = |index: usize| piece.get(index).map_or(0, |byte| usize::from(*byte));
        let first = (at(0) * 256 + at(1)) % lines.len();
        let last = (first + at(2) % 24).min(lines.len());
        for line in &lines[first..last] {
            text.push_str(line);
            text.push('\n');
        }
        if at(3) % 4 == 0 {
            let words = program(piece.get(4..).unwrap_or_default());
            text.push_str(words.trim_end_matches("\nM2\n"));
            text.push('\n');
        }
    }
    text
}

fn judged(text: &str, size: usize) -> Report {
    let mut judge = Judge::new(&BENCH.job, &BENCH.settings);
    judge.begin("a.nc", None);
    for piece in text.as_bytes().chunks(size.max(1)) {
        judge.push(piece);
    }
    judge.end();
    judge.finish().report
}

fuzz_target!(|data: &[u8]| {
    let text = damaged(data);
    let whole = judged(&text, text.len());
    let pieces = judged(&text, 1 + data.len() % 37);
    assert_eq!(whole, pieces);
    for pocket in &whole.pockets {
        assert!(pocket.gouge_mm.as_mm().is_finite() && pocket.residual_mm.as_mm().is_finite());
    }
    for program in &whole.programs {
        assert!(program.seconds.as_seconds().is_finite());
    }
});
