//! What a level arc sweeps, row by row of a grid.

use std::f64::consts::FRAC_PI_2;

use crate::replay::grid::Grid;
use crate::replay::line_sweep::Span;
use crate::replay::sample_row::{greater, lesser};
use crate::replay::segment::Segment;

/// The radii at both ends of an arc may differ by this; their mean is then
/// within half of it. Millimetres.
const ROUNDED: f64 = 0.004;

/// A shorter arc is taken as a line, in millimetres.
const SHORT: f64 = 0.1;

/// A part of an arc within one quadrant of its circle, so that what the bit
/// covers in a row is one stretch: as the bit goes along, the row's part under
/// it moves without a gap. Along X and Y lengths are in cells of the grid, from
/// its first sample.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bend {
    center: [f64; 2],
    /// Its ends from the centre, counter-clockwise.
    ends: [[f64; 2]; 2],
    /// Of the arc, and of the bit.
    radius: f64,
    reach: f64,
}

impl Bend {
    /// The quadrants of an arc swept by a bit of radius `reach`; nothing where
    /// the segment is no level arc, or hardly one.
    pub(crate) fn quadrants(grid: &Grid, segment: &Segment, reach: f64) -> Option<Vec<Self>> {
        let turn = segment.turn?;
        let is_level = segment.from[2] == segment.to[2];
        let is_round = (turn.radius - turn.end_radius).abs() <= ROUNDED;
        if !is_level || !is_round || segment.level_length() < SHORT {
            return None;
        }
        let center = grid.cells_to(turn.center);
        let radius = grid.cells(f64::midpoint(turn.radius, turn.end_radius));
        let from_center = |point: [f64; 3]| {
            let point = grid.cells_to([point[0], point[1]]);
            [0, 1].map(|axis| point[axis] - center[axis])
        };
        let (mut start, mut end) = (from_center(segment.from), from_center(segment.to));
        let mut first = turn.start;
        if turn.sweep < 0.0 {
            (start, end) = (end, start);
            first += turn.sweep;
        }
        let last = first + turn.sweep.abs();
        let mut bends = Vec::new();
        let mut bend = |ends| {
            bends.push(Self {
                center,
                ends,
                radius,
                reach: grid.cells(reach),
            });
        };
        let mut quadrant = (first / FRAC_PI_2).floor() + 1.0;
        while quadrant * FRAC_PI_2 < last {
            let (sin, cos) = (quadrant * FRAC_PI_2).sin_cos();
            let point = [radius * cos, radius * sin];
            bend([start, point]);
            start = point;
            quadrant += 1.0;
        }
        bend([start, end]);
        Some(bends)
    }

    /// The same by a bit that is smaller by `sliver`.
    pub(crate) fn counted(&self, sliver: f64) -> Self {
        Self {
            reach: self.reach - sliver,
            ..*self
        }
    }

    /// The stretch of Y that is swept.
    pub(crate) fn stretch(&self) -> Span {
        let [start, end] = self.ends;
        let y = self.center[1];
        (
            y + lesser(start[1], end[1]) - self.reach,
            y + greater(start[1], end[1]) + self.reach,
        )
    }

    /// Where the row at `y` crosses what is swept; nowhere where the first is the
    /// greater.
    pub(crate) fn at(&self, y: f64) -> Span {
        let y = y - self.center[1];
        let mut swept = (f64::INFINITY, f64::NEG_INFINITY);
        let mut add = |x: f64| swept = (lesser(swept.0, x), greater(swept.1, x));
        for end in self.ends {
            if let Some(half) = half_chord(self.reach, y - end[1]) {
                add(end[0] - half);
                add(end[0] + half);
            }
        }
        // Outside and inside of the band between the ends.
        for rim in [self.radius + self.reach, self.radius - self.reach] {
            if rim > 0.0
                && let Some(half) = half_chord(rim, y)
            {
                for x in [-half, half] {
                    if self.faces([x, y]) {
                        add(x);
                    }
                }
            }
        }
        let (low, high) = swept;
        (self.center[0] + low, self.center[0] + high)
    }

    /// Whether a point lies in a direction that the arc passes.
    fn faces(&self, point: [f64; 2]) -> bool {
        let [start, end] = self.ends;
        let left_of = |one: [f64; 2], other: [f64; 2]| one[0] * other[1] - one[1] * other[0];
        left_of(start, point) >= 0.0 && left_of(point, end) >= 0.0
    }
}

