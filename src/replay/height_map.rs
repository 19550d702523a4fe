//! The wood of one pocket as it is at this moment: how deep it is cut at
//! each of a grid of points.
//!
//! Each value is exact at its point for straight moves and level arcs; arcs
//! that go up or down are taken as chords within [`SAGITTA`]. Depths count down
//! from the board's face.

use std::cell::LazyCell;
use std::ops::Range;

use crate::replay::arc_sweep::Bend;
use crate::replay::grid::Grid;
use crate::replay::line_sweep::Sweep;
use crate::replay::sample_row::{FEW, Few, chosen, counted_from, greater, number, to_f32};
use crate::replay::segment::Segment;
use crate::replay::tip::Tip;

/// How far the chords that stand for an arc may leave it, in millimetres.
const SAGITTA: f64 = 0.008;

/// Wood nearer than this to the side of the bit is cut, but not counted as
/// cut by this move: two paths that ought to touch differ by the rounding of
/// their coordinates, and a sliver of that width is no wood. Millimetres.
pub(crate) const SLIVER: f64 = 0.015;

/// Depths at the samples of a grid.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct HeightMap {
    pub(crate) grid: Grid,
    /// Row by row, and [`FEW`] more that stand for no point, so that the last
    /// sample has neighbours too.
    pub(crate) depth: Vec<f32>,
}

/// A few samples that lie beside a floor, of whatever rows.
#[derive(Default)]
struct Edge {
    columns: Few,
    rows: Few,
    index: [usize; FEW],
    count: usize,
}

impl Edge {
    /// Tells whether there is no room for more.
    fn push(&mut self, grid: &Grid, column: usize, row: usize) -> bool {
        let place = self.count % FEW;
        self.columns[place] = to_f32(number(column));
        self.rows[place] = to_f32(number(row));
        self.index[place] = row * grid.columns + column;
        self.count = place + 1;
        self.count == FEW
    }
}

/// Hears what wood a move takes.
pub(crate) trait Witness {
    /// Of neighbours along X, the first one's index, the depths before and
    /// after. Of those beyond the move, both are the same.
    fn few(&mut self, first: usize, before: &Few, after: &Few);

    /// One sample.
    fn one(&mut self, index: usize, before: f32, after: f32);

    /// Neighbours that all go from one depth to another.
    fn even(&mut self, samples: Range<usize>, before: f32, after: f32);
}

impl Witness for () {
    fn few(&mut self, _: usize, _: &Few, _: &Few) {}

    fn one(&mut self, _: usize, _: f32, _: f32) {}

    fn even(&mut self, _: Range<usize>, _: f32, _: f32) {}
}

impl HeightMap {
    /// Uncut wood over the rectangle from `min` to `max`, in cells of `cell`.
    pub(crate) fn new(min: [f64; 2], max: [f64; 2], cell: f64) -> Self {
        let grid = Grid::new(min, max, cell);
        Self {
            grid,
            depth: vec![0.0; grid.columns * grid.rows + FEW],
        }
    }

    /// Takes away what `tip` sweeps along `segment`, `top` being the height of
    /// the board's face; `witness` hears what wood that is.
    pub(crate) fn cut(
        &mut self,
        segment: &Segment,
        top: f64,
        tip: Tip,
        witness: &mut impl Witness,
    ) {
        if tip.point == 0.0
            && let Some(bends) = Bend::quadrants(&self.grid, segment, tip.radius)
        {
            for bend in &bends {
                self.cut_bend(bend, to_f32(top - segment.to[2]), witness);
            }
            return;
        }
        for chord in segment.chords(SAGITTA) {
            self.cut_line(&Sweep::new(&self.grid, &chord, top, tip), witness);
        }
    }

    fn cut_bend(&mut self, bend: &Bend, depth: f32, witness: &mut impl Witness) {
        let grid = self.grid;
        let inner = bend.counted(grid.cells(SLIVER));
        for row in grid.rows_in(bend.stretch()) {
            let swept = grid.columns_in(bend.at(number(row)));
            let counted = || grid.columns_in(inner.at(number(row)));
            self.cut_row(row, &swept, counted, depth, |_| [depth; FEW], witness);
        }
    }

