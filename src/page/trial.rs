//! Readings on trial cuts that a template guided.

use super::now::Now;
use super::panel::Asked;
use super::typed::{self, Typed};
use crate::diagnostic::Diagnostic;
use crate::files::ReadJob;
use crate::produce::fitting::Cut;
use crate::produce::{Subject, quoted};
use crate::sheet;

/// Two readings of one wall: their option, then name, label and meaning of each field.
struct Pair {
    option: &'static str,
    fields: [(&'static str, &'static str, &'static str); 2],
}

const ACROSS: Pair = Pair {
    option: "turned",
    fields: [
        (
            "turned-a",
            "A, outside",
            "Wood outside the pocket, the router's marked side towards the batten.",
        ),
        (
            "turned-b",
            "B, outside",
            "Wood outside the pocket beside it, the router turned half round.",
        ),
    ],
};

const ALONG: Pair = Pair {
    option: "turned-end",
    fields: [
        (
            "turned-end-a",
            "A, stop end",
            "With a stop: wood from the scrap's end to the pocket, the router's marked side towards the batten.",
        ),
        (
            "turned-end-b",
            "B, stop end",
            "With a stop: wood from the scrap's end to the pocket, the router turned half round.",
        ),
    ],
};

/// The fields, each with what it must be.
pub(super) fn fields(now: &Now, read: &ReadJob, typed: &Typed) -> Vec<Asked> {
    let plate = Subject::Template.of(read.job.clone());
    let wanted = plate
        .ok()
        .and_then(|(plate, _)| sheet::trial_to_read(&plate));
    let pairs = [ACROSS, ALONG].into_iter().zip(wanted.unwrap_or_default());
    let fields = pairs.flat_map(|(pair, wanted)| {
        let readings = pair.fields.into_iter().zip(wanted);
        readings.map(|(about, wanted)| Asked::reading(about, now.units.to_string(), typed, wanted))
    });
    fields.collect()
}

impl Pair {
    /// # Errors
    /// One reading without the other.
    fn of(&self, typed: &Typed) -> Result<Option<[String; 2]>, Diagnostic> {
        match self.fields.map(|(name, ..)| typed::of(typed, name)) {
            [Some(one), Some(turned)] => Ok(Some([one.to_owned(), turned.to_owned()])),
            [None, None] => Ok(None),
            _ => {
                let message = format!("--{} takes two readings, A and B", self.option);
                let help = "read both pockets: the collar's error is half the difference";
                Err(Diagnostic::new("usage", message).help(help))
            }
        }
    }

    fn as_option(&self, typed: &Typed) -> String {
        let read = self.fields.map(|(name, ..)| typed::of(typed, name));
        match read {
            [Some(one), Some(turned)] => {
                format!(" --{} {} {}", self.option, quoted(one), quoted(turned))
            }
            _ => String::new(),
        }
    }
}

/// The readings as options.
pub(super) fn options(typed: &Typed) -> String {
    [ACROSS, ALONG].map(|pair| pair.as_option(typed)).concat()
}

/// What was read on what the programs' template guided.
///
/// # Errors
/// One reading without the other.
pub(super) fn read(cut: Cut, typed: &Typed) -> Result<Cut, Diagnostic> {
    Ok(Cut {
        subject: Subject::Template,
        turned: ACROSS.of(typed)?,
        turned_end: ALONG.of(typed)?,
        ..cut
    })
}
