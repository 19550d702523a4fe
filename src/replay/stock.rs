//! The wood of one pocket as it is at this moment: how deep it is cut at
//! each of a grid of points.
//!
//! Each value is exact at its point for straight moves; arcs are taken as
//! chords within [`SAGITTA`]. Depths count down from the board's face.

use std::ops::Range;

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
    /// the board's face. `seen` is told of samples that lose wood, a few
    /// neighbours at a time: the first one's index, the depths before and the
    /// depths after. Some of the neighbours may be as deep as before.
    pub(crate) fn cut(
        &mut self,
        leg: &Leg,
        top: f64,
        tip: Tip,
        mut seen: impl FnMut(usize, &[f32], &[f32]),
    ) {
        for chord in leg.chords(SAGITTA) {
            self.cut_line(&Sweep::new(&chord, top, tip), &mut seen);
        }
    }

    fn cut_line(&mut self, sweep: &Sweep, seen: &mut impl FnMut(usize, &[f32], &[f32])) {
        let radius = sweep.tip.radius;
        let low = sweep.from[1].min(sweep.to[1]) - radius;
        let high = sweep.from[1].max(sweep.to[1]) + radius;
        let deepest = sweep.deepest();
        for row in self.indices(1, low, high) {
            let y = self.point(0, row)[1];
            let Some((first, last)) = sweep.span(y, radius) else {
                continue;
            };
            let swept = self.indices(0, first, last);
            let inner = sweep
                .span(y, radius - SLIVER)
                .map_or(0..0, |(first, last)| self.indices(0, first, last));
            // Under the deeper end of a ramp every sample is as deep as the tip.
            let level = sweep
                .deeper_end(y)
                .map_or(0..0, |(first, last)| self.indices(0, first, last));
            let mut lane = Lane {
                first: self.first[0],
                cell: self.cell[0],
                base: row * self.columns,
                depths: &mut self.depth[row * self.columns..(row + 1) * self.columns],
                inner,
                deepest,
            };
            match sweep.form {
                Form::Level => lane.lower(swept, |_| deepest, seen),
                Form::Cone => lane.lower(swept, |x| sweep.cone(x, y), seen),
                Form::Slope => {
                    let start = level.start.clamp(swept.start, swept.end);
                    let end = level.end.clamp(start, swept.end);
                    lane.lower(swept.start..start, |x| sweep.slope(x, y), seen);
                    lane.lower(start..end, |_| deepest, seen);
                    lane.lower(end..swept.end, |x| sweep.slope(x, y), seen);
                }
            }
        }
    }

    /// The samples of an axis whose coordinate lies in `low ..= high`.
    pub(crate) fn indices(&self, axis: usize, low: f64, high: f64) -> Range<usize> {
        let count = if axis == 0 { self.columns } else { self.rows };
        let index = |value: f64| (value - self.first[axis]) / self.cell[axis];
        // A cast cuts off toward zero, and is quicker than `floor` and `ceil`.
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_precision_loss,
            clippy::cast_sign_loss
        )]
        let (first, end) = {
            let (low, high) = (index(low).max(0.0), index(high) + 1.0);
            let whole = low as usize;
            let first = whole.saturating_add(usize::from((whole as f64) < low));
            (first, high.max(0.0) as usize)
        };
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

/// One row of samples under a move.
struct Lane<'a> {
    /// X of the row's first sample, and the distance to the next.
    first: f64,
    cell: f64,
    /// Index of the row's first sample in the whole grid.
    base: usize,
    depths: &'a mut [f32],
    /// The samples whose wood counts as cut by this move.
    inner: Range<usize>,
    deepest: f32,
}

impl Lane<'_> {
    /// Lowers the samples of `columns` to the depth that `depth` tells for their X.
    // Few neighbours at a time: the compiler turns each step into vector
    // instructions, and mostly the wood is gone already, which one look shows.
    fn lower(
        &mut self,
        columns: Range<usize>,
        depth: impl Fn(f64) -> f32,
        seen: &mut impl FnMut(usize, &[f32], &[f32]),
    ) {
        let mut start = columns.start;
        for depths in self.depths[columns].chunks_mut(CHUNK) {
            let end = start + depths.len();
            let least = depths.iter().copied().fold(f32::INFINITY, lesser);
            if least < self.deepest {
                let (mut before, mut after) = ([0.0; CHUNK], [0.0; CHUNK]);
                before[..depths.len()].copy_from_slice(depths);
                for (offset, (value, after)) in depths.iter_mut().zip(&mut after).enumerate() {
                    #[allow(clippy::cast_precision_loss)]
                    let x = self.first + (start + offset) as f64 * self.cell;
                    let new = depth(x);
                    *value = if new > *value { new } else { *value };
                    *after = *value;
                }
                let first = self.inner.start.clamp(start, end);
                let last = self.inner.end.clamp(first, end);
                if first < last {
                    let inside = first - start..last - start;
                    seen(self.base + first, &before[inside.clone()], &after[inside]);
                }
            }
            start = end;
        }
    }
}

/// The lesser of two numbers; `f32::min` also minds what is not a number.
fn lesser(a: f32, b: f32) -> f32 {
    if b < a { b } else { a }
}

/// How the depth that a straight move cuts changes from point to point.
#[derive(Clone, Copy)]
enum Form {
    /// Everywhere the same.
    Level,
    /// A drill goes straight down.
    Cone,
    /// The depth at which the bit is lowest while it covers the point.
    Slope,
}

/// What a straight move sweeps.
struct Sweep {
    form: Form,
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
        let depths = [top - leg.from[2], top - leg.to[2]];
        let form = if length == 0.0 && tip.point > 0.0 {
            Form::Cone
        } else if length == 0.0 || depths[0] == depths[1] {
            Form::Level
        } else {
            Form::Slope
        };
        Self {
            form,
            from: [leg.from[0], leg.from[1]],
            to: [leg.to[0], leg.to[1]],
            direction,
            length,
            depths,
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

    /// Where the line at `y` crosses the bit at the deeper end of the path.
    fn deeper_end(&self, y: f64) -> Option<(f64, f64)> {
        let [first, last] = self.depths;
        let end = if last > first { self.to } else { self.from };
        let square = self.tip.radius * self.tip.radius - (y - end[1]) * (y - end[1]);
        (square >= 0.0).then(|| (end[0] - square.sqrt(), end[0] + square.sqrt()))
    }

    /// How deep a drill that goes straight down cuts at a point under it.
    #[allow(clippy::cast_possible_truncation)]
    fn cone(&self, x: f64, y: f64) -> f32 {
        let (x, y) = (x - self.from[0], y - self.from[1]);
        let share = (x * x + y * y).sqrt() / self.tip.radius.max(1e-9);
        (self.depths[0].max(self.depths[1]) - self.tip.point * share) as f32
    }

    /// How deep a bit on a ramp cuts at a point it sweeps.
    #[allow(clippy::cast_possible_truncation)]
    fn slope(&self, x: f64, y: f64) -> f32 {
        let [first, last] = self.depths;
        let (x, y) = (x - self.from[0], y - self.from[1]);
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
        let mut lost = 0_u32;
        stock.cut(&leg, 0.0, FLAT, |_, before, after| {
            let pairs = before.iter().zip(after);
            lost += pairs.filter(|(before, after)| after > before).count() as u32;
        });
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
