//! What a section proves and writes: the job, or the template of one.

use std::path::Path;

use super::now::{self, Now};
use super::section::Section;
use crate::diagnostic::Diagnostics;
use crate::files::ReadJob;
use crate::produce::{Made, Order, Subject, plate_notes, quoted};

const TABLE: &str = "template";

/// Whether the job has what the section is about, as far as its file tells.
pub(super) fn is_of(section: Section, now: &Now) -> bool {
    let is_within = |path: &str| {
        let rest = path.strip_prefix(TABLE);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    section != Section::Template || now.keys.iter().any(|key| is_within(&key.path))
}

/// Plans and judges it as the command does, and hands on what was made.
///
/// # Errors
/// A template that cannot be.
pub(super) fn made<T>(
    section: Section,
    read: &ReadJob,
    folder: &Path,
    then: impl FnOnce(&Made<'_>, &Order<'_>) -> T,
) -> Result<T, Diagnostics> {
    let order = now::order(read, folder);
    if section != Section::Template {
        return Ok(now::made(read, &order, |made| then(made, &order)));
    }
    let (plate, settings) = Subject::Template.of(read.job.clone())?;
    let order = Order {
        stem: plate.stem.clone(),
        notes: plate_notes(&plate),
        ..order
    };
    Ok(then(&order.make(&plate, &settings), &order))
}

/// The command that writes it.
pub(super) fn command(section: Section, job: &str, folder: &Path) -> String {
    let command = match section {
        Section::Template => "template",
        _ => "generate",
    };
    let folder = folder.display().to_string();
    format!("stepwell {command} {} -o {}", quoted(job), quoted(&folder))
}
