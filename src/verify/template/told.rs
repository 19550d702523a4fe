//! How far a rolled pocket may be off because it was told so: room for the
//! collar, play of the pieces, horns cut off.

use crate::job::Step;
use crate::job::template::Template;
use crate::verify::template::wanted::Sample;

/// An opening is at least so much wider than its collar, which would bind in one as
/// wide as itself, in millimetres (contract).
const ROOM: f64 = 0.1;

/// Horns thinner than this are cut off square (contract).
const HORN: f64 = 2.0;

/// What was told of one step. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Told {
    /// Half of what an opening is wider than the pocket asks for.
    room: f64,
    /// Half the play of its pieces; nothing without pieces.
    play: f64,
    /// How far the collar's middle can go across.
    free: f64,
    horn: Option<Horn>,
}

/// The hollow end of a piece whose horns are cut off.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Horn {
    /// Where the hollow ends, from the middle of its arc, along u and v.
    tip: [f64; 2],
    /// The radius that the collar's middle goes round with in the wanted corner.
    corner: f64,
    /// The collar's radius.
    collar: f64,
    /// The bit's radius.
    bit: f64,
}

impl Told {
    /// `pieces` is how many lie in the opening.
    pub(crate) fn of(template: &Template, step: &Step, pieces: usize) -> Self {
        let (collar, bit) = (
            template.collar.as_mm(),
            template.bit.cutting_diameter().as_mm(),
        );
        let free = step.width.as_mm() - bit;
        let room = (ROOM - free).max(0.0) / 2.0;
        let play = if pieces > 0 {
            template.play.as_mm() / 2.0
        } else {
            0.0
        };
        let corner = step.corner.as_mm() - bit / 2.0;
        let hollow = corner + collar / 2.0 + room;
        // A horn stands between the hollow and the piece's side, which lies inside the opening's.
        let across = hollow - HORN - play;
        let horn = (pieces > 1 && across > 0.0).then(|| Horn {
            tip: [(hollow * hollow - across * across).sqrt(), across],
            corner: corner.max(0.0),
            collar: collar / 2.0,
            bit: bit / 2.0,
        });
        Self {
            room,
            play,
            free: (free / 2.0).max(0.0) + room,
            horn,
        }
    }

    /// How far outside its wanted place the edge may lie.
    pub(crate) fn more(&self, sample: &Sample) -> f64 {
        let across = sample.outward[1].abs();
        let sides = (self.room + self.play) * across;
        let horn = self.horn.filter(|_| sample.is_corner);
        let horn = horn.map_or(0.0, |horn| {
            horn.beyond(sample.outward, self.room, self.play)
        });
        sides.max(horn)
    }

    /// How far inside.
    pub(crate) fn less(&self, sample: &Sample) -> f64 {
        let [along, across] = sample.outward.map(f64::abs);
        // A hollow end that lies further aside than the collar can follow stops it
        // with a tip.
        let aside = (self.play - self.free).max(0.0);
        let slope = self.horn.map_or(0.0, |horn| horn.tip[1] / horn.tip[0]);
        self.play * across + aside * slope * along
    }

    /// The most that an edge may lie inside on a side.
    pub(crate) fn inward(&self) -> f64 {
        self.play
    }
}

impl Horn {
    /// How much further than in a whole hollow the bit cuts where nothing but the
    /// tip of a horn and the side of the opening stops the collar.
    fn beyond(&self, outward: [f64; 2], room: f64, play: f64) -> f64 {
        let ahead = self.beyond_ahead(outward, room, play);
        ahead.max(self.beyond_nook(outward, room, play))
    }

    /// How much further the bit cuts in the nook where the collar touches both.
    /// Standing there it reaches further to either side than a bit that stands on the ray.
    fn beyond_nook(&self, outward: [f64; 2], room: f64, play: f64) -> f64 {
        let side = self.corner + room;
        let rise = self.tip[1] + play - side;
        let square = self.collar * self.collar - rise * rise;
        let along = self.tip[0] - square.max(0.0).sqrt();
        if square < 0.0 || along <= 0.0 {
            return 0.0;
        }
        let [toward, across] = outward.map(f64::abs);
        let ahead = along * toward + side * across;
        let aside = along * across - side * toward;
        let square = self.bit * self.bit - aside * aside;
        if square < 0.0 {
            return 0.0;
        }
        (ahead + square.sqrt() - self.bit - self.corner).max(0.0)
    }