    fn cut_line(&mut self, sweep: &Sweep, witness: &mut impl Witness) {
        let grid = self.grid;
        let inner = sweep.counted(grid.cells(SLIVER));
        let deepest = sweep.deepest();
        let rows = grid.rows_in(sweep.stretch());
        let mut edge = Edge::default();
        for first in rows.clone().step_by(FEW) {
            let crossing = sweep.at(first);
            let swept = grid.columns_of(&crossing.swept);
            let floor = grid.columns_of(&sweep.floor(&crossing));
            let level = LazyCell::new(|| grid.columns_of(&sweep.level(&crossing)));
            let counted = LazyCell::new(|| grid.columns_of(&inner.at(first).swept));
            for row in first..rows.end.min(first + FEW) {
                let place = row - first;
                let (swept, floor) = (swept.of(place), floor.of(place));
                if self.lower_floor(sweep, row, &floor, witness) {
                    for columns in [swept.start..floor.start, floor.end..swept.end] {
                        for column in columns {
                            if edge.push(&grid, column, row) {
                                self.cut_edge(&mut edge, sweep, &inner, witness);
                            }
                        }
                    }
                } else {
                    let level = level.of(place);
                    let cut = |start: usize| {
                        if level.start <= start && swept.end.min(start + FEW) <= level.end {
                            [deepest; FEW]
                        } else {
                            let columns = counted_from(to_f32(number(start)));
                            sweep.depths(&columns, &[to_f32(number(row)); FEW])
                        }
                    };
                    self.cut_row(row, &swept, || counted.of(place), deepest, cut, witness);
                }
            }
        }
        self.cut_edge(&mut edge, sweep, &inner, witness);
    }

    /// What the bit stands over all along the move goes from its depth at the
    /// start to that at the end, if it has cut all of it to that depth: most
    /// of what a short move lowers. Tells whether that is so.
    fn lower_floor(
        &mut self,
        sweep: &Sweep,
        row: usize,
        columns: &Range<usize>,
        witness: &mut impl Witness,
    ) -> bool {
        let base = row * self.grid.columns;
        let samples = base + columns.start..base + columns.end;
        let Some(floor) = self.depth.get_mut(samples.clone()) else {
            return false;
        };
        let (first, deepest) = (sweep.first(), sweep.deepest());
        if floor.is_empty() || !are_all(floor, first) {
            return false;
        }
        if deepest > first {
            floor.fill(deepest);
            witness.even(samples, first, deepest);
        }
        true
    }

    /// Samples beside a floor that was lowered as one.
    fn cut_edge(
        &mut self,
        edge: &mut Edge,
        sweep: &Sweep,
        inner: &Sweep,
        witness: &mut impl Witness,
    ) {
        if edge.count == 0 {
            return;
        }
        let cut = sweep.depths(&edge.columns, &edge.rows);
        let counts = inner.covers(&edge.columns, &edge.rows);
        for place in 0..edge.count {
            let index = edge.index[place];
            let (old, new) = (self.depth[index], cut[place]);
            if new > old {
                self.depth[index] = new;
                if counts[place] {
                    witness.one(index, old, new);
                }
            }
        }
        edge.count = 0;
    }

    /// A row with whatever wood is in it. `cut` gives the depths of a few
    /// samples from a column on, none above `deepest`.
    fn cut_row(
        &mut self,
        row: usize,
        swept: &Range<usize>,
        counted: impl FnOnce() -> Range<usize>,
        deepest: f32,
        cut: impl Fn(usize) -> Few,
        witness: &mut impl Witness,
    ) {
        let counted = LazyCell::new(counted);
        for start in swept.clone().step_by(FEW) {
            let index = row * self.grid.columns + start;
            let Some(few) = self
                .depth
                .get_mut(index..)
                .and_then(<[f32]>::first_chunk_mut::<FEW>)
            else {
                return;
            };
            // Mostly the wood is gone already, which needs no more than a look.
            if few.iter().fold(true, |gone, &cut| gone & (cut >= deepest)) {
                continue;
            }
            let cut = cut(start);
            let (mut before, mut after) = (*few, *few);
            for place in 0..FEW {
                after[place] = greater(after[place], cut[place]);
            }
            if start < counted.start || start + FEW > counted.end {
                after = chosen(start, swept, &after, few);
                before = chosen(start, &counted, few, &after);
            }
            *few = after;
            witness.few(index, &before, &after);
        }
    }

