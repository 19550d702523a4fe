//! What the finishing pass is left, as far as the wood's record minds it.

use crate::job::Job;
use crate::replay::height_map::SLIVER;

/// Greatest and least distance between samples of the wood, in millimetres.
const COARSEST: f64 = 0.2;
const FINEST: f64 = 0.05;

/// Samples across the bit, at least.
const ACROSS_BIT: f64 = 16.0;

/// Millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Allowance {
    /// Width of the wood at a wall that counts as the finishing pass's (contract).
    pub(crate) band: f64,
    /// Distance between samples of the wood. A whole number of them fills the
    /// strip that the finishing pass takes, so that however the samples lie, a
    /// straight strip holds as many rows as it is wide.
    pub(crate) cell: f64,
}

impl Allowance {
    pub(crate) fn of(job: &Job) -> Self {
        Self::new(job.fit.finish.as_mm(), job.bit.cutting_diameter().as_mm())
    }

    fn new(finish: f64, diameter: f64) -> Self {
        let coarsest = (diameter / ACROSS_BIT).clamp(FINEST, COARSEST);
        let strip = finish - SLIVER;
        let cell = if strip > FINEST {
            strip / (strip / coarsest).ceil()
        } else {
            coarsest
        };
        Self {
            band: std::f64::consts::SQRT_2 * finish + 0.05,
            cell: cell.max(FINEST),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn cell(finish: f64, diameter: f64) -> f64 {
        Allowance::new(finish, diameter).cell
    }

    /// √2 × 0.2 + 0.05.
    #[test]
    fn the_band_is_the_allowance_across_a_corner_and_a_little() {
        assert!((Allowance::new(0.2, 6.0).band - 0.332_842_712).abs() < 1e-9);
    }

    #[test]
    fn a_whole_number_of_samples_fills_the_strip() {
        for finish in [0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5] {
            let rows = (finish - SLIVER) / cell(finish, 6.0);
            assert!((rows - rows.round()).abs() < 1e-9, "{finish}: {rows}");
        }
    }

    #[test]
    fn samples_are_neither_coarse_for_the_bit_nor_too_many() {
        assert_eq!(cell(0.0, 6.0), 0.2);
        assert_eq!(cell(0.0, 1.6), 0.1);
        assert_eq!(cell(0.0, 0.1), 0.05);
        assert!((cell(0.2, 6.0) - 0.185).abs() < 1e-12);
        assert!((cell(0.2, 1.6) - 0.0925).abs() < 1e-12);
    }
}
