//! A hole through the plate as the text cuts it, and the loose pieces laid in it.

use crate::geometry::{Point, RoundedRectangle, norm};
use crate::job::contour::{Contour, Edge};
use crate::verify::template::moves::{Swept, Window};
use crate::verify::template::nearest::Nearest;
use crate::verify::template::region::Region;

/// Spacing of points along a wanted outline, in millimetres.
const PITCH: f64 = 0.1;

/// Where nothing is cut so near to the wanted outline the piece hangs on there.
const HANGS_ON: f64 = 1.0;

/// A hole through the plate.
#[derive(Clone, Debug)]
pub(crate) struct Hole {
    region: Region,
    edge: Nearest,
}

impl Hole {
    /// `None` where nothing is cut through.
    pub(crate) fn of(swept: Vec<Swept>) -> Option<Self> {
        let region = Region::of(swept);
        let edge = Nearest::of(region.edge());
        (!region.is_empty()).then_some(Self { region, edge })
    }

    pub(crate) fn extent(&self) -> Window {
        self.region.extent
    }

    /// How far a point lies from the wood about it, at most `most`; negative in the wood.
    pub(crate) fn room(&self, point: [f64; 2], most: f64) -> f64 {
        if self.region.covers(point, 0.0) {
            self.edge.distance_below(point, most)
        } else {
            -self.edge.distance(point)
        }
    }
}

/// A piece that a kerf leaves standing in its middle.
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    kerf: Region,
    edge: Nearest,
    /// The wanted outline: closed, without its first point again.
    wanted: Vec<[f64; 2]>,
    along_wanted: Nearest,
    /// How far from the wanted outline a point may be and still be the piece's.
    reach: f64,
    pub(crate) extent: Window,
}

impl Piece {
    /// `inside` is what is cut out of the middle of a ring. `None` where the piece
    /// is not cut free all round.
    pub(crate) fn of(
        contour: &Contour,
        inside: Option<&RoundedRectangle>,
        kerf: Vec<Swept>,
    ) -> Option<Self> {
        // What the kerf leaves outside begins its whole width away.
        let reach = kerf.first()?.radius;
        let kerf = Region::of(kerf);
        let wanted = points(&contour.outline);
        let along_wanted = Nearest::of(wanted.clone());
        let mut own = kerf.edge();
        own.retain(|&point| {
            let at = Point::from_mm(point[0], point[1]);
            along_wanted.distance(point) < reach
                || inside.is_some_and(|inside| inside.signed_distance_mm(at).abs() < reach)
        });
        let extent = Window::about(own.iter().map(|&point| Window {
            min: point,
            max: point,
        }));
        let edge = Nearest::of(own);
        let is_free = wanted.iter().all(|&point| edge.distance(point) < HANGS_ON);
        is_free.then_some(Self {
            kerf,
            edge,
            wanted,
            along_wanted,
            reach,
            extent,
        })
    }

    /// How far a point lies from the piece where it was cut, at most `most`; negative in it.
    pub(crate) fn room(&self, point: [f64; 2], most: f64) -> f64 {
        if self.holds(point) {
            -self.edge.distance(point)
        } else {
            self.edge.distance_below(point, most)
        }
    }

    fn holds(&self, point: [f64; 2]) -> bool {
        self.extent.holds_point(point)
            && !self.kerf.covers(point, 0.0)
            && (is_within(&self.wanted, point) || self.along_wanted.distance(point) < self.reach)
    }
}

