//! Loose pieces that make the first opening smaller for a deeper step.

use crate::geometry::{Point, RoundedRectangle};
use crate::job::contour::Edge;

/// A horn thinner than this crumbles, so it is cut off square.
const THINNEST_HORN: f64 = 2.0;
/// A ring no thinner than this holds together.
const THINNEST_RING: f64 = 3.0;
/// An end piece no shorter than this holds together.
const SHORTEST_END: f64 = 5.0;
/// A straight side no shorter than this guides a piece between the opening's sides.
const SHORTEST_SIDE: f64 = 1.0;
/// Steps whose widths differ by no more are equally wide.
const SAME_WIDTH: f64 = 0.02;

/// How a deeper step is guided in the first opening.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Shape {
    /// A piece at each end, the one at the smaller X first.
    Ends([Vec<Edge>; 2]),
    /// A ring; its inside is the deeper step's opening.
    Ring(Vec<Edge>),
    /// It would fall apart.
    None,
}

/// What is laid into `outer` to leave `inner` of it, with `play` beside it in all.
/// Both are in the same coordinates, and so are the pieces: as they lie.
pub(super) fn shape(outer: &RoundedRectangle, inner: &RoundedRectangle, play: f64) -> Shape {
    let gap = |side: f64| {
        let shift = inner.center.x - outer.center.x;
        outer.half_x - inner.half_x + side * shift
    };
    let beside = outer.half_y - inner.half_y;
    if (2.0 * beside).abs() <= SAME_WIDTH {
        let ends = [1.0, -1.0].map(|side| end(outer, inner, play, side));
        return match ends {
            [Some(low), Some(high)] => Shape::Ends([low, high]),
            _ => Shape::None,
        };
    }
    let thinnest = beside.min(gap(1.0)).min(gap(-1.0));
    if thinnest - play / 2.0 >= THINNEST_RING {
        return Shape::Ring(ring(outer, play));
    }
    Shape::None
}

/// The piece at the end with the smaller X (`side` 1) or the greater (−1):
/// worked out for the first and turned half round for the second.
fn end(
    outer: &RoundedRectangle,
    inner: &RoundedRectangle,
    play: f64,
    side: f64,
) -> Option<Vec<Edge>> {
    // From the opening's middle, X counted away from the piece's end.
    let middle = outer.center;
    let far = side * (inner.center.x - middle.x) - inner.half_x;
    let half = outer.half_y - play / 2.0;
    let length = far + outer.half_x;
    if length < SHORTEST_END {
        return None;
    }
    let shoulder = shoulder(outer, half);
    // The hollow ends where the horn between it and the side is two millimetres thick.
    let hollow = [far + inner.corner, inner.half_y - inner.corner];
    let rise = half - THINNEST_HORN - hollow[1];
    let horn = if rise > 0.0 && rise < inner.corner {
        far + inner.corner - (inner.corner * inner.corner - rise * rise).sqrt()
    } else {
        far
    };
    if rise >= inner.corner || horn - shoulder < SHORTEST_SIDE {
        return None;
    }
    let at = |x: f64, y: f64| Point::from_mm(middle.x + side * x, middle.y + side * y);
    let line = |from: [f64; 2], to: [f64; 2]| Edge::Line {
        from: at(from[0], from[1]),
        to: at(to[0], to[1]),
    };
    let hollow_arc = |from: [f64; 2], to: [f64; 2], y: f64| Edge::Arc {
        from: at(from[0], from[1]),
        to: at(to[0], to[1]),
        center: at(hollow[0], y),
        bulges: false,
    };
    let mut edges = vec![line([shoulder, -half], [horn, -half])];
    if rise > 0.0 {
        let tip = half - THINNEST_HORN;
        edges.push(line([horn, -half], [horn, -tip]));
        if hollow[1] > 1e-6 {
            edges.push(hollow_arc([horn, -tip], [far, -hollow[1]], -hollow[1]));
            edges.push(line([far, -hollow[1]], [far, hollow[1]]));
            edges.push(hollow_arc([far, hollow[1]], [horn, tip], hollow[1]));
        } else {
            edges.push(hollow_arc([horn, -tip], [horn, tip], 0.0));
        }
        edges.push(line([horn, tip], [horn, half]));
    } else {
        edges.push(line([far, -half], [far, half]));
    }
    edges.push(line([horn, half], [shoulder, half]));
    edges.extend(outer_end(outer, half, &at));
    Some(edges)
}

