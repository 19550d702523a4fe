//! `plunge`: no bit goes straight down into wood that must ramp, at once or in small steps.

use crate::report::CheckId;
use crate::verify::checks::check::{Check, Now, Struck, Whole};
use crate::verify::findings::{Answer, Found};

#[derive(Debug, Default)]
pub(crate) struct Plunge;

impl Check for Plunge {
    const ID: CheckId = CheckId::Plunge;

    fn stroke(&mut self, struck: &Struck<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let Some(descended) = struck.descended else {
            return;
        };
        let (name, ruler) = (&struck.tool.bit.name, now.ruler);
        if let Some(wood) = descended.plunged {
            found.fail(|| {
                let wood = ruler.both(wood, 3);
                format!("straight down into {wood} of wood, and `{name}` does not plunge; ramp in")
            });
        }
        if let Some(sunk) = descended.sunk {
            let sunk = ruler.both(sunk, 3);
            found.fail(|| {
                format!(
                    "steeper than the ramp limit in small steps, {sunk} in all, \
                     and `{name}` does not plunge; ramp more gently"
                )
            });
        }
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::passes("no straight plunge by a bit that must ramp")
    }
}
