//! Points at even distances over a rectangle.

use std::array::from_fn;
use std::ops::Range;

use crate::replay::sample_row::{FEW, Spans, greater, lesser, number, to_f32};

/// Most cells along an axis, but for those to spare.
const MOST: f64 = 4_000.0;

/// A grid of square cells centred on a rectangle, which it covers with a cell
/// to spare on each side; a sample lies in the middle of its cell, so that the
/// grid is the same seen from either end. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Grid {
    /// X and Y of the first sample.
    pub(crate) first: [f64; 2],
    /// Distance between neighbours.
    pub(crate) cell: f64,
    /// Samples to a millimetre.
    per_mm: f64,
    pub(crate) columns: usize,
    pub(crate) rows: usize,
}

impl Grid {
    /// Over the rectangle from `min` to `max`, in cells of `cell`, or larger
    /// where there would be more than [`MOST`] along an axis.
    pub(crate) fn new(min: [f64; 2], max: [f64; 2], cell: f64) -> Self {
        let size = [0, 1].map(|axis| (max[axis] - min[axis]).max(0.0));
        let cell = cell.max(size[0].max(size[1]) / MOST);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let [columns, rows] = size.map(|size| (size / cell - 1e-9).ceil() as usize + 2);
        let first = |axis: usize, count: usize| {
            #[allow(clippy::cast_precision_loss)]
            let half = (count - 1) as f64 * cell / 2.0;
            f64::midpoint(min[axis], max[axis]) - half
        };
        Self {
            first: [first(0, columns), first(1, rows)],
            cell,
            per_mm: 1.0 / cell,
            columns,
            rows,
        }
    }

    pub(crate) fn point(&self, column: usize, row: usize) -> [f64; 2] {
        #[allow(clippy::cast_precision_loss)]
        [
            self.first[0] + column as f64 * self.cell,
            self.first[1] + row as f64 * self.cell,
        ]
    }

    /// Area that one sample stands for, in square millimetres.
    pub(crate) fn cell_area(&self) -> f64 {
        self.cell * self.cell
    }

    /// A length in cells.
    pub(crate) fn cells(&self, length: f64) -> f64 {
        length * self.per_mm
    }

    /// Where a point lies, in cells from the first sample.
    pub(crate) fn cells_to(&self, point: [f64; 2]) -> [f64; 2] {
        [0, 1].map(|axis| self.cells(point[axis] - self.first[axis]))
    }

    /// The columns whose X lies in `low ..= high`, in millimetres.
    pub(crate) fn columns_between(&self, low: f64, high: f64) -> Range<usize> {
        let cells = |x: f64| self.cells(x - self.first[0]);
        self.columns_in((cells(low), cells(high)))
    }

    /// The rows whose Y lies in `low ..= high`, in millimetres.
    pub(crate) fn rows_between(&self, low: f64, high: f64) -> Range<usize> {
        let cells = |y: f64| self.cells(y - self.first[1]);
        self.rows_in((cells(low), cells(high)))
    }

    /// The columns that lie in a span of cells.
    pub(crate) fn columns_in(&self, span: (f64, f64)) -> Range<usize> {
        whole_numbers(span, self.columns)
    }

    /// The columns that lie in spans of cells, for each of a few rows.
    pub(crate) fn columns_of(&self, spans: &Spans) -> Columns {
        let count = to_f32(number(self.columns));
        let within = |cells: f32| lesser(greater(cells, 0.0), count);
        let end = spans.high.map(|high| {
            let high = within(high + 1.0);
            let whole = nearest(high);
            whole - if whole > high { 1.0 } else { 0.0 }
        });
        let first = from_fn(|place| {
            let low = within(spans.low[place]);
            let whole = nearest(low);
            lesser(whole + if whole < low { 1.0 } else { 0.0 }, end[place])
        });
        Columns {
            first: first.map(digits),
            end: end.map(digits),
        }
    }

    /// The rows that lie in a span of cells.
    pub(crate) fn rows_in(&self, span: (f64, f64)) -> Range<usize> {
        whole_numbers(span, self.rows)
    }
}

/// Columns of each of a few rows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Columns {
    first: [u32; FEW],
    end: [u32; FEW],
}

impl Columns {
    /// Of one of the rows.
    pub(crate) fn of(&self, place: usize) -> Range<usize> {
        self.first[place] as usize..self.end[place] as usize
    }
}

