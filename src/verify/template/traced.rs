//! A plate as the text cuts it.

use crate::geometry::RoundedRectangle;
use crate::job::template::{Insert, Opening, Template};
use crate::job::{Job, Part, PartName, Plate, PocketKind};
use crate::verify::template::hole::{Hole, Piece};
use crate::verify::template::marks;
use crate::verify::template::moves::{PlateMoves, Window};
use crate::verify::template::rolling::Run;

/// How far beyond a wanted opening what is cut through still belongs to it, in millimetres.
const ASTRAY: f64 = 4.0;

/// A kerf's floor may lie so much higher, in millimetres.
const SHALLOWER: f64 = 0.05;

/// What the programs make of the plate.
#[derive(Clone, Debug)]
pub(crate) struct Traced<'a> {
    pub(crate) template: &'a Template,
    /// The job whose pockets are wanted.
    pub(crate) of: &'a Job,
    pub(crate) plate: &'a Plate,
    /// One for each opening; `None` where none is cut through.
    pub(crate) holes: Vec<Option<Hole>>,
    /// One for each insert's piece; `None` where it is not cut free.
    pub(crate) inserts: Vec<Vec<Option<Piece>>>,
    /// One for each groove.
    pub(crate) grooves: Vec<Option<Window>>,
    /// For each opening X of all marks on its line.
    pub(crate) lines: Vec<Vec<f64>>,
}

impl<'a> Traced<'a> {
    /// `None` where the job is no template's.
    pub(crate) fn of(job: &'a Job, moves: &PlateMoves) -> Option<Self> {
        let plate = job.plate.as_ref()?;
        let template = plate.of.template.as_ref()?;
        let part = job.part(PartName::Plate)?;
        let thickness = template.plate_thickness.as_mm();
        let radius = job.bit.cutting_diameter().as_mm() / 2.0;
        let features = &plate.features;
        let hole = |opening: &Opening| {
            let window = about(opening).grown(ASTRAY);
            Hole::of(moves.as_deep_as(thickness, window))
        };
        let pieces = |insert: &Insert| {
            let pieces = insert.pieces.iter();
            pieces
                .map(|piece| {
                    let contours = &part.contours;
                    let contour = contours
                        .iter()
                        .find(|known| known.number == piece.contour)?;
                    let window = Window {
                        min: [piece.min.x, piece.min.y],
                        max: [piece.max.x, piece.max.y],
                    };
                    let depth = contour.depth.as_mm() - SHALLOWER;
                    let kerf = moves.as_deep_as(depth, window.grown(2.0 * radius));
                    Piece::of(contour, ring(part, window).as_ref(), kerf)
                })
                .collect()
        };
        let line = |opening: &Opening| marks::line(plate, part, template, opening, (moves, radius));
        let grooves = features.grooves.iter();
        Some(Self {
            template,
            of: &plate.of,
            plate,
            holes: features.openings.iter().map(hole).collect(),
            inserts: features.inserts.iter().map(pieces).collect(),
            grooves: grooves.map(|groove| marks::groove(groove, moves)).collect(),
            lines: features.openings.iter().map(line).collect(),
        })
    }

