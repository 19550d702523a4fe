//! What a bit bears: chip, power and bend, by hand.

use super::check::{Check as _, Now, Taking};
use super::chip_load::ChipLoad;
use super::deflection::Deflection;
use super::spindle_power::SpindlePower;
use crate::cutting::{self, Limits};
use crate::job::sample;
use crate::report::{Check, CheckId, Verdict};
use crate::rs274::event::{Move, Path};
use crate::shop::bit::{Bit, BitKind};
use crate::shop::machine::Machine;
use crate::units::ruler::Ruler;
use crate::units::{Feed, Length, SpindleSpeed, Units};
use crate::verify::findings::{At, Found, Tally};
use crate::verify::material::bite::Bite;
use crate::verify::material::load::{Loading, PassKind, Window};
use crate::verify::program_state::ProgramState;
use crate::verify::scene::Scene;
use crate::verify::tool::Tool;

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

/// A bit in the sample's box, a move of it, and what it hears.
struct Bench {
    tool: Tool,
    machine: Machine,
    run: ProgramState,
    motion: Move,
}

impl Bench {
    fn new(bit: &Bit, machine: Machine) -> Self {
        let scene = Scene::new(&sample::job());
        Self {
            tool: Tool::new(bit, &machine, &scene),
            run: ProgramState::new(&machine, "", None, false),
            motion: Move {
                from: [Some(0.0); 3],
                to: [Some(0.0); 3],
                named: [false; 3],
                path: Path::Line,
                feed: Feed::from_mm_per_minute(1200.0),
                machine_frame: false,
                resolution: 0.001,
            },
            machine,
        }
    }

    fn now(&self) -> Now<'_> {
        Now {
            machine: &self.machine,
            shop: None,
            run: &self.run,
            ruler: Ruler::new(Units::Millimetre),
            span: [(0.0, 0.0); 2],
        }
    }

    fn taking<'a>(&'a self, limits: &'a Limits, bite: Bite, length: f64, feed: f64) -> Taking<'a> {
        Taking {
            motion: &self.motion,
            tool: &self.tool,
            board: 0,
            site: None,
            limits,
            fresh: limits,
            bite,
            began: 0.0,
            length,
            depth: 0.0,
            feed,
            speed: 12_000.0,
            load: None,
        }
    }

    /// `chip-load` of one move.
    fn chip(&self, taking: &Taking<'_>) -> Check {
        let mut tally = Tally::new();
        let mut found = Found::new(&mut tally, CheckId::ChipLoad, At::JOB);
        ChipLoad::default().bite(taking, self.now(), &mut found);
        tally.into_checks(&[CheckId::ChipLoad]).remove(0)
    }

    /// `spindle-power` and `deflection` of moves of a board, a bite, a length and a feed.
    fn loads(&self, moves: &[(usize, Bite, f64, f64)]) -> [Check; 2] {
        let (limits, walnut) = (limits(), sample::walnut());
        let (mut tally, mut window) = (Tally::new(), Window::default());
        for &(board, bite, length, feed) in moves {
            let loading = Loading {
                bit: &self.tool.bit,
                wood: &walnut,
                board,
                bite,
                length,
                feed,
                speed: 12_000.0,
            };
            let mut taking = self.taking(&limits, bite, length, feed);
            taking.load = window.add(&self.machine, &loading);
            let mut power = Found::new(&mut tally, CheckId::SpindlePower, At::JOB);
            SpindlePower.bite(&taking, self.now(), &mut power);
            let mut bend = Found::new(&mut tally, CheckId::Deflection, At::JOB);
            Deflection.bite(&taking, self.now(), &mut bend);
        }
        let checks = tally.into_checks(&[CheckId::SpindlePower, CheckId::Deflection]);
        checks.try_into().unwrap()
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
    let (bench, limits) = (Bench::new(&bit(), machine(None)), limits());
    bench.chip(&bench.taking(&limits, bite, 18.0, feed)).verdict
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
    let moves = moves
        .iter()
        .map(|&(bite, length, feed)| (0, bite, length, feed));
    let moves: Vec<_> = moves.collect();
    Bench::new(bit, machine(power)).loads(&moves)
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
    let fails = |moves: &[(Bite, f64, f64)], power: f64| window(moves, Some(power), &bit)[0].count;
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
    let bench = Bench::new(&bit, machine(None));
    let says = |chip: f64| {
        let mut taking = bench.taking(&worn, CORE, 18.0, chip * 24_000.0);
        taking.fresh = &fresh;
        bench.chip(&taking).message
    };
    assert!(says(0.0397).contains("wants sharpening"));
    assert!(says(0.0395).contains("raise the feed or lower the speed"));
}

#[test]
fn the_lid_is_averaged_like_the_box_and_apart_from_it() {
    let fails = |boards: [usize; 2]| {
        let moves = boards.map(|board| (board, HALF, 0.5, 1200.0));
        Bench::new(&bit(), machine(Some(1.0))).loads(&moves)[0].count
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
