//! What speaks against a hinge in a box, in words with the figures.

use super::suitability::Suitability;
use crate::advice::{self, Topic};
use crate::job::{Job, Part, PartName};
use crate::report::WoodLeft;
use crate::units::{Length, Units, text};
use crate::verify::{self, About, Remaining};

/// All that does: wood, then the opening, then screws and count.
pub(super) fn of(job: &Job) -> Vec<(Suitability, String)> {
    let mut told: Vec<(PartName, About)> = Vec::new();
    let mut against = Vec::new();
    // The least comes first, and one pocket speaks for all of its part.
    for remaining in verify::remaining(job) {
        let kind = (remaining.part, remaining.about);
        let suitability = Suitability::of(remaining.verdict);
        if suitability != Suitability::Suits && !told.contains(&kind) {
            told.push(kind);
            against.push((suitability, words(job, &remaining)));
        }
    }
    if let Some(opening) = verify::opening(job)
        && !opening.is_flat()
    {
        let show = |length| bare(length, job.units);
        let words = format!(
            "opens flat with the leaves {} apart, here they are {} {}: the lid will not open flat",
            show(opening.flat),
            show(opening.apart),
            job.units
        );
        against.push((Suitability::Tight, words));
    }
    let advice = advice::of(job).into_iter();
    let topics = [Topic::Withdrawal, Topic::EdgeDistance, Topic::HingeCount];
    let warnings = advice.filter(|advice| advice.warns && topics.contains(&advice.topic));
    against.extend(warnings.map(|advice| (Suitability::Tight, advice.text)));
    against
}

/// `12.4 deep leaves 1.6 under the lid, wanted 3 mm`.
fn words(job: &Job, remaining: &Remaining) -> String {
    let part = job.part(remaining.part);
    let pocket = part.and_then(|part| part.pockets.first());
    let (Some(part), Some(pocket)) = (part, pocket) else {
        return remaining.words.clone();
    };
    let show = |length| bare(length, job.units);
    let most = |of: fn(&crate::job::Step) -> Length| {
        let figures = pocket.steps.iter().map(of);
        show(figures.fold(Length::ZERO, Length::max))
    };
    let faces = job.closing.faces(part.name);
    let (cause, place) = match remaining.about {
        About::Floor => (
            format!("{} deep", most(|step| step.depth)),
            format!("the {}", part.name),
        ),
        About::Fence => (
            format!("a setback of {}", show(job.hinge.setback)),
            format!("the {} of the {}", faces.fence, part.name),
        ),
        About::Far => (
            format!(
                "{} wide at a setback of {}",
                most(|step| step.width),
                show(job.hinge.setback)
            ),
            format!("the {} of the {}", faces.far, part.name),
        ),
        About::End => (
            format!("{} long", most(|step| step.length)),
            format!("the end of the {}", part.name),
        ),
        About::Neighbours | About::Hole | About::Screw | About::HoleTip | About::ScrewTip => {
            return remaining.words.clone();
        }
    };
    if remaining.left < Length::ZERO {
        let past = show(remaining.left.abs());
        return format!("{cause} goes through {place} by {past} {}", job.units);
    }
    let wanted = show(job.fit.min_left);
    let left = show(remaining.left);
    let side = match remaining.about {
        About::Floor => "under",
        _ => "to",
    };
    format!(
        "{cause} leaves {left} {side} {place}, wanted {wanted} {}",
        job.units
    )
}

/// Without its unit, to a hundredth of a millimetre.
fn bare(length: Length, units: Units) -> String {
    let places = match units {
        Units::Millimetre => 1e2,
        Units::Inch => 1e4,
    };
    text::trimmed((length.as_units(units) * places).round() / places)
}

/// Wood left, the least of all pockets of both parts.
pub(super) fn left(job: &Job) -> Option<WoodLeft> {
    let around = |part: &Part| -> Vec<WoodLeft> {
        let pockets = part.pockets.iter();
        pockets
            .map(|pocket| verify::wood_left(part, pocket))
            .collect()
    };
    job.parts
        .iter()
        .flat_map(around)
        .reduce(|one, other| WoodLeft {
            outside: one.outside.min(other.outside),
            inside: one.inside.min(other.inside),
            below: one.below.min(other.below),
            end: one.end.min(other.end),
        })
}

/// The least of the four, in millimetres.
pub(super) fn least(left: WoodLeft) -> f64 {
    let all = [left.outside, left.inside, left.below, left.end];
    let least = all
        .into_iter()
        .fold(f64::INFINITY, |least, wood| least.min(wood.as_mm()));
    // Decimals that are alike are alike in binary too.
    (least * 1e6).round() / 1e6
}
