//! What a bit may do in a wood.

use std::f64::consts::FRAC_2_PI;

use crate::cutting::chip::mean_chip;
use crate::cutting::constants::{
    DENSE_GRAVITY, EDGE_FRESH, GREATEST_CHIP, GREATEST_CHIP_SLENDER, GREATEST_CHIP_SOFT,
    HARD_GRAVITY, LEAST_CHIP, LEAST_CHIP_DRILL, PECK, RAMP_DOWN, RAMP_RUN, RAMP_STRAIGHT, RAMP_UP,
    SOFT_GRAVITY, STEPDOWN_DOUBLE, STEPDOWN_DOWN, STEPDOWN_SINGLE, STEPDOWN_UP, STEPOVER,
    StepdownShares,
};
use crate::cutting::edge;
use crate::cutting::force::specific_force;
use crate::shop::bit::{Bit, BitKind};
use crate::shop::wood::Wood;
use crate::units::{Angle, Length};

/// What a bit may do in a wood, at the bit's present wear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Deepest bite of a roughing move by the fresh bit, of which a worn one
    /// may take a share ([`stepdown_share_at`]); the peck of a drill.
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

impl Limits {
    /// The tighter of each: what serves in both woods.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self {
            stepdown: self.stepdown.min(other.stepdown),
            ramp: self.ramp.min(other.ramp),
            chip_min: self.chip_min.max(other.chip_min),
            chip_max: self.chip_max.min(other.chip_max),
            stepover: self.stepover.min(other.stepover),
        }
    }
}

/// What `bit`, as worn as it is, may do in `wood`.
pub fn limits(bit: &Bit, wood: &Wood) -> Limits {
    Limits {
        stepdown: stepdown(bit, wood),
        ramp: bit
            .ramp
            .unwrap_or_else(|| ramp(bit.kind).min(gentlest(bit, fresh_stepdown(bit, wood)))),
        chip_min: chip_min(bit),
        chip_max: chip_max(bit, wood),
        stepover: bit.stepover.unwrap_or(match bit.kind {
            BitKind::Drill => 1.0,
            _ => STEPOVER.value,
        }),
    }
}

fn fresh_stepdown(bit: &Bit, wood: &Wood) -> Length {
    bit.stepdown
        .unwrap_or_else(|| bit.cutting_diameter() * stepdown_share(bit.kind, wood.gravity))
}

fn stepdown(bit: &Bit, wood: &Wood) -> Length {
    let fresh = fresh_stepdown(bit, wood);
    if bit.kind == BitKind::Drill {
        return fresh;
    }
    fresh.min(bit.cutting_length)
}

/// The share of its stepdown that `bit`, as worn as it is, may take in `wood`
/// at that chip load: so much that a bite asks no more force of it than the
/// fresh bit's at the greatest chip. 1 for a fresh bit and for a drill.
pub fn stepdown_share_at(bit: &Bit, wood: &Wood, chip: Length) -> f64 {
    if bit.kind == BitKind::Drill || bit.wear <= 0.0 || chip <= Length::ZERO {
        return 1.0;
    }
    let fresh = Bit {
        wear: 0.0,
        ..bit.clone()
    };
    let greatest = chip_max(&fresh, wood);
    // Per millimetre of bite in a full slot, but for what is the same of both.
    let force =
        |bit: &Bit, chip: Length| specific_force(bit, wood, mean_chip(chip, 1.0)) * chip.as_mm();
    (force(&fresh, greatest) / force(bit, chip)).min(1.0)
}

fn stepdown_share(kind: BitKind, gravity: f64) -> f64 {
    let StepdownShares { hard, soft } = match kind {
        BitKind::SingleFlute => STEPDOWN_SINGLE,
        BitKind::DoubleFlute => STEPDOWN_DOUBLE,
        BitKind::UpSpiral => STEPDOWN_UP,
        BitKind::DownSpiral => STEPDOWN_DOWN,
        BitKind::Drill => return PECK.value,
    };
    by_gravity(soft.value, hard.value, gravity)
}

fn ramp(kind: BitKind) -> Angle {
    Angle::from_degrees(match kind {
        BitKind::SingleFlute | BitKind::DoubleFlute => RAMP_STRAIGHT.value,
        BitKind::UpSpiral => RAMP_UP.value,
        BitKind::DownSpiral => RAMP_DOWN.value,
        BitKind::Drill => 90.0,
    })
}

/// The steepest ramp of use at a stepdown, where the rack states none.
pub(super) fn gentlest(bit: &Bit, stepdown: Length) -> Angle {
    if bit.kind == BitKind::Drill {
        return ramp(bit.kind);
    }
    let run = bit.cutting_diameter() * RAMP_RUN.value;
    Angle::from_radians((stepdown / run).atan())
}

