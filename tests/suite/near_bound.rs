//! Pockets whose cutting time is held against the least that the limits allow.

use stepwell::settings;

use crate::sketch::Sketch;

pub(crate) const KINDS: [&str; 4] = ["single-flute", "double-flute", "up-spiral", "down-spiral"];
/// Pocket widths in bit diameters.
pub(crate) const WIDTHS: [f64; 6] = [1.0, 1.02, 1.3, 1.7, 2.5, 4.0];
/// Pocket length in bit diameters.
pub(crate) const LENGTH: f64 = 8.0;
/// Depth of the pocket in stepdowns.
pub(crate) const DEPTH: f64 = 4.0;
pub(crate) const DIAMETER: f64 = 6.0;

/// One pocket, cut in both parts.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Case {
    pub(crate) kind: &'static str,
    pub(crate) width: f64,
    /// One step of four stepdowns or two of two.
    pub(crate) steps: u32,
}

/// What the judge measured; the table of the bench needs all of it.
#[allow(dead_code)]
#[derive(Clone, Copy, Debug)]
pub(crate) struct Measured {
    pub(crate) cutting: f64,
    pub(crate) bound: f64,
    /// Limits the program kept: stepdown, ramp as a slope, feed.
    pub(crate) stepdown: f64,
    pub(crate) slope: f64,
    pub(crate) feed: f64,
    /// All feed moves with real acceleration, scoring too; the acceleration, in mm/s².
    pub(crate) real: f64,
    pub(crate) acceleration: f64,
}

impl Measured {
    pub(crate) fn ratio(&self) -> f64 {
        self.cutting / self.bound
    }
}

pub(crate) fn cases() -> Vec<Case> {
    let mut cases = Vec::new();
    for kind in KINDS {
        for width in WIDTHS {
            cases.extend([1, 2].map(|steps| Case { kind, width, steps }));
        }
    }
    cases
}

impl Case {
    fn sketch(&self, stepdown: f64) -> Sketch {
        let steps = (1..=self.steps).map(|step| {
            let depth = DEPTH * stepdown * f64::from(step) / f64::from(self.steps);
            [LENGTH * DIAMETER, self.width * DIAMETER, depth]
        });
        Sketch {
            kind: self.kind,
            diameter: DIAMETER,
            steps: steps.collect(),
            ..Sketch::default()
        }
    }

    /// Plans, posts and judges; every check must pass.
    pub(crate) fn measure(&self) -> Measured {
        // The stepdown depends a little on the height of the finished wall.
        let mut stepdown = 2.0;
        for _ in 0..4 {
            let job = self.sketch(stepdown).job();
            stepdown = settings::for_job(&job).limits.stepdown.as_mm();
        }
        let sketch = self.sketch(stepdown);
        let settings = settings::for_job(&sketch.job());
        let program = sketch.assert_passes().report.programs.remove(0);
        Measured {
            cutting: program.cutting_seconds.as_seconds(),
            bound: program.bound_seconds.as_seconds(),
            stepdown: settings.limits.stepdown.as_mm(),
            slope: settings.limits.ramp.as_radians().tan(),
            feed: settings.feed.as_mm_per_minute(),
            real: program.feed_seconds.as_seconds(),
            acceleration: sketch.job().machine.acceleration[0],
        }
    }
}
