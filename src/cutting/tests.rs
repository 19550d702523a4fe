use super::*;
use crate::job::sample;
use crate::shop::bit::{Bit, BitKind, BitMaterial};
use crate::shop::machine::Machine;
use crate::shop::wood::{self, Wood};
use crate::units::{Feed, Length, SpindleSpeed};

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

fn woods() -> Vec<Wood> {
    wood::table()
        .iter()
        .map(|species| wood::find(species.name).unwrap())
        .collect()
}

/// A bit of sensible proportions: flutes of three diameters, as little shank.
fn bit(kind: BitKind, diameter: f64) -> Bit {
    Bit {
        cutting_length: mm(3.5 * diameter),
        stickout: mm(3.5 * diameter + 6.0),
        shank: mm(diameter.max(6.0)),
        ..sample::bit(kind, diameter)
    }
}

fn rack() -> Vec<Bit> {
    let diameters = [
        1.5, 2.0, 3.0, 3.175, 4.0, 5.0, 6.0, 6.35, 8.0, 9.525, 10.0, 12.0, 12.7,
    ];
    let mut rack = Vec::new();
    for kind in BitKind::ALL {
        for diameter in diameters {
            rack.push(bit(kind, diameter));
        }
    }
    let mut steel = bit(BitKind::DoubleFlute, 12.7);
    steel.material = BitMaterial::Steel;
    rack.push(steel);
    let mut own = bit(BitKind::UpSpiral, 6.0);
    own.stepdown = Some(mm(5.0));
    own.chip_min = Some(mm(0.05));
    own.chip_max = Some(mm(0.15));
    rack.push(own);
    rack
}

fn machine(feeds: [f64; 3], rpm: [f64; 2], power_w: Option<f64>) -> Machine {
    let mut machine = sample::machine();
    machine.feed_max = feeds.map(Feed::from_mm_per_minute);
    machine.spindle.slowest = SpindleSpeed::from_rpm(rpm[0]);
    machine.spindle.fastest = SpindleSpeed::from_rpm(rpm[1]);
    machine.spindle.power_w = power_w;
    machine
}

fn machines() -> Vec<Machine> {
    vec![
        sample::machine(),
        machine([800.0, 700.0, 300.0], [10_000.0, 30_000.0], Some(65.0)),
        machine([1500.0, 1500.0, 500.0], [5_000.0, 12_000.0], Some(150.0)),
        machine(
            [12_000.0, 12_000.0, 4000.0],
            [6_000.0, 24_000.0],
            Some(2200.0),
        ),
        machine([20_000.0, 20_000.0, 8000.0], [18_000.0, 18_000.0], None),
        machine([2540.0, 2540.0, 1016.0], [10_350.0, 27_010.0], Some(40.0)),
    ]
}

fn task(bit: &Bit) -> Task {
    Task {
        finish: mm(0.2_f64.min(bit.diameter.as_mm() / 10.0)),
        wall: bit.diameter * 2.0,
        engagement: bit.diameter,
        reached: None,
    }
}

