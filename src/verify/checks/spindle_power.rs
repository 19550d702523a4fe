//! `spindle-power`: no bite takes more power than the spindle has.

use crate::report::CheckId;
use crate::verify::checks::check::{Check, Now, Taking, Whole};
use crate::verify::findings::{Answer, Found};

#[derive(Debug, Default)]
pub(crate) struct SpindlePower;

impl Check for SpindlePower {
    const ID: CheckId = CheckId::SpindlePower;

    fn bite(&mut self, taking: &Taking<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let (Some(mean), Some(power)) = (taking.load, now.machine.spindle.power_w) else {
            return;
        };
        if mean.load.power_w > power {
            found.fail(|| {
                format!(
                    "{} takes {:.0} W, the spindle has {power:.0} W; lower the feed or the bite",
                    mean.bite(now.ruler),
                    mean.load.power_w
                )
            });
        }
    }

    fn answer(&mut self, whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        match whole.machine.spindle.power_w {
            Some(_) => Answer::passes("every bite is within the spindle's power"),
            None => Answer::DoesNotApply("the machine file gives no `spindle.power_w`"),
        }
    }
}
