//! What wear does to the edge: a greater radius, more force, more thrust,
//! a thicker least chip, less speed.

use crate::cutting::chip;
use crate::cutting::constants::{
    DULLNESS, EDGE_DULL, EDGE_DULL_SLENDER, EDGE_FRESH, HEAT_SPEED_CARBIDE, HEAT_SPEED_STEEL,
    LEAST_THINNED, THRUST_DULL, THRUST_FRESH,
};
use crate::shop::bit::{Bit, BitMaterial};
use crate::units::{Length, SpindleSpeed};

fn between(fresh: f64, dull: f64, wear: f64) -> f64 {
    fresh + (dull - fresh) * wear.clamp(0.0, 1.0)
}

/// Radius of the edge as worn as the bit is.
pub fn radius(bit: &Bit) -> Length {
    let slender = EDGE_DULL_SLENDER.value * bit.cutting_diameter().as_mm();
    let dull = EDGE_DULL.value.min(slender).max(EDGE_FRESH.value);
    Length::from_mm(between(EDGE_FRESH.value, dull, bit.wear) / 1000.0)
}

/// The least mean chip of a finishing pass that still cuts.
pub fn least_thinned(bit: &Bit) -> Length {
    radius(bit) * LEAST_THINNED.value
}

/// How much more force the edge needs than a fresh one.
pub fn force_factor(bit: &Bit) -> f64 {
    let micrometres = radius(bit).as_mm() * 1000.0;
    let mut below = (0.0, DULLNESS[0].1);
    for row in DULLNESS {
        if micrometres <= row.0 {
            let share = (micrometres - below.0) / (row.0 - below.0);
            return below.1 + (row.1 - below.1) * share;
        }
        below = row;
    }
    below.1
}

/// Force across the path as a share of the tangential force.
pub(super) fn thrust(bit: &Bit) -> f64 {
    between(THRUST_FRESH.value, THRUST_DULL.value, bit.wear)
}

/// The fastest the bit may turn on a spindle that reaches `fastest`. Friction
/// heat is force times speed; it is kept at what the fresh edge makes.
pub(super) fn fastest(bit: &Bit, fastest: SpindleSpeed) -> SpindleSpeed {
    let limit = match bit.material {
        BitMaterial::Carbide => HEAT_SPEED_CARBIDE.value,
        BitMaterial::Steel => HEAT_SPEED_STEEL.value,
    };
    fastest.min(chip::speed_at(limit, bit.cutting_diameter())) / force_factor(bit)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::shop::bit::BitKind;

    #[test]
    fn the_force_factor_follows_the_table() {
        // Table of force factors by edge radius, from memory: 37-42 um is 1.5.
        let mut bit = sample::bit(BitKind::UpSpiral, 6.0);
        assert!((force_factor(&bit) - 1.0).abs() < 1e-12);
        bit.wear = 1.0;
        assert!((radius(&bit).as_mm() - 0.040).abs() < 1e-12);
        assert!((force_factor(&bit) - 1.5).abs() < 0.01);
    }

    #[test]
    fn everything_about_a_duller_edge_is_worse() {
        for diameter in [1.5, 3.0, 6.0, 12.7] {
            let mut bit = sample::bit(BitKind::DoubleFlute, diameter);
            let top = SpindleSpeed::from_rpm(24_000.0);
            let mut last = (radius(&bit), force_factor(&bit), thrust(&bit));
            let mut last_speed = fastest(&bit, top);
            for step in 1..=100 {
                bit.wear = f64::from(step) / 100.0;
                let now = (radius(&bit), force_factor(&bit), thrust(&bit));
                assert!(now.0 > last.0 && now.1 >= last.1 && now.2 > last.2);
                assert!(fastest(&bit, top) <= last_speed);
                last = now;
                last_speed = fastest(&bit, top);
            }
            assert!(last_speed < top);
        }
    }
}