    /// How much further the collar's middle comes on the ray itself.
    fn beyond_ahead(&self, outward: [f64; 2], room: f64, play: f64) -> f64 {
        let [along, across] = outward.map(f64::abs);
        let tip = [self.tip[0], self.tip[1] + play];
        if across * tip[0] <= along * self.tip[1] {
            return 0.0;
        }
        let to_side = (self.corner + room) / across;
        let toward = tip[0] * along + tip[1] * across;
        let rest = self.collar * self.collar - (tip[0] * tip[0] + tip[1] * tip[1]);
        let square = toward * toward + rest;
        let to_tip = if square > 0.0 {
            toward - square.sqrt()
        } else {
            f64::INFINITY
        };
        (to_side.min(to_tip) - self.corner).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;
    use crate::verify::template::sample;

    fn toward(u: f64, v: f64) -> Sample {
        let length = u.hypot(v);
        Sample {
            at: [0.0; 2],
            outward: [u / length, v / length],
            is_corner: true,
        }
    }

    fn told(collar: f64, bit: f64, width: f64, play: f64, pieces: usize) -> Told {
        let mut template = sample::template();
        template.collar = Length::from_mm(collar);
        template.bit.diameter = Length::from_mm(bit);
        template.play = Length::from_mm(play);
        Told::of(&template, &sample::step(40.0, width, 0.0, 5.0), pieces)
    }

    /// Derived: pocket 16, bit 6.35, collar 19: the hollow has radius 14.325 and ends
    /// 12.325 off the middle line, √(4 × 14.325 - 4) = 7.301 along. Along the opening's side
    /// the collar comes to √(2 × 19 - 4) = 5.831 before that, 1.470 past the corner's
    /// middle; from there 4.825 up, 5.0439 from the middle instead of 4.825.
    #[test]
    fn a_horn_cut_off_lets_the_collar_further_into_the_corner() {
        let told = told(19.0, 6.35, 16.0, 0.0, 2);
        let corner = toward(1.469_75, 4.825);
        assert!((told.more(&corner) - 0.2189).abs() < 1e-4);
        for other in [toward(1.0, 0.0), toward(0.0, 1.0), toward(1.0, 1.0)] {
            assert!(told.more(&other) < 1e-9 && told.less(&other) < 1e-9);
        }
        let ring = Told { horn: None, ..told };
        assert!(ring.more(&corner) < 1e-9);
    }

    /// Derived: pocket 20, bit 8, collar 24: the hollow has radius 18 and ends 16 off the
    /// middle line, √(18² - 16²) = 8.246 along; the collar's middle, 6 off, comes to
    /// √(12² - 10²) = 6.633 before that, to (1.613, 6). At atan(1/5) off the side's way
    /// the ray meets its way 0.119 past the corner; the bit that stands in the nook
    /// cuts to 6.1999 + √(4² - 0.4049²) = 10.1793 there, 0.179 past it.
    #[test]
    fn a_bit_in_the_nook_beside_a_horn_cuts_further_than_one_on_the_ray() {
        let told = told(24.0, 8.0, 20.0, 0.0, 2);
        let beside = told.more(&toward(1.0, 5.0));
        assert!((beside - 0.1793).abs() < 1e-3, "{beside}");
        assert!(told.more(&toward(1.0, 1.0)) < 1e-9);
    }

    /// Derived: a pocket as wide as the bit gets 0.05 of room on each side; with 0.15
    /// of play on each side the hollow end lies 0.1 further aside than the collar
    /// can follow, and its tip, 10.6 off and √(12.75² - 10.6²) = 7.085 along, stops
    /// it 0.150 short.
    #[test]
    fn room_and_play_are_told_where_they_are() {
        let (sides, end) = (toward(0.0, -1.0), toward(-1.0, 0.0));
        let bare = told(25.4, 9.525, 9.525, 0.3, 0);
        assert!((bare.more(&sides) - 0.05).abs() < 1e-9 && bare.less(&sides) < 1e-9);
        assert!(bare.more(&end) < 1e-9 && bare.less(&end) < 1e-9);
        let pieces = told(25.4, 9.525, 9.525, 0.3, 2);
        assert!((pieces.more(&sides) - 0.2).abs() < 1e-9);
        assert!((pieces.less(&sides) - 0.15).abs() < 1e-9);
        assert!((pieces.less(&end) - 0.1496).abs() < 1e-4);
    }
}