#[test]
fn wear_never_raises_speed_or_stepdown_and_keeps_the_chip_above_rubbing() {
    let woods = woods();
    let mut served = 0;
    for (number, machine) in machines().into_iter().enumerate() {
        for mut bit in rack() {
            for (turn, wood) in woods.iter().enumerate() {
                // In every second wood loops are reached at 300 to 2100 mm/min.
                let reached = 300.0 * f64::from(((number + turn / 2) % 7 + 1) as u8);
                let reached = (turn % 2 == 0).then(|| Feed::from_mm_per_minute(reached));
                let mut last: Option<Settings> = None;
                for step in 0..=10 {
                    bit.wear = f64::from(step) / 10.0;
                    let task = Task {
                        reached,
                        ..task(&bit)
                    };
                    let now = choose(&bit, &[wood], &machine, task);
                    let place = format!("{} wear {} {}", bit.name, bit.wear, wood.name);
                    if let Some(last) = &last {
                        assert!(now.speed <= last.speed, "speed: {place}");
                        let rate =
                            |of: &Settings| of.feed.as_mm_per_minute() * of.limits.stepdown.as_mm();
                        // Where the window closes the chip eats up the room for printed digits.
                        let both_serve = last.refusal.is_none() && now.refusal.is_none();
                        assert!(
                            !both_serve || rate(&now) <= rate(last) * 1.03,
                            "rate: {place}"
                        );
                        assert!(
                            now.limits.stepdown.as_mm() <= last.limits.stepdown.as_mm() + 1e-9,
                            "stepdown: {place}: {:?} after {:?}",
                            now.limits.stepdown,
                            last.limits.stepdown
                        );
                        assert!(now.chip_load.as_mm() >= last.chip_load.as_mm() - 1e-9);
                        assert!(last.refusal.is_none() || now.refusal.is_some(), "{place}");
                    }
                    if now.refusal.is_none() {
                        served += 1;
                        assert!(now.chip_load.as_mm() >= now.limits.chip_min.as_mm() - 1e-9);
                    }
                    last = Some(now);
                }
            }
        }
    }
    assert!(served > 50_000, "only {served} settings served");
}

#[test]
fn settings_that_serve_keep_every_limit_of_bit_and_machine() {
    for machine in machines() {
        for mut bit in rack() {
            for (wear, reached) in [
                (0.0, 0.0),
                (0.3, 900.0),
                (0.6, 0.0),
                (0.8, 1500.0),
                (1.0, 0.0),
            ] {
                bit.wear = wear;
                let reached = Feed::from_mm_per_minute(reached);
                let reached = Some(reached).filter(|feed| *feed > Feed::ZERO);
                for wood in woods() {
                    let task = Task {
                        reached,
                        ..task(&bit)
                    };
                    let settings = choose(&bit, &[&wood], &machine, task);
                    if settings.refusal.is_none() {
                        check_limits(&bit, &wood, &machine, &settings);
                    }
                }
            }
        }
    }
}

#[track_caller]
fn check_limits(bit: &Bit, wood: &Wood, machine: &Machine, settings: &Settings) {
    let limits = limits(bit, wood);
    let place = format!("{} wear {} {}: {settings:?}", bit.name, bit.wear, wood.name);
    let Settings { speed, feed, .. } = *settings;
    assert!(
        machine.spindle.slowest <= speed && speed <= machine.spindle.fastest,
        "{place}"
    );
    let chip = feed.as_mm_per_minute() / (speed.as_rpm() * f64::from(bit.flutes));
    assert!(chip >= limits.chip_min.as_mm() - 1e-9, "{place}");
    assert!(chip <= limits.chip_max.as_mm() + 1e-9, "{place}");
    assert!(settings.limits.stepdown <= limits.stepdown, "{place}");
    assert!(settings.limits.ramp <= limits.ramp, "{place}");
    assert!(settings.plunge_feed <= machine.feed_max[2], "{place}");
    let full = load(
        bit,
        wood,
        settings.limits.stepdown,
        bit.diameter,
        feed,
        speed,
    );
    let power = machine.spindle.power_w.unwrap_or(f64::INFINITY);
    assert!(full.power_w <= power, "{place}");
    if bit.kind == BitKind::Drill {
        assert!(feed <= machine.feed_max[2], "{place}");
        return;
    }
    assert!(
        feed <= machine.feed_max[0] && feed <= machine.feed_max[1],
        "{place}"
    );
    let falls = feed.as_mm_per_minute() * settings.limits.ramp.as_radians().sin();
    assert!(falls <= machine.feed_max[2].as_mm_per_minute(), "{place}");
    assert!(full.deflection.as_mm() <= 0.05, "{place}");
    let thin = settings.finish_feed.as_mm_per_minute() / (speed.as_rpm() * f64::from(bit.flutes));
    assert!(thin >= limits.chip_min.as_mm() - 1e-9, "{place}");
}