/// Half of what a line crosses of a circle, `away` from its middle.
fn half_chord(radius: f64, away: f64) -> Option<f64> {
    let square = radius * radius - away * away;
    (square >= 0.0).then(|| square.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Cells of 1 mm, the first sample at (0.5, 0.5).
    fn grid() -> Grid {
        Grid::new([1.0, 1.0], [39.0, 39.0], 1.0)
    }

    /// About (10.5, 10.5), sample 10 of row 10, from a direction on by an
    /// angle in degrees; the radius grows by `spiral` and it goes down by `drop`.
    fn arc(radius: f64, start: f64, sweep: f64, [spiral, drop]: [f64; 2]) -> Segment {
        let place = |radius: f64, degrees: f64, z| {
            let (sin, cos) = degrees.to_radians().sin_cos();
            [10.5 + radius * cos, 10.5 + radius * sin, z]
        };
        let from = place(radius, start, -1.0);
        let to = place(radius + spiral, start + sweep, -1.0 - drop);
        Segment::arc(from, to, [10.5, 10.5], sweep.to_radians())
    }

    fn quadrants(segment: &Segment) -> Option<usize> {
        Bend::quadrants(&grid(), segment, 3.0).map(|bends| bends.len())
    }

    #[test]
    fn an_arc_falls_into_as_many_parts_as_quadrants_it_passes() {
        let parts = |start, sweep| quadrants(&arc(5.0, start, sweep, [0.0, 0.0]));
        assert_eq!(parts(10.0, 70.0), Some(1));
        assert_eq!(parts(10.0, 90.0), Some(2));
        assert_eq!(parts(100.0, -90.0), Some(2));
        assert_eq!(parts(-10.0, 20.0), Some(2));
        assert_eq!(parts(45.0, 360.0), Some(5));
        assert_eq!(parts(45.0, -360.0), Some(5));
    }

    #[test]
    fn slopes_spirals_and_the_shortest_arcs_are_taken_as_chords() {
        assert_eq!(quadrants(&arc(5.0, 10.0, 70.0, [0.0, 0.001])), None);
        assert_eq!(quadrants(&arc(5.0, 10.0, 70.0, [0.0039, 0.0])), Some(1));
        assert_eq!(quadrants(&arc(5.0, 10.0, 70.0, [-0.0041, 0.0])), None);
        // 5 mm by 1.2 degrees are 0.105 mm.
        assert_eq!(quadrants(&arc(5.0, 10.0, 1.2, [0.0, 0.0])), Some(1));
        assert_eq!(quadrants(&arc(5.0, 10.0, 1.1, [0.0, 0.0])), None);
        let line = Segment::line([1.0, 1.0, -1.0], [9.0, 1.0, -1.0]);
        assert_eq!(quadrants(&line), None);
    }

    #[track_caller]
    fn crosses(bend: &Bend, y: f64, low: f64, high: f64) {
        let found = bend.at(y);
        let apart = (found.0 - low).abs().max((found.1 - high).abs());
        assert!(apart < 1e-9, "{found:?} is not {low} to {high}");
    }

    // Hand-computed: a quarter of radius 4 swept by 3, so out to 7 and in to 1;
    // its ends at (4, 0) and (0, 4) from the centre, sample 10 of row 10.
    #[test]
    fn a_row_is_crossed_from_rim_to_rim() {
        let bends = Bend::quadrants(&grid(), &arc(4.0, 0.0, 90.0, [0.0, 0.0]), 3.0);
        let bend = bends.unwrap()[0];
        assert_eq!(bend.stretch().0.round(), 7.0);
        assert_eq!(bend.stretch().1.round(), 17.0);
        // Below the centre only the first end's disc: 4 ± √(9 - 4).
        let half = 5.0_f64.sqrt();
        crosses(&bend, 8.0, 14.0 - half, 14.0 + half);
        // 3 above: the second end's disc from -√8, the outer rim to √40.
        crosses(&bend, 13.0, 10.0 - 8.0_f64.sqrt(), 10.0 + 40.0_f64.sqrt());
        // Half above: the inner rim from √0.75.
        crosses(&bend, 10.5, 10.0 + 0.75_f64.sqrt(), 10.0 + 48.75_f64.sqrt());
        assert!(bend.at(18.0).0 > bend.at(18.0).1);
        // Smaller by 1: out to 6.
        crosses(
            &bend.counted(1.0),
            13.0,
            10.0 - 3.0_f64.sqrt(),
            10.0 + 27.0_f64.sqrt(),
        );
    }
}
