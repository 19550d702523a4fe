//! `spindle-limit`: no speed is asked for that the spindle does not have.

use crate::report::CheckId;
use crate::rs274::event::Event;
use crate::verify::checks::check::{Check, Heard, Now, Whole};
use crate::verify::findings::{Answer, Found};

#[derive(Debug, Default)]
pub(crate) struct SpindleLimit;

impl Check for SpindleLimit {
    const ID: CheckId = CheckId::SpindleLimit;
    const WITHOUT_JOB: bool = true;

    fn event(&mut self, heard: &Heard<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let Event::Speed(speed) = heard.event else {
            return;
        };
        let (speed, spindle) = (speed.as_rpm(), &now.machine.spindle);
        let (slowest, fastest) = (spindle.slowest.as_rpm(), spindle.fastest.as_rpm());
        if speed > 0.0 && !(slowest - 0.5..=fastest + 0.5).contains(&speed) {
            found.fail(|| {
                format!("S{speed:.0}, the spindle turns {slowest:.0} to {fastest:.0} rpm")
            });
        }
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::passes("every S is within the spindle's range")
    }
}
