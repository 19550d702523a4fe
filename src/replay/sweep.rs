//! What a straight move sweeps, and how deep, row by row.

use std::array::from_fn;

use crate::replay::leg::Leg;
use crate::replay::stock::{Few, PLACES, Tip, greater, lesser};

/// What a straight move sweeps.
pub(crate) struct Sweep {
    from: [f64; 2],
    to: [f64; 2],
    direction: [f64; 2],
    length: f64,
    /// Depths at the start and at the end.
    depths: [f64; 2],
    pub(crate) deepest: f32,
    pub(crate) tip: Tip,
}

impl Sweep {
    pub(crate) fn new(leg: &Leg, top: f64, tip: Tip) -> Self {
        let (run, rise) = (leg.to[0] - leg.from[0], leg.to[1] - leg.from[1]);
        let length = run.hypot(rise);
        let direction = if length > 0.0 {
            [run / length, rise / length]
        } else {
            [0.0, 0.0]
        };
        let depths = [top - leg.from[2], top - leg.to[2]];
        Self {
            from: [leg.from[0], leg.from[1]],
            to: [leg.to[0], leg.to[1]],
            direction,
            length,
            depths,
            deepest: to_f32(depths[0].max(depths[1])),
            tip,
        }
    }

    /// Where the wood that is gone counts as taken by this move: `sliver` less
    /// at the sides. Ahead of a short move all counts, up to 70 degrees from its
    /// direction, else a row of moves shorter than the sliver would take wood
    /// that no one sees.
    pub(crate) fn counted(&self, sliver: f64) -> Self {
        let ahead = 3.0 * (sliver - sliver.min(self.length / 4.0));
        let to = [0, 1].map(|axis| self.to[axis] + ahead * self.direction[axis]);
        let radius = self.tip.radius - sliver;
        Self {
            to,
            length: self.length + ahead,
            tip: Tip { radius, ..self.tip },
            ..*self
        }
    }

    /// The stretch of Y that a bit of `radius` sweeps.
    pub(crate) fn stretch(&self, radius: f64) -> (f64, f64) {
        (
            self.from[1].min(self.to[1]) - radius,
            self.from[1].max(self.to[1]) + radius,
        )
    }

    /// Where the line at `y` crosses what a bit of `radius` sweeps.
    pub(crate) fn span(&self, y: f64, radius: f64) -> Option<(f64, f64)> {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut add = |x: f64| {
            low = low.min(x);
            high = high.max(x);
        };
        for end in [self.from, self.to] {
            let square = radius * radius - (y - end[1]) * (y - end[1]);
            if square >= 0.0 {
                let half = square.sqrt();
                add(end[0] - half);
                add(end[0] + half);
            }
        }
        let rise = self.to[1] - self.from[1];
        if rise != 0.0 {
            for side in [radius, -radius] {
                let start = [
                    self.from[0] - self.direction[1] * side,
                    self.from[1] + self.direction[0] * side,
                ];
                let t = (y - start[1]) / rise;
                if (0.0..=1.0).contains(&t) {
                    add(start[0] + (self.to[0] - self.from[0]) * t);
                }
            }
        }
        (low <= high).then_some((low, high))
    }

    /// Where the line at `y` crosses what is cut to the greatest depth: all
    /// of a level move, else what lies under the bit at its deeper end.
    pub(crate) fn level_span(&self, y: f64) -> Option<(f64, f64)> {
        if self.is_cone() {
            return None;
        }
        let [first, last] = self.depths;
        if first == last {
            return Some((f64::NEG_INFINITY, f64::INFINITY));
        }
        let end = if last > first { self.to } else { self.from };
        let square = self.tip.radius * self.tip.radius - (y - end[1]) * (y - end[1]);
        let half = square.max(0.0).sqrt();
        (square >= 0.0).then(|| (end[0] - half, end[0] + half))
    }

    /// Whether a drill goes straight down.
    fn is_cone(&self) -> bool {
        self.length == 0.0 && self.tip.point > 0.0
    }

    /// How deep the bit cuts at each of a few points that it sweeps, the
    /// first at `point`: while it covers a point it is lowest where it comes to
    /// it or leaves it.
    // In single precision from the start of the move: no error above 0.00002 mm.
    pub(crate) fn depths(&self, point: [f64; 2], apart: f64) -> Few {
        let (x, y) = (point[0] - self.from[0], to_f32(point[1] - self.from[1]));
        let x: Few = from_fn(|place| to_f32(x + f64::from(PLACES[place]) * apart));
        let radius = to_f32(self.tip.radius);
        let [first, last] = self.depths.map(to_f32);
        if self.is_cone() {
            let fall = to_f32(self.tip.point) / radius.max(1e-9);
            return from_fn(|place| self.deepest - fall * (x[place] * x[place] + y * y).sqrt());
        }
        let [along_x, along_y] = self.direction.map(to_f32);
        let rate = to_f32((self.depths[1] - self.depths[0]) / self.length.max(1e-9));
        let (least, most) = (lesser(first, last), greater(first, last));
        let ahead = if last > first { 1.0 } else { -1.0 };
        from_fn(|place| {
            let x = x[place];
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
