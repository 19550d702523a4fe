//! `wall-left`: wood left beside pockets, holes and screws, and lead holes of
//! the right size.

use crate::job::{Part, Pocket};
use crate::report::CheckId;
use crate::shop::wood::Family;
use crate::units::ruler::Ruler;
use crate::verify::checks::check::{Check, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::scene::Scene;

/// Lead hole as a share of the screw's root: softwood 70 %, hardwood 90 %
/// (Canadian Wood Council, read first-hand). Sheet goods are taken as hard.
const LEAD_SOFT: f64 = 0.7;
const LEAD_HARD: f64 = 0.9;

/// A lead hole this share of the root off is of the wrong size (common
/// practice, no source: drills come in steps of 0.5 mm and 1/64 in).
const LEAD_SLACK: f64 = 0.2;

#[derive(Debug, Default)]
pub(crate) struct WallLeft;

impl Check for WallLeft {
    const ID: CheckId = CheckId::WallLeft;

    fn answer(&mut self, whole: &Whole<'_>, found: &mut Found<'_>) -> Answer {
        if let Some(shop) = whole.shop {
            let scene = Scene::new(shop.job);
            for (part, board) in shop.job.parts.iter().zip(&scene.boards) {
                let sites = scene.sites[board.sites.clone()].iter();
                let of_this_run = sites.filter(|site| site.allowed > 0);
                let pockets = of_this_run.filter_map(|site| part.pocket(site.hinge()));
                let wrong = pockets.flat_map(|pocket| wrong_lead_holes(part, pocket));
                tell_lead_holes(part, wrong.collect(), whole.ruler, found);
            }
        }
        match whole.tell_wood(Self::ID, found) {
            Some([least, wanted]) => Answer::Passes(format!(
                "at least {least} of wood beside every pocket, wanted {wanted}"
            )),
            None => Answer::passes("nothing is cut that wants wood left beside it"),
        }
    }
}

/// A drilled hole that is no lead hole for the screw that goes into it.
#[derive(Clone, Copy, PartialEq)]
struct WrongLeadHole {
    diameter_mm: f64,
    root_mm: f64,
    wanted_mm: f64,
}

fn wrong_lead_holes(part: &Part, pocket: &Pocket) -> impl Iterator<Item = WrongLeadHole> {
    let share = match part.wood.family {
        Family::Softwood => LEAD_SOFT,
        Family::Hardwood | Family::Plywood | Family::Fibreboard => LEAD_HARD,
    };
    pocket.holes.iter().filter_map(move |hole| {
        let mut screws = pocket.screws.iter();
        let screw = screws.find(|screw| screw.center.distance(hole.center).as_mm() < 0.01)?;
        let found = WrongLeadHole {
            diameter_mm: hole.diameter.as_mm(),
            root_mm: screw.root.as_mm(),
            wanted_mm: share * screw.root.as_mm(),
        };
        let off = (found.diameter_mm - found.wanted_mm).abs();
        (off > LEAD_SLACK * found.root_mm).then_some(found)
    })
}

/// One finding for all holes of a part that are alike.
fn tell_lead_holes(
    part: &Part,
    mut wrong: Vec<WrongLeadHole>,
    ruler: Ruler,
    found: &mut Found<'_>,
) {
    while let Some(&first) = wrong.first() {
        let before = wrong.len();
        wrong.retain(|other| *other != first);
        let holes = before - wrong.len();
        found.warn(|| {
            format!(
                "lead hole of {} in the {}, {holes} times: a screw with a root of {} wants {}",
                ruler.both(first.diameter_mm, 2),
                part.name,
                ruler.one(first.root_mm, 2),
                ruler.one(first.wanted_mm, 2)
            )
        });
    }
}
