//! A collar rolled in a hole: where its middle can go, and so how far the bit cuts.

use crate::verify::template::hole::{Hole, Piece};

/// How far to either side of its wanted place the middle of the collar is looked
/// for, in millimetres.
pub(crate) const FAR: f64 = 3.0;

/// The collar still goes in where it presses by so much, in millimetres: what
/// the edge's points and a program's last digit are good to.
const PRESSED: f64 = 0.005;

/// The least that is gone on by, in millimetres.
const STEP: f64 = 0.004;

/// How far to either side of a ray the bit's middle is looked for, in millimetres:
/// densely within the room of a collar that would bind, and up to what a small fault
/// needs; the farther, the coarser.
const ASIDE: [f64; 12] = [
    0.0, 0.025, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, 0.8, 1.2, 1.8, 2.6,
];

/// A hole with loose pieces in it, and the collar that runs there.
#[derive(Clone, Debug)]
pub(crate) struct Run<'a> {
    pub(crate) hole: &'a Hole,
    /// Each piece with how far it lies from where it was cut.
    pub(crate) pieces: Vec<(&'a Piece, [f64; 2])>,
    /// The collar's radius.
    pub(crate) radius: f64,
}

impl Run<'_> {
    /// How far the collar about that point reaches into wood; not at all where it goes there.
    fn pressed(&self, middle: [f64; 2]) -> Option<f64> {
        let most = self.radius - PRESSED;
        let beside = self.pieces.iter().map(|(piece, by)| {
            let where_cut = [middle[0] - by[0], middle[1] - by[1]];
            piece.room(where_cut, most)
        });
        let room = beside.fold(self.hole.room(middle, most), f64::min);
        (room < most).then_some(self.radius - room)
    }

    /// Whether the collar goes there.
    pub(crate) fn goes(&self, middle: [f64; 2]) -> bool {
        self.pressed(middle).is_none()
    }

    /// How far beyond its wanted place a bit of that radius cuts along `outward`,
    /// where `from` is the wanted place of its middle: at most [`FAR`], and `None`
    /// where it does not come within as much. A bit that stands to the side of
    /// the ray reaches less far along it.
    pub(crate) fn reach(&self, from: [f64; 2], outward: [f64; 2], bit: f64) -> Option<f64> {
        let mut best = None;
        let sides = ASIDE.iter().flat_map(|&aside| [aside, -aside]).skip(1);
        for aside in sides.filter(|aside| aside.abs() < bit) {
            let lost = bit - (bit * bit - aside * aside).sqrt();
            let start = [from[0] - outward[1] * aside, from[1] + outward[0] * aside];
            let least = best.unwrap_or(-FAR) + lost;
            if let Some(along) = self.outermost(start, outward, least) {
                best = Some(along - lost);
            }
        }
        best
    }

    /// The outermost place along a ray, where that is beyond `least`. The air grows
    /// by no more than the way gone: so far it is safe to go inward.
    pub(crate) fn outermost(&self, from: [f64; 2], outward: [f64; 2], least: f64) -> Option<f64> {
        let mut along = FAR;
        while along > least {
            let middle = [from[0] + outward[0] * along, from[1] + outward[1] * along];
            let Some(pressed) = self.pressed(middle) else {
                return Some(along);
            };
            along -= pressed.max(STEP);
        }
        None
    }
}
