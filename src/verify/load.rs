//! `chip-load`, `spindle-power`, `deflection`: what the bit bears, from the
//! bite and the width that the replay sees.

use crate::cutting::{self, Limits, chip};
use crate::report::CheckId;
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;
use crate::shop::wood::Wood;
use crate::units::ruler::Ruler;
use crate::units::{Feed, Length, SpindleSpeed};
use crate::verify::findings::{At, Tally};
use crate::verify::material::bite::Bite;

/// Floor that a finishing pass may take along, in millimetres (contract).
pub(crate) const FINISH_FLOOR: f64 = 0.2;

/// Greatest deflection of a roughing and of a finishing move, in millimetres (contract).
pub(crate) const ROUGHING: f64 = 0.05;
pub(crate) const FINISHING: f64 = 0.02;

/// Path over which a load is averaged: less is grain of the samples, not of the wood.
const AVERAGED: f64 = 1.0;

/// A printed F is rounded; less than this share past a limit is the rounding.
const ROUNDED: f64 = 0.01;

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
    /// Extremes from above, in millimetres.
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
    let finishing = PassKind::of(bite) == PassKind::Finishing;
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
        machine: &Machine,
        wood: &Wood,
        taking: &Taking<'_>,
    ) {
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
            return;
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
        if self.length >= AVERAGED {
            self.settle(tally, at, kind, machine, wood, taking);
            *self = Self {
                kind: self.kind,
                board: self.board,
                ..Self::default()
            };
        }
    }

    fn settle(
        &self,
        tally: &mut Tally,
        at: At<'_>,
        kind: PassKind,
        machine: &Machine,
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
            Feed::from_mm_per_minute(self.length / self.minutes),
            SpindleSpeed::from_rpm(self.revolutions / self.minutes),
        )
        .on(machine);
        let ruler = taking.ruler;
        let bite = || {
            format!(
                "a bite {} deep and {} wide",
                ruler.one(self.height, 2),
                ruler.one(width, 2)
            )
        };
        if let Some(power) = machine
            .spindle
            .power_w
            .filter(|power| load.power_w > *power)
        {
            tally.fail(CheckId::SpindlePower, at, || {
                format!(
                    "{} takes {:.0} W, the spindle has {power:.0} W; lower the feed or the bite",
                    bite(),
                    load.power_w
                )
            });
        }
        let (limit, word) = match kind {
            PassKind::Roughing => (ROUGHING, "roughing"),
            PassKind::Finishing => (FINISHING, "finishing"),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::report::{Check, Verdict};
    use crate::shop::bit::BitKind;
    use crate::units::Units;

    const CORE: Bite = Bite {
        whole: 2.0,
        core: 2.0,
        wall: 0.0,
        volume: 10.0,
    };

    /// 0.2 mm of a wall 4.7 mm high, along 18 mm.
    const WALL: Bite = Bite {
        whole: 4.7,
        core: 0.0,
        wall: 4.7,
        volume: 18.0 * 0.2 * 4.7,
    };

    fn bit() -> Bit {
        sample::bit(BitKind::UpSpiral, 10.0)
    }

    fn machine(power_w: Option<f64>) -> Machine {
        let mut machine = sample::machine();
        machine.spindle.power_w = power_w;
        machine
    }

    fn limits() -> Limits {
        Limits {
            chip_min: Length::from_mm(0.04),
            chip_max: Length::from_mm(0.06),
            ..cutting::limits(&bit(), &sample::walnut())
        }
    }

    fn taking<'a>(bit: &'a Bit, limits: &'a Limits, bite: Bite, length: f64) -> Taking<'a> {
        Taking {
            bit,
            board: 0,
            limits,
            fresh: limits,
            ruler: Ruler::new(Units::Millimetre),
            bite,
            length,
            feed: 1200.0,
            speed: 12_000.0,
        }
    }

    #[test]
    fn wood_at_a_wall_with_little_floor_is_for_finishing() {
        let kind = |core, wall| PassKind::of(&Bite { core, wall, ..CORE });
        assert_eq!(kind(0.2, 4.7), PassKind::Finishing);
        assert_eq!(kind(0.21, 4.7), PassKind::Roughing);
        assert_eq!(kind(0.1, 0.1), PassKind::Roughing);
        assert_eq!(kind(0.1, 0.11), PassKind::Finishing);
    }

    /// Two flutes at 12 000 rpm: 24 000 teeth a minute. A hundredth past a
    /// limit is the rounding of F.
    fn chip(bite: Bite, feed: f64) -> Verdict {
        let (bit, limits) = (bit(), limits());
        let mut tally = Tally::new();
        let mut taking = taking(&bit, &limits, bite, 18.0);
        taking.feed = feed;
        check_chip(&mut tally, At::JOB, &taking);
        tally.into_checks(&[CheckId::ChipLoad])[0].verdict
    }

    #[test]
    fn a_chip_too_thin_burns_and_at_a_wall_only_warns() {
        assert_eq!(chip(CORE, 0.0397 * 24_000.0), Verdict::Pass);
        assert_eq!(chip(CORE, 0.0395 * 24_000.0), Verdict::Fail);
        assert_eq!(chip(WALL, 0.0397 * 24_000.0), Verdict::Pass);
        assert_eq!(chip(WALL, 0.0395 * 24_000.0), Verdict::Warn);
    }

    /// 0.2 mm of 10 mm thin the chip to 2 √(0.02 × 0.98) = 0.28 of it.
    #[test]
    fn a_chip_too_thick_fails_where_the_wood_does_not_thin_it() {
        assert_eq!(chip(CORE, 0.0605 * 24_000.0), Verdict::Pass);
        assert_eq!(chip(CORE, 0.0607 * 24_000.0), Verdict::Fail);
        assert_eq!(chip(WALL, 0.0607 * 24_000.0), Verdict::Warn);
        assert_eq!(chip(WALL, 0.215 * 24_000.0), Verdict::Warn);
        assert_eq!(chip(WALL, 0.218 * 24_000.0), Verdict::Fail);
    }

    /// Feeds moves of a bite and a length, at a feed, to one window.
    fn window(moves: &[(Bite, f64, f64)], power: Option<f64>, bit: &Bit) -> [Check; 2] {
        let limits = limits();
        let (mut tally, mut window) = (Tally::new(), Window::default());
        for &(bite, length, feed) in moves {
            let mut taking = taking(bit, &limits, bite, length);
            taking.feed = feed;
            window.add(
                &mut tally,
                At::JOB,
                &machine(power),
                &sample::walnut(),
                &taking,
            );
        }
        let checks = tally.into_checks(&[CheckId::SpindlePower, CheckId::Deflection]);
        checks.try_into().unwrap()
    }

    /// Half a millimetre, 2 mm high and 5 mm wide.
    const HALF: Bite = Bite {
        volume: 5.0,
        ..CORE
    };

    #[test]
    fn power_is_that_of_the_mean_width_over_a_millimetre() {
        let (bit, walnut) = (bit(), sample::walnut());
        let mm = Length::from_mm;
        let feed = Feed::from_mm_per_minute(1200.0);
        let load = |height, width| {
            let speed = SpindleSpeed::from_rpm(12_000.0);
            cutting::load(&bit, &walnut, mm(height), mm(width), feed, speed).power_w
        };
        let fails =
            |moves: &[(Bite, f64, f64)], power: f64| window(moves, Some(power), &bit)[0].count;
        let full = load(2.0, 5.0);
        let two = [(HALF, 0.5, 1200.0); 2];
        assert_eq!(fails(&two, full * 0.999), 1);
        assert_eq!(fails(&two, full * 1.001), 0);
        // Too short to tell, and begun anew after each millimetre.
        assert_eq!(fails(&two[..1], 1.0), 0);
        assert_eq!(fails(&[two[0]; 5], 1.0), 2);
        // Another kind of cut begins anew; another feed does not, and counts by its time.
        let faster = |feed: f64| [two[0], (HALF, 0.5, feed)];
        assert_eq!(fails(&faster(1201.0), full * 0.999), 1);
        assert_eq!(fails(&faster(600.0), full * 0.999), 0);
        assert_eq!(fails(&[faster(1201.0); 90].concat(), full * 0.999), 90);
        assert_eq!(fails(&[two[0], (WALL, 0.5, 1200.0)], 1.0), 0);
        // The highest bite and the mean width: 2 mm and 3 mm.
        let low = Bite {
            whole: 1.0,
            core: 1.0,
            volume: 1.0,
            ..CORE
        };
        let found = window(&[two[0], (low, 0.5, 1200.0)], Some(1.0), &bit);
        let said = &found[0].findings[0].message;
        assert!(
            said.starts_with("a bite 2.00 mm deep and 3.00 mm wide"),
            "{said}"
        );
        let watts = format!("takes {:.0} W", load(2.0, 3.0));
        assert!(said.contains(&watts), "{said} but {watts}");
    }

    #[test]
    fn finishing_is_judged_by_the_wall_and_bends_less() {
        let mut bit = bit();
        let wall = [(WALL, 18.0, 1200.0)];
        let [power, bend] = window(&wall, Some(0.1), &bit);
        let said = &power.findings[0].message;
        assert!(
            said.starts_with("a bite 4.70 mm deep and 0.20 mm wide"),
            "{said}"
        );
        assert_eq!(bend.verdict, Verdict::Pass);
        // Chucked so long that the same bite bends it by what roughing may and finishing may not.
        let bends = |bit: &Bit| {
            let mm = Length::from_mm;
            let speed = SpindleSpeed::from_rpm(12_000.0);
            let feed = Feed::from_mm_per_minute(1200.0);
            let load = cutting::load(bit, &sample::walnut(), mm(4.7), mm(0.2), feed, speed);
            load.deflection.as_mm()
        };
        bit.shank = Length::from_mm(3.0);
        let mut stickout = 20.0;
        while bends(&bit) < 0.03 {
            stickout += 1.0;
            bit.stickout = Length::from_mm(stickout);
        }
        assert!(bends(&bit) < 0.05);
        assert_eq!(window(&wall, None, &bit)[1].verdict, Verdict::Fail);
        let rough = Bite { core: 4.7, ..WALL };
        assert_eq!(
            window(&[(rough, 18.0, 1200.0)], None, &bit)[1].verdict,
            Verdict::Pass
        );
        while bends(&bit) < 0.055 {
            stickout += 1.0;
            bit.stickout = Length::from_mm(stickout);
        }
        assert_eq!(
            window(&[(rough, 18.0, 1200.0)], None, &bit)[1].verdict,
            Verdict::Fail
        );
    }

    /// What is too thin now and was not for the fresh edge, a hundredth under
    /// whose least is rounding.
    #[test]
    fn an_edge_that_would_have_done_when_fresh_is_to_be_sharpened() {
        let (bit, fresh) = (bit(), limits());
        let worn = Limits {
            chip_min: Length::from_mm(0.055),
            ..limits()
        };
        let says = |chip: f64| {
            let mut tally = Tally::new();
            let mut taking = taking(&bit, &worn, CORE, 18.0);
            (taking.fresh, taking.feed) = (&fresh, chip * 24_000.0);
            check_chip(&mut tally, At::JOB, &taking);
            tally.into_checks(&[CheckId::ChipLoad])[0].message.clone()
        };
        assert!(says(0.0397).contains("wants sharpening"));
        assert!(says(0.0395).contains("raise the feed or lower the speed"));
    }

    #[test]
    fn the_lid_is_averaged_like_the_box_and_apart_from_it() {
        let (bit, limits) = (bit(), limits());
        let fails = |boards: [usize; 2]| {
            let (mut tally, mut window) = (Tally::new(), Window::default());
            for board in boards {
                let mut taking = taking(&bit, &limits, HALF, 0.5);
                taking.board = board;
                window.add(
                    &mut tally,
                    At::JOB,
                    &machine(Some(1.0)),
                    &sample::walnut(),
                    &taking,
                );
            }
            tally.into_checks(&[CheckId::SpindlePower])[0].count
        };
        assert_eq!(fails([1, 1]), 1);
        assert_eq!(fails([0, 1]), 0);
    }

    /// 20 mm³ of wood 2 mm high along a millimetre are as wide as the bit of
    /// 10 mm; more can only be the grain of the samples.
    #[test]
    fn no_bite_counts_as_wider_than_the_bit() {
        let bit = bit();
        let full = |volume: f64| {
            let bite = Bite { volume, ..CORE };
            let [power, _] = window(&[(bite, 1.0, 1200.0)], Some(0.001), &bit);
            let said = &power.findings[0].message;
            said.split(" takes ").nth(1).unwrap().to_owned()
        };
        assert_eq!(full(20.0), full(30.0));
        assert_ne!(full(20.0), full(19.0));
    }
}
