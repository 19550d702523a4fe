//! One bit at one wear.

use serde::Serialize;

use crate::cutting::chip::{removal_rate, surface_speed};
use crate::cutting::{Settings, limits};
use crate::feeds::verdict::Rim;
use crate::feeds::{BitFeeds, Sources, chips, fitness, time};
use crate::job::Job;
use crate::settings;
use crate::shop::bit::{Bit, BitKind, care};
use crate::shop::wood::Confidence;
use crate::units::{Feed, Length, Seconds};

/// How worn the bit is taken to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Condition {
    /// Wear 0.
    Fresh,
    /// As it is now.
    Present,
    /// Wear 1.
    Dull,
}

/// Speeds and feeds of one bit at one wear. Lengths in mm, feeds in mm a
/// minute, times in seconds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// How worn it is taken to be.
    pub condition: Condition,
    /// 0 fresh … 1 worn out.
    pub wear: f64,
    /// Spindle speed.
    pub rpm: f64,
    /// Roughing feed; ramps run at it too.
    pub feed: Feed,
    /// Feed of the finishing pass.
    pub finish_feed: Feed,
    /// Steepest ramp at that feed, in degrees.
    pub ramp_deg: f64,
    /// Straight down; absent for a bit that may not.
    pub plunge_feed: Option<Feed>,
    /// Per tooth.
    pub chip_load: Length,
    /// Under it the edge rubs.
    pub chip_min: Length,
    /// The most the bit carries.
    pub chip_max: Length,
    /// Speed of the edge, metres a second.
    pub surface_speed: f64,
    /// Deepest bite.
    pub stepdown: Length,
    /// The bit's own stepdown at this wear, before power and stiffness.
    pub stepdown_limit: Length,
    /// Wood removed in a full slot, cubic millimetres a minute.
    pub removal_rate: f64,
    /// At the full bite, watts.
    pub power_w: f64,
    /// Of the spindle's power; absent where that is unknown.
    pub power_share: Option<f64>,
    /// Mean tangential force at the full bite, newtons.
    pub force_n: f64,
    /// Of the tip at the full bite.
    pub deflection_mm: Length,
    /// Of the tip on the finishing pass.
    pub finish_deflection_mm: Length,
    /// Least time for the job's pockets: no rapids, no acceleration.
    pub seconds: Seconds,
    /// Which limit binds.
    pub binding: String,
    /// Why no setting serves, where none does.
    pub refusal: Option<String>,
}

pub(super) fn bit_feeds(job: &Job, bit: &Bit, now: f64, of_the_job: bool) -> BitFeeds {
    let problems = fitness::problems(job, bit);
    let states = if problems.is_empty() {
        let conditions = [
            (Condition::Fresh, 0.0),
            (Condition::Present, now),
            (Condition::Dull, 1.0),
        ];
        conditions
            .map(|(condition, wear)| row(job, bit, condition, wear))
            .into()
    } else {
        Vec::new()
    };
    BitFeeds {
        bit: bit.name.clone(),
        kind: bit.kind,
        diameter: bit.cutting_diameter(),
        rim: Rim::of(bit),
        wall_care: care::choices(bit, job.room_for(bit)),
        of_the_job,
        packed: chips::packed(job, bit),
        problems,
        states,
        sources: sources(bit),
    }
}

fn sources(bit: &Bit) -> Sources {
    let unless = |given: bool, seen| if given { None } else { Some(seen) };
    Sources {
        stepdown: unless(bit.stepdown.is_some(), Confidence::Practice),
        ramp: unless(bit.ramp.is_some(), Confidence::Practice),
        chip_min: unless(bit.chip_min.is_some(), Confidence::Practice),
        chip_max: unless(bit.chip_max.is_some(), Confidence::Practice),
        force: Confidence::Memory,
    }
}

pub(super) fn row(job: &Job, bit: &Bit, condition: Condition, wear: f64) -> Row {
    let bit = &Bit {
        wear,
        ..bit.clone()
    };
    let settings = settings::for_bit(job, bit);
    let stepdowns = job
        .parts
        .iter()
        .map(|part| limits(bit, &part.wood).stepdown);
    let stepdown_limit = stepdowns.reduce(Length::min);
    let Settings { limits, .. } = settings;
    let plunges = bit.may_plunge() || bit.kind == BitKind::Drill;
    Row {
        condition,
        wear,
        rpm: settings.speed.as_rpm(),
        feed: settings.feed,
        finish_feed: settings.finish_feed,
        ramp_deg: limits.ramp.as_degrees(),
        plunge_feed: plunges.then_some(settings.plunge_feed),
        chip_load: settings.chip_load,
        chip_min: limits.chip_min,
        chip_max: limits.chip_max,
        surface_speed: surface_speed(bit.cutting_diameter(), settings.speed),
        stepdown: limits.stepdown,
        stepdown_limit: stepdown_limit.unwrap_or(limits.stepdown),
        removal_rate: removal_rate(bit.cutting_diameter(), limits.stepdown, settings.feed),
        power_w: settings.power_w,
        power_share: job
            .machine
            .spindle
            .power_w
            .map(|power| settings.power_w / power),
        force_n: settings.force_n,
        deflection_mm: settings.deflection,
        finish_deflection_mm: settings.finish_deflection,
        seconds: time::least(job, bit, &settings),
        binding: settings.binding,
        refusal: settings.refusal,
    }
}
