//! Round and round a closed path, deeper with every lap.

use super::cutter::Cutter;
use super::heights::Heights;
use super::motion::Pace;
use super::path::Loop;
use super::trace::ToolPath;

/// A change of slope leaves no shorter part of a stretch, if that can be helped.
const LEAST_STRETCH: f64 = 0.1;
/// Chords of ramps that do not end alike may lie this much apart in height.
const CHORDS: f64 = 0.02;
/// For that a descent begins this much earlier, again and again.
const EARLIER: f64 = 0.05;
const TRIALS: u32 = 40;

/// A descent along a loop: stretches of it, each with the height at its end.
pub(super) struct Spiral {
    stretches: Vec<(f64, f64)>,
}

impl Spiral {
    pub(super) fn new(path: &Loop, heights: Heights, scored: f64, cutter: &Cutter) -> Self {
        let stepped = Self::stepped(path, heights, cutter);
        let even = Self::even(path, heights, scored, cutter);
        match stepped {
            Some(stepped) if stepped.way() < even.way() => stepped,
            _ => even,
        }
    }

    /// In each lap a full bite down by a ramp at the same place, the rest level;
    /// what is left over comes last, for its ramp is all there is to flatten.
    fn stepped(path: &Loop, heights: Heights, cutter: &Cutter) -> Option<Self> {
        let count = levels(heights, cutter).count();
        let lap = path.length();
        let bite = (cutter.bite - CHORDS).max(heights.depth() / count as f64);
        if bite / cutter.slope > lap {
            return None;
        }
        let mut stretches = Vec::new();
        let mut ramp = 0.0;
        let mut top = heights.top;
        for level in 1..=count {
            let z = if level < count {
                top - bite
            } else {
                heights.floor
            };
            ramp = (top - z) / cutter.slope;
            stretches.push((ramp, z));
            stretches.push((lap - ramp, z));
            top = z;
        }
        stretches.push((ramp, heights.floor));
        Some(Self { stretches })
    }

    /// Evenly down, lap after lap, then once level.
    fn even(path: &Loop, heights: Heights, scored: f64, cutter: &Cutter) -> Self {
        let lap = path.length();
        let depth = heights.depth() - scored;
        let slope = |bite: f64| (bite / lap).min(cutter.slope);
        let first = slope((cutter.bite - scored).max(cutter.bite / 4.0));
        let others = slope(cutter.bite);
        let drop = depth.min(first * lap);
        let begin = heights.top - scored;
        Self {
            stretches: vec![
                (drop / first, begin - drop),
                ((depth - drop) / others, heights.floor),
                (lap, heights.floor),
            ],
        }
    }

    /// With a little more way on the floor where that keeps every change of slope
    /// off the ends of the path's stretches, for a descent that ends at `end`.
    pub(super) fn clear_of_joints(mut self, path: &Loop, end: f64) -> Self {
        let more = (0..TRIALS)
            .map(|trial| f64::from(trial) * EARLIER)
            .find(|more| self.is_clear_of_joints(path, end - self.way() - more));
        if let (Some(more), Some((length, _))) = (more, self.stretches.last_mut()) {
            *length += more;
        }
        self
    }

    /// Whether every change of slope keeps off the ends of the path's stretches, for
    /// a descent that begins at `start`.
    pub(super) fn is_clear_of_joints(&self, path: &Loop, start: f64) -> bool {
        let mut along = start;
        self.stretches.iter().all(|(length, _)| {
            let is_clear = path.to_joint(along) >= LEAST_STRETCH;
            along += length;
            is_clear
        })
    }

    pub(super) fn way(&self) -> f64 {
        self.stretches.iter().map(|(length, _)| length).sum()
    }

    pub(super) fn cut(&self, trace: &mut ToolPath, path: &Loop, start: f64) {
        let mut along = start;
        for &(length, z) in &self.stretches {
            trace.follow(path, along, length, z, Pace::Rough);
            along += length;
        }
    }
}

/// How deep it is after each lap.
pub(super) fn levels(heights: Heights, cutter: &Cutter) -> impl Iterator<Item = f64> {
    let count = (heights.depth() / cutter.bite - 1e-6).ceil().max(1.0) as u32;
    (1..=count).map(move |level| {
        if level == count {
            heights.floor
        } else {
            heights.top - heights.depth() * f64::from(level) / f64::from(count)
        }
    })
}