/// From here on a single float has no room for a fraction: added to a smaller
/// number it leaves the nearest whole one in the last bits. A cast would be a
/// step for each of a few numbers, for it minds all that is no whole number.
const NO_FRACTION: f32 = 8_388_608.0;

fn nearest(number: f32) -> f32 {
    (number + NO_FRACTION) - NO_FRACTION
}

/// A whole number of no more than 16 bits.
fn digits(whole: f32) -> u32 {
    (whole + NO_FRACTION).to_bits() & 0xffff
}

/// The whole numbers in `low ..= high` that are less than `count`.
// A cast cuts off toward zero, and is quicker than `floor` and `ceil`.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn whole_numbers((low, high): (f64, f64), count: usize) -> Range<usize> {
    let whole = low as u32;
    let first = whole.saturating_add(u32::from(f64::from(whole) < low)) as usize;
    let end = ((high + 1.0) as u32 as usize).min(count);
    first.min(end)..end
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Forty cells along X and one to spare at each end: samples at -0.125, 0.125 …
    fn grid() -> Grid {
        Grid::new([0.0, 0.0], [10.0, 5.0], 0.25)
    }

    #[test]
    fn samples_lie_in_the_middle_of_their_cells() {
        assert_eq!((grid().columns, grid().rows), (42, 22));
        assert_eq!(grid().point(0, 0), [-0.125, -0.125]);
        assert_eq!(grid().point(41, 21), [10.125, 5.125]);
        assert_eq!(grid().cell_area(), 0.0625);
    }

    #[test]
    fn a_rectangle_that_no_whole_cells_fill_is_covered_alike_at_both_ends() {
        let grid = Grid::new([2.0, 0.0], [3.1, 1.0], 0.25);
        let last = grid.point(grid.columns - 1, 0)[0];
        assert!((grid.first[0] - 2.0 + last - 3.1).abs() < 1e-12);
        assert!(grid.first[0] - 0.125 <= 2.0 - 0.25);
    }

    #[test]
    fn a_grid_does_not_grow_beyond_measure() {
        let grid = Grid::new([0.0, 0.0], [1e9, 1.0], 0.1);
        assert_eq!((grid.columns, grid.rows), (4_002, 3));
    }

    #[test]
    fn columns_and_rows_are_of_the_samples_between_two_values() {
        let columns = |low, high| grid().columns_between(low, high);
        assert_eq!(columns(0.3, 0.9), 2..5);
        assert_eq!(columns(0.375, 0.375), 2..3);
        assert_eq!(columns(0.4, 0.6), 3..3);
        assert_eq!(columns(-7.0, -6.0), 0..0);
        assert_eq!(columns(0.9, 0.3), 2..2);
        assert!(columns(90.0, 99.0).is_empty());
        assert_eq!(columns(f64::NEG_INFINITY, f64::INFINITY), 0..42);
        assert!(columns(f64::INFINITY, f64::NEG_INFINITY).is_empty());
        assert_eq!(grid().rows_between(0.3, 0.9), 2..5);
        assert_eq!(grid().rows_between(-7.0, 99.0), 0..22);
        assert_eq!(grid().rows_in((2.0, 4.9)), 2..5);
        assert_eq!(grid().columns_in((41.0, 42.0)), 41..42);
    }

    #[test]
    fn columns_of_a_few_rows_are_those_of_each() {
        for (low, high) in [
            (2.3, 4.9),
            (2.0, 4.0),
            (2.6, 2.9),
            (-7.5, -3.5),
            (-7.5, 3.5),
            (40.5, 77.0),
            (50.0, 77.0),
            (0.0, 41.0),
            (41.0, 42.0),
            (f64::NEG_INFINITY, f64::INFINITY),
            (f64::INFINITY, f64::NEG_INFINITY),
            (2.5, 1.5),
        ] {
            let mut spans = Spans::NONE;
            (spans.low[3], spans.high[3]) = (to_f32(low), to_f32(high));
            let columns = grid().columns_of(&spans);
            assert_eq!(
                columns.of(3),
                grid().columns_in((low, high)),
                "{low} {high}"
            );
            assert!(columns.of(2).is_empty() && columns.of(4).is_empty());
        }
    }

    #[test]
    fn cells_are_counted_from_the_first_sample() {
        assert_eq!(grid().cells(1.0), 4.0);
        assert_eq!(grid().cells_to([0.375, -0.375]), [2.0, -1.0]);
    }
}