    /// The least depth cut within `radius` of the path: the highest wood there.
    pub(crate) fn highest_beside(&self, segment: &Segment, radius: f64) -> Option<f32> {
        let tip = Tip { radius, point: 0.0 };
        let mut least: Option<f32> = None;
        for chord in segment.chords(SAGITTA) {
            let sweep = Sweep::new(&self.grid, &chord, 0.0, tip);
            let rows = self.grid.rows_in(sweep.stretch());
            for first in rows.clone().step_by(FEW) {
                let columns = self.grid.columns_of(&sweep.at(first).swept);
                for row in first..rows.end.min(first + FEW) {
                    self.find_least(row, columns.of(row - first), &mut least);
                }
            }
        }
        least
    }

    /// The least depth cut within `radius` of the rectangle from `min` to
    /// `max`: the highest wood there. `None` where no sample is.
    pub(crate) fn highest_wood(&self, min: [f64; 2], max: [f64; 2], radius: f64) -> Option<f32> {
        let mut least: Option<f32> = None;
        for row in self.grid.rows_between(min[1] - radius, max[1] + radius) {
            let y = self.grid.point(0, row)[1];
            let beside = (min[1] - y).max(y - max[1]).max(0.0);
            let reach = (radius * radius - beside * beside).max(0.0).sqrt();
            let columns = self.grid.columns_between(min[0] - reach, max[0] + reach);
            self.find_least(row, columns, &mut least);
        }
        least
    }

    /// Lowers `least` to the least depth in some columns of a row.
    fn find_least(&self, row: usize, columns: Range<usize>, least: &mut Option<f32>) {
        let base = row * self.grid.columns;
        for &depth in &self.depth[base + columns.start..base + columns.end] {
            *least = Some(least.map_or(depth, |other| other.min(depth)));
        }
    }
}

