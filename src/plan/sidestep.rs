//! From a path onto one beside it without a corner: two arcs, first to the one
//! side, then as much to the other.

use crate::geometry::Point;

use super::segment::{Segment, aside};

/// How far along two paths `gap` apart a sidestep on arcs of `radius` goes.
pub(super) fn run(gap: f64, radius: f64) -> f64 {
    2.0 * (gap * radius - gap * gap / 4.0).max(0.0).sqrt()
}

/// From `from`, going `way`, to a path `left` of it, within `run` along it.
pub(super) fn segments(from: Point, way: Point, left: f64, run: f64) -> [Segment; 2] {
    let gap = left.abs();
    let radius = (run * run + gap * gap) / (4.0 * gap);
    let sweep = left.signum() * (run / 2.0).atan2(radius - gap / 2.0);
    let first = arc(from, way, radius, sweep);
    let half = first.length();
    [first, arc(first.end(), first.tangent(half), radius, -sweep)]
}

/// A turn by `sweep` from `from`, going `way`.
fn arc(from: Point, way: Point, radius: f64, sweep: f64) -> Segment {
    let center = aside(from, way, sweep.signum() * radius, 0.0);
    Segment::Arc {
        center,
        radius,
        start: (from.y - center.y).atan2(from.x - center.x),
        sweep,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: on arcs of 10 mm a step of 0.2 goes 2 √(10 × 0.2 - 0.01) along.
    #[test]
    fn a_sidestep_leaves_and_arrives_along_the_paths() {
        let along = run(0.2, 10.0);
        assert!((along - 2.0 * 1.99_f64.sqrt()).abs() < 1e-12);
        let from = Point::from_mm(3.0, 4.0);
        for left in [0.2, -0.2] {
            // Going to +Y: left is -X.
            let way = Point::from_mm(0.0, 1.0);
            let [first, second] = segments(from, way, left, along);
            assert!(first.start().distance(from).as_mm() < 1e-9);
            assert!(first.end().distance(second.start()).as_mm() < 1e-9);
            let wanted = Point::from_mm(3.0 - left, 4.0 + along);
            assert!(second.end().distance(wanted).as_mm() < 1e-9, "{left}");
            for tangent in [first.tangent(0.0), second.tangent(second.length())] {
                assert!(tangent.x.abs() < 1e-9 && (tangent.y - 1.0).abs() < 1e-9);
            }
            let Segment::Arc { radius, .. } = second else {
                panic!("a straight sidestep");
            };
            assert!((radius - 10.0).abs() < 1e-9);
        }
    }
}
