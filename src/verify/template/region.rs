//! What discs along paths sweep, seen from above: its edge and its inside.
//!
//! The edge is points of the curves a radius beside the paths and of the circles
//! about their ends, those left out that lie inside another path's sweep.

use std::f64::consts::{PI, TAU};

use crate::verify::template::moves::{Swept, Window};

/// Spacing of the edge's points, in millimetres: a disc of 10 mm radius comes
/// nearer to what lies between two of them by less than 0.0001 mm.
const PITCH: f64 = 0.03;

/// A point so little inside another sweep is still on the edge, in millimetres: an arc's
/// ends may differ in radius by 0.002 mm, so its own edge is no better.
const ON_EDGE: f64 = 0.003;

/// Cells of the table of paths along one side, at most.
const CELLS: usize = 256;

/// The union of what some moves sweep.
#[derive(Clone, Debug)]
pub(crate) struct Region {
    swept: Vec<Swept>,
    pub(crate) extent: Window,
    cell: f64,
    columns: usize,
    rows: usize,
    /// Numbers of the moves whose sweep touches each cell.
    cells: Vec<Vec<u32>>,
}

impl Region {
    pub(crate) fn of(swept: Vec<Swept>) -> Self {
        let extent = Window::about(swept.iter().map(Swept::extent));
        let mut region = Self {
            swept,
            extent,
            cell: 1.0,
            columns: 0,
            rows: 0,
            cells: Vec::new(),
        };
        if extent.is_something() {
            region.fill();
        }
        region
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.swept.is_empty()
    }

    fn fill(&mut self) {
        let widest = self.extent.size(0).max(self.extent.size(1));
        let radius = self.swept.iter().map(|swept| swept.radius);
        #[allow(clippy::cast_precision_loss)]
        let least = widest / (CELLS - 1) as f64;
        self.cell = radius.fold(least, f64::max).max(1e-3);
        self.columns = count(self.extent.size(0) / self.cell);
        self.rows = count(self.extent.size(1) / self.cell);
        self.cells = vec![Vec::new(); self.columns * self.rows];
        for number in 0..self.swept.len() {
            let extent = self.swept[number].extent();
            let (first, last) = (self.place(extent.min), self.place(extent.max));
            for row in first[1]..=last[1] {
                for column in first[0]..=last[0] {
                    let cell = &mut self.cells[row * self.columns + column];
                    cell.push(u32::try_from(number).unwrap_or(u32::MAX));
                }
            }
        }
    }

    /// Column and row; the outermost ones stand for all beyond.
    fn place(&self, point: [f64; 2]) -> [usize; 2] {
        let along = |axis: usize, most: usize| {
            count((point[axis] - self.extent.min[axis]) / self.cell).min(most) - 1
        };
        [along(0, self.columns), along(1, self.rows)]
    }

    /// Whether a point lies in it by more than `margin`.
    pub(crate) fn covers(&self, point: [f64; 2], margin: f64) -> bool {
        if !self.extent.holds_point(point) {
            return false;
        }
        let [column, row] = self.place(point);
        let near = &self.cells[row * self.columns + column];
        near.iter()
            .any(|&number| self.swept[number as usize].depth_at(point) > margin)
    }

    /// Points of its edge, holes in it included.
    pub(crate) fn edge(&self) -> Vec<[f64; 2]> {
        let mut points = Vec::new();
        for swept in &self.swept {
            self.beside(swept, &mut points);
        }
        points
    }

    fn beside(&self, swept: &Swept, points: &mut Vec<[f64; 2]>) {
        let (segment, radius) = (&swept.segment, swept.radius);
        let mut add = |point: [f64; 2]| {
            if !self.covers(point, ON_EDGE) {
                points.push(point);
            }
        };
        let first = direction(swept, 0.0);
        let last = direction(swept, 1.0);
        let (Some(first), Some(last)) = (first, last) else {
            for angle in steps(TAU * radius) {
                add(around(segment.from, radius, TAU * angle));
            }
            return;
        };
        let reach =
            segment.level_length() + radius * segment.turn.map_or(0.0, |turn| turn.sweep.abs());
        for t in steps(reach) {
            let at = segment.at(t);
            let ahead = direction(swept, t).unwrap_or(first);
            add(around(at, radius, ahead + PI / 2.0));
            add(around(at, radius, ahead - PI / 2.0));
        }
        for t in steps(PI * radius) {
            let turn = PI * (t - 0.5);
            add(around(segment.from, radius, first + PI + turn));
            add(around(segment.to, radius, last + turn));
        }
    }
}