/// Where the straight side of a piece meets the opening's round end or corner,
/// counted from the opening's middle.
fn shoulder(outer: &RoundedRectangle, half: f64) -> f64 {
    let rise = (half - (outer.half_y - outer.corner)).clamp(0.0, outer.corner);
    -outer.half_x + outer.corner - (outer.corner * outer.corner - rise * rise).sqrt()
}

/// The end of an opening at the smaller X, from its upper side to its lower.
fn outer_end(outer: &RoundedRectangle, half: f64, at: &dyn Fn(f64, f64) -> Point) -> Vec<Edge> {
    let start = shoulder(outer, half);
    let straight = outer.half_y - outer.corner;
    let corner = [-outer.half_x + outer.corner, straight];
    let arc = |from: [f64; 2], to: [f64; 2], y: f64| Edge::Arc {
        from: at(from[0], from[1]),
        to: at(to[0], to[1]),
        center: at(corner[0], y),
        bulges: true,
    };
    if straight < 1e-6 {
        return vec![arc([start, half], [start, -half], 0.0)];
    }
    let face = -outer.half_x;
    vec![
        arc([start, half], [face, straight], straight),
        Edge::Line {
            from: at(face, straight),
            to: at(face, -straight),
        },
        arc([face, -straight], [start, -half], -straight),
    ]
}

/// The outside of a ring: the opening, less the play beside it.
fn ring(outer: &RoundedRectangle, play: f64) -> Vec<Edge> {
    let half = outer.half_y - play / 2.0;
    let start = shoulder(outer, half);
    let turned = |side: f64| {
        move |x: f64, y: f64| Point::from_mm(outer.center.x + side * x, outer.center.y + side * y)
    };
    let (low, high) = (turned(1.0), turned(-1.0));
    let mut edges = vec![Edge::Line {
        from: low(start, -half),
        to: high(start, half),
    }];
    edges.extend(outer_end(outer, half, &high));
    edges.push(Edge::Line {
        from: high(start, -half),
        to: low(start, half),
    });
    edges.extend(outer_end(outer, half, &low));
    edges
}