#[test]
fn ordinary_bits_serve_fresh_in_every_wood() {
    let machine = sample::machine();
    for (kind, diameter) in [
        (BitKind::UpSpiral, 6.0),
        (BitKind::DownSpiral, 6.35),
        (BitKind::DoubleFlute, 6.35),
        (BitKind::SingleFlute, 6.35),
        (BitKind::DoubleFlute, 9.525),
        (BitKind::UpSpiral, 3.0),
        (BitKind::SingleFlute, 3.0),
        (BitKind::UpSpiral, 10.0),
        (BitKind::Drill, 2.5),
    ] {
        // As in the sample rack: 22 mm of flutes, 30 mm out of the nut.
        let bit = sample::bit(kind, diameter);
        for wood in woods() {
            let task = Task {
                finish: mm(0.2),
                wall: mm(12.4),
                engagement: mm(diameter),
                reached: None,
            };
            let settings = choose(&bit, &[&wood], &machine, task);
            let place = format!("{} in {}: {settings:?}", bit.name, wood.name);
            assert_eq!(settings.refusal, None, "{place}");
            let share = settings.limits.stepdown / bit.diameter;
            assert!((0.2..=1.0).contains(&share), "{place}");
            assert!(
                settings.finish_deflection.as_mm() <= 0.02 || diameter < 4.0,
                "{place}"
            );
        }
    }
}

#[test]
fn six_millimetres_in_walnut_is_what_a_bench_router_does() {
    // Common practice, no source: chip load 0.08 to 0.20 mm for 6 mm in hardwood,
    // half a diameter a pass; a small spindle works at some tens of watts.
    let bit = sample::bit(BitKind::UpSpiral, 6.0);
    let walnut = sample::walnut();
    let settings = choose(&bit, &[&walnut], &sample::machine(), task(&bit));
    assert_eq!(settings.feed.as_mm_per_minute(), 3000.0);
    assert!((0.06..=0.20).contains(&settings.chip_load.as_mm()));
    assert!((3.0..=3.6).contains(&settings.limits.stepdown.as_mm()));
    assert!((20.0..=150.0).contains(&settings.power_w));
    assert_eq!(
        settings.binding,
        "the X and Y axes' feed limit; the bit's stepdown"
    );
}

#[test]
fn a_slow_machine_slows_the_spindle_until_the_chip_is_thick_enough() {
    let bit = bit(BitKind::UpSpiral, 6.0);
    let walnut = sample::walnut();
    let slow = machine([600.0, 600.0, 200.0], [5_000.0, 24_000.0], None);
    let settings = choose(&bit, &[&walnut], &slow, task(&bit));
    assert_eq!(settings.refusal, None);
    assert!(settings.speed.as_rpm() < 12_000.0);
    assert!(settings.chip_load >= settings.limits.chip_min);
}

#[test]
fn a_spindle_that_cannot_slow_down_enough_is_refused_before_it_burns() {
    let bit = bit(BitKind::UpSpiral, 6.0);
    let walnut = sample::walnut();
    let slow = machine([600.0, 600.0, 200.0], [20_000.0, 24_000.0], None);
    let settings = choose(&bit, &[&walnut], &slow, task(&bit));
    let refusal = settings.refusal.unwrap_or_default();
    assert!(refusal.contains("burn"), "{refusal}");
    assert!(refusal.contains("fewer flutes"), "{refusal}");
}

#[test]
fn a_worn_bit_past_all_settings_wants_sharpening() {
    let mut bit = bit(BitKind::UpSpiral, 6.0);
    let walnut = sample::walnut();
    let machine = machine([3000.0, 3000.0, 1200.0], [16_000.0, 24_000.0], None);
    assert_eq!(choose(&bit, &[&walnut], &machine, task(&bit)).refusal, None);
    bit.wear = 1.0;
    let refusal = choose(&bit, &[&walnut], &machine, task(&bit))
        .refusal
        .unwrap_or_default();
    assert!(refusal.contains("sharpening or replacing"), "{refusal}");
}

