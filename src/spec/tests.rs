//! Files in, jobs or mistakes out.

mod any;
mod geometry;
mod helps;
mod mistakes;
mod schema;
mod shipped;
mod syntax;

use crate::bit::Bit;
use crate::diagnostic::Diagnostics;
use crate::job::Job;
use crate::machine::Machine;
use crate::spec::{Overrides, bits, job, machine};

const MACHINE: &str = "
name = 'Test router'
travel = [400, 300, 90]
feed_max = [3000, 3000, 1200]
[spindle]
rpm = [8000, 24000]
";

const BITS: &str = "
[[bit]]
name = '6 mm up-spiral'
kind = 'up-spiral'
diameter = 6
cutting_length = 22
stickout = 30
[[bit]]
name = '2.5 mm drill'
kind = 'drill'
diameter = 2.5
cutting_length = 30
stickout = 34
";

const OVERLAY: &str = "title = 'Sample'
machine = 'machine.toml'
bits = 'bits.toml'
bit = '6 mm up-spiral'
[box]
length = 260
wall = 18
height = 90
wood = 'black walnut'
[lid]
closing = 'overlay'
width = 180
thickness = 18
wood = 'black walnut'
[hinge]
width = 10
setback = 3.5
closed_gap = 0.8
steps = [{ length = 44, depth = 4.5 }, { length = 27, depth = 12 }]
[placement]
count = 2
inset = 45
[fit]
gap = 0.4
[fixture]
layout = 'book'
";

fn test_machine() -> Machine {
    machine("machine.toml", MACHINE).unwrap()
}

fn test_rack() -> Vec<Bit> {
    bits("bits.toml", BITS).unwrap()
}

fn resolve(text: &str) -> Result<Job, Diagnostics> {
    resolve_with(text, &Overrides::default())
}

fn resolve_with(text: &str, overrides: &Overrides) -> Result<Job, Diagnostics> {
    job("job.toml", text)?.resolve(test_machine(), test_rack(), overrides)
}

/// The sample job with each first text replaced by the second.
#[track_caller]
fn overlay(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(OVERLAY.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "the sample has no {old:?}");
        text.replacen(old, new, 1)
    })
}

/// `line:column+length code: message; help`, one a line.
fn listing(errors: &Diagnostics) -> String {
    let line = |error: &crate::diagnostic::Diagnostic| {
        let place = error.place.as_ref().map_or_else(String::new, |place| {
            format!("{}:{}+{} ", place.line, place.column, place.length)
        });
        let help = error
            .help
            .as_ref()
            .map_or_else(String::new, |help| format!("; {help}"));
        format!("{place}{}: {}{help}", error.code, error.message)
    };
    errors.iter().map(line).collect::<Vec<_>>().join("\n")
}
