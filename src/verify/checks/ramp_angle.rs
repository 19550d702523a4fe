//! `ramp-angle`: no move goes down more steeply than the bit can ramp.

use crate::report::CheckId;
use crate::verify::checks::check::{Check, Now, Struck, Whole};
use crate::verify::findings::{Answer, Found};

#[derive(Debug, Default)]
pub(crate) struct RampAngle {
    ramps: u64,
}

impl Check for RampAngle {
    const ID: CheckId = CheckId::RampAngle;

    fn stroke(&mut self, struck: &Struck<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let Some(descended) = struck.descended else {
            return;
        };
        self.ramps += u64::from(descended.is_ramp);
        let Some((drop, length)) = descended.steep else {
            return;
        };
        let (angle, ruler) = (drop.atan2(length).to_degrees(), now.ruler);
        let limit = struck.tool.limits[struck.stroke.board].ramp;
        found.fail(|| {
            format!(
                "down {} over {}, {angle:.2} degrees, at most {:.2}; ramp more gently",
                ruler.one(drop, 3),
                ruler.one(length, 3),
                limit.as_degrees()
            )
        });
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::Passes(format!("{} ramps within the bit's limit", self.ramps))
    }
}
