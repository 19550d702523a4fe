//! What wood screws hold, and whether it is enough for the lid.

use super::{Advice, Hold, Topic, hold};
use crate::job::{Closing, Job, Part, PartName, Pocket, ScrewInWood};
use crate::shop::wood::{Family, Wood};
use crate::units::{Length, text};

/// Newtons a square millimetre in one pound-force a square inch.
const PSI: f64 = 6.894_757e-3;

/// Ultimate withdrawal from side grain, p = 15 700 G² D L in pounds and
/// inches (Wood Handbook eq. 8-10b, second-hand; the metric printing has 108.25).
const ULTIMATE: f64 = 15_700.0 * PSI;

/// Allowable withdrawal from side grain, W = 2850 G² D for each inch of thread
/// (NDS 12.2.2, first-hand).
const ALLOWABLE: f64 = 2850.0 * PSI;

/// End grain holds this share of side grain where it does not split (Wood
/// Handbook ch. 8, from memory). No code lets it carry.
const END_GRAIN: f64 = 0.75;

/// A standard wood screw is threaded over two thirds of its length (first-hand).
const THREADED: f64 = 2.0 / 3.0;

/// Particleboard and fibreboard, P = K √D (L − D/3)^1.25 G² in newtons and
/// millimetres (Wood Handbook ch. 8, from memory).
const BOARD_FACE: f64 = 41.1;
const BOARD_EDGE: f64 = 31.8;

/// Standard gravity in metres a second squared.
const EARTH: f64 = 9.806_65;

/// Ultimate withdrawal from side grain in newtons: specific gravity, shank
/// diameter, length of thread in the wood.
pub fn ultimate_n(gravity: f64, shank: Length, thread: Length) -> f64 {
    ULTIMATE * gravity.powi(2) * shank.as_mm() * thread.as_mm()
}

/// Allowable withdrawal from side grain in newtons, for a load of ten years.
pub fn allowable_n(gravity: f64, shank: Length, thread: Length) -> f64 {
    ALLOWABLE * gravity.powi(2) * shank.as_mm() * thread.as_mm()
}

/// Ultimate withdrawal from the face or the edge of particleboard or
/// fibreboard, in newtons: `length` is that of the screw in the board.
pub fn board_ultimate_n(hold: Hold, gravity: f64, shank: Length, length: Length) -> f64 {
    let constant = match hold {
        Hold::BoardEdge => BOARD_EDGE,
        Hold::BoardFace | Hold::SideGrain | Hold::EndGrain => BOARD_FACE,
    };
    let (shank, length) = (shank.as_mm(), length.as_mm());
    constant * shank.sqrt() * (length - shank / 3.0).max(0.0).powf(1.25) * gravity.powi(2)
}

/// Ultimate over allowable, for boards that no code lists.
const SAFETY: f64 = 15_700.0 / 2850.0;

/// What one screw of the job may carry for long, in newtons.
fn capacity_n(screw: &ScrewInWood, wood: &Wood, hold: Hold) -> f64 {
    let in_wood = (screw.tip - screw.from).max(Length::ZERO);
    let thread = (screw.length * THREADED).min(in_wood);
    let (gravity, shank) = (wood.gravity, screw.diameter);
    match (hold, wood.family) {
        (Hold::BoardFace | Hold::BoardEdge, Family::Fibreboard) => {
            board_ultimate_n(hold, gravity, shank, in_wood) / SAFETY
        }
        (Hold::EndGrain, _) => allowable_n(gravity, shank, thread) * END_GRAIN,
        (Hold::SideGrain | Hold::BoardFace | Hold::BoardEdge, _) => {
            allowable_n(gravity, shank, thread)
        }
    }
}

pub(super) fn advise(job: &Job, advice: &mut Vec<Advice>) {
    let Some(lid) = job.part(PartName::Lid) else {
        return;
    };
    for part in &job.parts {
        let Some(pocket) = part.pockets.first() else {
            continue;
        };
        let hold = hold(part, job.closing);
        // The hinge is screwed in even where the job does not say with what.
        advice.extend(grain_warning(part, hold));
        if pocket.screws.is_empty() {
            continue;
        }
        advice.push(strength(job, lid, part, pocket, hold));
        advice.extend(edges(job, part, pocket));
    }
}

const LEVER: &str = "W = 2850 G² D lb per inch of thread, NDS 12.2.2, two thirds of the screw \
threaded; end grain 0.75 of it, Wood Handbook ch. 8, from memory; the lid held level, its weight \
times half its width over the lever of the leaf, a simple estimate of ours";

