//! The least time that the chosen feed allows.

use std::f64::consts::PI;

use crate::cutting::Settings;
use crate::job::{Job, Step};
use crate::shop::bit::Bit;
use crate::units::Seconds;

/// A step no more than this much wider than the bit is a slot, in mm.
const SLOT: f64 = 0.02;

/// Over all steps of the parts and hinges that this run cuts: the greater of
/// volume / (diameter × stepdown) and depth / tan(ramp), plus the path along
/// the finishing contour (in a slot one traverse), at the roughing feed.
pub(super) fn least(job: &Job, bit: &Bit, settings: &Settings) -> Seconds {
    let parts = job.parts.iter().filter(|part| job.is_selected(part.name));
    let path: f64 = parts
        .flat_map(|part| &part.pockets)
        .filter(|pocket| {
            job.selection
                .hinge
                .is_none_or(|hinge| hinge == pocket.hinge)
        })
        .map(|pocket| {
            let floors = pocket.steps.iter().map(|step| step.depth.as_mm());
            let tops = std::iter::once(0.0).chain(floors);
            let steps = pocket.steps.iter().zip(tops).enumerate();
            steps
                .filter(|(index, _)| job.selection.step.is_none_or(|step| step == index + 1))
                .map(|(_, (step, top))| path(step, step.depth.as_mm() - top, bit, settings))
                .sum::<f64>()
        })
        .sum();
    Seconds::from_seconds(60.0 * path / settings.feed.as_mm_per_minute())
}

fn path(step: &Step, depth: f64, bit: &Bit, settings: &Settings) -> f64 {
    let diameter = bit.cutting_diameter().as_mm();
    let swath = diameter * settings.limits.stepdown.as_mm();
    let by_volume = area(step) * depth / swath;
    let by_ramp = depth / settings.limits.ramp.as_radians().tan();
    by_volume.max(by_ramp) + contour(step, diameter)
}

fn area(step: &Step) -> f64 {
    let corner = step.corner.as_mm();
    step.length.as_mm() * step.width.as_mm() - (4.0 - PI) * corner * corner
}

fn contour(step: &Step, diameter: f64) -> f64 {
    let (length, width) = (
        step.length.as_mm() - diameter,
        step.width.as_mm() - diameter,
    );
    if width.min(length) <= SLOT {
        return length.max(width).max(0.0);
    }
    let corner = (step.corner.as_mm() - diameter / 2.0).max(0.0);
    2.0 * (length + width) - (8.0 - 2.0 * PI) * corner
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::settings;
    use crate::shop::bit::BitKind;

    #[test]
    fn the_bound_of_the_sample_box_is_the_sum_worked_by_hand() {
        // Obrounds 44.1 and 27.1 by 10.1 mm, depths 4.7 and 12.4 mm, four
        // pockets; a 6 mm bit. Area: (L - W) W + pi W^2 / 4; contour: a
        // racetrack of straights 2 (L - W) and a circle of diameter W - 6.
        let job = sample::job();
        let bit = sample::bit(BitKind::UpSpiral, 6.0);
        let settings = settings::for_bit(&job, &bit);
        let stepdown = settings.limits.stepdown.as_mm();
        let slope = settings.limits.ramp.as_radians().tan();
        let round = PI * 10.1 * 10.1 / 4.0;
        let mut path = 0.0;
        for (straight, depth) in [(34.0, 4.7), (17.0, 12.4 - 4.7)] {
            let area = straight * 10.1 + round;
            path += f64::max(area * depth / (6.0 * stepdown), depth / slope);
            path += 2.0 * straight + PI * 4.1;
        }
        let expected = 4.0 * path / settings.feed.as_mm_per_minute() * 60.0;
        let computed = least(&job, &bit, &settings).as_seconds();
        assert!((computed - expected).abs() < 1e-9, "{computed} {expected}");
    }
}