#[test]
fn a_weak_spindle_and_a_slender_bit_cut_shallower() {
    let walnut = sample::walnut();
    let strong = machine([3000.0; 3], [8_000.0, 24_000.0], None);
    let weak = machine([3000.0; 3], [8_000.0, 24_000.0], Some(30.0));
    let stout = bit(BitKind::UpSpiral, 6.0);
    let by_power = choose(&stout, &[&walnut], &weak, task(&stout));
    let free = choose(&stout, &[&walnut], &strong, task(&stout));
    assert!(by_power.limits.stepdown < free.limits.stepdown);
    assert!(by_power.power_w <= 30.0);
    assert!(by_power.binding.ends_with("the spindle's power"));

    let slender = Bit {
        stickout: mm(30.0),
        cutting_length: mm(22.0),
        ..bit(BitKind::UpSpiral, 1.5)
    };
    let bending = choose(&slender, &[&walnut], &strong, task(&slender));
    assert!(bending.limits.stepdown < limits(&slender, &walnut).stepdown);
    assert!(bending.binding.ends_with("the bit's deflection"));
}

/// By hand, wear 0.6: an edge of 27.2 um needs 27.2 π = 0.0855 mm a tooth; two flutes
/// reached at 1368 mm/min then turn at 8000.
#[test]
fn a_worn_bit_turns_as_slowly_as_the_feed_reached_in_its_loops_asks() {
    let walnut = sample::walnut();
    let mut bit = sample::bit(BitKind::UpSpiral, 6.0);
    let at = |bit: &Bit, reached: Option<f64>| {
        let reached = reached.map(Feed::from_mm_per_minute);
        let task = Task {
            reached,
            ..task(bit)
        };
        choose(bit, &[&walnut], &sample::machine(), task)
    };
    assert_eq!(at(&bit, Some(1368.0)), at(&bit, None));
    bit.wear = 0.6;
    assert!(at(&bit, None).speed.as_rpm() > 15_000.0);
    let slowed = at(&bit, Some(1710.0));
    assert!(
        (9_900.0..=10_000.0).contains(&slowed.speed.as_rpm()),
        "{slowed:?}"
    );
    assert_eq!(slowed.feed.as_mm_per_minute(), 3000.0);
    assert_eq!(slowed.refusal, None);
    // No slower than the spindle turns.
    assert_eq!(at(&bit, Some(700.0)).speed.as_rpm(), 8000.0);
}

/// By hand: 0.02 mm of six is in the wood for acos(1 - 0.04 / 6) = 0.1155 of a turn, where
/// the mean chip is 0.0577 of the chip load; half of a fresh edge's 8 um then asks
/// 0.0693 mm a tooth, and 2000 mm/min of two flutes 14 400 rpm.
#[test]
fn a_wall_that_thins_the_chip_slows_the_spindle_too() {
    let walnut = sample::walnut();
    let bit = sample::bit(BitKind::UpSpiral, 6.0);
    let speed = |finish: f64| {
        let task = Task {
            finish: mm(finish),
            reached: Some(Feed::from_mm_per_minute(2000.0)),
            ..task(&bit)
        };
        let settings = choose(&bit, &[&walnut], &sample::machine(), task);
        assert_eq!(settings.refusal, None);
        settings.speed.as_rpm()
    };
    assert!(
        (14_300.0..=14_500.0).contains(&speed(0.02)),
        "{}",
        speed(0.02)
    );
    assert!(speed(0.2) > 20_000.0);
}

