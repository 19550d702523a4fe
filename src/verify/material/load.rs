//! What the bit bears: moves alike in kind, averaged over a millimetre of way.

use crate::cutting::{self, Load};
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;
use crate::shop::wood::Wood;
use crate::units::ruler::Ruler;
use crate::units::{Feed, Length, SpindleSpeed};
use crate::verify::material::bite::Bite;

/// Floor that a finishing pass may take along, in millimetres (contract).
pub(crate) const FINISH_FLOOR: f64 = 0.2;

/// Path over which a load is averaged: less is grain of the samples, not of the wood.
const AVERAGED: f64 = 1.0;

/// Moves alike in kind, whose load is averaged over their time: a program that
/// changes its feed at every step is loaded no less.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Window {
    kind: Option<PassKind>,
    board: usize,
    minutes: f64,
    revolutions: f64,
    length: f64,
    volume: f64,
    height: f64,
}

/// What kind of cut a move is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum PassKind {
    Roughing,
    /// Takes the wood at a wall, and little or no floor.
    Finishing,
}

impl PassKind {
    pub(crate) fn of(bite: &Bite) -> Self {
        if bite.core <= FINISH_FLOOR && bite.wall > bite.core {
            Self::Finishing
        } else {
            Self::Roughing
        }
    }
}

/// A move that takes wood, as far as the load goes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Loading<'a> {
    pub(crate) bit: &'a Bit,
    pub(crate) wood: &'a Wood,
    pub(crate) board: usize,
    pub(crate) bite: Bite,
    /// Seen from above, in millimetres.
    pub(crate) length: f64,
    /// Millimetres and revolutions a minute.
    pub(crate) feed: f64,
    pub(crate) speed: f64,
}

/// The mean of moves of one kind.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MeanLoad {
    pub(crate) kind: PassKind,
    /// Of the bite, in millimetres.
    height: f64,
    width: f64,
    pub(crate) load: Load,
}

impl MeanLoad {
    /// What is borne, in words.
    pub(crate) fn bite(&self, ruler: Ruler) -> String {
        format!(
            "a bite {} deep and {} wide",
            ruler.one(self.height, 2),
            ruler.one(self.width, 2)
        )
    }
}

impl Window {
    /// Adds a move; tells the mean once the moves of its kind are long enough.
    pub(crate) fn add(&mut self, machine: &Machine, taking: &Loading<'_>) -> Option<MeanLoad> {
        let kind = PassKind::of(&taking.bite);
        if self.kind != Some(kind) || self.board != taking.board {
            *self = Self {
                kind: Some(kind),
                board: taking.board,
                ..Self::default()
            };
        }
        // Without a feed nothing is cut, which another check refuses.
        if taking.feed <= 0.0 {
            return None;
        }
        let minutes = taking.length / taking.feed;
        self.minutes += minutes;
        self.revolutions += minutes * taking.speed;
        self.length += taking.length;
        self.volume += taking.bite.volume;
        self.height = self.height.max(match kind {
            PassKind::Roughing => taking.bite.core,
            PassKind::Finishing => taking.bite.wall,
        });
        if self.length < AVERAGED {
            return None;
        }
        let mean = self.mean(kind, machine, taking);
        *self = Self {
            kind: self.kind,
            board: self.board,
            ..Self::default()
        };
        mean
    }

    fn mean(&self, kind: PassKind, machine: &Machine, taking: &Loading<'_>) -> Option<MeanLoad> {
        if self.height <= 0.0 {
            return None;
        }
        let width = self.volume / self.length / self.height;
        let load = cutting::load(
            taking.bit,
            taking.wood,
            Length::from_mm(self.height),
            Length::from_mm(width).min(taking.bit.cutting_diameter()),
            Feed::from_mm_per_minute(self.length / self.minutes),
            SpindleSpeed::from_rpm(self.revolutions / self.minutes),
        )
        .on(machine);
        Some(MeanLoad {
            kind,
            height: self.height,
            width,
            load,
        })
    }
}
