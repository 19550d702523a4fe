//! How a piece that is cut free lies to what else is cut near it, from the
//! wanted shapes alone.

use crate::geometry::RoundedRectangle;
use crate::job::contour;
use crate::replay::segment::Segment;
use crate::verify::scene::greatest::greatest;
use crate::verify::scene::kerf::Kerf;
use crate::verify::scene::outline::Outline;

/// How a pocket lies to a piece. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Meeting {
    /// Beside it.
    Apart,
    /// On it, with so much wood between the pocket and the piece's outside.
    On(f64),
    /// Into it, so far.
    Into(f64),
}

/// How a pocket's outline lies to the piece.
pub(crate) fn meeting(kerf: &Kerf, pocket: &RoundedRectangle) -> Meeting {
    let edges = contour::of_rectangle(pocket);
    let Some(outline) = Outline::of(&edges, |x, y| [x, y]) else {
        return Meeting::Apart;
    };
    let (least, most) = distances(&kerf.piece, &outline);
    let holds_piece = || {
        let begins = kerf.piece.place(0, 0.0);
        begins.is_some_and(|place| outline.signed_distance(place.at) < 0.0)
    };
    if least >= 0.0 && holds_piece() {
        Meeting::Into(least.max(kerf.width))
    } else if least >= 0.0 {
        Meeting::Apart
    } else if most <= 0.0 {
        Meeting::On(-most)
    } else {
        Meeting::Into(most.min(-least))
    }
}

/// How far two pieces lie from each other; less than nothing where one is in the other.
pub(crate) fn gap(kerf: &Kerf, other: &Kerf) -> f64 {
    distances(&kerf.piece, &other.piece).0
}

/// Least and greatest signed distance of an outline's points from a piece.
fn distances(piece: &Outline, outline: &Outline) -> (f64, f64) {
    let out = |[x, y, _]: [f64; 3]| piece.signed_distance([x, y]);
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for path in outline.paths() {
        let far = |stretch: &Segment| piece.distances(stretch).1;
        if let Some(found) = greatest(&path, (most, f64::INFINITY), &out, &far) {
            most = found.figure;
        }
        let near = |stretch: &Segment| -piece.distances(stretch).0;
        let within = |point: [f64; 3]| -out(point);
        if let Some(found) = greatest(&path, (-least, f64::INFINITY), &within, &near) {
            least = -found.figure;
        }
    }
    (least, most)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::job::contour::Contour;
    use crate::units::Length;

    fn rectangle(x: f64, y: f64, half_x: f64, half_y: f64) -> RoundedRectangle {
        RoundedRectangle {
            center: Point::from_mm(x, y),
            half_x,
            half_y,
            corner: half_x.min(half_y) / 2.0,
        }
    }

    fn kerf(outline: &RoundedRectangle) -> Kerf {
        let contour = Contour {
            number: 1,
            outline: contour::of_rectangle(outline),
            depth: Length::from_mm(5.0),
        };
        Kerf::of(&contour, 3.0, 0.0, |u, v| [u, v]).unwrap()
    }

    /// A piece of 60 × 40 about the origin.
    #[test]
    fn a_pocket_lies_beside_a_piece_on_it_or_into_it() {
        let kerf = kerf(&rectangle(0.0, 0.0, 30.0, 20.0));
        let meets =
            |x: f64, half_x: f64, half_y: f64| meeting(&kerf, &rectangle(x, 0.0, half_x, half_y));
        assert_eq!(meets(45.0, 10.0, 5.0), Meeting::Apart);
        let near = |found, expected: f64| match found {
            Meeting::On(figure) | Meeting::Into(figure) => {
                assert!((figure - expected).abs() < 1e-3, "{figure}");
            }
            Meeting::Apart => panic!("apart"),
        };
        let ring = meets(2.0, 25.0, 10.0);
        assert!(matches!(ring, Meeting::On(_)));
        near(ring, 3.0);
        let into = meets(39.0, 10.0, 5.0);
        assert!(matches!(into, Meeting::Into(_)));
        near(into, 1.0);
        // A pocket that holds the whole piece.
        assert!(matches!(meets(0.0, 60.0, 50.0), Meeting::Into(_)));
    }

    #[test]
    fn pieces_lie_as_far_apart_as_their_outlines() {
        let one = kerf(&rectangle(0.0, 0.0, 30.0, 20.0));
        let beside = kerf(&rectangle(50.0, 0.0, 15.0, 10.0));
        assert!((gap(&one, &beside) - 5.0).abs() < 1e-3);
        let within = kerf(&rectangle(5.0, 0.0, 15.0, 10.0));
        // Its left end lies at X -10, in the very middle: 20 from both long sides.
        assert!((gap(&one, &within) + 20.0).abs() < 1e-3);
    }
}
