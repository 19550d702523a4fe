//! `chip-room`: chips find a way out of every pocket, told once for each.

use std::collections::BTreeMap;

use crate::report::CheckId;
use crate::units::{Length, text};
use crate::verify::checks::check::{Check, End, Now, Taking, Whole};
use crate::verify::findings::{Answer, Found};

#[derive(Debug, Default)]
pub(crate) struct ChipRoom {
    /// Sites that chips stay in.
    stay: BTreeMap<usize, ChipsStay>,
}

/// How deep a bit that lifts no chips goes. Millimetres.
#[derive(Debug, Default)]
struct ChipsStay {
    depth: f64,
    diameter: f64,
    bit: String,
}

impl Check for ChipRoom {
    const ID: CheckId = CheckId::ChipRoom;

    fn begin(&mut self) {
        self.stay.clear();
    }

    /// Notes how deep a bit that lifts no chips goes in a narrow step.
    fn bite(&mut self, taking: &Taking<'_>, now: Now<'_>, _found: &mut Found<'_>) {
        let (Some(shop), Some(number)) = (now.shop, taking.site) else {
            return;
        };
        let (bit, depth) = (&taking.tool.bit, taking.depth);
        // The step that the bit stands in: the shallowest that is so deep.
        let site = &shop.scene.sites[number];
        let mut steps = site.steps.iter();
        let step = steps.find(|step| step.depth >= depth - 0.02);
        let step = step.map(|step| 2.0 * step.outline.half_x.min(step.outline.half_y));
        let width = step.or(site.kerf.as_ref().map(|kerf| kerf.width));
        let packed = width
            .is_some_and(|width| bit.packs_chips(Length::from_mm(width), Length::from_mm(depth)));
        if !packed {
            return;
        }
        let stay = self.stay.entry(number).or_default();
        if depth > stay.depth {
            *stay = ChipsStay {
                depth,
                diameter: bit.cutting_diameter().as_mm(),
                bit: bit.name.clone(),
            };
        }
    }

    fn end(&mut self, _end: End, now: Now<'_>, found: &mut Found<'_>) {
        let Some(shop) = now.shop else {
            return;
        };
        for (number, stay) in std::mem::take(&mut self.stay) {
            let site = &shop.scene.sites[number];
            let name = site.feature.name(shop.scene.boards[site.board].name);
            let times = text::tenths(stay.depth / stay.diameter);
            found.warn(|| {
                format!(
                    "{name} is cut {times} bits deep and hardly wider than one by \
                     `{}`, which does not lift its chips; take an up-spiral, or clear the chips \
                     between passes",
                    stay.bit
                )
            });
        }
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::passes("chips find a way out of every pocket")
    }
}
