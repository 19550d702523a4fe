//! `chip-load`, `spindle-power`, `deflection`: what the bit bears, from the
//! bite and the width that the replay sees.

use crate::bit::Bit;
use crate::cutting::{self, Limits, chip};
use crate::report::CheckId;
use crate::units::ruler::Ruler;
use crate::units::{Feed, Length, SpindleSpeed};
use crate::verify::ground::Bite;
use crate::verify::tally::{At, Tally};
use crate::wood::Wood;

/// Floor that a finishing pass may take along, in millimetres (contract).
pub(crate) const FINISH_FLOOR: f64 = 0.2;

/// Greatest deflection of a roughing and of a finishing move, in millimetres (contract).
pub(crate) const ROUGHING: f64 = 0.05;
pub(crate) const FINISHING: f64 = 0.02;

/// Path over which a load is averaged: less is grain of the samples, not of the wood.
const AVERAGED: f64 = 1.0;

/// A printed F is rounded; less than this share past a limit is the rounding.
const ROUNDED: f64 = 0.01;

/// Moves alike in kind, feed and speed, whose load is averaged.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Window {
    kind: Option<Kind>,
    board: usize,
    feed: f64,
    speed: f64,
    length: f64,
    volume: f64,
    height: f64,
}

/// What kind of cut a move is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Roughing,
    /// Takes the wood at a wall, and little or no floor.
    Finishing,
}

impl Kind {
    pub(crate) fn of(bite: &Bite) -> Self {
        if bite.core <= FINISH_FLOOR && bite.wall > bite.core {
            Self::Finishing
        } else {
            Self::Roughing
        }
    }
}

/// One move that takes wood.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Taking<'a> {
    pub(crate) bit: &'a Bit,
    pub(crate) board: usize,
    pub(crate) limits: &'a Limits,
    /// The limits that the bit had when it was fresh.
    pub(crate) fresh: &'a Limits,
    pub(crate) ruler: Ruler,
    pub(crate) bite: Bite,
    /// Seen from above, in millimetres.
    pub(crate) length: f64,
    pub(crate) feed: f64,
    pub(crate) speed: f64,
}

/// `chip-load` of one move.
pub(crate) fn check_chip(tally: &mut Tally, at: At<'_>, taking: &Taking<'_>) {
    let Taking {
        bit,
        limits,
        bite,
        ruler,
        ..
    } = taking;
    let chip = chip::chip_load(
        Feed::from_mm_per_minute(taking.feed),
        SpindleSpeed::from_rpm(taking.speed),
        bit.flutes,
    );
    let (least, most) = (limits.chip_min.as_mm(), limits.chip_max.as_mm());
    let figure = chip.as_mm();
    let finishing = Kind::of(bite) == Kind::Finishing;
    if figure < least * (1.0 - ROUNDED) {
        let served_fresh = figure >= taking.fresh.chip_min.as_mm() * (1.0 - ROUNDED);
        let message = || {
            let rubs = format!(
                "{} a tooth, under {} the edge rubs and burns",
                ruler.chip(figure),
                ruler.chip(least)
            );
            if served_fresh {
                format!(
                    "{rubs}: good for a fresh edge, but `{}` is worn {:.2} and wants sharpening, \
                     or a higher feed or a lower speed",
                    bit.name, bit.wear
                )
            } else {
                format!("{rubs}; raise the feed or lower the speed")
            }
        };
        if finishing {
            tally.warn(CheckId::ChipLoad, at, message);
        } else {
            tally.fail(CheckId::ChipLoad, at, message);
        }
    } else if figure > most * (1.0 + ROUNDED) {
        let width = engaged_width(taking);
        let thinned = chip::greatest_chip(chip, width / bit.cutting_diameter().as_mm());
        let message = || {
            format!(
                "{} a tooth, at most {}; lower the feed or raise the speed",
                ruler.chip(figure),
                ruler.chip(most)
            )
        };
        if finishing && thinned.as_mm() <= most * (1.0 + ROUNDED) {
            tally.warn(CheckId::ChipLoad, at, message);
        } else {
            tally.fail(CheckId::ChipLoad, at, message);
        }
    }
}

fn engaged_width(taking: &Taking<'_>) -> f64 {
    let section = taking.bite.volume / taking.length.max(1e-9);
    section / taking.bite.whole.max(1e-9)
}

impl Window {
    /// Adds a move; settles the moves before it where it is of another kind.
    pub(crate) fn add(
        &mut self,
        tally: &mut Tally,
        at: At<'_>,
        machine_power: Option<f64>,
        wood: &Wood,
        taking: &Taking<'_>,
    ) {
        let kind = Kind::of(&taking.bite);
        let alike = self.kind == Some(kind)
            && self.board == taking.board
            && self.feed == taking.feed
            && self.speed == taking.speed;
        if !alike {
            *self = Self {
                kind: Some(kind),
                board: taking.board,
                feed: taking.feed,
                speed: taking.speed,
                ..Self::default()
            };
        }
        self.length += taking.length;
        self.volume += taking.bite.volume;
        self.height = self.height.max(match kind {
            Kind::Roughing => taking.bite.core,
            Kind::Finishing => taking.bite.wall,
        });
        if self.length >= AVERAGED {
            self.settle(tally, at, kind, machine_power, wood, taking);
            self.length = 0.0;
            self.volume = 0.0;
            self.height = 0.0;
        }
    }

    fn settle(
        &self,
        tally: &mut Tally,
        at: At<'_>,
        kind: Kind,
        machine_power: Option<f64>,
        wood: &Wood,
        taking: &Taking<'_>,
    ) {
        if self.height <= 0.0 {
            return;
        }
        let width = self.volume / self.length / self.height;
        let load = cutting::load(
            taking.bit,
            wood,
            Length::from_mm(self.height),
            Length::from_mm(width).min(taking.bit.cutting_diameter()),
            Feed::from_mm_per_minute(self.feed),
            SpindleSpeed::from_rpm(self.speed),
        );
        let ruler = taking.ruler;
        let bite = || {
            format!(
                "a bite {} deep and {} wide",
                ruler.one(self.height, 2),
                ruler.one(width, 2)
            )
        };
        if let Some(power) = machine_power.filter(|power| load.power_w > *power) {
            tally.fail(CheckId::SpindlePower, at, || {
                format!(
                    "{} takes {:.0} W, the spindle has {power:.0} W; lower the feed or the bite",
                    bite(),
                    load.power_w
                )
            });
        }
        let (limit, word) = match kind {
            Kind::Roughing => (ROUGHING, "roughing"),
            Kind::Finishing => (FINISHING, "finishing"),
        };
        let bends = load.deflection.as_mm();
        if bends > limit {
            tally.fail(CheckId::Deflection, at, || {
                format!(
                    "{} bends the bit by {}, at most {} when {word}; \
                     chuck it shorter, or lower the feed or the bite",
                    bite(),
                    ruler.both(bends, 3),
                    ruler.limit(limit)
                )
            });
        }
    }
}
