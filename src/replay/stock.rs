//! The wood of one pocket as it is at this moment: how deep it is cut at
//! each of a grid of points.
//!
//! Each value is exact at its point for straight moves; arcs are taken as
//! chords within [`SAGITTA`]. Depths count down from the board's face.

use crate::replay::leg::Leg;

/// How far the chords that stand for an arc may leave it, in millimetres.
const SAGITTA: f64 = 0.008;

/// Samples looked at together.
const CHUNK: usize = 16;

/// Wood nearer than this to the side of the bit is cut, but not counted as
/// cut by this move: two paths that ought to touch differ by the rounding of
/// their coordinates, and a sliver of that width is no wood. Millimetres.
pub(crate) const SLIVER: f64 = 0.015;

/// Depths on a grid whose cells tile a rectangle; each sample lies in the
/// middle of its cell, so that the grid is the same seen from either end.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Stock {
    /// X and Y of the first sample.
    pub(crate) first: [f64; 2],
    /// Distance between samples along X and Y.
    pub(crate) cell: [f64; 2],
    pub(crate) columns: usize,
    pub(crate) rows: usize,
    pub(crate) depth: Vec<f32>,
}

/// The end of a bit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tip {
    pub(crate) radius: f64,
    /// Height of a drill's point; zero for a flat end.
    pub(crate) point: f64,
}

impl Stock {
    /// Uncut wood over the rectangle from `min` to `max`, in cells of about `cell`.
    pub(crate) fn new(min: [f64; 2], max: [f64; 2], cell: f64) -> Self {
        let count = |axis: usize| {
            let cells = ((max[axis] - min[axis]) / cell).round();
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let whole = cells.clamp(1.0, 4_000.0) as usize;
            whole
        };
        let (columns, rows) = (count(0), count(1));
        #[allow(clippy::cast_precision_loss)]
        let cell = [
            (max[0] - min[0]) / columns as f64,
            (max[1] - min[1]) / rows as f64,
        ];
        Self {
            first: [min[0] + cell[0] / 2.0, min[1] + cell[1] / 2.0],
            cell,
            columns,
            rows,
            depth: vec![0.0; columns * rows],
        }
    }

    pub(crate) fn point(&self, column: usize, row: usize) -> [f64; 2] {
        #[allow(clippy::cast_precision_loss)]
        [
            self.first[0] + column as f64 * self.cell[0],
            self.first[1] + row as f64 * self.cell[1],
        ]
    }

    /// Area that one sample stands for, in square millimetres.
    pub(crate) fn cell_area(&self) -> f64 {
        self.cell[0] * self.cell[1]
    }

    /// Takes away what `tip` sweeps along `leg`, `top` being the height of
    /// the board's face. `seen` is told of each sample that loses wood, with
    /// its depth before and after.
    pub(crate) fn cut(
        &mut self,
        leg: &Leg,
        top: f64,
        tip: Tip,
        mut seen: impl FnMut(usize, f32, f32),
    ) {
        for chord in leg.chords(SAGITTA) {
            self.cut_line(&chord, top, tip, &mut seen);
        }
    }

    fn cut_line(&mut self, leg: &Leg, top: f64, tip: Tip, seen: &mut impl FnMut(usize, f32, f32)) {
        let sweep = Sweep::new(leg, top, tip);
        let low = leg.from[1].min(leg.to[1]) - tip.radius;
        let high = leg.from[1].max(leg.to[1]) + tip.radius;
        for row in self.indices(1, low, high) {
            let y = self.point(0, row)[1];
            let Some((first, last)) = sweep.span(y, tip.radius) else {
                continue;
            };
            let swept = self.indices(0, first, last);
            let inner = sweep
                .span(y, tip.radius - SLIVER)
                .map_or(0..0, |(first, last)| self.indices(0, first, last));
            // Under the deepest position of the bit every sample is as deep as the tip.
            let level = sweep
                .level_span(y)
                .map_or(0..0, |(first, last)| self.indices(0, first, last));
            let level = level.start.max(swept.start)..level.end.min(swept.end);
            let base = row * self.columns;
            if level.is_empty() {
                self.cut_slope(base, swept, &inner, &sweep, y, seen);
            } else {
                self.cut_slope(base, swept.start..level.start, &inner, &sweep, y, seen);
                self.cut_level(base, level.clone(), &inner, sweep.deepest(), seen);
                self.cut_slope(base, level.end..swept.end, &inner, &sweep, y, seen);
            }
        }
    }