/// The mean chip of a full slot must be so many edge radii thick. A rack's own
/// figure is for the fresh bit; wear adds to it what it adds to the model's.
fn chip_min(bit: &Bit) -> Length {
    let radii = match bit.kind {
        // A drill's lips are in the wood at the whole chip load all the time.
        BitKind::Drill => LEAST_CHIP_DRILL.value,
        _ => LEAST_CHIP.value / FRAC_2_PI,
    };
    let model = |radius: Length| radius * radii;
    let fresh = model(Length::from_mm(EDGE_FRESH.value / 1000.0));
    bit.chip_min.unwrap_or(fresh) + (model(edge::radius(bit)) - fresh)
}

fn chip_max(bit: &Bit, wood: &Wood) -> Length {
    bit.chip_max.unwrap_or_else(|| {
        // A power law through the two diameters of the shop rule, 3 and 6 mm.
        let exponent = (GREATEST_CHIP.value / GREATEST_CHIP_SLENDER.value).log2();
        let hard = GREATEST_CHIP.value * (bit.cutting_diameter().as_mm() / 6.0).powf(exponent);
        Length::from_mm(by_gravity(
            hard * GREATEST_CHIP_SOFT.value,
            hard,
            wood.gravity,
        ))
    })
}

/// From the figure for softwood to that for hardwood, and less for the densest.
fn by_gravity(soft: f64, hard: f64, gravity: f64) -> f64 {
    let span = HARD_GRAVITY.value - SOFT_GRAVITY.value;
    let hardness = ((gravity - SOFT_GRAVITY.value) / span).clamp(0.0, 1.0);
    let dense = (DENSE_GRAVITY.value / gravity).min(1.0);
    (soft + (hard - soft) * hardness) * dense
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::shop::wood;

    #[test]
    fn default_limits_lie_inside_the_shop_rules() {
        // Common practice, no source: the bands that the defaults are taken from.
        let walnut = sample::walnut();
        let pine = wood::find("eastern white pine").unwrap();
        let share = |kind, wood| limits(&sample::bit(kind, 6.0), wood).stepdown.as_mm() / 6.0;
        for (kind, hard, soft) in [
            (BitKind::SingleFlute, 0.3..=0.5, 0.5..=1.0),
            (BitKind::DoubleFlute, 0.3..=0.5, 0.3..=0.5),
            (BitKind::UpSpiral, 0.5..=1.0, 0.5..=1.0),
            (BitKind::DownSpiral, 0.3..=0.5, 0.3..=0.5),
        ] {
            let (in_walnut, in_pine) = (share(kind, &walnut), share(kind, &pine));
            assert!(hard.contains(&in_walnut), "{kind:?} {in_walnut}");
            assert!(soft.contains(&in_pine), "{kind:?} {in_pine}");
        }
    }

    #[test]
    fn the_rack_overrides_every_default() {
        let mut bit = sample::bit(BitKind::UpSpiral, 6.0);
        bit.stepdown = Some(Length::from_mm(2.0));
        bit.ramp = Some(Angle::from_degrees(1.5));
        bit.chip_min = Some(Length::from_mm(0.04));
        bit.chip_max = Some(Length::from_mm(0.15));
        bit.stepover = Some(0.3);
        let fresh = limits(&bit, &sample::walnut());
        assert_eq!(fresh.stepdown, Length::from_mm(2.0));
        assert_eq!(fresh.ramp, Angle::from_degrees(1.5));
        assert_eq!(fresh.chip_min, Length::from_mm(0.04));
        assert_eq!(fresh.chip_max, Length::from_mm(0.15));
        assert_eq!(fresh.stepover, 0.3);
        bit.wear = 1.0;
        let dull = limits(&bit, &sample::walnut());
        // What wear leaves of it depends on the chip.
        assert_eq!(dull.stepdown, Length::from_mm(2.0));
        assert!(dull.chip_min > fresh.chip_min);
    }

    // By hand, 6 mm up-spiral in black walnut: the force of a bite goes with
    // k chip^(1 - 0.4), k being 1 fresh and 1.5 worn out (table from memory).
    #[test]
    fn a_worn_bit_takes_what_asks_no_more_force_than_the_fresh_ones_greatest_chip() {
        let walnut = sample::walnut();
        let mut bit = sample::bit(BitKind::UpSpiral, 6.0);
        let greatest = limits(&bit, &walnut).chip_max;
        assert_eq!(stepdown_share_at(&bit, &walnut, greatest * 2.0), 1.0);
        bit.wear = 1.0;
        let share = |chip| stepdown_share_at(&bit, &walnut, chip);
        assert!(
            (share(greatest) - 1.0 / 1.5).abs() < 0.01,
            "{}",
            share(greatest)
        );
        // Where the chip is half, 2^0.6 = 1.516 of the force is gone: all may be taken.
        assert!(share(greatest / 2.0) > 0.99);
        assert!((share(greatest / 1.5) - 1.5_f64.powf(0.6) / 1.5).abs() < 0.01);
        assert_eq!(share(Length::ZERO), 1.0);
        let drill = sample::bit(BitKind::Drill, 2.0);
        assert_eq!(stepdown_share_at(&drill, &walnut, greatest), 1.0);
    }
}
