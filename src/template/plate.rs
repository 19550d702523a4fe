//! What goes where on the plate and on the strip beside it.

use crate::geometry::{Point, RoundedRectangle};
use crate::job::contour::{self, Contour, Edge};
use crate::job::template::{Deep, Features, Groove, Insert, InsertPiece, Opening, Template};
use crate::job::{Job, PartName, Pocket, PocketKind, Step, Tick};
use crate::units::Length;

use super::insert::{self, Shape};
use super::opening;

/// Wood around every opening.
pub(super) const AROUND: f64 = 15.0;
/// Openings go this far into the board below.
pub(super) const INTO_BOARD: f64 = 0.5;
/// What stays under a piece until it is broken out.
pub(super) const SKIN: f64 = 0.5;
/// A batten stops this far short of an opening.
const SHORT_OF_OPENING: f64 = 3.0;
/// A groove stops this far short of the plate's edges.
const SHORT_OF_EDGE: f64 = 5.0;
/// A shorter length of batten guides nothing.
const SHORTEST_GROOVE: f64 = 20.0;
/// Wood between openings, so that the collar's wall does not spring.
const BETWEEN: f64 = 20.0;
/// Room for the saw between the plate and its strip.
const SAW: f64 = 5.0;
/// Wood between two kerfs, and outside the outermost.
const STRIP_WALL: f64 = 4.0;
/// Depth of lines and ticks: seen and felt.
const MARK_DEPTH: Length = Length::from_mm(0.3);
/// A line runs this far over an edge.
const OVER_EDGE: f64 = 1.0;
/// A sight hole of a bit that does not plunge is so many bits long.
const SIGHT_RUN: f64 = 3.0;
/// Wood between a sight hole and the line that runs on from it.
const BEYOND_HOLE: f64 = 3.0;
/// Wood between one tick and the next, and beside one.
const TICK_WALL: f64 = 0.5;
/// A tick's straight run beside the bit's own width, for a bit that does not plunge.
const TICK_RUN: f64 = 1.0;

/// Everything on the plate and its strip.
pub(super) struct Plan {
    pub(super) length: Length,
    pub(super) width: Length,
    pub(super) pockets: Vec<Pocket>,
    pub(super) ticks: Vec<Tick>,
    pub(super) contours: Vec<Contour>,
    pub(super) features: Features,
}

/// The plate while it is laid out. Millimetres.
struct Layout<'a> {
    job: &'a Job,
    template: &'a Template,
    /// Of the bit on the machine.
    cutter: f64,
    middle: Point,
    plan: Plan,
}

pub(super) fn arrange(job: &Job, template: &Template, steps: &[Step]) -> Plan {
    let middle = Point::new(template.plate_length / 2.0, template.plate_width / 2.0);
    let mut layout = Layout {
        job,
        template,
        cutter: job.bit.cutting_diameter().as_mm(),
        middle,
        plan: Plan {
            length: template.plate_length,
            width: template.plate_width,
            pockets: Vec::new(),
            ticks: Vec::new(),
            contours: Vec::new(),
            features: Features::default(),
        },
    };
    let inserts = layout.openings(steps);
    layout.grooves();
    layout.lines();
    layout.strip(inserts);
    layout.plan
}

/// A deeper step's pieces as they lie in the first opening.
struct Laid {
    step: usize,
    pieces: Vec<Vec<Edge>>,
    /// What they leave of it.
    leaves: Opening,
    is_ring: bool,
}

