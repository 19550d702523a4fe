//! `flute-reach`: the cutting edge, or a thinner shank above it, is as long as
//! every pocket is deep; told once for each.

use crate::report::CheckId;
use crate::verify::checks::check::{Check, Now, Taking, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::scene::feature::Feature;
use crate::verify::scene::solid::TOUCH;

#[derive(Debug, Default)]
pub(crate) struct FluteReach {
    /// Sites that have been told of, and what is cut beside them all.
    told: Vec<Option<usize>>,
}

impl Check for FluteReach {
    const ID: CheckId = CheckId::FluteReach;

    fn begin(&mut self) {
        self.told.clear();
    }

    fn bite(&mut self, taking: &Taking<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let (bit, depth, site) = (&taking.tool.bit, taking.depth, taking.site);
        let (edge, shank) = (bit.cutting_length.as_mm(), bit.shank.as_mm());
        let reaches = depth <= edge + TOUCH || shank < bit.cutting_diameter().as_mm();
        let Some(shop) = now.shop.filter(|_| !reaches && !self.told.contains(&site)) else {
            return;
        };
        self.told.push(site);
        let board = shop.scene.boards[taking.board].name;
        let feature = site.map_or(Feature::Tick, |number| shop.scene.sites[number].feature);
        let (name, ruler) = (feature.name(board), now.ruler);
        found.fail(|| {
            format!(
                "{name} is cut {} deep with an edge of {} \
                 and a shank no thinner; take a longer bit or one with a thinner shank",
                ruler.both(depth, 2),
                ruler.one(edge, 2)
            )
        });
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::passes("the cutting edge is as long as every pocket is deep")
    }
}
