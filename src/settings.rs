//! The model's choice of speeds and feeds for a whole job.

use std::f64::consts::PI;

use crate::cutting::{self, Settings, Task};
use crate::job::{Job, Step};
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;
use crate::units::{Feed, Length};

/// So much of a loop may lie under the least chip.
const SLOW_SHARE: f64 = 0.1;
/// With less room round the bit, past the finishing allowance, nothing is roughed
/// in loops.
const NO_LOOP: f64 = 0.02;

/// Speeds and feeds for the pockets' bit in all the job's woods.
pub fn for_job(job: &Job) -> Settings {
    for_bit(job, &job.bit)
}

/// Speeds and feeds as if `bit` cut the pockets of `job`.
pub fn for_bit(job: &Job, bit: &Bit) -> Settings {
    let woods: Vec<_> = job.parts.iter().map(|part| &part.wood).collect();
    cutting::choose(bit, &woods, &job.machine, task(job, bit))
}

/// What the job asks of a pocket bit: the highest single step's wall is
/// finished in one go, and that of a piece cut free as far as the edge reaches.
pub fn task(job: &Job, bit: &Bit) -> Task {
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    let wall = pockets.fold(Length::ZERO, |wall, pocket| {
        let mut floor = Length::ZERO;
        pocket.steps.iter().fold(wall, |wall, step| {
            let height = step.depth - floor;
            floor = step.depth;
            wall.max(height)
        })
    });
    let pieces = job.parts.iter().flat_map(|part| &part.contours);
    let wall = pieces.fold(wall, |wall, piece| {
        wall.max(piece.depth.min(bit.cutting_length))
    });
    Task {
        finish: job.fit.finish,
        wall,
        engagement: bit.cutting_diameter(),
        reached: reached(job, bit),
    }
}

/// The least that any feed comes down to on a tenth of a pocket's roughing loop.
fn reached(job: &Job, bit: &Bit) -> Option<Feed> {
    let inset = (bit.cutting_diameter() / 2.0 + job.fit.finish).as_mm();
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    let steps = pockets.flat_map(|pocket| &pocket.steps);
    let speeds = steps.filter_map(|step| on_loop(step, inset, &job.machine));
    speeds
        .reduce(f64::min)
        .map(|speed| Feed::from_mm_per_minute(60.0 * speed))
}

/// The speed in mm/s of which a tenth of the loop `inset` inside a step falls short.
fn on_loop(step: &Step, inset: f64, machine: &Machine) -> Option<f64> {
    let half = [step.length, step.width].map(|side| side.as_mm() / 2.0 - inset);
    let narrow = half[0].min(half[1]);
    if narrow <= NO_LOOP {
        return None;
    }
    let radius = (step.corner.as_mm() - inset).clamp(0.0, narrow);
    let legs = half.map(|half| 2.0 * (half - radius));
    let turns = 2.0 * PI * radius;
    let [x, y, _] = machine.acceleration;
    let acceleration = x.min(y);
    // Beside every turn the machine still speeds up, over the same length.
    let beside = legs.iter().filter(|leg| **leg > NO_LOOP).count() as f64 * 4.0;
    let slow = SLOW_SHARE * (2.0 * (legs[0] + legs[1]) + turns) - turns;
    let ramp = if beside > 0.0 {
        slow.max(0.0) / beside
    } else {
        0.0
    };
    Some((acceleration * (radius + 2.0 * ramp)).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    /// By hand, 250 mm/s² and a bit that leaves loops of 2 mm radius: 10.4 less 6.4 mm
    /// wide. Their ends are 12.57 mm of 80.57, more than a tenth: √(250 × 2).
    #[test]
    fn a_loop_is_reached_at_what_its_round_ends_allow() {
        let mut step = sample::job().parts[0].pockets[0].steps[0];
        let mm = Length::from_mm;
        (step.length, step.width, step.corner) = (mm(44.4), mm(10.4), mm(5.2));
        let machine = sample::machine();
        let speed = |step: &Step| on_loop(step, 3.2, &machine);
        assert!((speed(&step).expect("a loop") - 500f64.sqrt()).abs() < 1e-9);
        // Sharp corners: eight ramps on a tenth of the four legs.
        (step.corner, step.width) = (mm(3.2), mm(13.4));
        let lap = 2.0 * (38.0 + 7.0);
        let wanted = f64::sqrt(2.0 * 250.0 * lap / 80.0);
        assert!((speed(&step).expect("a loop") - wanted).abs() < 1e-9);
        step.width = mm(6.4);
        assert_eq!(speed(&step), None);
    }
}