    fn cut_slope(
        &mut self,
        base: usize,
        columns: std::ops::Range<usize>,
        inner: &std::ops::Range<usize>,
        sweep: &Sweep,
        y: f64,
        seen: &mut impl FnMut(usize, f32, f32),
    ) {
        let deepest = sweep.deepest();
        for column in columns {
            let index = base + column;
            let old = self.depth[index];
            if old >= deepest {
                continue;
            }
            #[allow(clippy::cast_precision_loss)]
            let x = self.first[0] + column as f64 * self.cell[0];
            let new = sweep.depth(x, y);
            if new > old {
                self.depth[index] = new;
                if inner.contains(&column) {
                    seen(index, old, new);
                }
            }
        }
    }

    fn cut_level(
        &mut self,
        base: usize,
        columns: std::ops::Range<usize>,
        inner: &std::ops::Range<usize>,
        new: f32,
        seen: &mut impl FnMut(usize, f32, f32),
    ) {
        let first = columns.start;
        let row = &mut self.depth[base + columns.start..base + columns.end];
        for (chunk, depths) in row.chunks_mut(CHUNK).enumerate() {
            // Mostly the wood is gone already: one look at many samples.
            if depths.iter().fold(
                f32::INFINITY,
                |least, &old| if old < least { old } else { least },
            ) >= new
            {
                continue;
            }
            for (offset, depth) in depths.iter_mut().enumerate() {
                let old = *depth;
                if new > old {
                    *depth = new;
                    let column = first + chunk * CHUNK + offset;
                    if inner.contains(&column) {
                        seen(base + column, old, new);
                    }
                }
            }
        }
    }

    /// The samples of an axis whose coordinate lies in `low ..= high`.
    fn indices(&self, axis: usize, low: f64, high: f64) -> std::ops::Range<usize> {
        let count = if axis == 0 { self.columns } else { self.rows };
        let index = |value: f64| (value - self.first[axis]) / self.cell[axis];
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let (first, end) = (
            index(low).ceil().max(0.0) as usize,
            (index(high).floor() + 1.0).max(0.0) as usize,
        );
        first.min(count)..end.min(count)
    }

    /// The least depth cut within `radius` of the path: the highest wood there.
    pub(crate) fn highest_beside(&self, leg: &Leg, radius: f64) -> Option<f32> {
        let tip = Tip { radius, point: 0.0 };
        let mut least: Option<f32> = None;
        for chord in leg.chords(SAGITTA) {
            let sweep = Sweep::new(&chord, 0.0, tip);
            let low = chord.from[1].min(chord.to[1]) - radius;
            let high = chord.from[1].max(chord.to[1]) + radius;
            for row in self.indices(1, low, high) {
                let Some((first, last)) = sweep.span(self.point(0, row)[1], radius) else {
                    continue;
                };
                for column in self.indices(0, first, last) {
                    let depth = self.depth[row * self.columns + column];
                    least = Some(least.map_or(depth, |other: f32| other.min(depth)));
                }
            }
        }
        least
    }

