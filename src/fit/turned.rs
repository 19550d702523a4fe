//! Trial cuts on a template, the router held both ways round: half their
//! difference is the bit off the collar's middle, their mean less what the plate's
//! text leaves is the batten's error, or the stop's.

use super::reading::to_a_micrometre;
use crate::diagnostic::Diagnostic;
use crate::job::template::Template;
use crate::job::{Job, PartName};
use crate::units::Length;

/// What two readings of a trial mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Found {
    /// What the text leaves for a collar that is centred.
    pub(super) left: Length,
    /// The bit off the collar's middle.
    pub(super) off: Length,
    /// What batten or stop add.
    pub(super) error: Length,
}

/// More is no matter of a collar, in millimetres (common practice, no source).
const MOST: f64 = 1.5;

/// Wood outside both pockets: A with the router's marked side towards the batten, B
/// turned. The text has the opening's middle line `to_batten` from it, and the opening
/// `width` wide.
pub(super) fn across(
    template: &Template,
    to_batten: Length,
    width: Length,
    [one, turned]: [Length; 2],
) -> Found {
    let left = to_batten - (width / 2.0 - template.offset());
    Found {
        left,
        off: (one - turned) / 2.0,
        error: (one + turned) / 2.0 - left,
    }
}

/// Wood from the stop end to both pockets, in the box's pose: the stop lies on the
/// right of who looks inward, so a bit that stands off to the right leaves less.
pub(super) fn along(job: &Job, [one, turned]: [Length; 2]) -> Option<Found> {
    let pocket = job.part(PartName::Box)?.pockets.first()?;
    let step = pocket.steps.first()?;
    let left = pocket.center.x() + step.shift - step.length / 2.0;
    Some(Found {
        left,
        off: (turned - one) / 2.0,
        error: (one + turned) / 2.0 - left,
    })
}

impl Found {
    /// Refuses figures that no collar and no batten has.
    pub(super) fn plausible(
        self,
        option: &str,
        show: &dyn Fn(Length) -> String,
    ) -> Result<Self, Diagnostic> {
        let worst = self.off.abs().max(self.error.abs());
        if worst.as_mm() <= MOST {
            return Ok(self);
        }
        let message = format!(
            "--{option}: the bit would stand {} off the collar's middle and the plate {} off; {} of wood was wanted",
            show(self.off),
            show(self.error),
            show(self.left)
        );
        let help = "check both readings and the unit; A and B are of the same wall, the router turned half round between them; with --as-read it is entered";
        Err(Diagnostic::new("implausible", message).help(help))
    }

    /// Rounded to what a caliper can mean.
    pub(super) fn rounded(self) -> Self {
        Self {
            left: self.left,
            off: to_a_micrometre(self.off),
            error: to_a_micrometre(self.error),
        }
    }
}