/// Least and greatest X and Y: of the ends of edges and of the quarter points of arcs.
pub(super) fn extent(edges: &[Edge]) -> [Point; 2] {
    let mut points: Vec<Point> = edges.iter().map(Edge::from).collect();
    for edge in edges {
        if let Edge::Arc {
            from,
            to,
            center,
            bulges,
        } = *edge
        {
            let radius = center.distance(from).as_mm();
            let quarters = [[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]];
            let sign = if bulges { 1.0 } else { -1.0 };
            // A quarter point lies on the arc where it is left of the chord's far side.
            points.extend(quarters.into_iter().filter_map(|[x, y]| {
                let point = Point::from_mm(center.x + radius * x, center.y + radius * y);
                let side =
                    (to.x - from.x) * (point.y - from.y) - (to.y - from.y) * (point.x - from.x);
                (sign * side < 0.0).then_some(point)
            }));
        }
    }
    let fold = |pick: fn(f64, f64) -> f64, start: f64| {
        let x = points.iter().map(|point| point.x).fold(start, pick);
        let y = points.iter().map(|point| point.y).fold(start, pick);
        Point::from_mm(x, y)
    };
    [
        fold(f64::min, f64::INFINITY),
        fold(f64::max, f64::NEG_INFINITY),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    fn outline(x: f64, length: f64, width: f64, corner: f64) -> RoundedRectangle {
        let mm = Length::from_mm;
        RoundedRectangle::new(Point::from_mm(x, 0.0), mm(length), mm(width), mm(corner))
    }

    /// Source: derived. Openings 62.695 and 45.395 long, 25.4 wide with round ends: the end
    /// pieces are 8.65 long in the middle, their hollow ends of radius 12.7; the horn is
    /// 2 mm thick 6.845 mm before the hollow's middle, √(12.7² − 10.7²).
    #[test]
    fn end_pieces_are_as_long_as_half_the_difference_and_their_horns_are_cut_off() {
        let shape = shape(
            &outline(0.0, 62.695, 25.4, 12.7),
            &outline(0.0, 45.395, 25.4, 12.7),
            0.0,
        );
        let Shape::Ends([low, high]) = shape else {
            panic!("{shape:?}");
        };
        for (piece, side) in [(&low, 1.0), (&high, -1.0)] {
            let hollow = piece.iter().find_map(|edge| match edge {
                Edge::Arc {
                    from,
                    to,
                    center,
                    bulges: false,
                } => Some((*from, *to, *center)),
                _ => None,
            });
            let (from, _, center) = hollow.expect("hollow");
            assert!((center.distance(from).as_mm() - 12.7).abs() < 1e-9);
            // The hollow's deepest point, 8.65 from the outer end.
            let deepest = center.x - side * 12.7;
            assert!((deepest - side * (-31.3475 + 8.65)).abs() < 1e-9);
            let horn = center.x - side * (12.7_f64.powi(2) - 10.7_f64.powi(2)).sqrt();
            let [min, max] = extent(piece);
            let (outer, inner) = if side > 0.0 {
                (min.x, max.x)
            } else {
                (max.x, min.x)
            };
            assert!((outer + side * 31.3475).abs() < 1e-9, "{outer}");
            assert!((inner - horn).abs() < 1e-9, "{inner} {horn}");
            assert!((max.y - 12.7).abs() < 1e-9 && (min.y + 12.7).abs() < 1e-9);
        }
        for piece in [low, high] {
            for (index, edge) in piece.iter().enumerate() {
                let next = piece[(index + 1) % piece.len()];
                assert!(edge.to().distance(next.from()).as_mm() < 1e-9, "{piece:?}");
            }
            assert!(area(&piece) > 0.0, "counter-clockwise");
        }
    }

    /// Twice the area of the corners: its sign is the way round.
    fn area(edges: &[Edge]) -> f64 {
        let cross = |edge: &Edge| {
            let (from, to) = (edge.from(), edge.to());
            from.x * to.y - to.x * from.y
        };
        edges.iter().map(cross).sum()
    }

    #[test]
    fn play_is_beside_a_piece_and_not_at_its_end() {
        let (outer, inner) = (outline(3.0, 60.0, 26.0, 8.0), outline(4.0, 40.0, 26.0, 8.0));
        let Shape::Ends(pieces) = shape(&outer, &inner, 0.2) else {
            panic!("no ends");
        };
        let [low, high] = pieces.map(|piece| extent(&piece));
        assert!((low[0].x + 27.0).abs() < 1e-9 && (high[1].x - 33.0).abs() < 1e-9);
        assert!((low[1].y - 12.9).abs() < 1e-9 && (low[0].y + 12.9).abs() < 1e-9);
        // The one at the end away from the shift is longer.
        assert!(low[1].x - low[0].x > high[1].x - high[0].x);
    }

    #[test]
    fn a_narrower_step_has_a_ring_where_it_is_thick_enough() {
        let outer = outline(0.0, 60.0, 30.0, 15.0);
        let ringed = shape(&outer, &outline(0.0, 40.0, 20.0, 10.0), 0.1);
        let Shape::Ring(ring) = ringed else {
            panic!("{ringed:?}");
        };
        let [min, max] = extent(&ring);
        assert!((max.x - 30.0).abs() < 1e-9 && (min.x + 30.0).abs() < 1e-9);
        assert!((max.y - 14.95).abs() < 1e-9 && (min.y + 14.95).abs() < 1e-9);
        assert!(area(&ring) > 0.0);
        assert_eq!(
            shape(&outer, &outline(0.0, 40.0, 25.0, 12.0), 0.1),
            Shape::None
        );
        assert_eq!(
            shape(&outer, &outline(0.0, 52.0, 30.0, 15.0), 0.1),
            Shape::None
        );
    }
}