    /// The least depth cut within `radius` of the rectangle from `min` to
    /// `max`: the highest wood there. `None` where no sample is.
    pub(crate) fn highest_wood(&self, min: [f64; 2], max: [f64; 2], radius: f64) -> Option<f32> {
        let mut least: Option<f32> = None;
        for row in self.indices(1, min[1] - radius, max[1] + radius) {
            let y = self.point(0, row)[1];
            let beside = (min[1] - y).max(y - max[1]).max(0.0);
            let reach = (radius * radius - beside * beside).max(0.0).sqrt();
            for column in self.indices(0, min[0] - reach, max[0] + reach) {
                let depth = self.depth[row * self.columns + column];
                least = Some(least.map_or(depth, |other: f32| other.min(depth)));
            }
        }
        least
    }
}

/// What a straight move sweeps.
struct Sweep {
    from: [f64; 2],
    to: [f64; 2],
    direction: [f64; 2],
    length: f64,
    /// Depths at the start and at the end.
    depths: [f64; 2],
    tip: Tip,
}

impl Sweep {
    fn new(leg: &Leg, top: f64, tip: Tip) -> Self {
        let (run, rise) = (leg.to[0] - leg.from[0], leg.to[1] - leg.from[1]);
        let length = run.hypot(rise);
        let direction = if length > 0.0 {
            [run / length, rise / length]
        } else {
            [0.0, 0.0]
        };
        Self {
            from: [leg.from[0], leg.from[1]],
            to: [leg.to[0], leg.to[1]],
            direction,
            length,
            depths: [top - leg.from[2], top - leg.to[2]],
            tip,
        }
    }

