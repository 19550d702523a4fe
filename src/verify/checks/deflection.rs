//! `deflection`: no bite bends the bit further than its pass can bear.

use crate::report::CheckId;
use crate::verify::checks::check::{Check, Now, Taking, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::material::load::PassKind;

/// Greatest deflection of a roughing and of a finishing move, in millimetres (contract).
const ROUGHING: f64 = 0.05;
const FINISHING: f64 = 0.02;

#[derive(Debug, Default)]
pub(crate) struct Deflection;

impl Check for Deflection {
    const ID: CheckId = CheckId::Deflection;

    fn bite(&mut self, taking: &Taking<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let Some(mean) = taking.load else {
            return;
        };
        let (limit, word) = match mean.kind {
            PassKind::Roughing => (ROUGHING, "roughing"),
            PassKind::Finishing => (FINISHING, "finishing"),
        };
        let (bends, ruler) = (mean.load.deflection.as_mm(), now.ruler);
        if bends > limit {
            found.fail(|| {
                format!(
                    "{} bends the bit by {}, at most {} when {word}; \
                     chuck it shorter, or lower the feed or the bite",
                    mean.bite(ruler),
                    ruler.both(bends, 3),
                    ruler.limit(limit)
                )
            });
        }
    }

    fn answer(&mut self, whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        let given = match whole.machine.stiffness {
            Some(_) => "bit and machine give",
            None => "the bit's own bend, all that is known without the machine's `stiffness`, is",
        };
        Answer::Passes(format!(
            "{given} less than {} roughing and {} finishing",
            whole.ruler.limit(ROUGHING),
            whole.ruler.limit(FINISHING)
        ))
    }
}