#[test]
fn two_woods_get_what_serves_in_both() {
    let bit = bit(BitKind::UpSpiral, 6.0);
    let (pine, maple) = (
        wood::find("eastern white pine").unwrap(),
        wood::find("sugar maple").unwrap(),
    );
    let machine = sample::machine();
    let both = choose(&bit, &[&pine, &maple], &machine, task(&bit));
    check_limits(&bit, &pine, &machine, &both);
    check_limits(&bit, &maple, &machine, &both);
    let reversed = choose(&bit, &[&maple, &pine], &machine, task(&bit));
    assert_eq!(both, reversed);
    let none = choose(&bit, &[], &machine, task(&bit));
    assert_eq!(none.refusal, None);
}

#[test]
fn a_slow_z_axis_lowers_the_ramp_and_not_the_feed() {
    let bit = bit(BitKind::UpSpiral, 6.0);
    let walnut = sample::walnut();
    let slow = machine([3000.0, 3000.0, 60.0], [8_000.0, 24_000.0], None);
    let settings = choose(&bit, &[&walnut], &slow, task(&bit));
    assert_eq!(settings.feed.as_mm_per_minute(), 3000.0);
    // 60 / 3000 is the sine of 1.146 degrees.
    assert!(settings.limits.ramp.as_degrees() < 1.146);
    assert!(settings.limits.ramp.as_degrees() > 1.1);
}

#[test]
fn the_choice_is_the_greatest_removal_rate_of_a_brute_search() {
    // Every speed and feed of a fine grid, judged by the same limits.
    let walnut = sample::walnut();
    for machine in machines() {
        for bit in [
            bit(BitKind::UpSpiral, 3.0),
            bit(BitKind::DoubleFlute, 9.525),
        ] {
            let chosen = choose(&bit, &[&walnut], &machine, task(&bit));
            if chosen.refusal.is_some() {
                continue;
            }
            let rate = chosen.limits.stepdown.as_mm() * chosen.feed.as_mm_per_minute();
            let best = brute(&bit, &walnut, &machine);
            assert!(rate >= 0.93 * best, "{}: {rate} of {best}", bit.name);
        }
    }
}

fn brute(bit: &Bit, wood: &Wood, machine: &Machine) -> f64 {
    let limits = limits(bit, wood);
    let power = machine.spindle.power_w.unwrap_or(f64::INFINITY);
    let top = machine.feed_max[0].min(machine.feed_max[1]);
    let (slowest, fastest) = (
        machine.spindle.slowest.as_rpm(),
        machine.spindle.fastest.as_rpm(),
    );
    let mut best = 0.0_f64;
    for i in 0..=40 {
        let speed = SpindleSpeed::from_rpm(slowest + (fastest - slowest) * f64::from(i) / 40.0);
        for j in 1..=40 {
            let feed = top * (f64::from(j) / 40.0);
            let chip = chip::chip_load(feed, speed, bit.flutes);
            if chip < limits.chip_min || chip > limits.chip_max {
                continue;
            }
            for k in 1..=40 {
                let bite = limits.stepdown * (f64::from(k) / 40.0);
                let load = load(bit, wood, bite, bit.diameter, feed, speed);
                if load.power_w <= power && load.deflection.as_mm() <= 0.05 {
                    best = best.max(bite.as_mm() * feed.as_mm_per_minute());
                }
            }
        }
    }
    best
}

#[test]
fn the_document_lists_every_figure_as_it_is() {
    let document = include_str!("model.md");
    for constant in constants() {
        let key = constant
            .overridden_by
            .map_or_else(String::new, |key| format!("`{key}`"));
        let row = format!(
            "| {} | {} | {} | {} | {} | {key} |",
            constant.name, constant.value, constant.unit, constant.seen, constant.source
        );
        assert!(document.contains(&row), "src/cutting/model.md lacks {row}");
    }
    let rows = document
        .lines()
        .filter(|line| line.starts_with("| ") && !line.contains("---"))
        .count();
    assert_eq!(rows - 1, constants().len());
}
