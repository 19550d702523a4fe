//! The kerf round a piece that is cut free: as wide as the bit and what the
//! finishing pass is left, outside the piece's outline, down to its depth.

use crate::job::contour::Contour;
use crate::replay::segment::Segment;
use crate::verify::scene::greatest::greatest;
use crate::verify::scene::outline::Outline;

/// Millimetres.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Kerf {
    /// Which piece of its part, from 1.
    pub(crate) number: usize,
    pub(crate) piece: Outline,
    /// Of the bit.
    radius: f64,
    pub(crate) width: f64,
    /// Of its floor, below the board's face.
    pub(crate) depth: f64,
}

impl Kerf {
    pub(crate) fn of(
        contour: &Contour,
        radius: f64,
        finish: f64,
        place: impl Fn(f64, f64) -> [f64; 2],
    ) -> Option<Self> {
        Some(Self {
            number: contour.number,
            piece: Outline::of(&contour.outline, place)?,
            radius,
            width: 2.0 * radius + finish,
            depth: contour.depth.as_mm(),
        })
    }

    /// How far the bit's centre lies from where the kerf holds the bit.
    pub(crate) fn distance(&self, center: [f64; 2]) -> f64 {
        self.overshoot(center, self.radius).max(0.0)
    }

    /// How far a disc reaches out of the kerf, into the piece or beyond: less than
    /// none inside.
    pub(crate) fn overshoot(&self, center: [f64; 2], radius: f64) -> f64 {
        let out = self.piece.signed_distance(center);
        (radius - out).max(out + radius - self.width)
    }

    /// The greatest that the same may be along a path.
    pub(crate) fn overshoot_on(&self, path: &Segment, radius: f64) -> f64 {
        let (least, most) = self.piece.distances(path);
        (radius - least).max(most + radius - self.width)
    }

    /// Whether a disc stays within the kerf all along a path, but for `slack`.
    pub(crate) fn holds(&self, path: &Segment, radius: f64, slack: f64) -> bool {
        let plan = |point: [f64; 3]| [point[0], point[1]];
        let overshoot = |point: [f64; 3]| self.overshoot(plan(point), radius);
        if overshoot(path.from) > slack || overshoot(path.to) > slack {
            return false;
        }
        let most = |stretch: &Segment| self.overshoot_on(stretch, radius);
        greatest(path, (slack, slack), &overshoot, &most).is_none()
    }

    /// The way of the centre of a bit of that radius along the piece.
    pub(crate) fn way_round(&self, radius: f64) -> f64 {
        self.piece.way_round(radius)
    }
}
