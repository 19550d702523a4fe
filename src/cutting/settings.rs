//! What is asked of a bit, and the speeds and feeds that answer it.

use crate::cutting::Limits;
use crate::units::{Feed, Length, SpindleSpeed};

/// What is asked of the bit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Task {
    /// Wall allowance that the finishing pass takes.
    pub finish: Length,
    /// Height of the wall that the finishing pass takes in one go.
    pub wall: Length,
    /// Wood at one time as wide as the bit or less. The first pass of any
    /// pocket is a full slot, so the choice never counts on less.
    pub engagement: Length,
    /// What acceleration leaves of any feed, however fast, on most of the
    /// roughing path of the tightest loop; none where no loop is roughed.
    pub reached: Option<Feed>,
}

impl Task {
    /// The most that the finishing pass may meet beside a wall: the allowance
    /// across a corner, and the roughing's own tolerance.
    pub(super) fn finish_width(&self) -> Length {
        self.finish * std::f64::consts::SQRT_2 + Length::from_mm(0.05)
    }
}

/// Speeds and feeds for one bit in one job.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Spindle speed.
    pub speed: SpindleSpeed,
    /// Roughing feed, along the path.
    pub feed: Feed,
    /// Feed of the finishing pass, along the path.
    pub finish_feed: Feed,
    /// Straight down, for bits that may.
    pub plunge_feed: Feed,
    /// The limits these settings keep; stepdown and ramp as the machine and the bit's stiffness allow.
    pub limits: Limits,
    /// Chip load at `feed` and `speed`.
    pub chip_load: Length,
    /// Tangential force at the full bite, in newtons.
    pub force_n: f64,
    /// Spindle power at the full bite, in watts.
    pub power_w: f64,
    /// Tip deflection at the full bite.
    pub deflection: Length,
    /// Tip deflection of the finishing pass over the whole wall.
    pub finish_deflection: Length,
    /// Which limit holds the settings where they are.
    pub binding: String,
    /// Why no setting serves, where none does; the settings are then the
    /// least bad, and the judge's `chip-load` check refuses them.
    pub refusal: Option<String>,
}
