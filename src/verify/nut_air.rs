//! `nut-clearance`: how near the nut comes to wood that it does not touch.

use crate::report::CheckId;
use crate::verify::material::engagement::Stroke;
use crate::verify::told::Air;
use crate::verify::verifier::Verifier;

/// Less air than this between nut and wood is told, in millimetres: a bit slips
/// in its collet, chips pack (common practice, no source).
const LEAST_AIR: f64 = 3.0;

impl Verifier<'_> {
    /// Notes the least air under the nut; what touches is told as such.
    pub(crate) fn note_air(&mut self, stroke: &Stroke) {
        let least = stroke.air_under_nut;
        let before = self.run.told.air.map_or(LEAST_AIR, |air| air.least);
        if let Some(least) = least.filter(|least| *least >= 0.0 && *least < before - 1e-9) {
            self.run.told.air = Some(Air {
                least,
                board: stroke.board,
                line: self.run.line,
            });
        }
    }

    /// Tells of it once.
    pub(crate) fn tell_air(&mut self) {
        let (Some(air), Some(shop)) = (self.run.told.air.take(), &self.shop) else {
            return;
        };
        let part = shop.scene.boards[air.board].name;
        let (least, wanted) = (self.ruler.both(air.least, 2), self.ruler.limit(LEAST_AIR));
        let end = std::mem::replace(&mut self.run.line, air.line);
        self.warn(CheckId::NutClearance, || {
            format!(
                "the nut comes within {least} of the {part}'s wood; chuck the bit longer, for \
                 {wanted} and more"
            )
        });
        self.run.line = end;
    }
}
