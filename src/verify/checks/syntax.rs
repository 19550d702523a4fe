//! `syntax`: every line is of the subset, and every T word names a bit.

use crate::report::CheckId;
use crate::rs274::event::{Event, Refusal};
use crate::verify::checks::check::{Check, Heard, Now, Whole};
use crate::verify::findings::{Answer, Found};

#[derive(Debug, Default)]
pub(crate) struct Syntax;

impl Check for Syntax {
    const ID: CheckId = CheckId::Syntax;
    const WITHOUT_JOB: bool = true;

    fn refusal(&mut self, refusal: &Refusal, found: &mut Found<'_>) {
        found.fail(|| match refusal.column {
            0 => format!("{} ({})", refusal.message, refusal.rule),
            column => format!("column {column}: {} ({})", refusal.message, refusal.rule),
        });
    }

    fn event(&mut self, heard: &Heard<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let Event::SelectTool(number) = *heard.event else {
            return;
        };
        let known = now.shop.is_none_or(|shop| shop.tool(number).is_some());
        if number > 0 && !known && !now.run.bit_is_given {
            found.fail(|| {
                format!("T{number} names no bit of the rack; set `tool` of the bit or the T word")
            });
        }
    }

    fn answer(&mut self, whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        let programs = whole.programs;
        Answer::Passes(format!(
            "{programs} program{}, every line is of the subset",
            if programs == 1 { "" } else { "s" }
        ))
    }
}
