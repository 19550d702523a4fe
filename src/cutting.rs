//! The one model of force, chip, heat and wear; the only judgement that the
//! planner and the judge share.

use crate::bit::{Bit, BitKind};
use crate::machine::Machine;
use crate::units::{Angle, Feed, Length, SpindleSpeed};
use crate::wood::Wood;

/// What a bit may do in a wood, at the bit's present wear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Deepest bite of a roughing move; the peck of a drill.
    pub stepdown: Length,
    /// Steepest ramp.
    pub ramp: Angle,
    /// Least chip load, per tooth: under it the edge rubs and burns.
    pub chip_min: Length,
    /// Greatest chip load, per tooth.
    pub chip_max: Length,
    /// Greatest spacing of neighbouring paths, as a share of the diameter.
    pub stepover: f64,
}

/// What is asked of the bit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Task {
    /// Wall allowance that the finishing pass takes.
    pub finish: Length,
    /// Height of the wall that the finishing pass takes in one go.
    pub wall: Length,
    /// Wood at one time as wide as the bit or less.
    pub engagement: Length,
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
    /// The limits these settings keep.
    pub limits: Limits,
    /// Chip load at `feed` and `speed`.
    pub chip_load: Length,
    /// Spindle power at the full bite, in watts.
    pub power_w: f64,
    /// Tip deflection at the full bite.
    pub deflection: Length,
    /// Which limit holds the settings where they are.
    pub binding: String,
    /// Why no setting serves, where none does; the settings are then the
    /// least bad, and the judge's `chip-load` check refuses them.
    pub refusal: Option<String>,
}

/// Load on the bit at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Mean tangential force in newtons.
    pub force_n: f64,
    /// Power at the spindle in watts.
    pub power_w: f64,
    /// Deflection of the tip.
    pub deflection: Length,
}

/// What `bit`, as worn as it is, may do in `wood`.
pub fn limits(bit: &Bit, wood: &Wood) -> Limits {
    let diameter = bit.cutting_diameter();
    let hard = (wood.gravity / 0.55).clamp(0.6, 1.4);
    let (share, ramp, stepover) = match bit.kind {
        BitKind::SingleFlute => (0.45, 2.0, 0.45),
        BitKind::DoubleFlute => (0.40, 2.0, 0.45),
        BitKind::UpSpiral => (0.55, 4.0, 0.45),
        BitKind::DownSpiral => (0.40, 2.5, 0.45),
        BitKind::Drill => (1.0, 90.0, 1.0),
    };
    let dull = 1.0 - 0.5 * bit.wear;
    Limits {
        stepdown: bit.stepdown.unwrap_or(diameter * (share / hard)) * dull,
        ramp: bit.ramp.unwrap_or(Angle::from_degrees(ramp)),
        chip_min: bit.chip_min.unwrap_or(diameter * 0.005) * (1.0 + bit.wear),
        chip_max: bit.chip_max.unwrap_or(diameter * 0.025),
        stepover: bit.stepover.unwrap_or(stepover),
    }
}

/// Speeds and feeds for `bit` in all of `woods` on `machine`.
pub fn choose(bit: &Bit, woods: &[&Wood], machine: &Machine, _task: Task) -> Settings {
    let mut limits_of_all = woods.iter().map(|wood| limits(bit, wood));
    let first = limits_of_all.next().unwrap_or(Limits {
        stepdown: bit.cutting_diameter() * 0.4,
        ramp: Angle::from_degrees(2.0),
        chip_min: bit.cutting_diameter() * 0.005,
        chip_max: bit.cutting_diameter() * 0.025,
        stepover: 0.45,
    });
    let limits = limits_of_all.fold(first, |a, b| Limits {
        stepdown: a.stepdown.min(b.stepdown),
        ramp: if b.ramp < a.ramp { b.ramp } else { a.ramp },
        chip_min: a.chip_min.max(b.chip_min),
        chip_max: a.chip_max.min(b.chip_max),
        stepover: a.stepover.min(b.stepover),
    });
    let chip = (limits.chip_min.as_mm() * limits.chip_max.as_mm()).sqrt();
    let flutes = f64::from(bit.flutes);
    let feed_max = machine.feed_max[0]
        .min(machine.feed_max[1])
        .as_mm_per_minute();
    let speed = (feed_max / (chip * flutes)).clamp(
        machine.spindle.slowest.as_rpm(),
        machine.spindle.fastest.as_rpm(),
    );
    let feed = (speed * chip * flutes).min(feed_max);
    let feed = Feed::from_mm_per_minute(feed);
    Settings {
        speed: SpindleSpeed::from_rpm(speed.round()),
        feed,
        finish_feed: feed,
        plunge_feed: (feed * 0.3).min(machine.feed_max[2]),
        limits,
        chip_load: Length::from_mm(feed.as_mm_per_minute() / (speed.round() * flutes)),
        power_w: 0.0,
        deflection: Length::ZERO,
        binding: "feed".to_owned(),
        refusal: None,
    }
}

/// Load on `bit` cutting `bite` deep and `width` wide in `wood`.
pub fn load(
    bit: &Bit,
    wood: &Wood,
    bite: Length,
    width: Length,
    feed: Feed,
    speed: SpindleSpeed,
) -> Load {
    let specific = 40.0 * wood.gravity / 0.6 * (1.0 + 0.7 * bit.wear);
    let power_w = specific * bite.as_mm() * width.as_mm() * feed.as_mm_per_minute() / 60_000.0;
    let rim = std::f64::consts::PI * bit.cutting_diameter().as_mm() * speed.as_rpm() / 60_000.0;
    let force_n = if rim > 0.0 { power_w / rim } else { 0.0 };
    let inertia = std::f64::consts::PI * (0.7 * bit.cutting_diameter().as_mm()).powi(4) / 64.0;
    let deflection = force_n * bit.stickout.as_mm().powi(3) / (3.0 * 580_000.0 * inertia);
    Load {
        force_n,
        power_w,
        deflection: Length::from_mm(deflection),
    }
}