impl Layout<'_> {
    fn radius(&self) -> f64 {
        self.cutter / 2.0
    }

    /// Openings in a row about the plate's middle; what is to be laid into the first.
    fn openings(&mut self, steps: &[Step]) -> Vec<Laid> {
        let Some((first, deeper)) = steps.split_first() else {
            return Vec::new();
        };
        let opening = |number: usize, step: &Step| {
            let at = Point::from_mm((step.shift - first.shift).as_mm(), 0.0);
            opening::of(number, step, self.template, at)
        };
        let outer = opening(1, first);
        let mut row = vec![(outer, first)];
        let mut laid = Vec::new();
        let mut told = Vec::new();
        for (index, step) in deeper.iter().enumerate() {
            let number = index + 2;
            let own = opening(number, step);
            match self.laid(&outer, &own) {
                Some(pieces) => laid.push(pieces),
                None => {
                    if self.template.deep == Deep::Insert {
                        told.push(format!(
                            "step {number} has an opening of its own: an insert for it would fall apart"
                        ));
                    }
                    row.push((own, step));
                }
            }
        }
        let lengths = row.iter().map(|(opening, _)| opening.length.as_mm());
        let run = lengths.sum::<f64>() + BETWEEN * (row.len() - 1) as f64;
        let mut edge = self.middle.x - run / 2.0;
        let mut shift = Point::default();
        for (index, (own, step)) in row.into_iter().enumerate() {
            let center = Point::from_mm(edge + own.length.as_mm() / 2.0, self.middle.y);
            edge += own.length.as_mm() + BETWEEN;
            let own = Opening {
                center,
                mark: center.x() - step.shift,
                ..own
            };
            if index == 0 {
                shift = center;
            }
            told.extend(opening::told(step, &own, self.template, self.job.units));
            self.open(&own);
            self.plan.features.openings.push(own);
        }
        for step in &mut laid {
            for piece in &mut step.pieces {
                *piece = contour::moved(piece, [shift.x, shift.y]);
            }
            step.leaves.center = Point::from_mm(step.leaves.center.x + shift.x, shift.y);
            step.leaves.mark += shift.x();
        }
        self.plan.features.told = told;
        laid
    }

    fn laid(&self, outer: &Opening, own: &Opening) -> Option<Laid> {
        if self.template.deep == Deep::Opening {
            return None;
        }
        let outlines = [outer, own].map(opening::outline);
        let play = self.template.play.as_mm();
        let (pieces, is_ring) = match insert::shape(&outlines[0], &outlines[1], play) {
            Shape::Ends(pieces) => (pieces.to_vec(), false),
            Shape::Ring(outside) => (vec![outside], true),
            Shape::None => return None,
        };
        Some(Laid {
            step: own.step,
            pieces,
            leaves: *own,
            is_ring,
        })
    }

    /// Cuts an opening through.
    fn open(&mut self, opening: &Opening) {
        let outline = opening::outline(opening);
        self.through(PocketKind::Opening, &outline);
    }

    fn through(&mut self, kind: PocketKind, outline: &RoundedRectangle) {
        let depth = self.template.plate_thickness + Length::from_mm(INTO_BOARD);
        self.sink(kind, outline, depth);
    }

    fn sink(&mut self, kind: PocketKind, outline: &RoundedRectangle, depth: Length) {
        let mm = Length::from_mm;
        self.plan.pockets.push(Pocket {
            hinge: self.plan.pockets.len() + 1,
            kind,
            center: outline.center,
            steps: vec![Step {
                length: mm(2.0 * outline.half_x),
                width: mm(2.0 * outline.half_y),
                corner: mm(outline.corner),
                shift: Length::ZERO,
                depth,
            }],
            holes: Vec::new(),
            screws: Vec::new(),
        });
    }

    /// From the openings' middle line to the face of the batten for a part.
    fn to_batten(&self, part: PartName) -> f64 {
        let pocket = self.job.part(part).and_then(|part| part.pockets.first());
        let nominal = pocket.map_or(0.0, |pocket| pocket.center.y);
        nominal + (self.template.batten_off - self.template.off_centre[0]).as_mm()
    }

    /// For the box on the side of the smaller Y, for the lid on the other.
    fn grooves(&mut self) {
        let width = self.template.batten.width.as_mm();
        for (part, side) in [(PartName::Box, -1.0), (PartName::Lid, 1.0)] {
            let near = self.to_batten(part);
            let faces = [near, near + width].map(|v| self.middle.y + side * v);
            let (low, high) = (faces[0].min(faces[1]), faces[0].max(faces[1]));
            let mut lengths = vec![[
                SHORT_OF_EDGE,
                self.template.plate_length.as_mm() - SHORT_OF_EDGE,
            ]];
            for opening in &self.plan.features.openings {
                let half = [opening.length.as_mm() / 2.0, opening.width.as_mm() / 2.0];
                if near - half[1] >= SHORT_OF_OPENING {
                    continue;
                }
                let gap = [
                    opening.center.x - half[0] - SHORT_OF_OPENING,
                    opening.center.x + half[0] + SHORT_OF_OPENING,
                ];
                let around =
                    |[from, to]: [f64; 2]| [[from, to.min(gap[0])], [from.max(gap[1]), to]];
                lengths = lengths.into_iter().flat_map(around).collect();
                lengths.retain(|[from, to]| to > from);
            }
            lengths.retain(|[from, to]| to - from >= SHORTEST_GROOVE.max(2.0 * self.cutter));
            for [from, to] in lengths {
                let groove = Groove {
                    is_for_box: part == PartName::Box,
                    min: Point::from_mm(from, low),
                    max: Point::from_mm(to, high),
                    depth: self.template.batten.groove,
                };
                let mm = Length::from_mm;
                let center = Point::from_mm((from + to) / 2.0, (low + high) / 2.0);
                let outline =
                    RoundedRectangle::new(center, mm(to - from), mm(high - low), mm(self.radius()));
                self.sink(PocketKind::Groove, &outline, groove.depth);
                self.plan.features.grooves.push(groove);
            }
        }
    }

    /// A line along the openings and one across each, with a sight hole at both ends.
    fn lines(&mut self) {
        let openings = self.plan.features.openings.clone();
        let (Some(first), Some(last)) = (openings.first(), openings.last()) else {
            return;
        };
        let (length, width) = (
            self.template.plate_length.as_mm(),
            self.template.plate_width.as_mm(),
        );
        let y = self.middle.y;
        let low = first.center.x - first.length.as_mm() / 2.0;
        let high = last.center.x + last.length.as_mm() / 2.0;
        self.line([low, y], [0.0, y], AROUND);
        self.line([high, y], [length, y], AROUND);
        let batten = self.template.batten.width.as_mm();
        for opening in &openings {
            let x = opening.mark.as_mm();
            let half = opening.width.as_mm() / 2.0;
            for (part, side, edge) in [(PartName::Box, -1.0, 0.0), (PartName::Lid, 1.0, width)] {
                let beyond_groove = self.to_batten(part) + batten + SHORT_OF_EDGE - half;
                let start = [x, y + side * half];
                self.line(start, [x, edge], AROUND.max(beyond_groove));
            }
        }
    }

    /// From an opening's edge to the plate's: wood, a sight hole, and the line from there on.
    fn line(&mut self, from: [f64; 2], edge: [f64; 2], wood: f64) {
        let run = [edge[0] - from[0], edge[1] - from[1]];
        let length = run[0].hypot(run[1]);
        if length < 1e-6 {
            return;
        }
        let way = [run[0] / length, run[1] / length];
        let at = |along: f64| Point::from_mm(from[0] + way[0] * along, from[1] + way[1] * along);
        let [hole, across] = [self.sight_length(), self.cutter];
        let middle = wood + hole / 2.0;
        if middle + hole / 2.0 + SHORT_OF_EDGE > length {
            self.plan.features.told.push(
                "the plate has no room for a sight hole on one side: carry its centre line over the edge by hand"
                    .to_owned(),
            );
            return;
        }
        let mm = Length::from_mm;
        let [long, wide] = if way[0].abs() > way[1].abs() {
            [hole, across]
        } else {
            [across, hole]
        };
        let outline = RoundedRectangle::new(at(middle), mm(long), mm(wide), mm(self.cutter / 2.0));
        self.through(PocketKind::SightHole, &outline);
        self.plan.features.sight_holes.push(at(middle));
        let start = middle + hole / 2.0 + BEYOND_HOLE + self.radius();
        self.plan.ticks.push(Tick {
            from: at(start),
            to: at(length + OVER_EDGE + self.radius()),
            depth: MARK_DEPTH,
        });
    }

    /// Along its line: of the cutter's size where that can go straight down, else long
    /// enough for it to go down to and fro.
    fn sight_length(&self) -> f64 {
        if self.job.bit.plunges {
            self.cutter
        } else {
            SIGHT_RUN * self.cutter
        }
    }

    /// The inserts' pieces side by side beyond the far edge, as they lie in the opening.
    fn strip(&mut self, inserts: Vec<Laid>) {
        let base = self.template.plate_width.as_mm() + SAW + 2.0 * self.cutter;
        let margin = self.cutter + STRIP_WALL;
        let mut left = margin;
        let mut top = 0.0_f64;
        for laid in inserts {
            let mut pieces = Vec::new();
            for outline in &laid.pieces {
                let [min, max] = insert::extent(outline);
                let by = [left - min.x, base - min.y];
                let outline = contour::moved(outline, by);
                let [min, max] =
                    [min, max].map(|corner| Point::from_mm(corner.x + by[0], corner.y + by[1]));
                let hollow = outline.iter().find_map(|edge| match edge {
                    Edge::Arc { bulges: false, .. } => edge.radius(),
                    _ => None,
                });
                let inside = laid.is_ring.then_some(laid.leaves);
                let inside = inside.map(|inside| Opening {
                    center: Point::from_mm(inside.center.x + by[0], inside.center.y + by[1]),
                    ..inside
                });
                let number = self.plan.contours.len() + 1;
                pieces.push(InsertPiece {
                    contour: number,
                    min,
                    max,
                    end_radius: inside
                        .map(|inside| inside.corner)
                        .or(hollow)
                        .unwrap_or_default(),
                    to_opening: Point::from_mm(-by[0], -by[1]),
                });
                if let Some(inside) = inside {
                    self.open(&inside);
                }
                self.ticks_on(laid.step, &outline, inside.as_ref());
                self.plan.contours.push(Contour {
                    number,
                    outline,
                    depth: self.template.plate_thickness - Length::from_mm(SKIN),
                });
                left = max.x + 2.0 * self.cutter + STRIP_WALL;
                top = top.max(max.y);
            }
            self.plan.features.inserts.push(Insert {
                step: laid.step,
                pieces,
                leaves: laid.leaves,
            });
        }
        if top > 0.0 {
            let mm = Length::from_mm;
            self.plan.width = mm(top + margin);
            self.plan.length = self.plan.length.max(mm(left - self.cutter));
        }
    }

    /// As many ticks as the step's number, one above the other on a piece.
    fn ticks_on(&mut self, step: usize, outline: &[Edge], inside: Option<&Opening>) {
        // A bit that does not plunge wants a way to go down along.
        let run = if self.job.bit.plunges { 0.0 } else { TICK_RUN };
        let pitch = self.cutter + run + TICK_WALL;
        let [min, max] = insert::extent(outline);
        let middle = (min.y + max.y) / 2.0;
        let ticks: Vec<Tick> = (0..step)
            .map(|tick| {
                let y = middle + pitch * (tick as f64 - (step - 1) as f64 / 2.0);
                let [low, high] = leg(outline, inside, y);
                let at = |y: f64| Point::from_mm((low + high) / 2.0, y);
                Tick {
                    from: at(y - run / 2.0),
                    to: at(y + run / 2.0),
                    depth: MARK_DEPTH,
                }
            })
            .collect();
        let reach = self.radius() + TICK_WALL;
        let on_wood = |center: Point| {
            (0..16).all(|sixteenth| {
                let angle = std::f64::consts::TAU * f64::from(sixteenth) / 16.0;
                let (x, y) = (
                    center.x + reach * angle.cos(),
                    center.y + reach * angle.sin(),
                );
                let [low, high] = leg(outline, inside, y);
                low <= x && x <= high
            })
        };
        if ticks
            .iter()
            .all(|tick| on_wood(tick.from) && on_wood(tick.to))
        {
            self.plan.ticks.extend(ticks);
            return;
        }
        let told =
            format!("the insert of step {step} has no room for ticks: write its number on it");
        if !self.plan.features.told.contains(&told) {
            self.plan.features.told.push(told);
        }
    }
}

