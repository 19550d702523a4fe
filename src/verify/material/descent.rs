//! How steeply a bit goes down into wood, for a move and for the descent it
//! belongs to: what the moves of a descent go down more steeply than the limit
//! adds up, and going on gently wears it off again.

use crate::rs274::event::Move;
use crate::verify::material::bite::Bite;
use crate::verify::material::engagement::Stroke;
use crate::verify::material::probe::NO_WOOD;
use crate::verify::rounding::last_digit;
use crate::verify::tool::Tool;

/// Straight down into more wood than this is a plunge, in millimetres (contract).
pub(crate) const PLUNGE: f64 = 0.02;

/// A move that goes aside by less is straight down, in millimetres.
const STRAIGHT: f64 = 1e-6;

/// The descent of a program's bit.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Descent {
    /// How far it has gone down more steeply than it may, in millimetres.
    sunk: f64,
}

/// What a move is in its descent. Millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Descended {
    /// It goes down into wood, aside or not.
    pub(crate) is_ramp: bool,
    /// So much wood is met straight from above by a bit that may not.
    pub(crate) plunged: Option<f64>,
    /// Down and aside where that is steeper than the limit.
    pub(crate) steep: Option<(f64, f64)>,
    /// Steeper in all by so much, in steps too small to be refused one by one.
    pub(crate) sunk: Option<f64>,
}

impl Descent {
    /// Goes on with a move that takes wood.
    pub(crate) fn go_on(
        &mut self,
        motion: &Move,
        tool: &Tool,
        stroke: &Stroke,
        bite: Bite,
    ) -> Descended {
        let mut descended = Descended::default();
        let ramp = tool.limits[stroke.board].ramp;
        let length = stroke.segment.level_length();
        let drop = stroke.segment.from[2] - stroke.segment.to[2];
        let is_straight = length < STRAIGHT && drop > 0.0;
        if is_straight && tool.bit.may_plunge() {
            self.sunk = 0.0;
            return descended;
        }
        descended.plunged = Some(bite.whole).filter(|whole| is_straight && *whole > PLUNGE);
        let slack = 1.5 * last_digit(motion);
        let gentle = length * ramp.as_radians().tan();
        let is_judged = bite.whole > NO_WOOD;
        descended.is_ramp = is_judged && drop > 0.0;
        if is_judged && drop > gentle + slack {
            descended.steep = Some((drop, length));
            self.sunk = 0.0;
            return descended;
        }
        self.sunk = (self.sunk + drop.min(bite.whole) - gentle).max(0.0);
        if self.sunk > slack.max(PLUNGE) {
            descended.sunk = Some(std::mem::take(&mut self.sunk));
        }
        descended
    }
}
