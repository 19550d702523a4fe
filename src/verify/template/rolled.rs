//! The pocket that a collar rolled in a hole lets the bit cut, against the wanted one.

use crate::geometry::{Point, RoundedRectangle};
use crate::job::template::Template;
use crate::job::{Pocket, Step};
use crate::units::Length;
use crate::verify::template::pose::Pose;
use crate::verify::template::rolling::{FAR, Run};
use crate::verify::template::told::Told;
use crate::verify::template::wanted::{Sample, Side, samples};

/// How far the edge of a pocket may lie from its wanted place, in millimetres (contract).
pub(crate) const MATCH: f64 = 0.05;

/// What edges and marks are found to, in millimetres.
pub(crate) const ROUNDED: f64 = 0.005;

/// Spacing of the places in a pocket that the collar must come to, in millimetres.
const INSIDE: f64 = 1.0;

/// One step as it comes out.
#[derive(Clone, Debug)]
pub(crate) struct Rolled {
    pub(crate) hinge: usize,
    pub(crate) step: usize,
    pub(crate) wanted: Step,
    samples: Vec<Sample>,
    told: Told,
    /// At each worst place of the pieces, for each sample: how far outside its
    /// wanted place the edge lies; `None` where the collar does not come near.
    edges: Vec<Vec<Option<f64>>>,
    /// Where in the wanted pocket the collar does not come though it should, on the plate.
    pub(crate) stopped: Option<[f64; 2]>,
}

/// How far an edge is off and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Miss {
    pub(crate) side: Side,
    /// Outward positive; [`FAR`] stands for as much and more.
    pub(crate) by: f64,
    /// What is allowed there.
    pub(crate) limit: f64,
    /// Whether the opposite edge is off the same way: the pocket lies aside.
    pub(crate) is_aside: bool,
    /// Whether it was measured straight along u or v.
    is_square: bool,
}

impl Miss {
    /// How far past what was told and rounding.
    pub(crate) fn beyond_told(&self) -> f64 {
        self.by.abs() - self.limit + MATCH
    }

    fn is_too_much(&self) -> bool {
        self.beyond_told() > MATCH + ROUNDED
    }

    pub(crate) fn words(&self) -> &'static str {
        let is_larger = self.by > 0.0;
        if !self.is_aside {
            return self.side.words(is_larger);
        }
        match (self.side, is_larger) {
            (Side::GreaterU, true) | (Side::SmallerU, false) => "too far towards the greater u",
            (Side::SmallerU, true) | (Side::GreaterU, false) => "too far towards the smaller u",
            (Side::Inside, true) | (Side::Outside, false) => "too far from the outside face",
            (Side::Outside, true) | (Side::Inside, false) => "too near to the outside face",
        }
    }
}

impl Rolled {
    /// Step `index` of a pocket, cut with the plate in `pose`.
    pub(crate) fn of(
        template: &Template,
        (pocket, index): (&Pocket, usize),
        pose: Pose,
        runs: &[Run<'_>],
    ) -> Option<Self> {
        let wanted = *pocket.steps.get(index)?;
        let pieces = runs.first().map_or(0, |run| run.pieces.len());
        let told = Told::of(template, &wanted, pieces);
        let samples = samples(&wanted);
        let bit = template.bit.cutting_diameter().as_mm() / 2.0;
        let off = pose.bit_off(template);
        let collar_at = |at: [f64; 2], inward: [f64; 2]| {
            let [x, y] = pose.to_plate(at[0], pocket.center.y + at[1]);
            [x - inward[0] * bit - off[0], y - inward[1] * bit - off[1]]
        };
        let edge = |run: &Run<'_>| {
            let each = samples.iter().map(|sample| {
                let outward = pose.turn(sample.outward);
                run.reach(collar_at(sample.at, outward), outward, bit)
            });
            each.collect()
        };
        let inside = places(&wanted, bit + MATCH + told.inward());
        let mut inside = inside.into_iter().map(|at| collar_at(at, [0.0; 2]));
        let stopped = inside.find(|&middle| !runs.iter().all(|run| run.goes(middle)));
        Some(Self {
            hinge: pocket.hinge,
            step: index + 1,
            wanted,
            edges: runs.iter().map(edge).collect(),
            samples,
            told,
            stopped,
        })
    }