/// Where a piece is wood at a height: all across, or a ring's thicker end.
fn leg(outline: &[Edge], inside: Option<&Opening>, y: f64) -> [f64; 2] {
    let [low, high] = crossing(outline, y);
    let Some(inside) = inside else {
        return [low, high];
    };
    let half = inside.length.as_mm() / 2.0;
    let (near, far) = (inside.center.x - half, inside.center.x + half);
    if near - low >= high - far {
        [low, near]
    } else {
        [far, high]
    }
}

/// Least and greatest X of an outline at a height: its edges' crossings with a level line.
fn crossing(outline: &[Edge], y: f64) -> [f64; 2] {
    let mut crossings: Vec<f64> = Vec::new();
    for edge in outline {
        let (from, to) = (edge.from(), edge.to());
        match *edge {
            Edge::Line { .. } if (from.y - y) * (to.y - y) < 0.0 => {
                crossings.push(from.x + (to.x - from.x) * (y - from.y) / (to.y - from.y));
            }
            Edge::Line { .. } => {}
            Edge::Arc { center, bulges, .. } => {
                let radius = center.distance(from).as_mm();
                let rise = y - center.y;
                if rise.abs() > radius || (from.y - y) * (to.y - y) > 0.0 {
                    continue;
                }
                let reach = (radius * radius - rise * rise).sqrt();
                let sign = if bulges { 1.0 } else { -1.0 };
                let on_arc = |x: f64| {
                    let side = (to.x - from.x) * (y - from.y) - (to.y - from.y) * (x - from.x);
                    sign * side <= 0.0
                };
                let both = [center.x - reach, center.x + reach];
                crossings.extend(both.into_iter().filter(|x| on_arc(*x)));
            }
        }
    }
    let low = crossings.iter().copied().fold(f64::INFINITY, f64::min);
    let high = crossings.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    [low, high]
}
