//! A slow second opinion for the tests: the wood as a fine height map under
//! the planned motion.

use std::collections::BTreeMap;
use std::f64::consts::PI;

use crate::geometry::{Point, Position, RoundedRectangle};
use crate::plan::{Motion, Piece};

const CELL: f64 = 0.2;
/// Distance of samples along a move.
const STEP: f64 = 0.1;

/// What the map saw.
#[derive(Debug, Default)]
pub(crate) struct Findings {
    /// Deepest bite of a move away from the walls.
    pub(crate) bite: f64,
    /// Wood taken outside the wanted shape: deepest.
    pub(crate) gouge: f64,
    /// Most wood left inside, measured down.
    pub(crate) residual: f64,
    /// Steepest drop for its length where wood is taken.
    pub(crate) slope: f64,
    /// Most wood taken by a rapid.
    pub(crate) rapid: f64,
    /// Most wood taken straight down.
    pub(crate) plunge: f64,
    /// Path under feed.
    pub(crate) cut: f64,
    /// Longest stretch under feed below the top that takes no wood.
    pub(crate) air: f64,
}

/// A wanted step: outline, floor.
pub(crate) type Wanted = (RoundedRectangle, f64);

/// The wood of one pocket, from above.
pub(crate) struct Bed {
    origin: Point,
    columns: usize,
    rows: usize,
    height: Vec<f64>,
    radius: f64,
    top: f64,
}

impl Bed {
    pub(crate) fn new(outline: &RoundedRectangle, top: f64, radius: f64) -> Self {
        let margin = 1.0;
        let origin = Point::from_mm(
            outline.center.x - outline.half_x - margin,
            outline.center.y - outline.half_y - margin,
        );
        let columns = ((2.0 * (outline.half_x + margin)) / CELL) as usize + 1;
        let rows = ((2.0 * (outline.half_y + margin)) / CELL) as usize + 1;
        Self {
            origin,
            columns,
            rows,
            height: vec![top; columns * rows],
            radius,
            top,
        }
    }

    fn point(&self, index: usize) -> Point {
        let (row, column) = (index / self.columns, index % self.columns);
        Point::from_mm(
            self.origin.x + column as f64 * CELL,
            self.origin.y + row as f64 * CELL,
        )
    }

    /// Every place with its height.
    pub(crate) fn heights(&self) -> impl Iterator<Item = (Point, f64)> {
        let heights = self.height.iter().enumerate();
        heights.map(|(index, height)| (self.point(index), *height))
    }

    /// Stamps the bit at `at`; calls back with index and height before.
    fn stamp(&mut self, at: Position, mut taken: impl FnMut(usize, f64, f64)) {
        let r = self.radius - 1e-6;
        let low = |value: f64| (value / CELL).ceil().max(0.0) as usize;
        let first_row = low(at.y - r - self.origin.y);
        let last_row = ((at.y + r - self.origin.y) / CELL).floor();
        for row in first_row..self.rows.min((last_row + 1.0).max(0.0) as usize) {
            let dy = self.origin.y + row as f64 * CELL - at.y;
            let half = (r * r - dy * dy).max(0.0).sqrt();
            let first = low(at.x - half - self.origin.x);
            let last = ((at.x + half - self.origin.x) / CELL).floor() + 1.0;
            for column in first..self.columns.min(last.max(0.0) as usize) {
                let index = row * self.columns + column;
                if self.height[index] > at.z {
                    taken(index, self.height[index], at.z);
                    self.height[index] = at.z;
                }
            }
        }
    }