/// The whole outline as points.
fn points(outline: &[Edge]) -> Vec<[f64; 2]> {
    let mut points = Vec::new();
    for edge in outline {
        let (from, to) = (edge.from(), edge.to());
        match *edge {
            Edge::Line { .. } => {
                let along = [to.x - from.x, to.y - from.y];
                let at = |t: f64| [from.x + along[0] * t, from.y + along[1] * t];
                points.extend(shares(norm(along)).map(at));
            }
            Edge::Arc { center, bulges, .. } => {
                let arm = [from.x - center.x, from.y - center.y];
                let end = [to.x - center.x, to.y - center.y];
                let (radius, start) = (norm(arm), arm[1].atan2(arm[0]));
                let turn = end[1].atan2(end[0]) - start;
                // With the piece to the left it bulges where it turns counter-clockwise.
                let sweep = if bulges {
                    turn.rem_euclid(std::f64::consts::TAU)
                } else {
                    -(-turn).rem_euclid(std::f64::consts::TAU)
                };
                let at = |t: f64| {
                    let (sin, cos) = (start + sweep * t).sin_cos();
                    [center.x + radius * cos, center.y + radius * sin]
                };
                points.extend(shares(radius * sweep.abs()).map(at));
            }
        }
    }
    points
}

/// Shares of 0 … 1 without the 1.
fn shares(length: f64) -> impl Iterator<Item = f64> {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pieces = (length / PITCH).clamp(1.0, 1e5).ceil() as u32;
    (0..pieces).map(move |index| f64::from(index) / f64::from(pieces))
}

/// Whether a ray from the point crosses the closed outline an odd number of times.
fn is_within(outline: &[[f64; 2]], point: [f64; 2]) -> bool {
    let last = outline.last().copied().unwrap_or(point);
    let before = std::iter::once(last).chain(outline.iter().copied());
    let mut is_within = false;
    for (from, &to) in before.zip(outline) {
        if (from[1] > point[1]) != (to[1] > point[1]) {
            let share = (point[1] - from[1]) / (to[1] - from[1]);
            let x = from[0] + (to[0] - from[0]) * share;
            is_within ^= point[0] < x;
        }
    }
    is_within
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::verify::template::sample;

    /// Hollow on the right: 20 by 10 mm with half a turn of 4 mm out of its end.
    fn hollow() -> Contour {
        let at = Point::from_mm;
        let line = |from, to| Edge::Line { from, to };
        Contour {
            number: 1,
            outline: vec![
                line(at(0.0, 0.0), at(20.0, 0.0)),
                line(at(20.0, 0.0), at(20.0, 1.0)),
                Edge::Arc {
                    from: at(20.0, 1.0),
                    to: at(20.0, 9.0),
                    center: at(20.0, 5.0),
                    bulges: false,
                },
                line(at(20.0, 9.0), at(20.0, 10.0)),
                line(at(20.0, 10.0), at(0.0, 10.0)),
                line(at(0.0, 10.0), at(0.0, 0.0)),
            ],
            depth: crate::units::Length::from_mm(11.0),
        }
    }

    #[test]
    fn a_piece_is_what_its_kerf_leaves() {
        let contour = hollow();
        let kerf = |contour: &Contour| sample::kerf(contour, 1.5);
        let piece = Piece::of(&contour, None, kerf(&contour)).unwrap();
        for (found, wanted) in piece.extent.min.into_iter().zip([0.0, 0.0]) {
            assert!((found - wanted).abs() < 4e-3, "{:?}", piece.extent);
        }
        for (found, wanted) in piece.extent.max.into_iter().zip([20.0, 10.0]) {
            assert!((found - wanted).abs() < 4e-3, "{:?}", piece.extent);
        }
        assert_eq!(piece.room([-7.0, 5.0], 2.0), 2.0);
        for (point, room) in [
            ([8.0, 3.0], -3.0),
            ([20.0, 5.0], 4.0),
            ([19.0, 5.0], 3.0),
            ([14.0, 5.0], -2.0),
            ([-7.0, 5.0], 7.0),
        ] {
            let found = piece.room(point, 100.0);
            assert!((found - room).abs() < 4e-3, "{point:?}: {found}");
        }
        let mut half = kerf(&contour);
        half.truncate(3);
        assert!(Piece::of(&contour, None, half).is_none());
        assert!(Piece::of(&contour, None, Vec::new()).is_none());
    }
}
