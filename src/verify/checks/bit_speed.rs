//! `bit-speed`: no bit turns faster than it is rated for, told once for each speed.

use crate::report::CheckId;
use crate::shop::bit::{Bit, BitKind};
use crate::verify::checks::check::{Check, Now, Taking, Whole};
use crate::verify::findings::{Answer, Found};

#[derive(Debug, Default)]
pub(crate) struct BitSpeed {
    /// What has been told: bits by name and speed, in whole turns.
    told: Vec<(String, u64)>,
}

impl Check for BitSpeed {
    const ID: CheckId = CheckId::BitSpeed;

    fn begin(&mut self) {
        self.told.clear();
    }

    fn bite(&mut self, taking: &Taking<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let (bit, speed) = (&taking.tool.bit, taking.speed);
        if speed <= bit.rated_speed().as_rpm() + 0.5 {
            return;
        }
        let key = (bit.name.clone(), speed.round() as u64);
        if !self.told.contains(&key) {
            self.told.push(key);
            tell(bit, speed, now, found);
        }
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::passes("no bit turns faster than it is rated for")
    }
}

fn tell(bit: &Bit, speed: f64, now: Now<'_>, found: &mut Found<'_>) {
    let (name, rated) = (&bit.name, bit.rated_speed().as_rpm());
    let by = match (bit.rpm_max, bit.kind) {
        (Some(_), _) => "as the rack says",
        (None, BitKind::Drill) => "a drill in wood, as no `rpm_max` is given",
        (None, _) => "by its diameter, as no `rpm_max` is given",
    };
    let slowest = now.machine.spindle.slowest.as_rpm();
    let as_slow_as_it_goes = bit.kind == BitKind::Drill && speed <= slowest + 0.5;
    if bit.rpm_max.is_none() && as_slow_as_it_goes {
        found.warn(|| {
            format!(
                "`{name}` turns at {speed:.0} rpm, as slowly as the spindle can; {rated:.0} is \
                 usual ({by}): short pecks, and let it cool"
            )
        });
    } else {
        found.fail(|| {
            format!(
                "`{name}` turns at {speed:.0} rpm, at most {rated:.0} ({by}); lower S, or set \
                 `rpm_max` to what is engraved"
            )
        });
    }
}
