//! Pieces that are cut out of a part all round: an insert of a template, a plug.

use crate::geometry::{Point, RoundedRectangle, norm};
use crate::units::Length;

/// The outside of a piece that is cut free down to a skin. A kerf as wide as the
/// bit is cut round it; the piece itself stays whole.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// Which piece of its part, from 1.
    pub number: usize,
    /// Its outline in (u, v): closed, each edge from where the one before ends,
    /// with the piece to the left of the way (counter-clockwise seen as u, v).
    pub outline: Vec<Edge>,
    /// Floor of the kerf, below the part's face.
    pub depth: Length,
}

/// One edge of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Edge {
    /// Straight.
    Line {
        /// Where it begins.
        from: Point,
        /// Where it ends.
        to: Point,
    },
    /// Part of a circle, at most half a turn.
    Arc {
        /// Where it begins.
        from: Point,
        /// Where it ends.
        to: Point,
        /// What it turns about.
        center: Point,
        /// Whether the piece bulges there; hollow where it does not.
        bulges: bool,
    },
}

impl Edge {
    /// Where it begins.
    pub fn from(&self) -> Point {
        match *self {
            Self::Line { from, .. } | Self::Arc { from, .. } => from,
        }
    }

    /// Where it ends.
    pub fn to(&self) -> Point {
        match *self {
            Self::Line { to, .. } | Self::Arc { to, .. } => to,
        }
    }

    /// Radius of an arc; none of a line.
    pub fn radius(&self) -> Option<Length> {
        match *self {
            Self::Line { .. } => None,
            Self::Arc { from, center, .. } => Some(center.distance(from)),
        }
    }
}

/// Shorter edges are left out, in millimetres.
const NOTHING: f64 = 1e-6;

/// A rounded rectangle as edges, counter-clockwise from its lower left.
pub(crate) fn of_rectangle(outline: &RoundedRectangle) -> Vec<Edge> {
    let RoundedRectangle {
        center,
        half_x,
        half_y,
        corner,
    } = *outline;
    let at = |x: f64, y: f64| Point::from_mm(center.x + x, center.y + y);
    let (inner_x, inner_y) = (half_x - corner, half_y - corner);
    let sides = [
        [at(-inner_x, -half_y), at(inner_x, -half_y)],
        [at(half_x, -inner_y), at(half_x, inner_y)],
        [at(inner_x, half_y), at(-inner_x, half_y)],
        [at(-half_x, inner_y), at(-half_x, -inner_y)],
    ];
    let centers = [
        at(inner_x, -inner_y),
        at(inner_x, inner_y),
        at(-inner_x, inner_y),
        at(-inner_x, -inner_y),
    ];
    let mut edges = Vec::new();
    for index in 0..4 {
        let [from, to] = sides[index];
        edges.push(Edge::Line { from, to });
        edges.push(Edge::Arc {
            from: to,
            to: sides[(index + 1) % 4][0],
            center: centers[index],
            bulges: true,
        });
    }
    edges.retain(|edge| {
        let (from, to) = (edge.from(), edge.to());
        norm([to.x - from.x, to.y - from.y]) > NOTHING
    });
    edges
}

/// An outline elsewhere, `by` so much in u and v.
pub(crate) fn moved(edges: &[Edge], by: [f64; 2]) -> Vec<Edge> {
    let to = |point: Point| Point::from_mm(point.x + by[0], point.y + by[1]);
    let edge = |edge: &Edge| match *edge {
        Edge::Line { from, to: end } => Edge::Line {
            from: to(from),
            to: to(end),
        },
        Edge::Arc {
            from,
            to: end,
            center,
            bulges,
        } => Edge::Arc {
            from: to(from),
            to: to(end),
            center: to(center),
            bulges,
        },
    };
    edges.iter().map(edge).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rounded_rectangle_is_four_legs_and_four_corners_that_close() {
        let mm = Length::from_mm;
        let outline = |corner| {
            let center = Point::from_mm(10.0, 20.0);
            of_rectangle(&RoundedRectangle::new(
                center,
                mm(40.0),
                mm(10.0),
                mm(corner),
            ))
        };
        for (corner, edges) in [(2.0, 8), (5.0, 6), (0.0, 4)] {
            let outline = outline(corner);
            assert_eq!(outline.len(), edges, "corner {corner}");
            for (index, edge) in outline.iter().enumerate() {
                let next = outline[(index + 1) % outline.len()];
                assert!(edge.to().distance(next.from()).as_mm() < 1e-9);
            }
        }
        let arc = outline(5.0)[1];
        assert_eq!(arc.radius(), Some(mm(5.0)));
        assert_eq!(
            (arc.from(), arc.to()),
            (Point::from_mm(25.0, 15.0), Point::from_mm(30.0, 20.0))
        );
    }
}
