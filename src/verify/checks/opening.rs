//! `opening`: whether the lid opens flat, by the leaves' reach past the hinge
//! line and the room it has.

use crate::job::Closing;
use crate::report::CheckId;
use crate::verify::checks::check::{Check, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::scene::opening::{ROUNDED, opening};

#[derive(Debug, Default)]
pub(crate) struct Opening;

impl Check for Opening {
    const ID: CheckId = CheckId::Opening;

    fn answer(&mut self, whole: &Whole<'_>, found: &mut Found<'_>) -> Answer {
        let job = whole.shop.map(|shop| shop.job);
        let Some((job, opening)) = job.and_then(|job| Some((job, opening(job)?))) else {
            return Answer::DoesNotApply("the hinge has no `open_gap`");
        };
        let (needed, gap) = (opening.apart.as_mm(), opening.flat.as_mm());
        let ruler = whole.ruler;
        if !opening.is_flat() {
            found.warn(|| {
                format!(
                    "the leaves stand {} apart, the hinge opens flat up to {}: \
                     the lid will not open flat; lessen {}",
                    ruler.both(needed, 2),
                    ruler.one(gap, 2),
                    match (
                        job.hinge.overhang_or_drop.as_mm() > ROUNDED,
                        job.closing == Closing::Inset
                    ) {
                        (false, _) => "`hinge.setback`",
                        (true, false) => "`lid.overhang` or `hinge.setback`",
                        (true, true) => "`lid.drop` or `hinge.setback`",
                    }
                )
            });
        }
        Answer::Passes(format!(
            "the leaves stand {} apart of {} that open flat",
            ruler.one(needed, 2),
            ruler.one(gap, 2)
        ))
    }
}