    /// The parts of the wanted box that the plate is for.
    pub(crate) fn parts(&self) -> impl Iterator<Item = &'a Part> {
        let names = [PartName::Box, PartName::Lid].into_iter();
        let of = self.of;
        names.filter_map(|name| of.part(name))
    }

    /// The opening that a step is cut in, by its place in the list, and the insert
    /// laid in it.
    pub(crate) fn opening_of(&self, step: usize) -> Option<(usize, Option<usize>)> {
        let features = &self.plate.features;
        let opening = |step: usize| {
            let mut openings = features.openings.iter();
            openings.position(|opening| opening.step == step)
        };
        if let Some(own) = opening(step) {
            return Some((own, None));
        }
        let mut inserts = features.inserts.iter();
        let insert = inserts.position(|insert| insert.step == step)?;
        Some((opening(1)?, Some(insert)))
    }

    /// X of the line that is laid on a hinge's mark for an opening: where its marks are,
    /// or else where the opening is.
    pub(crate) fn line_of(&self, opening: usize) -> Option<f64> {
        let marks = self.lines.get(opening)?;
        if marks.is_empty() {
            let hole = self.holes.get(opening)?.as_ref()?;
            let step = self.plate.features.openings.get(opening)?.step;
            return Some(hole.extent().middle(0) - shift_of(self.of, step));
        }
        #[allow(clippy::cast_precision_loss)]
        let count = marks.len() as f64;
        Some(marks.iter().sum::<f64>() / count)
    }

    /// Y of the edges of a part's grooves that look towards the opening.
    pub(crate) fn edges_of(&self, part: PartName) -> Vec<f64> {
        let is_for_box = part != PartName::Lid;
        let grooves = self.plate.features.grooves.iter().zip(&self.grooves);
        let own = grooves.filter(|(groove, _)| groove.is_for_box == is_for_box);
        own.filter_map(|(_, found)| found.as_ref())
            .map(|found| {
                if is_for_box {
                    found.max[1]
                } else {
                    found.min[1]
                }
            })
            .collect()
    }

    /// The collar in an opening, once for each worst place of the pieces in it.
    pub(crate) fn runs(&self, opening: usize, insert: Option<usize>) -> Vec<Run<'_>> {
        let Some(hole) = self.holes.get(opening).and_then(Option::as_ref) else {
            return Vec::new();
        };
        let run = |pieces| Run {
            hole,
            pieces,
            radius: self.template.collar.as_mm() / 2.0,
        };
        let Some(insert) = insert else {
            return vec![run(Vec::new())];
        };
        let pieces: Vec<&Piece> = self.inserts[insert].iter().flatten().collect();
        if pieces.len() < self.inserts[insert].len() || pieces.is_empty() {
            return Vec::new();
        }
        let place = |piece: &Piece, is_pushed_low: bool, aside: f64| {
            let (room, own) = (hole.extent(), piece.extent);
            let along = if is_pushed_low {
                room.min[0] - own.min[0]
            } else {
                room.max[0] - own.max[0]
            };
            let play = (room.size(1) - own.size(1)).max(0.0) / 2.0;
            [along, room.middle(1) - own.middle(1) + aside * play]
        };
        match pieces[..] {
            [ring] => [(true, -1.0), (true, 1.0), (false, -1.0), (false, 1.0)]
                .into_iter()
                .map(|(is_low, aside)| run(vec![(ring, place(ring, is_low, aside))]))
                .collect(),
            [low, .., high] => [-1.0, 1.0]
                .into_iter()
                .map(|aside| {
                    run(vec![
                        (low, place(low, true, aside)),
                        (high, place(high, false, aside)),
                    ])
                })
                .collect(),
            [] => Vec::new(),
        }
    }
}

/// What is cut out of a piece in that window, where it is a ring.
fn ring(part: &Part, window: Window) -> Option<RoundedRectangle> {
    let pockets = part.pockets.iter();
    let mut openings = pockets.filter(|pocket| pocket.kind == PocketKind::Opening);
    openings.find_map(|pocket| {
        let step = pocket.steps.first()?;
        let is_in_it = window.holds_point([pocket.center.x, pocket.center.y]);
        let outline = RoundedRectangle::new(pocket.center, step.length, step.width, step.corner);
        is_in_it.then_some(outline)
    })
}

/// The shift of a step, the same in all pockets that one plate is for.
fn shift_of(job: &Job, step: usize) -> f64 {
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    let mut steps = pockets.filter_map(|pocket| pocket.steps.get(step.checked_sub(1)?));
    steps.next().map_or(0.0, |step| step.shift.as_mm())
}

/// What an opening takes in.
pub(crate) fn about(opening: &Opening) -> Window {
    let half = [opening.length.as_mm() / 2.0, opening.width.as_mm() / 2.0];
    Window {
        min: [opening.center.x - half[0], opening.center.y - half[1]],
        max: [opening.center.x + half[0], opening.center.y + half[1]],
    }
}
