//! Speeds and feeds as an optimisation: the greatest removal rate that every
//! limit allows.
//!
//! Wear is monotone by construction. The choice is made for the fresh edge;
//! then, as the edge wears, the chip load only rises, the spindle only slows
//! down, the feed never rises and the stepdown is the least of terms that each
//! only fall. Where acceleration keeps a pocket's loops under the feed, the spindle
//! slows down until the chip that is really cut is thick enough; the least chip
//! rises with wear, so that this too only goes one way.

use crate::cutting::bench::{Bench, unknown_wood};
use crate::cutting::{Settings, Task, edge};
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;
use crate::shop::wood::Wood;

/// Speeds and feeds for `bit` in all of `woods` on `machine`.
pub fn choose(bit: &Bit, woods: &[&Wood], machine: &Machine, task: Task) -> Settings {
    let unknown = unknown_wood();
    let fallback = [&unknown];
    let woods = if woods.is_empty() { &fallback } else { woods };
    let bench = Bench::new(bit, woods, machine);
    let fresh_bit = Bit {
        wear: 0.0,
        ..bit.clone()
    };
    let fresh_bench = Bench::new(&fresh_bit, woods, machine);
    let fresh = fresh_bench.best();
    let duller = edge::force_factor(bit) / edge::force_factor(&fresh_bit);
    let watts = fresh_bench.watts_each_mm(fresh) * duller;
    let serves_fresh = fresh_bench.chip_serves();
    let dull_bit = Bit {
        wear: 1.0,
        ..bit.clone()
    };
    let thickest = Bench::new(&dull_bit, woods, machine).thickest(watts);
    let pace = bench.reaching(bench.worn(fresh), task, thickest);
    bench.settings(pace, watts, serves_fresh, task)
}
