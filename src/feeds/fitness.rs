//! Why a bit cannot cut a job's pockets at all.

use crate::job::{Job, Pocket, Step};
use crate::shop::bit::{Bit, BitKind};
use crate::units::Length;
use crate::units::ruler::Ruler;

/// Slack within which a bit counts as wide as a pocket.
const SAME_WIDTH: Length = Length::from_mm(0.02);

/// Why `bit` cannot cut the job's pockets, whatever its wear: all reasons, each
/// once; empty if it can.
pub fn problems(job: &Job, bit: &Bit) -> Vec<String> {
    if bit.kind == BitKind::Drill {
        return vec!["a drill goes straight down only, it cuts no pocket".to_owned()];
    }
    let ruler = Ruler::new(job.units);
    let mut problems = Vec::new();
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    let steps: Vec<&Step> = pockets.clone().flat_map(|pocket| &pocket.steps).collect();
    problems.extend(too_wide(bit, &steps, ruler));
    problems.extend(too_round(bit, &steps, ruler));
    problems.extend(too_short(bit, pockets.filter_map(deepest), ruler));
    problems
}

fn deepest(pocket: &Pocket) -> Option<Length> {
    pocket
        .steps
        .iter()
        .map(|step| step.depth)
        .reduce(Length::max)
}

fn too_wide(bit: &Bit, steps: &[&Step], ruler: Ruler) -> Option<String> {
    let narrowest = steps
        .iter()
        .map(|step| step.width.min(step.length))
        .reduce(Length::min)?;
    (bit.cutting_diameter() > narrowest + SAME_WIDTH).then(|| {
        format!(
            "it cuts {} wide, the narrowest step is {}",
            ruler.one(bit.cutting_diameter().as_mm(), 2),
            ruler.one(narrowest.as_mm(), 2)
        )
    })
}

fn too_round(bit: &Bit, steps: &[&Step], ruler: Ruler) -> Option<String> {
    let tightest = steps.iter().map(|step| step.corner).reduce(Length::min)?;
    (bit.cutting_diameter() > tightest * 2.0 + SAME_WIDTH).then(|| {
        format!(
            "its radius of {} does not reach into a corner of {}; \
             the largest bit that does is {}",
            ruler.one(bit.cutting_diameter().as_mm() / 2.0, 2),
            ruler.one(tightest.as_mm(), 2),
            ruler.one(tightest.as_mm() * 2.0, 2)
        )
    })
}

fn too_short(bit: &Bit, depths: impl Iterator<Item = Length>, ruler: Ruler) -> Vec<String> {
    let Some(deepest) = depths.reduce(Length::max) else {
        return Vec::new();
    };
    let mut problems = Vec::new();
    if bit.shank >= bit.cutting_diameter() && bit.cutting_length < deepest {
        problems.push(format!(
            "its cutting edge of {} is shorter than the pocket's {}, and the shank is no thinner",
            ruler.one(bit.cutting_length.as_mm(), 1),
            ruler.one(deepest.as_mm(), 1)
        ));
    }
    if bit.stickout <= deepest {
        problems.push(format!(
            "it stands {} out of the nut, the pocket is {} deep: the nut would touch the wood",
            ruler.one(bit.stickout.as_mm(), 1),
            ruler.one(deepest.as_mm(), 1)
        ));
    }
    problems
}
