//! Force, power and bending of a bit in wood.

use std::f64::consts::PI;

use crate::cutting::bending::{bars, deflection, modulus};
use crate::cutting::chip::{chip_load, engagement, mean_chip, power, removal_rate, surface_speed};
use crate::cutting::constants::{CHIP_EXPONENT, GRAIN_FACTOR, PEAK_CAP, SPECIFIC_FORCE};
use crate::cutting::edge;
use crate::shop::bit::{Bit, BitKind};
use crate::shop::machine::Machine;
use crate::shop::wood::{Family, Wood};
use crate::units::{Feed, Length, SpindleSpeed};

/// Chip thickness at which the specific force is stated.
const REFERENCE_CHIP_MM: f64 = 0.1;

/// Load on the bit at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Mean tangential force in newtons: power over surface speed.
    pub force_n: f64,
    /// Power at the spindle in watts.
    pub power_w: f64,
    /// Deflection of the tip.
    pub deflection: Length,
}

impl Load {
    const NONE: Self = Self {
        force_n: 0.0,
        power_w: 0.0,
        deflection: Length::ZERO,
    };

    /// The same where the machine gives too, as far as it is known how much.
    #[must_use]
    pub fn on(self, machine: &Machine) -> Self {
        let give = machine
            .stiffness
            .map_or(0.0, |stiffness| self.force_n / stiffness);
        Self {
            deflection: self.deflection + Length::from_mm(give),
            ..self
        }
    }
}

/// Force on the edge per area of chip, in N/mm²: up with gravity, down with
/// chip thickness, up with dullness. A chip thinner than the edge is round
/// counts as that thin: from there on the edge rubs.
pub fn specific_force(bit: &Bit, wood: &Wood, mean_chip: Length) -> f64 {
    let grain = match wood.family {
        Family::Fibreboard => 1.0,
        Family::Hardwood | Family::Softwood | Family::Plywood => GRAIN_FACTOR.value,
    };
    let chip = mean_chip.max(edge::radius(bit)).as_mm() / REFERENCE_CHIP_MM;
    SPECIFIC_FORCE.value
        * wood.gravity
        * grain
        * edge::force_factor(bit)
        * chip.powf(-CHIP_EXPONENT.value)
}

/// Load on `bit` cutting `bite` deep and `width` wide in `wood`. A width past
/// the bit's own counts as a full slot. A drill's load is that of going
/// straight down: only its feed counts.
pub fn load(
    bit: &Bit,
    wood: &Wood,
    bite: Length,
    width: Length,
    feed: Feed,
    speed: SpindleSpeed,
) -> Load {
    let diameter = bit.cutting_diameter();
    let rim = surface_speed(diameter, speed);
    let chip = chip_load(feed, speed, bit.flutes);
    if rim <= 0.0 || bite <= Length::ZERO || width <= Length::ZERO {
        return Load::NONE;
    }
    if bit.kind == BitKind::Drill {
        return drilling(bit, wood, feed, chip, rim);
    }
    let width = width.min(diameter);
    let share = width / diameter;
    let specific = specific_force(bit, wood, mean_chip(chip, share));
    let power_w = power(specific, removal_rate(width, bite, feed));
    let force_n = power_w / rim;
    let at = bit.stickout - (bite / 2.0).min(bit.stickout);
    Load {
        force_n,
        power_w,
        deflection: deflection(
            &bars(bit),
            force_n * peak(bit, share) * 1.0_f64.hypot(edge::thrust(bit)),
            at,
            modulus(bit),
        ),
    }
}

/// How much more than the mean of a turn a cut bends the bit that is out of
/// the wood for part of the turn.
fn peak(bit: &Bit, share: f64) -> f64 {
    let cutting = f64::from(bit.flutes.max(1)) * engagement(share).as_radians() / (2.0 * PI);
    (1.0 / cutting).clamp(1.0, PEAK_CAP.value)
}

