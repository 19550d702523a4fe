//! What a straight move sweeps, and how deep, row by row of a grid.

use std::array::from_fn;

use crate::replay::grid::Grid;
use crate::replay::leg::Leg;
use crate::replay::stock::{PLACES, Tip, greater, lesser};

/// What a straight move sweeps. Along X and Y lengths are in cells of the grid,
/// from its first sample, so that samples lie at whole numbers; depths are in
/// millimetres.
pub(crate) struct Sweep {
    from: [f64; 2],
    to: [f64; 2],
    direction: [f64; 2],
    length: f64,
    radius: f64,
    /// Height of a drill's point; zero for a flat end.
    point: f64,
    /// Where the sides of the swept stretch begin.
    sides: [[f64; 2]; 2],
    /// Depths at the start and at the end.
    depths: [f64; 2],
}

/// What a row crosses, from and to; nothing where the first is the greater.
pub(crate) type Span = (f64, f64);

/// What one row crosses of a sweep.
pub(crate) struct Crossing {
    /// All that is swept.
    pub(crate) swept: Span,
    /// What the bit covers at the start, and at the end.
    under: [Span; 2],
}

pub(crate) const NOTHING: Span = (f64::INFINITY, f64::NEG_INFINITY);

impl Sweep {
    pub(crate) fn new(grid: &Grid, leg: &Leg, top: f64, tip: Tip) -> Self {
        let [from, to] = [leg.from, leg.to].map(|[x, y, _]| grid.cells_to([x, y]));
        let (run, rise) = (to[0] - from[0], to[1] - from[1]);
        let length = (run * run + rise * rise).sqrt();
        let direction = if length > 0.0 {
            [run / length, rise / length]
        } else {
            [0.0, 0.0]
        };
        Self {
            from,
            to,
            direction,
            length,
            radius: 0.0,
            point: tip.point,
            sides: [from; 2],
            depths: [top - leg.from[2], top - leg.to[2]],
        }
        .with_radius(grid.cells(tip.radius))
    }

    fn with_radius(self, radius: f64) -> Self {
        let beside = |side: f64| {
            [
                self.from[0] - self.direction[1] * side,
                self.from[1] + self.direction[0] * side,
            ]
        };
        Self {
            radius,
            sides: [beside(radius), beside(-radius)],
            ..self
        }
    }

    /// Where the wood that is gone counts as taken by this move: `sliver` less
    /// at the sides. Ahead of a short move all counts, up to 70 degrees from its
    /// direction, else a row of moves shorter than the sliver would take wood
    /// that no one sees.
    pub(crate) fn counted(&self, sliver: f64) -> Self {
        let ahead = 3.0 * (sliver - sliver.min(self.length / 4.0));
        let to = [0, 1].map(|axis| self.to[axis] + ahead * self.direction[axis]);
        let length = self.length + ahead;
        Self {
            to,
            length,
            ..*self
        }
        .with_radius(self.radius - sliver)
    }

    /// Depth at the start, in millimetres.
    pub(crate) fn first(&self) -> f32 {
        to_f32(self.depths[0])
    }

    /// Greatest depth, in millimetres.
    pub(crate) fn deepest(&self) -> f32 {
        to_f32(greater(self.depths[0], self.depths[1]))
    }

    /// The stretch of Y that is swept.
    pub(crate) fn stretch(&self) -> (f64, f64) {
        (
            lesser(self.from[1], self.to[1]) - self.radius,
            greater(self.from[1], self.to[1]) + self.radius,
        )
    }

    /// What the row at `y` crosses.
    pub(crate) fn at(&self, y: f64) -> Crossing {
        let under = |end: [f64; 2]| {
            let square = self.radius * self.radius - (y - end[1]) * (y - end[1]);
            if square < 0.0 {
                return NOTHING;
            }
            let half = square.sqrt();
            (end[0] - half, end[0] + half)
        };
        let (first, last) = (under(self.from), under(self.to));
        let mut swept = (lesser(first.0, last.0), greater(first.1, last.1));
        let rise = self.to[1] - self.from[1];
        if rise != 0.0 {
            for side in self.sides {
                let t = (y - side[1]) / rise;
                if (0.0..=1.0).contains(&t) {
                    let x = side[0] + (self.to[0] - self.from[0]) * t;
                    swept = (lesser(swept.0, x), greater(swept.1, x));
                }
            }
        }
        Crossing {
            swept,
            under: [first, last],
        }
    }

    /// What is cut to the greatest depth: all of a level move, else what lies
    /// under the bit at its deeper end.
    pub(crate) fn level(&self, crossing: &Crossing) -> Span {
        let [first, last] = self.depths;
        let [start, end] = crossing.under;
        if self.is_cone() {
            NOTHING
        } else if first == last {
            crossing.swept
        } else if last > first {
            end
        } else {
            start
        }
    }

    /// What a flat end stands over all along a move that does not rise.
    pub(crate) fn floor(&self, crossing: &Crossing) -> Span {
        if self.depths[1] < self.depths[0] || self.point > 0.0 {
            return NOTHING;
        }
        let [first, last] = crossing.under;
        (greater(first.0, last.0), lesser(first.1, last.1))
    }

    /// Whether a drill goes straight down.
    fn is_cone(&self) -> bool {
        self.length == 0.0 && self.point > 0.0
    }

    /// Whether a sample is swept.
    pub(crate) fn covers(&self, column: f64, row: f64) -> bool {
        let (x, y) = (column - self.from[0], row - self.from[1]);
        let [along_x, along_y] = self.direction;
        let along = lesser(greater(x * along_x + y * along_y, 0.0), self.length);
        let (x, y) = (x - along * along_x, y - along * along_y);
        x * x + y * y <= self.radius * self.radius
    }

    /// How deep the bit cuts at a sample that it sweeps.
    pub(crate) fn depth(&self, column: f64, row: f64) -> f32 {
        let [depth] = self.depths([column, row]);
        depth
    }

    /// How deep the bit cuts at each of a few samples that it sweeps, the first
    /// at `point`: while it covers a sample it is lowest where it comes to it or
    /// leaves it.
    // In single precision from the start of the move: no error above 0.00002 mm.
    pub(crate) fn depths<const N: usize>(&self, point: [f64; 2]) -> [f32; N] {
        let [x, y] = [0, 1].map(|axis| to_f32(point[axis] - self.from[axis]));
        let radius = to_f32(self.radius);
        let [first, last] = self.depths.map(to_f32);
        if self.is_cone() {
            let (deepest, fall) = (self.deepest(), to_f32(self.point) / radius.max(1e-9));
            return from_fn(|place| {
                let x = x + PLACES[place];
                deepest - fall * (x * x + y * y).sqrt()
            });
        }
        let [along_x, along_y] = self.direction.map(to_f32);
        let rate = to_f32((self.depths[1] - self.depths[0]) / self.length.max(1e-9));
        let (least, most) = (lesser(first, last), greater(first, last));
        let ahead = if last > first { 1.0 } else { -1.0 };
        from_fn(|place| {
            let x = x + PLACES[place];
            let along = x * along_x + y * along_y;
            let beside = y * along_x - x * along_y;
            let half = greater(radius * radius - beside * beside, 0.0).sqrt();
            lesser(greater(first + rate * (along + ahead * half), least), most)
        })
    }
}

#[allow(clippy::cast_possible_truncation)]
pub(crate) fn to_f32(value: f64) -> f32 {
    value as f32
}
