//! `bit-speed`, `edge-wear` and `chip-room`: whether the bit that takes wood is
//! fit for it, told once for each.

use crate::report::CheckId;
use crate::shop::bit::{Bit, BitKind};
use crate::units::{Length, text};
use crate::verify::verifier::Verifier;

/// From this wear on the edge wants sharpening soon.
const SOON: f64 = 0.8;

impl Verifier<'_> {
    pub(crate) fn check_bit_condition(&mut self, bit: &Bit, site: Option<usize>, depth: f64) {
        self.check_bit_speed(bit);
        self.check_edge_wear(bit);
        if let Some(site) = site {
            self.note_chip_room(bit, site, depth);
        }
    }

    fn check_bit_speed(&mut self, bit: &Bit) {
        let speed = self.spindle_speed();
        let rated = bit.rated_speed().as_rpm();
        if speed <= rated + 0.5 {
            return;
        }
        let key = (bit.name.clone(), speed.round() as u64);
        if self.run.told.speeds.contains(&key) {
            return;
        }
        self.run.told.speeds.push(key);
        let by = match (bit.rpm_max, bit.kind) {
            (Some(_), _) => "as the rack says",
            (None, BitKind::Drill) => "a drill in wood, as no `rpm_max` is given",
            (None, _) => "by its diameter, as no `rpm_max` is given",
        };
        let slowest = self.machine.spindle.slowest.as_rpm();
        let as_slow_as_it_goes = bit.kind == BitKind::Drill && speed <= slowest + 0.5;
        let name = bit.name.clone();
        if bit.rpm_max.is_none() && as_slow_as_it_goes {
            self.warn(CheckId::BitSpeed, || {
                format!(
                    "`{name}` turns at {speed:.0} rpm, as slowly as the spindle can; {rated:.0} is \
                     usual ({by}): short pecks, and let it cool"
                )
            });
        } else {
            self.fail(CheckId::BitSpeed, || {
                format!(
                    "`{name}` turns at {speed:.0} rpm, at most {rated:.0} ({by}); lower S, or set \
                     `rpm_max` to what is engraved"
                )
            });
        }
    }

    fn check_edge_wear(&mut self, bit: &Bit) {
        if bit.wear < SOON || self.run.told.edges.contains(&bit.name) {
            return;
        }
        self.run.told.edges.push(bit.name.clone());
        let (name, wear) = (bit.name.clone(), bit.wear);
        if wear >= 1.0 {
            self.fail(CheckId::EdgeWear, || {
                format!("`{name}` is worn out; sharpen or replace it, then set its `wear`")
            });
        } else {
            self.warn(CheckId::EdgeWear, || {
                format!("`{name}` is worn {wear:.2}; sharpen or replace it soon")
            });
        }
    }

    /// Notes how deep a bit that lifts no chips goes in a narrow step.
    fn note_chip_room(&mut self, bit: &Bit, number: usize, depth: f64) {
        let Some(shop) = &self.shop else {
            return;
        };
        // The step that the bit stands in: the shallowest that is so deep.
        let site = &shop.scene.sites[number];
        let mut steps = site.steps.iter();
        let step = steps.find(|step| step.depth >= depth - 0.02);
        let step = step.map(|step| 2.0 * step.outline.half_x.min(step.outline.half_y));
        let width = step.or(site.kerf.as_ref().map(|kerf| kerf.width));
        let packed = width
            .is_some_and(|width| bit.packs_chips(Length::from_mm(width), Length::from_mm(depth)));
        if packed {
            let diameter = bit.cutting_diameter().as_mm();
            self.run.told.chips(number, depth, &bit.name, diameter);
        }
    }

    /// Tells of each place where chips stay.
    pub(crate) fn tell_chip_room(&mut self) {
        for (number, stay) in std::mem::take(&mut self.run.told.chips) {
            let Some(shop) = &self.shop else {
                return;
            };
            let site = &shop.scene.sites[number];
            let name = site.feature.name(shop.scene.boards[site.board].name);
            let times = text::tenths(stay.depth / stay.diameter);
            self.warn(CheckId::ChipRoom, || {
                format!(
                    "{name} is cut {times} bits deep and hardly wider than one by \
                     `{}`, which does not lift its chips; take an up-spiral, or clear the chips \
                     between passes",
                    stay.bit
                )
            });
        }
    }
}
