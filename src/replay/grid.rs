//! Points at even distances over a rectangle.

use std::ops::Range;

/// A grid whose cells tile a rectangle; each sample lies in the middle of its
/// cell, so that the grid is the same seen from either end. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Grid {
    /// X and Y of the first sample.
    pub(crate) first: [f64; 2],
    /// Distance between samples along X and Y.
    pub(crate) cell: [f64; 2],
    /// Samples to a millimetre.
    per_mm: [f64; 2],
    pub(crate) columns: usize,
    pub(crate) rows: usize,
}

impl Grid {
    /// Over the rectangle from `min` to `max`, in cells of about `cell`.
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
            per_mm: cell.map(|cell| 1.0 / cell),
            columns,
            rows,
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

    /// The samples of an axis whose coordinate lies in `low ..= high`.
    pub(crate) fn indices(&self, axis: usize, low: f64, high: f64) -> Range<usize> {
        let count = if axis == 0 { self.columns } else { self.rows };
        let index = |value: f64| (value - self.first[axis]) * self.per_mm[axis];
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

    /// Forty cells of 0.25 mm along X: samples at 0.125, 0.375 …
    fn grid() -> Grid {
        Grid::new([0.0, 0.0], [10.0, 5.0], 0.25)
    }

    #[test]
    fn samples_lie_in_the_middle_of_their_cells() {
        assert_eq!((grid().columns, grid().rows), (40, 20));
        assert_eq!(grid().point(0, 0), [0.125, 0.125]);
        assert_eq!(grid().point(39, 19), [9.875, 4.875]);
        assert_eq!(grid().cell_area(), 0.0625);
    }

    #[test]
    fn indices_are_of_the_samples_between_two_values() {
        assert_eq!(grid().indices(0, 0.3, 0.9), 1..4);
        assert_eq!(grid().indices(0, 0.375, 0.375), 1..2);
        assert_eq!(grid().indices(0, 0.4, 0.6), 2..2);
        assert_eq!(grid().indices(1, -7.0, 99.0), 0..20);
        assert_eq!(grid().indices(0, -7.0, -6.0), 0..0);
        assert!(grid().indices(0, 90.0, 99.0).is_empty());
        assert_eq!(grid().indices(0, f64::NEG_INFINITY, f64::INFINITY), 0..40);
    }
}
