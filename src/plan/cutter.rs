//! The bit and its limits, as the strategies use them; millimetres.

use crate::cutting::Settings;
use crate::geometry::Point;
use crate::job::Job;
use crate::shop::bit::WallCare;

/// Neighbouring paths lie at most this far apart, as a share of the bit: two
/// sharp-cornered paths further apart than (1 + √½) / 2 leave a pillar on the
/// diagonal.
const WIDEST_SPACING: f64 = 0.85;

/// The deepest scoring lap, and its share of the stepdown.
const SCORE_DEPTH: f64 = 0.5;
const SCORE_SHARE: f64 = 0.25;

/// Arcs of links are no tighter and no wider than this where there is room.
const BENDS: (f64, f64) = (2.0, 30.0);
/// A wall allowance under this share of the least chip is a hair: the edge would
/// slide over it, so roughing takes it along.
const HAIR: f64 = 0.1;

/// Where on a leg a descent ends and the finishing begins, if nothing else counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ends {
    /// As early as can be: what comes next then begins ahead.
    Early,
    /// Near the middle.
    Middle,
    /// As late as can be.
    Late,
}

impl Ends {
    pub(super) const ALL: [Self; 3] = [Self::Early, Self::Middle, Self::Late];
}

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
    /// Radius of an arc that the machine takes at the cutting feed.
    pub(super) bend: f64,
    /// Which of the ends of a descent that are alike otherwise is taken.
    pub(super) ends: Ends,
    /// Where the part is thick, away from its show face: one long, or nothing.
    pub(super) inward: Point,
}

impl Cutter {
    pub(super) fn new(job: &Job, settings: &Settings) -> Self {
        let bit = &job.bit;
        let diameter = bit.cutting_diameter().as_mm();
        let stepdown = settings.limits.stepdown.as_mm();
        let share = settings.limits.stepover.min(WIDEST_SPACING);
        let finish = job.fit.finish.as_mm().max(0.0);
        let is_hair = finish < settings.limits.chip_min.as_mm() * HAIR;
        let speed = settings.feed.as_mm_per_minute() / 60.0;
        let [x, y, _] = job.machine.acceleration;
        Self {
            radius: diameter / 2.0,
            finish: if is_hair { 0.0 } else { finish },
            bite: stepdown.max(1e-3),
            // Chords of a descending arc are a little shorter than the arc.
            slope: (settings.limits.ramp.as_radians().tan() * 0.998).clamp(1e-3, 1.0),
            spacing: diameter * share.max(0.05),
            edge: bit.cutting_length.as_mm().max(stepdown / 2.0).max(1e-3),
            score: bit
                .scores_rim()
                .then(|| SCORE_DEPTH.min(stepdown * SCORE_SHARE)),
            care: bit.wall_care,
            bend: (speed * speed / x.min(y)).clamp(BENDS.0, BENDS.1),
            ends: Ends::Early,
            inward: Point::default(),
        }
    }

    pub(super) fn diameter(&self) -> f64 {
        2.0 * self.radius
    }
}
