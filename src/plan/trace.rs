//! Records motion and knows where the bit is.

use float_cmp::approx_eq;

use crate::geometry::{Point, Position, RoundedRectangle};
use crate::job::Part;

use super::Piece;
use super::layout::Placement;
use super::motion::{Motion, Pace, Turn};
use super::path::Loop;
use super::segment::Segment;

/// A rapid down ends this far above wood that may be cupped.
const ABOVE_FACE: f64 = 2.0;
/// And this far above a floor that is cut; so far above it a hop goes.
const AIR: f64 = 1.0;
/// No longer way over a cut floor is as quick at the feed as by a hop.
const HOP: f64 = 25.0;
/// A rapid inside a pocket keeps this far from its walls.
const ASIDE: f64 = 0.05;
/// Smaller changes are no motion.
const NOTHING: f64 = 1e-9;

/// Motion of one piece as it is planned.
pub(super) struct ToolPath {
    motions: Vec<Motion>,
    at: Position,
    /// Whether X and Y are known.
    placed: bool,
    safe: f64,
    /// The part's mating face.
    surface: f64,
    /// What is cut to the floor at `floor`, where the bit may hop.
    cleared: Option<(RoundedRectangle, f64)>,
    radius: f64,
}

impl ToolPath {
    pub(super) fn new(placement: &Placement, radius: f64) -> Self {
        Self {
            motions: Vec::new(),
            at: Position::from_mm(0.0, 0.0, placement.safe),
            placed: false,
            safe: placement.safe,
            surface: placement.top,
            cleared: None,
            radius,
        }
    }

    pub(super) fn note(&mut self, words: impl Into<String>) {
        self.motions.push(Motion::Note(words.into()));
    }

    pub(super) fn at(&self) -> Position {
        self.at
    }

    /// Where the bit is, if it is in a pocket.
    pub(super) fn low(&self) -> Option<Point> {
        let is_low = self.placed && self.at.z < self.safe - NOTHING;
        is_low.then(|| self.at.plan())
    }

    /// From now on all wood inside `outline` is gone down to `floor`.
    pub(super) fn clear(&mut self, outline: RoundedRectangle, floor: f64) {
        self.cleared = Some((outline, floor));
    }

    /// To where cutting begins: over the safe height, or by a low hop where the
    /// bit is already in the pocket. `z` is the top of the wood there.
    pub(super) fn enter(&mut self, to: Point, z: f64) {
        if self.low().is_some() {
            self.hop(to, z);
        } else {
            self.descend(to, z);
        }
    }

    fn descend(&mut self, to: Point, z: f64) {
        // Down a shaft that is no wider than the bit only at the feed.
        let above = if self.is_clear(to) {
            z + AIR
        } else {
            self.surface.max(z) + ABOVE_FACE
        };
        self.start(to, above);
        self.line(to, z, Pace::Rough);
    }

    /// Over the safe height to `to`, then down to `z` in the air.
    pub(super) fn start(&mut self, to: Point, z: f64) {
        self.rapid(to.x, to.y, self.safe);
        self.placed = true;
        self.rapid(to.x, to.y, z.min(self.safe));
    }

    fn hop(&mut self, to: Point, z: f64) {
        let from = self.at.plan();
        let corners = [
            from,
            to,
            Point::from_mm(from.x, to.y),
            Point::from_mm(to.x, from.y),
        ];
        let over = self.at.z.max(z) + AIR;
        let is_clear = corners.iter().all(|corner| self.is_clear(*corner));
        let is_long = from.distance(to).as_mm() > HOP || (self.at.z - z).abs() > NOTHING;
        if is_clear && is_long && over < self.safe {
            self.rapid(from.x, from.y, over);
            self.rapid(to.x, to.y, over);
            self.rapid(to.x, to.y, z + AIR / 2.0);
        } else {
            self.line(to, self.at.z.max(z), Pace::Rough);
        }
        self.line(to, z, Pace::Rough);
    }

    fn is_clear(&self, point: Point) -> bool {
        self.cleared
            .is_some_and(|(outline, _)| outline.signed_distance_mm(point) < -(self.radius + ASIDE))
    }

    pub(super) fn rapid(&mut self, x: f64, y: f64, z: f64) {
        let to = Position::from_mm(x, y, z);
        if !self.placed || moved(self.at, to) {
            self.motions.push(Motion::Rapid(to));
            self.at = to;
        }
    }

    pub(super) fn line(&mut self, to: Point, z: f64, pace: Pace) {
        let to = Position::from_mm(to.x, to.y, z);
        if moved(self.at, to) {
            self.motions.push(Motion::Line { to, pace });
            self.at = to;
        }
    }

    fn arc(&mut self, to: Point, z: f64, center: Point, turn: Turn, pace: Pace) {
        let to = Position::from_mm(to.x, to.y, z);
        if moved(self.at, to) {
            self.motions.push(Motion::Arc {
                to,
                center,
                turn,
                pace,
            });
            self.at = to;
        }
    }

    /// One stretch, sinking evenly to `z`.
    fn stretch(&mut self, segment: &Segment, z: f64, pace: Pace) {
        match segment.turn() {
            None => self.line(segment.end(), z, pace),
            Some((center, turn)) => self.arc(segment.end(), z, center, turn, pace),
        }
    }

    /// All of `way`, level.
    pub(super) fn along(&mut self, way: &[Segment], pace: Pace) {
        let z = self.at.z;
        for segment in way {
            self.stretch(segment, z, pace);
        }
    }

    /// All of `way` from its end to its beginning, level.
    pub(super) fn back_along(&mut self, way: &[Segment], pace: Pace) {
        let z = self.at.z;
        for segment in way.iter().rev() {
            self.stretch(&segment.reversed(), z, pace);
        }
    }

    /// To the place of `path` next to `to`, where the bit stands on it, the shorter
    /// way round through what is cut.
    pub(super) fn go_round(&mut self, path: &Loop, to: Point) {
        let (here, there) = (path.nearest(self.at.plan()), path.nearest(to));
        let ahead = (there - here).rem_euclid(path.length());
        if ahead <= path.length() / 2.0 {
            self.along(&path.walk(here, ahead), Pace::Rough);
        } else {
            self.back_along(&path.walk(there, path.length() - ahead), Pace::Rough);
        }
        self.line(to, self.at.z, Pace::Rough);
    }

    /// Along `path` from `start` over `distance`, sinking evenly to `z`.
    pub(super) fn follow(&mut self, path: &Loop, start: f64, distance: f64, z: f64, pace: Pace) {
        let from = self.at.z;
        let mut done = 0.0;
        for piece in path.walk(start, distance) {
            done += piece.length();
            let share = (done / distance).min(1.0);
            let height = if distance - done < 1e-6 {
                z
            } else {
                from + (z - from) * share
            };
            self.stretch(&piece, height, pace);
        }
    }

    /// Up to the safe height, and the piece is done.
    pub(super) fn piece(mut self, part: &Part, placement: &Placement) -> Piece {
        if self.placed {
            self.rapid(self.at.x, self.at.y, self.safe);
        }
        let moves = self
            .motions
            .iter()
            .any(|motion| !matches!(motion, Motion::Note(_)));
        Piece {
            part: part.name,
            frame: placement.frame,
            safe: self.safe,
            motions: if moves { self.motions } else { Vec::new() },
        }
    }
}

fn moved(from: Position, to: Position) -> bool {
    let same = |from: f64, to: f64| approx_eq!(f64, from, to, epsilon = NOTHING);
    !(same(from.x, to.x) && same(from.y, to.y) && same(from.z, to.z))
}
