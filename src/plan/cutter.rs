//! The bit and its limits, as the strategies use them; millimetres.

use crate::cutting::Settings;
use crate::job::Job;
use crate::shop::bit::WallCare;

/// Neighbouring paths lie at most this far apart, as a share of the bit: two
/// sharp-cornered paths further apart than (1 + √½) / 2 leave a pillar on the
/// diagonal.
const WIDEST_SPACING: f64 = 0.85;

/// The deepest scoring lap, and its share of the stepdown.
const SCORE_DEPTH: f64 = 0.5;
const SCORE_SHARE: f64 = 0.25;

/// A bit in this job.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cutter {
    pub(super) radius: f64,
    /// Wall allowance for the finishing pass.
    pub(super) finish: f64,
    /// Height of wood one move may take.
    pub(super) bite: f64,
    /// Steepest drop for each length of path.
    pub(super) slope: f64,
    /// Greatest distance of neighbouring paths.
    pub(super) spacing: f64,
    /// Length of the cutting edge.
    pub(super) edge: f64,
    /// Depth of the scoring lap, where the bit wants one.
    pub(super) score: Option<f64>,
    pub(super) care: WallCare,
}

impl Cutter {
    pub(super) fn new(job: &Job, settings: &Settings) -> Self {
        let bit = &job.bit;
        let diameter = bit.cutting_diameter().as_mm();
        let stepdown = settings.limits.stepdown.as_mm();
        let share = bit.stepover.unwrap_or(WIDEST_SPACING).min(WIDEST_SPACING);
        Self {
            radius: diameter / 2.0,
            finish: job.fit.finish.as_mm().max(0.0),
            bite: stepdown.max(1e-3),
            // Chords of a descending arc are a little shorter than the arc.
            slope: (settings.limits.ramp.as_radians().tan() * 0.998).clamp(1e-3, 1.0),
            spacing: diameter * share.max(0.05),
            edge: bit.cutting_length.as_mm().max(stepdown / 2.0).max(1e-3),
            score: bit
                .scores_rim()
                .then(|| SCORE_DEPTH.min(stepdown * SCORE_SHARE)),
            care: bit.wall_care,
        }
    }

    pub(super) fn diameter(&self) -> f64 {
        2.0 * self.radius
    }
}
