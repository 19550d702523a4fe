//! Killed at any moment, the old file or the new one is there, whole.

use std::fs;
use std::process::Stdio;
use std::thread;
use std::time::{Duration, Instant};

use crate::harness::{Workshop, examples, stem};

#[test]
fn a_killed_run_leaves_the_old_program_or_the_new_one_whole() {
    let workshop = Workshop::new();
    let example = examples()[0].clone();
    let name = format!("{}.nc", stem(&example));
    let start = Instant::now();
    workshop.run(&["generate", &example, "-o", "new"]).expect(0);
    let whole_run = start.elapsed();
    let new = fs::read(workshop.path(&format!("new/{name}"))).unwrap();
    let old = vec![b'('; 3 * new.len()];
    let target = workshop.path(&format!("out/{name}"));
    fs::create_dir(workshop.path("out")).unwrap();

    let rounds = 60;
    let (mut old_left, mut new_left) = (0, 0);
    for round in 0..rounds {
        fs::write(&target, &old).unwrap();
        let mut child = workshop
            .command(&["generate", &example, "-o", "out"])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        thread::sleep(
            whole_run.mul_f64(1.3 * f64::from(round) / f64::from(rounds))
                + Duration::from_micros(50),
        );
        let _ = child.kill();
        child.wait().unwrap();
        let left = fs::read(&target).unwrap();
        assert!(
            left == old || left == new,
            "half-written after {round}: {} bytes",
            left.len()
        );
        if left == old {
            old_left += 1
        } else {
            new_left += 1
        }
    }
    assert!(
        old_left > 0,
        "no run was killed early enough to prove anything"
    );
    assert!(new_left > 0, "no run was left to finish");
}
