//! Whether the chips find a way out of a job's pockets.

use crate::job::Job;
use crate::shop::bit::Bit;
use crate::units::text;

/// How many of its widths `bit` goes deep where chips have no way out, in the
/// worst step of the job; `None` where they have one everywhere.
pub(super) fn packed(job: &Job, bit: &Bit) -> Option<f64> {
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    pockets
        .flat_map(|pocket| &pocket.steps)
        .filter(|step| bit.packs_chips(step.width.min(step.length), step.depth))
        .map(|step| step.depth.as_mm() / bit.cutting_diameter().as_mm())
        .reduce(f64::max)
}

pub(super) fn words(bits_deep: f64) -> String {
    let times = text::tenths(bits_deep);
    format!(
        "chips have no way out: {times} bits deep, hardly wider than one, and it does not lift them"
    )
}
