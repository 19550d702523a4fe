//! Spec files for tests: a sample of each kind, and the shipped ones.

use std::fs;
use std::path::Path;

use crate::diagnostic::Diagnostics;
use crate::input::{self, Overrides};
use crate::job::Job;
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;

/// A machine file.
pub(crate) const MACHINE: &str = "
name = 'Test router'
travel = [400, 300, 90]
feed_max = [3000, 3000, 1200]
[spindle]
rpm = [8000, 24000]
";

/// A rack of a router bit and a drill.
pub(crate) const BITS: &str = "
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

/// A job of an overlay box that names both.
pub(crate) const OVERLAY: &str = "title = 'Sample'
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

pub(crate) fn machine() -> Machine {
    input::machine("machine.toml", MACHINE).unwrap()
}

pub(crate) fn rack() -> Vec<Bit> {
    input::bits("bits.toml", BITS).unwrap()
}

/// The job of `text` with the sample machine and the rack of `bits`.
pub(crate) fn resolve(text: &str, bits: &str, overrides: &Overrides) -> Result<Job, Diagnostics> {
    let rack = input::bits("bits.toml", bits)?;
    input::job("job.toml", text)?.resolve(machine(), rack, overrides)
}

/// A shipped file's text; `path` counts from the repository's root.
pub(crate) fn shipped(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

/// The job of `text`, as if it lay at `path`, with the machine and the rack it names.
pub(crate) fn resolve_at(path: &str, text: &str) -> Result<Job, Diagnostics> {
    let job = input::job(path, text)?;
    let folder = Path::new(path).parent().unwrap();
    let beside = |relative: &str| shipped(folder.join(relative).to_str().unwrap());
    let machine = input::machine("machine.toml", &beside(job.machine_path()))?;
    let rack = input::bits("bits.toml", &beside(job.bits_path()))?;
    let drawer = job.hinges_path().map(beside);
    let job = match drawer {
        Some(text) => job.with_hinges(input::hinges("hinges.toml", &text)?),
        None => job,
    };
    job.resolve(machine, rack, &Overrides::default())
}