/// The lid held level by its hinges alone: the worst that a hand or a stay does.
fn strength(job: &Job, lid: &Part, part: &Part, pocket: &Pocket, hold: Hold) -> Advice {
    let hinges = part.pockets.len().max(1) as f64;
    let pull = pull_n(job, lid, pocket) / hinges;
    let holds = leaf_holds_n(part, pocket, hold);
    let share = 100.0 * pull / holds.max(1e-9);
    Advice {
        topic: Topic::Withdrawal,
        parts: vec![part.name],
        warns: pull > holds,
        text: format!(
            "the {} screws of a leaf may carry {} in {}; a lid of {} held level pulls {}, {share:.0} %",
            pocket.screws.len(),
            text::force(holds, job.units),
            match hold {
                Hold::SideGrain => "side grain",
                Hold::EndGrain => "end grain",
                Hold::BoardFace => "the board's face",
                Hold::BoardEdge => "the board's edge",
            },
            text::weight(lid_weight_kg(job, lid), job.units),
            text::force(pull, job.units),
        ),
        basis: LEVER,
    }
}

/// What the lid held level pulls at all its hinges together, in newtons.
fn pull_n(job: &Job, lid: &Part, pocket: &Pocket) -> f64 {
    let weight = lid_weight_kg(job, lid) * EARTH;
    let arm = reach(job, lid) / 2.0;
    weight * arm.as_mm() / lever(job, pocket).as_mm()
}

/// What the screws of one leaf may carry, in newtons.
fn leaf_holds_n(part: &Part, pocket: &Pocket, hold: Hold) -> f64 {
    let screws = pocket.screws.iter();
    screws
        .map(|screw| capacity_n(screw, &part.wood, hold))
        .sum()
}

/// How many leaves hold the lid in `part`; nothing where nothing is known of
/// their screws, or where they hold nothing.
pub(super) fn leaves_that_hold(job: &Job, lid: &Part, part: &Part) -> Option<usize> {
    let pocket = part.pockets.first()?;
    let holds = leaf_holds_n(part, pocket, hold(part, job.closing));
    let leaves = (pull_n(job, lid, pocket) / holds).ceil();
    (holds > 0.0 && leaves < 1e3).then_some(leaves as usize)
}

/// Weight of the lid as a solid board: more than one with walls weighs.
pub(super) fn lid_weight_kg(job: &Job, lid: &Part) -> f64 {
    let thickness = match job.closing {
        Closing::Overlay => lid.below,
        Closing::Inset => lid.across,
    };
    let volume = lid.length.as_mm() * reach(job, lid).as_mm() * thickness.as_mm();
    lid.wood.density() * volume * 1e-9
}

/// The lid, front to back.
fn reach(job: &Job, lid: &Part) -> Length {
    match job.closing {
        Closing::Overlay => lid.depth_for_drawing.unwrap_or(lid.across),
        Closing::Inset => lid.below,
    }
}

/// Between the rows of screws, or the width of the leaf where they stand in one row.
fn lever(job: &Job, pocket: &Pocket) -> Length {
    let across = pocket.screws.iter().map(|screw| screw.center.y().as_mm());
    let (least, most) = across.fold((f64::MAX, f64::MIN), |(least, most), at| {
        (least.min(at), most.max(at))
    });
    let rows = Length::from_mm((most - least).max(0.0));
    if rows > Length::from_mm(1.0) {
        rows
    } else {
        job.hinge.width
    }
}

fn grain_warning(part: &Part, hold: Hold) -> Option<Advice> {
    let (text, basis) = match (hold, part.wood.family) {
        (Hold::EndGrain, _) => (
            "the screws stand in end grain, which no code lets carry a load; use longer ones, or a cross dowel",
            "NDS 12.2, read first-hand",
        ),
        (Hold::BoardEdge, Family::Plywood) => (
            "the screws stand between the plies, which split apart; drill lead holes and use thin screws",
            "derived from the lie of the plies",
        ),
        (Hold::BoardEdge, _) => (
            "the screws stand in the edge of a fibreboard, which often does not hold them",
            "comparison of five plants, two of which missed the figure for edge screws, read first-hand",
        ),
        (Hold::SideGrain | Hold::BoardFace, _) => return None,
    };
    Some(Advice {
        topic: Topic::Withdrawal,
        parts: vec![part.name],
        warns: true,
        text: text.to_owned(),
        basis,
    })
}

const EDGE: &str = "2.5 D to the edge and 5 D to the end, else a lead hole of the hardwood size; common practice, no source";

/// Screws near the edge or the end of the part.
fn edges(job: &Job, part: &Part, pocket: &Pocket) -> Option<Advice> {
    let near = pocket.screws.iter().find(|screw| {
        let (u, v) = (screw.center.x(), screw.center.y());
        let edge = v.min(part.across - v);
        let end = u.min(part.length - u);
        edge < screw.diameter * 2.5 || end < screw.diameter * 5.0
    })?;
    let edge = near.center.y().min(part.across - near.center.y());
    Some(Advice {
        topic: Topic::EdgeDistance,
        parts: vec![part.name],
        warns: true,
        text: format!(
            "a screw {} thick stands {} from the edge; drill the lead hole as for hardwood",
            text::decimal_with_unit(near.diameter, job.units),
            text::decimal_with_unit(edge, job.units)
        ),
        basis: EDGE,
    })
}