/// Shares of 0 … 1, both included, at most a pitch apart on that length.
fn steps(length: f64) -> impl Iterator<Item = f64> {
    let pieces = u32::try_from(count(length / PITCH).min(1_000_000)).unwrap_or(1);
    (0..=pieces).map(move |index| f64::from(index) / f64::from(pieces))
}

/// The next whole number above, at least one.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn count(value: f64) -> usize {
    value.max(0.0) as usize + 1
}

fn around(center: [f64; 3], radius: f64, angle: f64) -> [f64; 2] {
    let (sin, cos) = angle.sin_cos();
    [center[0] + radius * cos, center[1] + radius * sin]
}

/// Where a path heads, in radians; `None` where it stands still seen from above.
fn direction(swept: &Swept, t: f64) -> Option<f64> {
    let segment = &swept.segment;
    if segment.level_length() < 1e-9 {
        return None;
    }
    Some(match &segment.turn {
        None => {
            let along = [0, 1].map(|axis| segment.to[axis] - segment.from[axis]);
            along[1].atan2(along[0])
        }
        Some(turn) => turn.start + turn.sweep * t + PI / 2.0 * turn.sweep.signum(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::norm;
    use crate::replay::segment::Segment;
    use crate::replay::tip::Tip;
    use crate::verify::template::moves::PlateMoves;

    fn region(segments: &[Segment]) -> Region {
        let mut moves = PlateMoves::default();
        let tip = Tip {
            radius: 3.0,
            point: 0.0,
        };
        for segment in segments {
            moves.add(segment, tip);
        }
        let everywhere = Window {
            min: [-1e3; 2],
            max: [1e3; 2],
        };
        Region::of(moves.as_deep_as(1.0, everywhere))
    }

    /// A slot of 20 by 6 mm, run to and fro: an outline of 14 mm of sides twice
    /// and two half turns of 3 mm.
    #[test]
    fn the_edge_of_a_slot_is_its_outline() {
        let ends = [[0.0, 0.0, -1.0], [14.0, 0.0, -1.0]];
        let slot = region(&[
            Segment::line(ends[0], ends[1]),
            Segment::line(ends[1], ends[0]),
        ]);
        assert_eq!(slot.extent.min, [-3.0, -3.0]);
        assert_eq!(slot.extent.max, [17.0, 3.0]);
        let edge = slot.edge();
        for &point in &edge {
            let along = point[0].clamp(0.0, 14.0);
            let away = norm([point[0] - along, point[1]]);
            assert!((away - 3.0).abs() < 1e-9, "{point:?}");
        }
        let outline = 28.0 + TAU * 3.0;
        #[allow(clippy::cast_precision_loss)]
        let count = edge.len() as f64;
        assert!(count > outline / PITCH, "{count}");
        assert!(slot.covers([16.9, 0.0], 0.0) && !slot.covers([16.9, 1.0], 0.0));
        assert!(!slot.covers([40.0, 0.0], 0.0));
    }

    /// Once round a circle of 10 mm: an outer edge at 13 and an inner one at 7,
    /// nothing between.
    #[test]
    fn an_island_has_an_edge_of_its_own() {
        let at = |x: f64| [x, 0.0, -2.0];
        let ring = region(&[
            Segment::arc(at(10.0), at(-10.0), [0.0, 0.0], PI),
            Segment::arc(at(-10.0), at(10.0), [0.0, 0.0], PI),
        ]);
        let mut seen = [false; 2];
        for point in ring.edge() {
            let away = norm(point);
            let which = usize::from(away < 10.0);
            seen[which] = true;
            assert!((away - [13.0, 7.0][which]).abs() < ON_EDGE + 1e-3, "{away}");
        }
        assert_eq!(seen, [true; 2]);
        assert!(!ring.covers([0.0, 0.0], 0.0));
    }

    #[test]
    fn nothing_swept_covers_nothing() {
        let nothing = Region::of(Vec::new());
        assert!(nothing.is_empty() && nothing.edge().is_empty());
        assert!(!nothing.covers([0.0, 0.0], -100.0));
        let dot = region(&[Segment::line([5.0, 5.0, 0.0], [5.0, 5.0, -3.0])]);
        assert!(dot.covers([7.0, 5.0], 0.5));
        let far = dot.edge().into_iter().map(|[x, _]| x);
        assert!((far.fold(0.0, f64::max) - 8.0).abs() < 1e-9);
    }
}
