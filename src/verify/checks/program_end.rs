//! `program-end`: the program ends, with the bit up and the spindle off.

use crate::report::CheckId;
use crate::rs274::event::Event;
use crate::verify::checks::check::{Check, End, Heard, Now, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::rounding::ROUNDED_HEIGHT;

#[derive(Debug, Default)]
pub(crate) struct ProgramEnd;

impl Check for ProgramEnd {
    const ID: CheckId = CheckId::ProgramEnd;
    const WITHOUT_JOB: bool = true;

    fn event(&mut self, heard: &Heard<'_>, now: Now<'_>, found: &mut Found<'_>) {
        match heard.event {
            Event::End => {
                check_height(now, found);
                if now.run.is_turning() {
                    found
                        .fail(|| "the spindle still turns at the end; add M5 before it".to_owned());
                }
            }
            Event::AfterEnd => found.fail(|| {
                "stands after the end of the program, and some senders go on sending; take it out"
                    .to_owned()
            }),
            _ => {}
        }
    }

    fn end(&mut self, end: End, now: Now<'_>, found: &mut Found<'_>) {
        if !now.run.ended {
            found.fail_at(end.lines, || {
                "the program does not end with M2 or M30; add it".to_owned()
            });
        }
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::passes("every program ends with the bit up and the spindle off")
    }
}

fn check_height(now: Now<'_>, found: &mut Found<'_>) {
    let height = now.travel_height().unwrap_or(0.0);
    let z = now.run.position[2];
    let up = now.run.at_machine_height
        || z.is_some_and(|z| z >= height - ROUNDED_HEIGHT)
        || !now.run.moved;
    if up {
        return;
    }
    let ruler = now.ruler;
    found.fail(|| match z {
        Some(z) => format!(
            "the bit stands at {} at the end; lift it to {}",
            ruler.z(z),
            ruler.z(height)
        ),
        None => format!(
            "the bit is never lifted; lift it to {} at the end",
            ruler.z(height)
        ),
    });
}