    /// Where the line at `y` crosses what a bit of `radius` sweeps.
    fn span(&self, y: f64, radius: f64) -> Option<(f64, f64)> {
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

    #[allow(clippy::cast_possible_truncation)]
    fn deepest(&self) -> f32 {
        self.depths[0].max(self.depths[1]) as f32
    }

    /// Where the line at `y` crosses what is cut to the greatest depth: all
    /// of a level move, else what lies under the bit at its deeper end.
    fn level_span(&self, y: f64) -> Option<(f64, f64)> {
        if self.length == 0.0 && self.tip.point > 0.0 {
            return None;
        }
        let [first, last] = self.depths;
        if first == last {
            return self.span(y, self.tip.radius);
        }
        let end = if last > first { self.to } else { self.from };
        let square = self.tip.radius * self.tip.radius - (y - end[1]) * (y - end[1]);
        (square >= 0.0).then(|| (end[0] - square.sqrt(), end[0] + square.sqrt()))
    }

    /// How deep the bit cuts at a point it sweeps.
    #[allow(clippy::cast_possible_truncation)]
    fn depth(&self, x: f64, y: f64) -> f32 {
        let [first, last] = self.depths;
        let (x, y) = (x - self.from[0], y - self.from[1]);
        if self.length == 0.0 {
            let point = self.tip.point * x.hypot(y) / self.tip.radius.max(1e-9);
            return (first.max(last) - point) as f32;
        }
        if first == last {
            return first as f32;
        }
        let along = x * self.direction[0] + y * self.direction[1];
        let beside = y * self.direction[0] - x * self.direction[1];
        let half = (self.tip.radius * self.tip.radius - beside * beside)
            .max(0.0)
            .sqrt();
        let at = if last > first {
            along + half
        } else {
            along - half
        };
        (first + (last - first) * (at / self.length).clamp(0.0, 1.0)) as f32
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FLAT: Tip = Tip {
        radius: 3.0,
        point: 0.0,
    };

    fn stock() -> Stock {
        Stock::new([0.0, 0.0], [40.0, 10.0], 0.1)
    }

    fn at(stock: &Stock, x: f64, y: f64) -> f32 {
        let column = ((x - stock.first[0]) / stock.cell[0]).round() as usize;
        let row = ((y - stock.first[1]) / stock.cell[1]).round() as usize;
        stock.depth[row * stock.columns + column]
    }

    #[test]
    fn a_level_cut_leaves_its_depth_where_the_bit_was_and_wood_elsewhere() {
        let mut stock = stock();
        let leg = Leg::line([10.0, 5.0, -2.0], [30.0, 5.0, -2.0]);
        let mut lost = 0;
        stock.cut(&leg, 0.0, FLAT, |_, _, _| lost += 1);
        assert_eq!(at(&stock, 20.0, 5.0), 2.0);
        assert_eq!(at(&stock, 20.0, 7.9), 2.0);
        assert_eq!(at(&stock, 20.0, 8.1), 0.0);
        assert_eq!(at(&stock, 6.9, 5.0), 0.0);
        // 20 × 6 mm and a circle of 6 mm.
        let area = f64::from(lost) * stock.cell_area();
        assert!((area - (120.0 + 9.0 * std::f64::consts::PI)).abs() < 1.0);
    }

    #[test]
    fn a_ramp_leaves_at_each_point_the_depth_at_which_the_bit_left_it() {
        let mut stock = stock();
        // 1 in 10.
        let leg = Leg::line([5.0, 5.0, 0.0], [35.0, 5.0, -3.0]);
        stock.cut(&leg, 0.0, FLAT, |_, _, _| {});
        // On the middle line the bit leaves x = 20.05 when its centre is at x = 23.05.
        assert!((at(&stock, 20.05, 5.05) - 1.805).abs() < 0.01);
        assert!((at(&stock, 36.0, 5.0) - 3.0).abs() < 1e-6);
    }

    #[test]
    fn a_drill_leaves_its_cone() {
        let mut stock = stock();
        let tip = Tip {
            radius: 1.0,
            point: 0.6,
        };
        let leg = Leg::line([20.05, 5.05, 1.0], [20.05, 5.05, -5.0]);
        stock.cut(&leg, 0.0, tip, |_, _, _| {});
        assert!((at(&stock, 20.05, 5.05) - 5.0).abs() < 1e-6);
        assert!((at(&stock, 20.55, 5.05) - 4.7).abs() < 1e-5);
    }

    #[test]
    fn highest_wood_sees_what_stands_beside_the_cut() {
        let mut stock = stock();
        let leg = Leg::line([10.0, 5.0, -2.0], [30.0, 5.0, -2.0]);
        stock.cut(&leg, 0.0, FLAT, |_, _, _| {});
        let inside = stock.highest_wood([10.0, 5.0], [30.0, 5.0], 2.98);
        assert_eq!(inside, Some(2.0));
        assert_eq!(stock.highest_wood([10.0, 5.0], [30.0, 5.0], 3.2), Some(0.0));
        assert_eq!(stock.highest_wood([50.0, 5.0], [60.0, 5.0], 3.0), None);
    }

    /// Source: the buffer of a line string in the crate `geo`, an area worked
    /// out without any grid.
    #[test]
    fn swept_area_agrees_with_a_general_geometry_crate() {
        use geo::{Area, Buffer, LineString};
        let path = [
            [6.0, 4.0],
            [20.0, 4.0],
            [27.3, 6.2],
            [33.1, 5.1],
            [12.0, 6.8],
        ];
        let line: LineString<f64> = path.iter().map(|&[x, y]| (x, y)).collect();
        let expected = line.buffer(3.0).unsigned_area();
        let mut stock = stock();
        let mut samples = 0_u32;
        for pair in path.windows(2) {
            let at = |[x, y]: [f64; 2]| [x, y, -1.0];
            let leg = Leg::line(at(pair[0]), at(pair[1]));
            stock.cut(&leg, 0.0, FLAT, |_, _, _| {});
        }
        for &depth in &stock.depth {
            samples += u32::from(depth > 0.0);
        }
        let area = f64::from(samples) * stock.cell_area();
        // The crate's rounds are polygons, and a sample stands for 0.01 mm².
        assert!(
            (area - expected).abs() < 0.005 * expected,
            "{area} {expected}"
        );
    }
}
