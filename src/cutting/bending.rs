//! How far a bit bends: a cantilever of two round bars, shank and flutes.

use std::f64::consts::PI;

use crate::cutting::constants::{FLUTE_CORE, FLUTE_CORE_MANY, MODULUS_CARBIDE, MODULUS_STEEL};
use crate::shop::bit::{Bit, BitMaterial};
use crate::units::Length;

/// A stretch of round bar, from the clamped end outward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// Along the axis.
    pub length: Length,
    /// Across.
    pub diameter: Length,
}

/// Second moment of area of a round section, in mm⁴.
pub fn inertia(diameter: Length) -> f64 {
    PI * diameter.as_mm().powi(4) / 64.0
}

/// Greatest bending stress at the clamped end of a round bar, in N/mm².
pub fn root_stress(force_n: f64, bar: Bar) -> f64 {
    32.0 * force_n * bar.length.as_mm() / (PI * bar.diameter.as_mm().powi(3))
}

/// Deflection of the free end of `bars`, clamped at the start of the first,
/// under `force_n` newtons at `at` from the clamped end. `modulus` is in
/// N/mm². The integral of M(x) (L − x) / (E I) from the clamp to the force.
pub fn deflection(bars: &[Bar], force_n: f64, at: Length, modulus: f64) -> Length {
    let whole: f64 = bars.iter().map(|bar| bar.length.as_mm()).sum();
    let at = at.as_mm().clamp(0.0, whole);
    let mut from = 0.0;
    let mut sum = 0.0;
    for bar in bars {
        let to = (from + bar.length.as_mm()).min(at);
        if to > from {
            sum +=
                (moment_area(at, whole, to) - moment_area(at, whole, from)) / inertia(bar.diameter);
        }
        from += bar.length.as_mm();
    }
    Length::from_mm(force_n * sum / modulus)
}

/// Antiderivative of (a − x)(L − x).
fn moment_area(at: f64, whole: f64, x: f64) -> f64 {
    at * whole * x - (at + whole) * x * x / 2.0 + x.powi(3) / 3.0
}

/// The bit as bars: shank from the nut, then the fluted part.
pub(super) fn bars(bit: &Bit) -> [Bar; 2] {
    let flutes = bit.cutting_length.min(bit.stickout);
    let core = if bit.flutes >= 4 {
        FLUTE_CORE_MANY.value
    } else {
        FLUTE_CORE.value
    };
    [
        Bar {
            length: bit.stickout - flutes,
            diameter: bit.shank,
        },
        Bar {
            length: flutes,
            diameter: bit.cutting_diameter() * core,
        },
    ]
}

pub(super) fn modulus(bit: &Bit) -> f64 {
    match bit.material {
        BitMaterial::Carbide => MODULUS_CARBIDE.value,
        BitMaterial::Steel => MODULUS_STEEL.value,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bar(length: f64, diameter: f64) -> Bar {
        Bar {
            length: Length::from_mm(length),
            diameter: Length::from_mm(diameter),
        }
    }

    #[test]
    fn a_force_short_of_the_end_follows_the_standard_formula() {
        // F a^2 (3 L - a) / (6 E I), beam tables (from memory).
        let (force, whole, at, modulus) = (20.0, 30.0, 24.0, 600_000.0);
        let bars = [bar(whole, 5.0)];
        let expected =
            force * at * at * (3.0 * whole - at) / (6.0 * modulus * inertia(Length::from_mm(5.0)));
        let computed = deflection(&bars, force, Length::from_mm(at), modulus);
        assert!((computed.as_mm() - expected).abs() < 1e-12);
    }

    #[test]
    fn a_bar_in_two_pieces_bends_like_one() {
        let whole = deflection(&[bar(30.0, 4.0)], 10.0, Length::from_mm(28.0), 2e5);
        let pieces = [bar(9.0, 4.0), bar(21.0, 4.0)];
        let split = deflection(&pieces, 10.0, Length::from_mm(28.0), 2e5);
        assert!((whole.as_mm() - split.as_mm()).abs() < 1e-12);
    }

    #[test]
    fn a_quarter_longer_bends_nearly_twice() {
        // Length cubed: + 25 % is + 95 %.
        let ratio = deflection(&[bar(25.0, 4.0)], 1.0, Length::from_mm(25.0), 2e5)
            / deflection(&[bar(20.0, 4.0)], 1.0, Length::from_mm(20.0), 2e5);
        assert!((ratio - 1.953_125).abs() < 1e-9);
    }
}
