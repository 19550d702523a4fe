//! `nut-clearance`: shank, nut and nose keep clear of wood and fixture, and the
//! nut well clear of wood.

use crate::report::CheckId;
use crate::rs274::event::Path;
use crate::verify::checks::check::{Check, End, Heard, Now, Struck, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::material::contact::{Contacts, Obstacle};
use crate::verify::material::probe::{BESIDE, Probed};
use crate::verify::scene::SolidKind;

/// Less air than this between nut and wood is told, in millimetres: a bit slips
/// in its collet, chips pack (common practice, no source).
const LEAST_AIR: f64 = 3.0;

#[derive(Debug, Default)]
pub(crate) struct NutClearance {
    contacts: Contacts,
    /// The least air under the nut, where that is little.
    air: Option<Air>,
}

/// The least air under the nut so far, and where. Millimetres.
#[derive(Clone, Copy, Debug)]
struct Air {
    least: f64,
    board: usize,
    line: u64,
}

impl Check for NutClearance {
    const ID: CheckId = CheckId::NutClearance;

    fn begin(&mut self) {
        *self = Self::default();
    }

    fn event(&mut self, heard: &Heard<'_>, now: Now<'_>, _found: &mut Found<'_>) {
        if let (Some(motion), Some(segment)) = (heard.motion(), heard.segment)
            && let (Some(shop), Some(tool)) = (now.shop, &now.run.tool)
        {
            let way = (segment, motion.path == Path::Rapid);
            let (line, kind) = (now.run.line, SolidKind::Fixture);
            self.contacts
                .meet(line, &shop.scene, kind, way, &tool.turned);
        }
    }

    fn stroke(&mut self, struck: &Struck<'_>, now: Now<'_>, _found: &mut Found<'_>) {
        let Some(shop) = now.shop else {
            return;
        };
        let stroke = struck.stroke;
        for probe in &stroke.probes {
            let Probed::Part(number) = probe.what else {
                continue;
            };
            if probe.standing > BESIDE {
                let place = stroke.site.map(|number| shop.scene.sites[number].feature);
                let obstacle = Obstacle::Wood(shop.scene.boards[stroke.board].name, place);
                let part = struck.tool.turned[number].name;
                let line = now.run.line;
                self.contacts.touch(line, obstacle, part, probe.standing);
            }
        }
        // What touches is told as such.
        let before = self.air.map_or(LEAST_AIR, |air| air.least);
        let least = stroke.air_under_nut;
        if let Some(least) = least.filter(|least| *least >= 0.0 && *least < before - 1e-9) {
            self.air = Some(Air {
                least,
                board: stroke.board,
                line: now.run.line,
            });
        }
    }

    fn end(&mut self, _end: End, now: Now<'_>, found: &mut Found<'_>) {
        self.contacts.tell(now.ruler, found);
        let (Some(air), Some(shop)) = (self.air.take(), now.shop) else {
            return;
        };
        let part = shop.scene.boards[air.board].name;
        let (least, wanted) = (now.ruler.both(air.least, 2), now.ruler.limit(LEAST_AIR));
        found.warn_at(air.line, || {
            format!(
                "the nut comes within {least} of the {part}'s wood; chuck the bit longer, for \
                 {wanted} and more"
            )
        });
    }

    fn answer(&mut self, whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::passes(match whole.machine.nose_diameter {
            Some(_) => "shank, nut and nose keep clear of wood and fixture",
            None => {
                "shank and nut keep clear of wood and fixture; the nose is unknown without `nose`"
            }
        })
    }
}
