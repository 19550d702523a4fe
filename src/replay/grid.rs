//! Points at even distances over a rectangle.

use std::ops::Range;

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

    /// The samples of an axis whose coordinate lies in `low ..= high`.
    pub(crate) fn indices(&self, axis: usize, low: f64, high: f64) -> Range<usize> {
        let count = if axis == 0 { self.columns } else { self.rows };
        let index = |value: f64| (value - self.first[axis]) * self.per_mm;
        // A cast cuts off toward zero, and is quicker than `floor` and `ceil`.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let (first, end) = {
            let (low, high) = (index(low).max(0.0), (index(high) + 1.0).max(0.0));
            let whole = low as u32;
            (
                whole.saturating_add(u32::from(f64::from(whole) < low)),
                high as u32,
            )
        };
        (first as usize).min(count)..(end as usize).min(count)
    }
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
    fn indices_are_of_the_samples_between_two_values() {
        assert_eq!(grid().indices(0, 0.3, 0.9), 2..5);
        assert_eq!(grid().indices(0, 0.375, 0.375), 2..3);
        assert_eq!(grid().indices(0, 0.4, 0.6), 3..3);
        assert_eq!(grid().indices(1, -7.0, 99.0), 0..22);
        assert_eq!(grid().indices(0, -7.0, -6.0), 0..0);
        assert!(grid().indices(0, 90.0, 99.0).is_empty());
        assert_eq!(grid().indices(0, f64::NEG_INFINITY, f64::INFINITY), 0..42);
    }
}
