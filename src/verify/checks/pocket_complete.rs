//! `pocket-complete`: everything that is wanted is cut, and every hole drilled.

use crate::report::CheckId;
use crate::units::ruler::Ruler;
use crate::verify::checks::check::{Check, Place, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::material::pocket_stock::PocketStock;
use crate::verify::material::residual::BAND;
use crate::verify::scene::Site;

/// Wood left that is no fault, in millimetres (contract).
const LEFT: f64 = 0.02;

#[derive(Debug, Default)]
pub(crate) struct PocketComplete {
    /// Wood left that could have been reached, in millimetres.
    most: f64,
}

impl Check for PocketComplete {
    const ID: CheckId = CheckId::PocketComplete;

    fn place(&mut self, place: &Place<'_>, found: &mut Found<'_>) {
        let Place { shop, ruler, left } = *place;
        let mut holes = shop.grounds.iter().flat_map(|ground| &ground.drilled);
        let drilled = holes.any(|&depth| depth > 0.0);
        let sites = shop.scene.sites.iter().zip(&shop.grounds);
        for ((site, ground), &left) in sites.zip(left) {
            if site.allowed == 0 {
                continue;
            }
            self.most = self.most.max(left);
            let name = site.feature.name(shop.scene.boards[site.board].name);
            if left > LEFT {
                found.fail(|| {
                    format!(
                        "{} of wood left in {name}, at most {} more than {} from the wall; \
                         complete the passes",
                        ruler.both(left, 3),
                        ruler.limit(LEFT),
                        ruler.limit(BAND)
                    )
                });
            }
            check_holes((site, ground), &name, drilled, ruler, found);
        }
    }

    fn answer(&mut self, whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::Passes(format!(
            "at most {} of wood left, allowed {}",
            whole.ruler.one(self.most, 3),
            whole.ruler.limit(LEFT)
        ))
    }
}

/// Holes that nobody has begun are another run's; once one is drilled all are due.
fn check_holes(
    (site, ground): (&Site, &PocketStock),
    name: &str,
    drilled: bool,
    ruler: Ruler,
    found: &mut Found<'_>,
) {
    for (hole, &depth) in site.holes.iter().zip(&ground.drilled) {
        let left = hole.tip - depth;
        if left <= LEFT {
            continue;
        }
        let short = ruler.both(left, 3);
        let message = || format!("a screw hole of {name} is {short} short; drill it to its depth");
        if drilled {
            found.fail(message);
        } else {
            found.warn(message);
        }
    }
}
