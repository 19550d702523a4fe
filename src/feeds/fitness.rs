//! Why a bit cannot cut a job's pockets at all.

use crate::bit::{Bit, BitKind};
use crate::job::{Job, Pocket, Step};
use crate::units::Length;

/// Slack within which a bit counts as wide as a pocket.
const SAME_WIDTH: Length = Length::from_mm(0.02);

/// All reasons, each once; empty if the bit can do the job.
pub(super) fn problems(job: &Job, bit: &Bit) -> Vec<String> {
    if bit.kind == BitKind::Drill {
        return vec!["a drill goes straight down only, it cuts no pocket".to_owned()];
    }
    let mut problems = Vec::new();
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    let steps: Vec<&Step> = pockets.clone().flat_map(|pocket| &pocket.steps).collect();
    problems.extend(too_wide(bit, &steps));
    problems.extend(too_round(bit, &steps));
    problems.extend(too_short(bit, pockets.filter_map(deepest)));
    problems
}

fn deepest(pocket: &Pocket) -> Option<Length> {
    pocket
        .steps
        .iter()
        .map(|step| step.depth)
        .reduce(Length::max)
}

fn too_wide(bit: &Bit, steps: &[&Step]) -> Option<String> {
    let narrowest = steps
        .iter()
        .map(|step| step.width.min(step.length))
        .reduce(Length::min)?;
    (bit.cutting_diameter() > narrowest + SAME_WIDTH).then(|| {
        format!(
            "it cuts {:.2} mm wide, the narrowest step is {:.2} mm",
            bit.cutting_diameter().as_mm(),
            narrowest.as_mm()
        )
    })
}

fn too_round(bit: &Bit, steps: &[&Step]) -> Option<String> {
    let tightest = steps.iter().map(|step| step.corner).reduce(Length::min)?;
    (bit.cutting_diameter() > tightest * 2.0 + SAME_WIDTH).then(|| {
        format!(
            "its radius of {:.2} mm does not reach into a corner of {:.2} mm; \
             the largest bit that does is {:.2} mm",
            bit.cutting_diameter().as_mm() / 2.0,
            tightest.as_mm(),
            tightest.as_mm() * 2.0
        )
    })
}

fn too_short(bit: &Bit, depths: impl Iterator<Item = Length>) -> Vec<String> {
    let Some(deepest) = depths.reduce(Length::max) else {
        return Vec::new();
    };
    let mut problems = Vec::new();
    if bit.shank >= bit.cutting_diameter() && bit.cutting_length < deepest {
        problems.push(format!(
            "its cutting edge of {:.1} mm is shorter than the pocket's {:.1} mm, and the shank is no thinner",
            bit.cutting_length.as_mm(),
            deepest.as_mm()
        ));
    }
    if bit.stickout <= deepest {
        problems.push(format!(
            "it stands {:.1} mm out of the nut, the pocket is {:.1} mm deep: the nut would touch the wood",
            bit.stickout.as_mm(),
            deepest.as_mm()
        ));
    }
    problems
}
