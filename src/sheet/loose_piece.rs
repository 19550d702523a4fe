//! A piece that is cut free, in a drawing.

use crate::geometry::Point;
use crate::job::contour::Edge;

use super::pen::polyline;

/// Its outline as a path, arcs as short chords, which no eye tells from arcs; `place`
/// says where a point lies in the drawing.
pub(super) fn outline(edges: &[Edge], place: impl Fn(Point) -> (f64, f64)) -> String {
    const CHORDS: u32 = 24;
    let mut points = Vec::new();
    for edge in edges {
        match *edge {
            Edge::Line { from, .. } => points.push(place(from)),
            Edge::Arc {
                from,
                to,
                center,
                bulges,
            } => {
                let start = (from.y - center.y).atan2(from.x - center.x);
                let end = (to.y - center.y).atan2(to.x - center.x);
                let turn = if bulges {
                    (end - start).rem_euclid(std::f64::consts::TAU)
                } else {
                    -(start - end).rem_euclid(std::f64::consts::TAU)
                };
                let radius = center.distance(from).as_mm();
                points.extend((0..CHORDS).map(|chord| {
                    let angle = start + turn * f64::from(chord) / f64::from(CHORDS);
                    place(Point::from_mm(
                        center.x + radius * angle.cos(),
                        center.y + radius * angle.sin(),
                    ))
                }));
            }
        }
    }
    points.extend(points.first().copied());
    polyline(&points)
}

/// Where its number stands.
pub(super) fn middle(edges: &[Edge]) -> Point {
    let count = edges.len().max(1) as f64;
    let sum = edges.iter().fold((0.0, 0.0), |sum, edge| {
        let from = edge.from();
        (sum.0 + from.x, sum.1 + from.y)
    });
    Point::from_mm(sum.0 / count, sum.1 / count)
}