fn drilling(bit: &Bit, wood: &Wood, feed: Feed, chip: Length, rim: f64) -> Load {
    let diameter = bit.cutting_diameter().as_mm();
    let specific = specific_force(bit, wood, chip);
    let removal = PI / 4.0 * diameter * diameter * feed.as_mm_per_minute();
    let power_w = power(specific, removal);
    Load {
        force_n: power_w / rim,
        power_w,
        deflection: Length::ZERO,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::shop::wood;

    fn mm(value: f64) -> Length {
        Length::from_mm(value)
    }

    #[test]
    fn specific_force_rises_with_gravity_and_dullness_and_falls_with_chip() {
        // Relations: Woodson 1979 (gravity), Palubicki 2021 (chip thickness).
        let mut bit = sample::bit(BitKind::UpSpiral, 6.0);
        let pine = wood::find("eastern white pine").unwrap();
        let oak = wood::find("white oak").unwrap();
        let chip = mm(0.1);
        assert!(specific_force(&bit, &oak, chip) > specific_force(&bit, &pine, chip));
        assert!(specific_force(&bit, &oak, mm(0.2)) < specific_force(&bit, &oak, chip));
        let fresh = specific_force(&bit, &oak, chip);
        bit.wear = 1.0;
        assert!(specific_force(&bit, &oak, chip) > 1.4 * fresh);
    }

    #[test]
    fn fibreboard_lies_near_the_measured_particleboard() {
        // Palubicki 2021: 32.0 to 37.6 N/mm2; the figure here is from memory, so a band.
        let bit = sample::bit(BitKind::UpSpiral, 6.0);
        let board = wood::find("MDF").unwrap();
        let specific = specific_force(&bit, &board, mm(0.1));
        assert!((30.0..40.0).contains(&specific), "{specific}");
    }

    #[test]
    fn power_is_specific_force_times_volume_and_force_times_speed() {
        let bit = sample::bit(BitKind::UpSpiral, 6.0);
        let walnut = sample::walnut();
        let (feed, speed) = (
            Feed::from_mm_per_minute(3000.0),
            SpindleSpeed::from_rpm(18_000.0),
        );
        let load = load(&bit, &walnut, mm(3.0), mm(6.0), feed, speed);
        // Chip load 3000 / 36000, mean over the half circle 2/pi of it.
        let chip = 3000.0 / 36_000.0 * 2.0 / PI;
        let specific = 50.0 * 0.55 * 1.3 * (chip / 0.1_f64).powf(-0.4);
        assert!((load.power_w - specific * 3.0 * 6.0 * 3000.0 / 60_000.0).abs() < 1e-9);
        assert!((load.power_w - load.force_n * PI * 6.0 * 300.0 / 1000.0).abs() < 1e-9);
    }

    #[test]
    fn nothing_taken_is_no_load() {
        let bit = sample::bit(BitKind::UpSpiral, 6.0);
        let feed = Feed::from_mm_per_minute(1000.0);
        for (bite, width, speed) in [(0.0, 6.0, 9e3), (1.0, 0.0, 9e3), (1.0, 6.0, 0.0)] {
            let load = load(
                &bit,
                &sample::walnut(),
                mm(bite),
                mm(width),
                feed,
                SpindleSpeed::from_rpm(speed),
            );
            assert_eq!(load, Load::NONE);
        }
    }

    /// 10 N on 200 N/mm give a twentieth of a millimetre.
    #[test]
    fn a_machine_that_gives_adds_to_the_bits_own_bend() {
        let mut machine = sample::machine();
        let load = Load {
            force_n: 10.0,
            power_w: 50.0,
            deflection: Length::from_mm(0.01),
        };
        assert_eq!(load.on(&machine), load);
        machine.stiffness = Some(200.0);
        assert!((load.on(&machine).deflection.as_mm() - 0.06).abs() < 1e-12);
    }
}
