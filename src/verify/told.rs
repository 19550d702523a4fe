//! What has been told, or will be, of the bits of a program.

use std::collections::BTreeMap;

/// Kept so that each thing is told once.
#[derive(Debug, Default)]
pub(crate) struct Told {
    /// Bits by name and speed, in whole turns.
    pub(crate) speeds: Vec<(String, u64)>,
    /// Bits whose edge has been told of.
    pub(crate) edges: Vec<String>,
    /// Sites that chips stay in.
    pub(crate) chips: BTreeMap<usize, ChipsStay>,
    /// The least air under the nut, where that is little.
    pub(crate) air: Option<Air>,
}

/// How deep a bit that lifts no chips goes. Millimetres.
#[derive(Debug, Default)]
pub(crate) struct ChipsStay {
    pub(crate) depth: f64,
    pub(crate) diameter: f64,
    pub(crate) bit: String,
}

/// The least air under the nut so far, and where. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Air {
    pub(crate) least: f64,
    pub(crate) board: usize,
    pub(crate) line: u64,
}

impl Told {
    /// Notes the deepest place.
    pub(crate) fn chips(&mut self, site: usize, depth: f64, bit: &str, diameter: f64) {
        let stay = self.chips.entry(site).or_default();
        if depth > stay.depth {
            *stay = ChipsStay {
                depth,
                diameter,
                bit: bit.to_owned(),
            };
        }
    }
}
