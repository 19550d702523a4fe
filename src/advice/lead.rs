//! Lead holes for the hinge's screws.

use super::{Advice, Topic};
use crate::job::{Job, Part, ScrewInWood};
use crate::shop::wood::Family;
use crate::units::fraction::Fraction;
use crate::units::{Length, text};

/// Share of the root diameter, for withdrawal (code commentary and a timber
/// council's figure, both first-hand). Sheet goods are taken as hard.
fn share(family: Family) -> f64 {
    match family {
        Family::Softwood => 0.7,
        Family::Hardwood | Family::Plywood | Family::Fibreboard => 0.9,
    }
}

const BASIS: &str = "70 % of the root diameter in softwood, 90 % in hardwood, commentary to the \
NDS and a timber council's figure; root of a cut thread by the public table, else two thirds of \
the shank; within a fifth of the root, drills being what they are";

/// Drills come in steps; within a fifth of the root a hole is right.
const SLACK: f64 = 0.2;

pub(super) fn advise(job: &Job, advice: &mut Vec<Advice>) {
    for part in &job.parts {
        let mut said: Vec<String> = Vec::new();
        for (text, warns) in screws(job, part) {
            if !said.contains(&text) {
                advice.push(Advice {
                    topic: Topic::LeadHole,
                    parts: vec![part.name],
                    warns,
                    text: text.clone(),
                    basis: BASIS,
                });
                said.push(text);
            }
        }
    }
}

fn screws(job: &Job, part: &Part) -> Vec<(String, bool)> {
    let Some(pocket) = part.pockets.first() else {
        return Vec::new();
    };
    let show = |length| text::decimal_with_unit(length, job.units);
    let line = |screw: &ScrewInWood| {
        let right = diameter(screw.root, part.wood.family);
        let found = job.pilot.as_ref().map(|pilot| pilot.bit.cutting_diameter());
        let mut text = format!(
            "lead hole for a screw {} thick in {}: {}, nearest {} in",
            show(screw.diameter),
            part.wood.name,
            show(right),
            Fraction::nearest(right)
        );
        let warns = found.is_some_and(|found| (found - right).abs() > screw.root * SLACK);
        if let Some(found) = found.filter(|_| warns) {
            text.push_str(&format!("; the drill is {}", show(found)));
        }
        (text, warns)
    };
    pocket.screws.iter().map(line).collect()
}

/// The lead hole for a root diameter in a wood.
pub(super) fn diameter(root: Length, family: Family) -> Length {
    root * share(family)
}
