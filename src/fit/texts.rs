//! The files that readings are entered in: as texts, and while they are edited.

use super::document::Document;
use super::entry::Entry;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::input::{self, Overrides};
use crate::job::Job;
use crate::units::Length;

/// The texts of the files a job came from.
#[derive(Clone, Copy, Debug)]
pub struct Texts<'t> {
    /// The job file.
    pub job: NamedText<'t>,
    /// The bits file.
    pub bits: NamedText<'t>,
    /// The drawer, where the job names one.
    pub hinges: Option<NamedText<'t>>,
}

/// A file's text.
#[derive(Clone, Copy, Debug)]
pub struct NamedText<'t> {
    /// The file's path as messages call it.
    pub file: &'t str,
    /// What stands in it.
    pub text: &'t str,
}

/// The files with what was entered, and what that was in words.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entered {
    /// New text of the job file, where it changed.
    pub job: Option<String>,
    /// New text of the bits file, where it changed.
    pub bits: Option<String>,
    /// New text of the drawer, where it changed.
    pub hinges: Option<String>,
    /// A sentence for each reading.
    pub words: Vec<String>,
}

/// The files while they are edited.
#[derive(Clone, Debug)]
pub(super) struct Documents {
    pub(super) job: Document,
    pub(super) rack: Document,
    pub(super) drawer: Option<Document>,
}

impl Documents {
    /// # Errors
    /// Text that is no TOML.
    pub(super) fn parse(texts: Texts<'_>) -> Result<Self, Diagnostics> {
        let document = |named: NamedText<'_>| Document::parse(named.file, named.text);
        Ok(Self {
            job: document(texts.job)?,
            rack: document(texts.bits)?,
            drawer: texts.hinges.map(document).transpose()?,
        })
    }

    pub(super) fn all_mut(&mut self) -> impl Iterator<Item = &mut Document> {
        [&mut self.job, &mut self.rack]
            .into_iter()
            .chain(&mut self.drawer)
    }

    /// The entries of all files, in the order they were made.
    pub(super) fn entries(&self) -> Vec<Entry> {
        let files = [&self.job, &self.rack].into_iter().chain(&self.drawer);
        let mut entries: Vec<Entry> = files.flat_map(Document::entries).collect();
        entries.sort_by_key(|entry| entry.number);
        entries
    }

    /// The number of the last entry of all files, where there is one.
    pub(super) fn last_number(&self) -> Option<i64> {
        self.entries().last().map(|entry| entry.number)
    }

    /// What has changed since `texts`; the corrected job must resolve.
    ///
    /// # Errors
    /// What the corrected job refuses, with what can be done instead.
    pub(super) fn entered(
        &self,
        texts: Texts<'_>,
        job: &Job,
        words: Vec<String>,
    ) -> Result<Entered, Diagnostics> {
        let drawer = self.drawer.as_ref().zip(texts.hinges);
        let entered = Entered {
            job: self.job.changed(texts.job.text),
            bits: self.rack.changed(texts.bits.text),
            hinges: drawer.and_then(|(drawer, old)| drawer.changed(old.text)),
            words,
        };
        prove(texts, job, &entered)?;
        Ok(entered)
    }
}

/// A pocket this much narrower than the bit still counts as wide as the bit.
const SAME_WIDTH: Length = Length::from_mm(0.02);

/// Whether the job's bit is for its template alone: too wide for its pockets as they are.
fn is_for_template(job: &Job) -> bool {
    let steps = job.parts.iter().flat_map(|part| &part.pockets);
    let mut steps = steps.flat_map(|pocket| &pocket.steps);
    let diameter = job.bit.cutting_diameter();
    let is_too_wide = |room: Length| !room.is_near(diameter, SAME_WIDTH) && room < diameter;
    job.template.is_some()
        && steps.any(|step| is_too_wide(step.width.min(step.length).min(step.corner * 2.0)))
}

fn prove(texts: Texts<'_>, job: &Job, entered: &Entered) -> Result<(), Diagnostics> {
    let text = entered.job.as_deref().unwrap_or(texts.job.text);
    let rack = entered.bits.as_deref().unwrap_or(texts.bits.text);
    let overrides = Overrides {
        bit: Some(job.bit.name.clone()),
        cuts_template: is_for_template(job),
        ..Overrides::default()
    };
    let resolved = input::bits(texts.bits.file, rack).and_then(|rack| {
        let mut spec = input::job(texts.job.file, text)?;
        if let Some(old) = texts.hinges {
            let new = entered.hinges.as_deref().unwrap_or(old.text);
            spec = spec.with_hinges(input::hinges(old.file, new)?);
        }
        spec.resolve(job.machine.clone(), rack, &overrides)
    });
    resolved.map(drop).map_err(|errors| {
        let advise = |error: Diagnostic| Diagnostic {
            message: format!("the correction cannot be: {}", error.message),
            help: Some(remedy(error.code).to_owned()),
            // The place is one of the corrected text, which nobody has.
            place: None,
            ..error
        };
        errors.into_iter().map(advise).collect()
    })
}

fn remedy(code: &str) -> &'static str {
    match code {
        "bit-too-wide" | "corner-too-tight" => {
            "a pocket cannot be narrower than the bit: take a thinner bit, shim the leaf, or use another hinge"
        }
        "out-of-range" => {
            "so large an error is no matter of fit: check the zero point, the stop and the reading"
        }
        _ => "check the reading and the pocket it was taken at",
    }
}