/// Whether all depths are the same. By a few at a time and the last few again,
/// which compiles to vector instructions.
fn are_all(depths: &[f32], depth: f32) -> bool {
    let same = |few: &Few| {
        few.iter()
            .fold(true, |same, &other| same & (other == depth))
    };
    let (chunks, _) = depths.as_chunks::<FEW>();
    match depths.last_chunk::<FEW>() {
        Some(last) => chunks.iter().all(same) && same(last),
        None => depths.iter().all(|&other| other == depth),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FLAT: Tip = Tip {
        radius: 3.0,
        point: 0.0,
    };

    fn stock() -> HeightMap {
        HeightMap::new([0.0, 0.0], [40.0, 10.0], 0.1)
    }

    fn at(stock: &HeightMap, x: f64, y: f64) -> f32 {
        let column = ((x - stock.grid.first[0]) / stock.grid.cell).round() as usize;
        let row = ((y - stock.grid.first[1]) / stock.grid.cell).round() as usize;
        stock.depth[row * stock.grid.columns + column]
    }

    #[test]
    fn a_level_cut_leaves_its_depth_where_the_bit_was_and_wood_elsewhere() {
        let mut stock = stock();
        let segment = Segment::line([10.0, 5.0, -2.0], [30.0, 5.0, -2.0]);
        stock.cut(&segment, 0.0, FLAT, &mut ());
        assert_eq!(at(&stock, 20.0, 5.0), 2.0);
        assert_eq!(at(&stock, 20.0, 7.9), 2.0);
        assert_eq!(at(&stock, 20.0, 8.1), 0.0);
        assert_eq!(at(&stock, 6.9, 5.0), 0.0);
        // 20 × 6 mm and a circle of 6 mm.
        let lost = stock.depth.iter().filter(|&&depth| depth > 0.0).count() as f64;
        let area = lost * stock.grid.cell_area();
        assert!((area - (120.0 + 9.0 * std::f64::consts::PI)).abs() < 1.0);
    }

    #[test]
    fn a_ramp_leaves_at_each_point_the_depth_at_which_the_bit_left_it() {
        let mut stock = stock();
        // 1 in 10.
        let segment = Segment::line([5.0, 5.0, 0.0], [35.0, 5.0, -3.0]);
        stock.cut(&segment, 0.0, FLAT, &mut ());
        // On the middle line the bit leaves x = 20.05 when its centre is at x = 23.05.
        assert!((at(&stock, 20.05, 5.05) - 1.805).abs() < 0.01);
        assert!((at(&stock, 36.0, 5.0) - 3.0).abs() < 1e-6);
    }

    #[test]
    fn depths_are_all_the_same_or_they_are_not() {
        for count in [1, FEW - 1, FEW, FEW + 3, 3 * FEW, 3 * FEW + 5] {
            let mut depths = vec![2.0; count];
            assert!(are_all(&depths, 2.0));
            assert!(!are_all(&depths, 2.5));
            for place in 0..count {
                depths[place] = 2.5;
                assert!(!are_all(&depths, 2.0), "{place} of {count}");
                depths[place] = 2.0;
            }
        }
    }

    /// Heights that a move is told to have taken.
    struct Sum(f32);

    impl Witness for Sum {
        fn few(&mut self, _: usize, before: &Few, after: &Few) {
            let taken = before
                .iter()
                .zip(after)
                .map(|(before, after)| after - before);
            self.0 += taken.sum::<f32>();
        }

        fn one(&mut self, _: usize, before: f32, after: f32) {
            self.0 += after - before;
        }

        fn even(&mut self, samples: Range<usize>, before: f32, after: f32) {
            self.0 += to_f32(number(samples.len())) * (after - before);
        }
    }

    /// What a second move takes beside the first, both 2 mm deep. Samples lie at
    /// 0.05, 0.15 and so on.
    fn beside(first: Segment, second: Segment) -> (HeightMap, f32) {
        let mut stock = stock();
        stock.cut(&first, 0.0, FLAT, &mut ());
        let mut sum = Sum(0.0);
        stock.cut(&second, 0.0, FLAT, &mut sum);
        (stock, sum.0)
    }

    /// The side of the first move lies at 8.04, of the second at 8.054 or 8.066:
    /// a hundredth and a half of it does not count. Both ways, along and across.
    #[test]
    fn a_sliver_at_the_side_is_cut_but_not_counted() {
        let along = |y: f64| Segment::line([10.0, y, -2.0], [30.0, y, -2.0]);
        let back = |y: f64| Segment::line([30.0, y, -2.0], [10.0, y, -2.0]);
        for path in [&along as &dyn Fn(f64) -> Segment, &back] {
            let (stock, taken) = beside(path(5.04), path(5.054));
            assert_eq!((at(&stock, 20.05, 8.05), taken), (2.0, 0.0));
            let (stock, taken) = beside(path(5.04), path(5.066));
            assert_eq!(at(&stock, 20.05, 8.05), 2.0);
            assert!((taken - 400.0).abs() < 30.0, "{taken}");
            // And at the other side.
            let (stock, taken) = beside(path(5.06), path(5.046));
            assert_eq!((at(&stock, 20.05, 2.05), taken), (2.0, 0.0));
        }
        let across = |x: f64| Segment::line([x, 4.0, -2.0], [x, 6.0, -2.0]);
        for (first, second, column) in [(20.04, 20.054, 23.05), (20.06, 20.046, 17.05)] {
            let (stock, taken) = beside(across(first), across(second));
            assert_eq!((at(&stock, column, 5.05), taken), (2.0, 0.0));
        }
        for (first, second) in [(20.04, 20.066), (20.06, 20.034)] {
            let (_, taken) = beside(across(first), across(second));
            // The straight of 2 mm, and a little of the rounds.
            assert!((40.0..60.0).contains(&taken), "{taken}");
        }
    }

    #[test]
    fn a_drill_leaves_its_cone() {
        let mut stock = stock();
        let tip = Tip {
            radius: 1.0,
            point: 0.6,
        };
        let segment = Segment::line([20.05, 5.05, 1.0], [20.05, 5.05, -5.0]);
        stock.cut(&segment, 0.0, tip, &mut ());
        assert!((at(&stock, 20.05, 5.05) - 5.0).abs() < 1e-6);
        assert!((at(&stock, 20.55, 5.05) - 4.7).abs() < 1e-5);
    }

    #[test]
    fn highest_wood_sees_what_stands_beside_the_cut() {
        let mut stock = stock();
        let segment = Segment::line([10.0, 5.0, -2.0], [30.0, 5.0, -2.0]);
        stock.cut(&segment, 0.0, FLAT, &mut ());
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
            let segment = Segment::line(at(pair[0]), at(pair[1]));
            stock.cut(&segment, 0.0, FLAT, &mut ());
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