    /// The worst edge, all places of the pieces taken together.
    pub(crate) fn worst(&self) -> Option<Miss> {
        self.misses().reduce(worse)
    }

    /// Where an edge is off by too much: straight along u or v if there too, since
    /// a slanting ray meets an edge that lies aside further off than it lies.
    pub(crate) fn fault(&self) -> Option<Miss> {
        let faults = || self.misses().filter(Miss::is_too_much);
        let square = faults().filter(|miss| miss.is_square).reduce(worse);
        let fault = square.or_else(|| faults().reduce(worse))?;
        let is_aside =
            faults().any(|miss| miss.side == fault.side.opposite() && miss.by * fault.by < 0.0);
        Some(Miss { is_aside, ..fault })
    }

    fn misses(&self) -> impl Iterator<Item = Miss> {
        self.edges.iter().flat_map(|edge| {
            let each = self.samples.iter().zip(edge);
            each.map(|(sample, &by)| self.miss(sample, by))
        })
    }

    fn miss(&self, sample: &Sample, by: Option<f64>) -> Miss {
        let by = by.unwrap_or(-FAR);
        let told = if by > 0.0 {
            self.told.more(sample)
        } else {
            self.told.less(sample)
        };
        Miss {
            side: sample.side(),
            by,
            limit: MATCH + told,
            is_aside: false,
            is_square: sample.is_square(),
        }
    }

    /// The worst of this pocket's edge beyond the other's when both are folded
    /// onto each other; of two that are wanted alike.
    pub(crate) fn against(&self, other: &Self) -> Option<Miss> {
        let is_alike = self.samples.len() == other.samples.len();
        let pairs = self.edges.iter().zip(&other.edges).filter(|_| is_alike);
        let misses = pairs.flat_map(|(one, other)| {
            let each = self.samples.iter().zip(one.iter().zip(other));
            each.filter_map(|(sample, (one, other))| {
                Some(Miss {
                    side: sample.side(),
                    by: (*one)? - (*other)?,
                    limit: MATCH + self.told.more(sample) + self.told.less(sample),
                    is_aside: false,
                    is_square: sample.is_square(),
                })
            })
        });
        misses.reduce(worse).filter(Miss::is_too_much)
    }
}

fn worse(one: Miss, other: Miss) -> Miss {
    if other.beyond_told() > one.beyond_told() {
        other
    } else {
        one
    }
}

/// Places of a step, from the pocket's centre, at least `within` from its edge.
fn places(step: &Step, within: f64) -> Vec<[f64; 2]> {
    let shift = step.shift.as_mm();
    let center = Point::from_mm(shift, 0.0);
    let outline = RoundedRectangle::new(center, step.length, step.width, step.corner);
    let half = [outline.half_x - within, outline.half_y - within];
    let mut places = Vec::new();
    for v in spread(half[1]) {
        for u in spread(half[0]) {
            let at = Point::from_mm(shift + u, v);
            if outline.signed_distance(at) <= Length::from_mm(-within) {
                places.push([at.x, at.y]);
            }
        }
    }
    places
}

/// From -half to half.
fn spread(half: f64) -> impl Iterator<Item = f64> + Clone {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let steps = (2.0 * half / INSIDE).clamp(0.0, 1e3).ceil() as u32;
    let count = if half < 0.0 { 0 } else { steps + 1 };
    (0..count).map(move |index| {
        if steps == 0 {
            0.0
        } else {
            half * (2.0 * f64::from(index) / f64::from(steps) - 1.0)
        }
    })
}