    /// Runs a piece; `near_wall` is how close to a wall bites do not count.
    pub(crate) fn run(&mut self, piece: &Piece, wanted: &[Wanted], near_wall: f64) -> Findings {
        let mut findings = Findings::default();
        let mut at: Option<Position> = None;
        let mut idle = 0.0;
        for motion in &piece.motions {
            let (to, center) = match motion {
                Motion::Note(_) => continue,
                Motion::Rapid(to) => (*to, None),
                Motion::Line { to, .. } => (*to, None),
                Motion::Arc {
                    to, center, turn, ..
                } => (*to, Some((*center, turn.sign()))),
            };
            if let Some(from) = at {
                let rapid = matches!(motion, Motion::Rapid(_));
                let length = self.travel(from, to, center, rapid, wanted, near_wall, &mut findings);
                if !rapid {
                    findings.cut += length.0;
                    idle = if length.1 || from.z >= self.top {
                        0.0
                    } else {
                        idle + length.0
                    };
                    findings.air = findings.air.max(idle);
                }
            }
            at = Some(to);
        }
        self.judge(wanted, &mut findings);
        findings
    }

    #[allow(clippy::too_many_arguments)]
    fn travel(
        &mut self,
        from: Position,
        to: Position,
        center: Option<(Point, f64)>,
        rapid: bool,
        wanted: &[Wanted],
        near_wall: f64,
        findings: &mut Findings,
    ) -> (f64, bool) {
        let (level, at): (f64, Box<dyn Fn(f64) -> Point>) = match center {
            Some((center, sign)) => {
                let radius = from.plan().distance(center).as_mm();
                let start = (from.y - center.y).atan2(from.x - center.x);
                let end = (to.y - center.y).atan2(to.x - center.x);
                let sweep = (sign * (end - start)).rem_euclid(2.0 * PI);
                assert!(sweep <= PI + 1e-6, "an arc of more than half a turn");
                let other = to.plan().distance(center).as_mm();
                assert!((radius - other).abs() < 1e-6, "radii {radius} and {other}");
                (
                    radius * sweep,
                    Box::new(move |share: f64| {
                        let angle = start + sign * sweep * share;
                        Point::from_mm(
                            center.x + radius * angle.cos(),
                            center.y + radius * angle.sin(),
                        )
                    }),
                )
            }
            None => (
                from.plan().distance(to.plan()).as_mm(),
                Box::new(move |share: f64| {
                    Point::from_mm(
                        from.x + (to.x - from.x) * share,
                        from.y + (to.y - from.y) * share,
                    )
                }),
            ),
        };
        let drop = from.z - to.z;
        let length = level.hypot(drop);
        let samples = (length / STEP).ceil().max(1.0) as usize;
        let mut before: BTreeMap<usize, f64> = BTreeMap::new();
        for sample in 0..=samples {
            let share = sample as f64 / samples as f64;
            let plan = at(share);
            let here = Position::from_mm(plan.x, plan.y, from.z + (to.z - from.z) * share);
            self.stamp(here, |index, height, _| {
                before.entry(index).or_insert(height);
            });
        }
        let mut takes = false;
        for (index, height) in before {
            let bite = height - self.height[index];
            let point = self.point(index);
            takes |= bite > 1e-3;
            if rapid {
                findings.rapid = findings.rapid.max(bite);
            }
            let walls = wanted
                .iter()
                .map(|(outline, _)| outline.signed_distance_mm(point).abs());
            if walls.fold(f64::INFINITY, f64::min) > near_wall {
                findings.bite = findings.bite.max(bite);
            }
            if level < 1e-9 {
                findings.plunge = findings.plunge.max(bite);
            }
        }
        if takes && level > 1e-9 {
            findings.slope = findings.slope.max(drop / level);
        }
        (length, takes)
    }

    fn judge(&self, wanted: &[Wanted], findings: &mut Findings) {
        for (index, height) in self.height.iter().enumerate() {
            let point = self.point(index);
            let floor = |slack: f64| {
                let inside = wanted
                    .iter()
                    .filter(|(outline, _)| outline.signed_distance_mm(point) < slack);
                inside.map(|(_, floor)| *floor).fold(self.top, f64::min)
            };
            findings.gouge = findings.gouge.max(floor(0.005) - height);
            findings.residual = findings.residual.max(height - floor(-0.02));
        }
    }
}
