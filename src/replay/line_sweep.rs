//! What a straight move sweeps, and how deep, row by row of a grid.

use std::array::from_fn;

use crate::replay::grid::Grid;
use crate::replay::sample_row::{FEW, Few, Spans, counted_from, greater, lesser, number, to_f32};
use crate::replay::segment::Segment;
use crate::replay::tip::Tip;

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

/// A stretch, from and to.
pub(crate) type Span = (f64, f64);

/// What a few rows cross of a sweep.
pub(crate) struct Crossing {
    /// All that is swept.
    pub(crate) swept: Spans,
    /// What the bit covers at the start, and at the end.
    under: [Spans; 2],
}

impl Sweep {
    pub(crate) fn new(grid: &Grid, segment: &Segment, top: f64, tip: Tip) -> Self {
        let [from, to] = [segment.from, segment.to].map(|[x, y, _]| grid.cells_to([x, y]));
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
            depths: [top - segment.from[2], top - segment.to[2]],
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
        let ahead = 3.0 * (sliver - sliver.min(self.length / 32.0));
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
    pub(crate) fn stretch(&self) -> Span {
        (
            lesser(self.from[1], self.to[1]) - self.radius,
            greater(self.from[1], self.to[1]) + self.radius,
        )
    }

    /// What a few rows cross, the first of them at `row`.
    // In single precision from the path: no error above 0.001 cells.
    pub(crate) fn at(&self, row: usize) -> Crossing {
        let below = |y: f64| counted_from(to_f32(number(row) - y));
        let under = [self.from, self.to].map(|[x, y]| {
            let radius = to_f32(self.radius);
            let square = below(y).map(|away| radius * radius - away * away);
            let half = square.map(|square| greater(square, 0.0).sqrt());
            Spans::about(&[to_f32(x); FEW], &half, |place| square[place] >= 0.0)
        });
        let mut swept = under[0].with(&under[1]);
        let (run, rise) = (self.to[0] - self.from[0], self.to[1] - self.from[1]);
        if rise != 0.0 {
            let (lean, rise) = (to_f32(run / rise), to_f32(rise));
            for [x, y] in self.sides {
                let along = below(y);
                let at = along.map(|along| to_f32(x) + along * lean);
                let side = Spans::about(&at, &[0.0; FEW], |place| {
                    along[place] * (along[place] - rise) <= 0.0
                });
                swept = swept.with(&side);
            }
        }
        Crossing { swept, under }
    }

    /// What is cut to the greatest depth: all of a level move, else what lies
    /// under the bit at its deeper end.
    pub(crate) fn level(&self, crossing: &Crossing) -> Spans {
        let [first, last] = self.depths;
        let [start, end] = crossing.under;
        if self.is_cone() {
            Spans::NONE
        } else if first == last {
            crossing.swept
        } else if last > first {
            end
        } else {
            start
        }
    }

    /// What a flat end stands over all along a move that does not rise.
    pub(crate) fn floor(&self, crossing: &Crossing) -> Spans {
        if self.depths[1] < self.depths[0] || self.point > 0.0 {
            return Spans::NONE;
        }
        let [first, last] = &crossing.under;
        first.common(last)
    }

    /// Whether a drill goes straight down.
    fn is_cone(&self) -> bool {
        self.length == 0.0 && self.point > 0.0
    }

    /// Which of a few samples are swept.
    pub(crate) fn covers(&self, columns: &Few, rows: &Few) -> [bool; FEW] {
        let [from_x, from_y] = self.from.map(to_f32);
        let [along_x, along_y] = self.direction.map(to_f32);
        let (radius, length) = (to_f32(self.radius), to_f32(self.length));
        from_fn(|place| {
            let (x, y) = (columns[place] - from_x, rows[place] - from_y);
            let along = lesser(greater(x * along_x + y * along_y, 0.0), length);
            let (x, y) = (x - along * along_x, y - along * along_y);
            x * x + y * y <= radius * radius
        })
    }

    /// How deep the bit cuts at each of a few samples that it sweeps: while it
    /// covers a sample it is lowest where it comes to it or leaves it.
    // In single precision from the start of the move: no error above 0.00002 mm.
    pub(crate) fn depths(&self, columns: &Few, rows: &Few) -> Few {
        let [from_x, from_y] = self.from.map(to_f32);
        let radius = to_f32(self.radius);
        let [first, last] = self.depths.map(to_f32);
        if self.is_cone() {
            let (deepest, fall) = (self.deepest(), to_f32(self.point) / radius.max(1e-9));
            return from_fn(|place| {
                let (x, y) = (columns[place] - from_x, rows[place] - from_y);
                deepest - fall * (x * x + y * y).sqrt()
            });
        }
        let [along_x, along_y] = self.direction.map(to_f32);
        let rate = to_f32((self.depths[1] - self.depths[0]) / self.length.max(1e-9));
        let (least, most) = (lesser(first, last), greater(first, last));
        let ahead = if last > first { 1.0 } else { -1.0 };
        from_fn(|place| {
            let (x, y) = (columns[place] - from_x, rows[place] - from_y);
            let along = x * along_x + y * along_y;
            let beside = y * along_x - x * along_y;
            let half = greater(radius * radius - beside * beside, 0.0).sqrt();
            lesser(greater(first + rate * (along + ahead * half), least), most)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Cells of 1 mm, the first sample at (0.5, 0.5).
    fn sweep(from: [f64; 3], to: [f64; 3], tip: Tip) -> Sweep {
        let grid = Grid::new([1.0, 1.0], [39.0, 39.0], 1.0);
        assert_eq!(grid.first, [0.5, 0.5]);
        Sweep::new(&grid, &Segment::line(from, to), 0.0, tip)
    }

    const FLAT: Tip = Tip {
        radius: 5.0,
        point: 0.0,
    };

    const DRILL: Tip = Tip {
        radius: 5.0,
        point: 2.0,
    };

    /// From sample (10, 10) to (18, 16), 3-4-5 on a slope, 1 to 3 mm deep.
    fn slope() -> Sweep {
        sweep([10.5, 10.5, -1.0], [18.5, 16.5, -3.0], FLAT)
    }

    /// Of the second of the rows that are looked at together.
    fn second(spans: &Spans) -> (f32, f32) {
        (spans.low[1], spans.high[1])
    }

    fn swept(sweep: &Sweep, row: usize) -> (f32, f32) {
        second(&sweep.at(row - 1).swept)
    }

    fn level(sweep: &Sweep, row: usize) -> (f32, f32) {
        second(&sweep.level(&sweep.at(row - 1)))
    }

    fn floor(sweep: &Sweep, row: usize) -> (f32, f32) {
        second(&sweep.floor(&sweep.at(row - 1)))
    }

    #[track_caller]
    fn near(found: (f32, f32), expected: Span) {
        let apart = (f64::from(found.0) - expected.0)
            .abs()
            .max((f64::from(found.1) - expected.1).abs());
        assert!(apart < 1e-5, "{found:?} is not {expected:?}");
    }

    // Hand-computed: the sides lie 5 beside the path, so from (7, 14) to (15, 20)
    // and from (13, 6) to (21, 12).
    #[test]
    fn a_row_is_crossed_from_side_to_side() {
        assert_eq!(slope().stretch(), (5.0, 21.0));
        near(swept(&slope(), 6), (7.0, 13.0));
        near(swept(&slope(), 9), (10.0 - 24.0_f64.sqrt(), 17.0));
        near(swept(&slope(), 17), (11.0, 18.0 + 24.0_f64.sqrt()));
        near(swept(&slope(), 20), (15.0, 21.0));
        let beyond = swept(&slope(), 4);
        assert!(beyond.0 > beyond.1);
        // The other way round it is the same.
        let back = sweep([18.5, 16.5, -1.0], [10.5, 10.5, -3.0], FLAT);
        for row in 5..=21 {
            let (low, high) = swept(&slope(), row);
            near(swept(&back, row), (low.into(), high.into()));
        }
    }

    // In row 13 the discs at both ends reach 4 to each side: 6 to 14 and 14 to
    // 22; in row 12 √21 about 10 and 3 about 18.
    #[test]
    fn what_is_level_and_what_is_floor_follows_from_the_ends() {
        const NOTHING: (f32, f32) = (f32::INFINITY, f32::NEG_INFINITY);
        let sloping = slope();
        near(level(&sloping, 12), (15.0, 21.0));
        near(floor(&sloping, 12), (15.0, 10.0 + 21.0_f64.sqrt()));
        near(floor(&sloping, 13), (14.0, 14.0));
        let rising = sweep([10.5, 10.5, -3.0], [18.5, 16.5, -1.0], FLAT);
        let half = 21.0_f64.sqrt();
        near(level(&rising, 12), (10.0 - half, 10.0 + half));
        assert_eq!(floor(&rising, 12), NOTHING);
        let flat = sweep([10.5, 10.5, -3.0], [18.5, 16.5, -3.0], FLAT);
        assert_eq!(level(&flat, 12), swept(&flat, 12));
        near(floor(&flat, 12), (15.0, 10.0 + half));
        let drill = sweep([10.5, 10.5, -1.0], [10.5, 10.5, -3.0], DRILL);
        assert_eq!((level(&drill, 10), floor(&drill, 10)), (NOTHING, NOTHING));
    }

    fn covers(sweep: &Sweep, column: f32, row: f32) -> bool {
        let covers = sweep.covers(&counted_from(column - 1.0), &[row; FEW]);
        covers[1]
    }

    // 3-4-5 from the ends and square to the path.
    #[test]
    fn samples_are_covered_as_far_as_the_radius() {
        for (column, row, covered) in [
            (5.0, 10.0, true),
            (4.9, 10.0, false),
            (7.0, 6.0, true),
            (6.9, 6.0, false),
            (18.0, 21.0, true),
            (18.0, 21.1, false),
            (22.0, 19.0, true),
            (22.1, 19.0, false),
            (11.0, 17.0, true),
            (10.9, 17.1, false),
            (17.0, 9.0, true),
            (17.1, 8.9, false),
        ] {
            assert_eq!(covers(&slope(), column, row), covered, "{column} {row}");
        }
    }

    // A tenth of a millimetre deeper for each half a millimetre of the way: the
    // middle of the path is 5 on, and left 5 later.
    #[test]
    fn a_sample_is_as_deep_as_the_bit_left_it() {
        let depth = |sweep: &Sweep, column: f32, row: f32| {
            let depths = sweep.depths(&counted_from(column - 1.0), &[row; FEW]);
            f64::from(depths[1])
        };
        let close = |found: f64, expected: f64| {
            assert!((found - expected).abs() < 1e-5, "{found} is not {expected}");
        };
        close(depth(&slope(), 14.0, 13.0), 3.0);
        close(depth(&slope(), 10.0, 10.0), 2.0);
        // 3 beside an end: left 4 after it, or come to 4 before it.
        close(depth(&slope(), 8.2, 12.4), 1.8);
        close(depth(&slope(), 7.0, 6.0), 1.0);
        let rising = sweep([10.5, 10.5, -3.0], [18.5, 16.5, -1.0], FLAT);
        close(depth(&rising, 18.0, 16.0), 2.0);
        close(depth(&rising, 16.2, 18.4), 1.8);
        let drill = sweep([10.5, 10.5, 4.0], [10.5, 10.5, -3.0], DRILL);
        close(depth(&drill, 10.0, 10.0), 3.0);
        close(depth(&drill, 13.0, 14.0), 1.0);
        // A drill that goes sideways counts as flat.
        let sideways = sweep([10.5, 10.5, -1.0], [18.5, 16.5, -3.0], DRILL);
        close(depth(&sideways, 8.2, 12.4), 1.8);
        close(depth(&sideways, 14.0, 13.0), 3.0);
    }

    // A move 32 times as long as the sliver counts that much less at all sides:
    // here one of 10 mm a quarter of a millimetre, from (7.15, 13.8) to (15.15, 19.8)
    // and from (12.85, 6.2) to (20.85, 12.2). One of 2 mm counts three times the
    // sliver, less 3/32 of its length, further ahead.
    #[test]
    fn what_counts_is_less_at_the_sides_and_not_ahead_of_a_short_move() {
        let long = slope().counted(0.25);
        let half = (4.75_f64 * 4.75 - 4.0).sqrt();
        near(swept(&long, 10), (5.25, 12.85 + 3.8 * 8.0 / 6.0));
        near(swept(&long, 18), (7.15 + 4.2 * 8.0 / 6.0, 18.0 + half));
        let short = sweep([10.5, 10.5, -1.0], [12.5, 10.5, -1.0], FLAT);
        near(swept(&short.counted(1.0), 10), (6.0, 18.8125));
        near(swept(&short.counted(0.5), 10), (5.5, 17.8125));
        assert!(covers(&short.counted(1.0), 18.8, 10.0));
        assert!(!covers(&short.counted(1.0), 18.9, 10.0));
    }
}
