//! `stepdown`: no bite is deeper than the bit may take, no wall higher than its edge.

use crate::cutting;
use crate::cutting::chip::chip_load;
use crate::report::CheckId;
use crate::shop::bit::{Bit, BitKind};
use crate::units::SpindleSpeed;
use crate::units::ruler::Ruler;
use crate::verify::checks::check::{Check, Heard, Now, Taking, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::material::bite::Bite;
use crate::verify::rounding::last_digit;

/// Millimetres.
#[derive(Debug, Default)]
pub(crate) struct Stepdown {
    greatest: f64,
    /// Wood a drill has taken since it last rose.
    peck: f64,
    /// Whether the last move went up.
    has_risen: bool,
}

impl Check for Stepdown {
    const ID: CheckId = CheckId::Stepdown;

    fn begin(&mut self) {
        (self.peck, self.has_risen) = (0.0, false);
    }

    fn event(&mut self, heard: &Heard<'_>, _now: Now<'_>, _found: &mut Found<'_>) {
        if let Some(segment) = heard.segment {
            // What is taken on the way up still belongs to the peck before.
            if std::mem::replace(&mut self.has_risen, segment.to[2] > segment.from[2]) {
                self.peck = 0.0;
            }
        }
    }

    fn bite(&mut self, taking: &Taking<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let Some(shop) = now.shop else {
            return;
        };
        let (bit, wood) = (&taking.tool.bit, &shop.scene.boards[taking.board].wood);
        let speed = SpindleSpeed::from_rpm(taking.speed);
        let chip = chip_load(taking.motion.feed, speed, bit.flutes);
        let share = cutting::stepdown_share_at(bit, wood, chip);
        let limit = taking.limits.stepdown.as_mm() * share;
        let digit = last_digit(taking.motion);
        self.judge(bit, limit, &taking.bite, digit, now.ruler, found);
    }

    fn answer(&mut self, whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        let greatest = whole.ruler.one(self.greatest, 3);
        Answer::Passes(format!("the greatest bite is {greatest}"))
    }
}

impl Stepdown {
    fn judge(
        &mut self,
        bit: &Bit,
        limit: f64,
        bite: &Bite,
        digit: f64,
        ruler: Ruler,
        found: &mut Found<'_>,
    ) {
        let slack = 1.5 * digit + 0.001;
        let is_drill = bit.kind == BitKind::Drill;
        let core = if is_drill {
            self.peck += bite.whole;
            self.peck
        } else {
            bite.core
        };
        self.greatest = self.greatest.max(core);
        if core > limit + slack {
            let what = if is_drill { "peck" } else { "bite" };
            found.fail(|| {
                format!(
                    "a {what} of {}, at most {}; take it in more passes",
                    ruler.both(core, 3),
                    ruler.one(limit, 3)
                )
            });
        }
        let edge = bit.cutting_length.as_mm();
        if !is_drill && bite.wall > edge + slack {
            found.fail(|| {
                format!(
                    "{} of wall in one pass, the cutting edge is {} long; finish in two passes",
                    ruler.both(bite.wall, 3),
                    ruler.one(edge, 3)
                )
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::units::{Length, Units};
    use crate::verify::findings::{At, Tally};

    /// How often `stepdown` fails for bites in turn, the edge being 4.7 mm
    /// long, the stepdown 3 mm and the last digit a thousandth.
    fn refused(kind: BitKind, bites: &[Bite]) -> u64 {
        let (mut stepdown, mut tally) = (Stepdown::default(), Tally::new());
        let mut found = Found::new(&mut tally, CheckId::Stepdown, At::JOB);
        let ruler = Ruler::new(Units::Millimetre);
        let mut bit = sample::bit(kind, 6.0);
        bit.cutting_length = Length::from_mm(4.7);
        for bite in bites {
            stepdown.judge(&bit, 3.0, bite, 0.001, ruler, &mut found);
        }
        tally.into_checks(&[CheckId::Stepdown])[0].count
    }

    fn bite(core: f64, wall: f64) -> Bite {
        Bite {
            whole: core.max(wall),
            core,
            wall,
            volume: 0.0,
        }
    }

    #[test]
    fn walls_are_as_high_as_the_edge_and_bites_no_deeper_than_the_stepdown() {
        let mill = |core, wall| refused(BitKind::UpSpiral, &[bite(core, wall)]);
        assert_eq!(mill(3.002, 0.0), 0);
        assert_eq!(mill(3.003, 0.0), 1);
        assert_eq!(mill(0.0, 4.702), 0);
        assert_eq!(mill(0.0, 4.703), 1);
        assert_eq!(mill(3.1, 4.8), 2);
    }

    #[test]
    fn a_drills_bites_add_up_to_its_peck() {
        let drill = |bites: &[Bite]| refused(BitKind::Drill, bites);
        assert_eq!(drill(&[bite(1.5, 0.0), bite(1.5, 0.0)]), 0);
        assert_eq!(drill(&[bite(1.5, 0.0), bite(1.6, 0.0)]), 1);
        assert_eq!(drill(&[bite(0.0, 2.9)]), 0);
    }
}
