//! The wood of one pocket as it is at this moment: how deep it is cut at
//! each of a grid of points.
//!
//! Each value is exact at its point for straight moves; arcs are taken as
//! chords within [`SAGITTA`]. Depths count down from the board's face.

use std::array::from_fn;
use std::ops::Range;

use crate::replay::grid::Grid;
use crate::replay::leg::Leg;
use crate::replay::sweep::Sweep;

/// How far the chords that stand for an arc may leave it, in millimetres.
const SAGITTA: f64 = 0.008;

/// Samples looked at together: a step over so many compiles to vector
/// instructions, and mostly one look shows that their wood is gone already.
pub(crate) const FEW: usize = 16;

/// Neighbours along X.
pub(crate) type Few = [f32; FEW];

/// Their numbers.
pub(crate) const PLACES: [i32; FEW] = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15];

/// Wood nearer than this to the side of the bit is cut, but not counted as
/// cut by this move: two paths that ought to touch differ by the rounding of
/// their coordinates, and a sliver of that width is no wood. Millimetres.
pub(crate) const SLIVER: f64 = 0.015;

/// Depths at the samples of a grid.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Stock {
    pub(crate) grid: Grid,
    /// Row by row, and [`FEW`] more that stand for no point, so that the last
    /// sample has neighbours too.
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
    /// Uncut wood over the rectangle from `min` to `max`, in cells of `cell`.
    pub(crate) fn new(min: [f64; 2], max: [f64; 2], cell: f64) -> Self {
        let grid = Grid::new(min, max, cell);
        Self {
            grid,
            depth: vec![0.0; grid.columns * grid.rows + FEW],
        }
    }

    /// Takes away what `tip` sweeps along `leg`, `top` being the height of
    /// the board's face. `seen` is told of samples that lose wood, a few
    /// neighbours at a time: the first one's index, the depths before and
    /// after. Of those beyond the move both are the same.
    pub(crate) fn cut(
        &mut self,
        leg: &Leg,
        top: f64,
        tip: Tip,
        mut seen: impl FnMut(usize, &Few, &Few),
    ) {
        for chord in leg.chords(SAGITTA) {
            self.cut_line(&Sweep::new(&chord, top, tip), &mut seen);
        }
    }

    fn cut_line(&mut self, sweep: &Sweep, seen: &mut impl FnMut(usize, &Few, &Few)) {
        let radius = sweep.tip.radius;
        let (low, high) = sweep.stretch(radius);
        let inner = sweep.counted(SLIVER);
        let grid = self.grid;
        for row in grid.indices(1, low, high) {
            let y = grid.point(0, row)[1];
            let across = |span: Option<(f64, f64)>| {
                span.map_or(0..0, |(first, last)| grid.indices(0, first, last))
            };
            let swept = across(sweep.span(y, radius));
            let base = row * grid.columns;
            let starts = || swept.clone().step_by(FEW);
            // Mostly the wood is gone already, which needs no more than a look.
            if starts().all(|start| self.is_gone(base + start, sweep.deepest)) {
                continue;
            }
            let counted = across(inner.span(y, inner.tip.radius));
            let level = across(sweep.level_span(y));
            for start in starts() {
                if let Some(few) = self.depth[base + start..].first_chunk_mut::<FEW>() {
                    let is_level = level.start <= start && swept.end.min(start + FEW) <= level.end;
                    let cut = if is_level {
                        [sweep.deepest; FEW]
                    } else {
                        sweep.depths(grid.point(start, row), grid.cell)
                    };
                    let (mut before, mut after) = (*few, *few);
                    for place in 0..FEW {
                        after[place] = greater(after[place], cut[place]);
                    }
                    if start < counted.start || start + FEW > counted.end {
                        after = chosen(start, &swept, &after, few);
                        before = chosen(start, &counted, few, &after);
                    }
                    *few = after;
                    seen(base + start, &before, &after);
                }
            }
        }
    }

    /// Whether a few samples are all cut to `depth` or deeper.
    fn is_gone(&self, index: usize, depth: f32) -> bool {
        let few = self.depth[index..].first_chunk::<FEW>();
        few.is_none_or(|few| joined(*few, lesser) >= depth)
    }

    /// The least depth cut within `radius` of the path: the highest wood there.
    pub(crate) fn highest_beside(&self, leg: &Leg, radius: f64) -> Option<f32> {
        let tip = Tip { radius, point: 0.0 };
        let mut least: Option<f32> = None;
        for chord in leg.chords(SAGITTA) {
            let sweep = Sweep::new(&chord, 0.0, tip);
            let (low, high) = sweep.stretch(radius);
            for row in self.grid.indices(1, low, high) {
                if let Some((first, last)) = sweep.span(self.grid.point(0, row)[1], radius) {
                    self.find_least(row, first, last, &mut least);
                }
            }
        }
        least
    }

    /// The least depth cut within `radius` of the rectangle from `min` to
    /// `max`: the highest wood there. `None` where no sample is.
    pub(crate) fn highest_wood(&self, min: [f64; 2], max: [f64; 2], radius: f64) -> Option<f32> {
        let mut least: Option<f32> = None;
        for row in self.grid.indices(1, min[1] - radius, max[1] + radius) {
            let y = self.grid.point(0, row)[1];
            let beside = (min[1] - y).max(y - max[1]).max(0.0);
            let reach = (radius * radius - beside * beside).max(0.0).sqrt();
            self.find_least(row, min[0] - reach, max[0] + reach, &mut least);
        }
        least
    }

    /// Lowers `least` to the least depth of a row between two values of X.
    fn find_least(&self, row: usize, first: f64, last: f64, least: &mut Option<f32>) {
        let columns = self.grid.indices(0, first, last);
        let base = row * self.grid.columns;
        for &depth in &self.depth[base + columns.start..base + columns.end] {
            *least = Some(least.map_or(depth, |other| other.min(depth)));
        }
    }
}

/// `inside` for the samples in `columns`, `outside` for the others; the first
/// of them is number `start`.
fn chosen(start: usize, columns: &Range<usize>, inside: &Few, outside: &Few) -> Few {
    let place = |column: usize| i32::try_from(column.saturating_sub(start)).unwrap_or(i32::MAX);
    let (first, end) = (place(columns.start), place(columns.end));
    from_fn(|place| {
        let is_inside = first <= PLACES[place] && PLACES[place] < end;
        if is_inside {
            inside[place]
        } else {
            outside[place]
        }
    })
}

/// Joins a few numbers by halves, which compiles to vector instructions.
pub(crate) fn joined(mut few: Few, join: impl Fn(f32, f32) -> f32) -> f32 {
    let mut half = FEW / 2;
    while half > 0 {
        for place in 0..half {
            few[place] = join(few[place], few[place + half]);
        }
        half /= 2;
    }
    few[0]
}

/// `f32::min` and `f32::max` also mind what is not a number, and are slower.
pub(crate) fn lesser(a: f32, b: f32) -> f32 {
    if b < a { b } else { a }
}

pub(crate) fn greater(a: f32, b: f32) -> f32 {
    if b > a { b } else { a }
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
        let column = ((x - stock.grid.first[0]) / stock.grid.cell).round() as usize;
        let row = ((y - stock.grid.first[1]) / stock.grid.cell).round() as usize;
        stock.depth[row * stock.grid.columns + column]
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
        let area = f64::from(lost) * stock.grid.cell_area();
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
        let area = f64::from(samples) * stock.grid.cell_area();
        // The crate's rounds are polygons, and a sample stands for 0.01 mm².
        assert!(
            (area - expected).abs() < 0.005 * expected,
            "{area} {expected}"
        );
    }
}
