//! What stands entered: shown, taken back, or forgotten with the set-up.

use super::document;
use super::entry::Entry;
use super::reading::Reading;
use super::texts::{Documents, Entered, Texts};
use super::words;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::job::Job;

/// A value as it stands in a file.
fn or_none(raw: &str) -> &str {
    if raw.is_empty() { "not set" } else { raw }
}

/// What stands entered in all files, a sentence each, the latest of each key.
///
/// # Errors
/// A file that is no TOML.
pub fn show(texts: Texts<'_>) -> Result<Vec<String>, Diagnostics> {
    let mut standing: Vec<Entry> = Vec::new();
    for entry in Documents::parse(texts)?.entries() {
        standing.retain(|other| !other.is_of_the_figure_of(&entry));
        standing.push(entry);
    }
    if standing.is_empty() {
        return Ok(vec!["nothing stands entered".to_owned()]);
    }
    Ok(standing
        .iter()
        .map(|entry| {
            let what = match entry.found.as_str() {
                "" => entry.reading.clone(),
                found => format!("{} {found}", entry.reading),
            };
            let program = match entry.program.get(..12) {
                Some(digest) => format!(", read on the program of SHA-256 {digest}…"),
                None => String::new(),
            };
            let hinge = match entry.hinge.as_str() {
                "" => String::new(),
                hinge => format!(", hinge `{hinge}` in {}", entry.wood),
            };
            let effect = match words::effect(&entry.key, &entry.now) {
                "" => String::new(),
                effect => format!("; {effect}"),
            };
            format!(
                "{}: {} is {}, was {} ({what}{program}, bit `{}`{hinge}){effect}",
                entry.number,
                entry.key,
                or_none(&entry.now),
                or_none(&entry.was),
                entry.bit
            )
        })
        .collect())
}

/// Takes the last entry back, in whichever files it was made.
///
/// # Errors
/// Nothing to take back; a file that holds its tables in another form.
pub fn undo(texts: Texts<'_>, job: &Job) -> Result<Entered, Diagnostics> {
    let mut files = Documents::parse(texts)?;
    let Some(last) = files.last_number() else {
        let message = "nothing stands entered, so nothing can be taken back";
        return Err(Diagnostic::new("nothing-to-undo", message).into());
    };
    // Another job that shares rack or drawer may have come to the same number.
    let of_the_job = files.job.entries().into_iter();
    let mut all = of_the_job.chain(files.entries());
    let program = all
        .find(|entry| entry.number == last)
        .map_or_else(String::new, |entry| entry.program);
    let mut words = Vec::new();
    for file in files.all_mut() {
        let own = file.entries();
        let together = |entry: &&Entry| entry.number == last && entry.program == program;
        for entry in own.iter().rev().filter(together) {
            file.restore(entry).map_err(|error| vec![error])?;
            words.push(format!(
                "{} is {} again, no longer {}",
                entry.key,
                or_none(&entry.was),
                or_none(&entry.now)
            ));
        }
        Entry::remove(&mut file.tree, last, &program);
    }
    files.entered(texts, job, words)
}

/// Forgets the corrections of places, which belong to the set-up, and keeps
/// clearance, depth and bit.
///
/// # Errors
/// A file that holds its tables in another form.
pub fn forget_set_up(texts: Texts<'_>, job: &Job) -> Result<Entered, Diagnostics> {
    let mut files = Documents::parse(texts)?;
    let number = files.last_number().unwrap_or(0) + 1;
    let mut words = Vec::new();
    for key in ["box_u", "box_v", "lid_u", "lid_v"] {
        let document = &mut files.job;
        let was = document.raw_fit(key);
        if was.is_empty() || was == "0" {
            continue;
        }
        document.clear_fit(key).map_err(|error| vec![error])?;
        words.push(format!(
            "fit.{key}, {was}, is forgotten: it belonged to the last set-up"
        ));
        let entry = Entry {
            key: format!("fit.{key}"),
            was,
            now: document.raw_fit(key),
            ..Entry::new(number, Reading::NewSetUp, String::new(), &job.bit.name)
        };
        document.log(entry).map_err(|error| vec![error])?;
    }
    // Collar, batten and stop are set up anew too.
    for key in ["off_centre", "batten_off", "stop_off"] {
        let document = &mut files.job;
        let was = document.raw_template(key);
        if was.is_empty() || was == "0" || was == "[0, 0]" {
            continue;
        }
        document.clear_template(key).map_err(|error| vec![error])?;
        words.push(format!(
            "template.{key}, {was}, is forgotten: it belonged to the last set-up"
        ));
        let entry = Entry {
            key: format!("template.{key}"),
            was,
            now: document.raw_template(key),
            ..Entry::new(number, Reading::NewSetUp, String::new(), &job.bit.name)
        };
        document.log(entry).map_err(|error| vec![error])?;
    }
    for position in &job.fixture.positions {
        for key in ["box_u", "lid_u"] {
            let (document, number_of) = (&mut files.job, position.number);
            let was = document.raw_position(number_of, key);
            if was.is_empty() || was == "0" {
                continue;
            }
            document
                .clear_position(number_of, key)
                .map_err(|error| vec![error])?;
            let path = document::position_key(number_of, key);
            words.push(format!(
                "{path}, {was}, is forgotten: it belonged to the last set-up"
            ));
            let entry = Entry {
                key: path,
                was,
                now: document.raw_position(number_of, key),
                ..Entry::new(number, Reading::NewSetUp, String::new(), &job.bit.name)
            };
            document.log(entry).map_err(|error| vec![error])?;
        }
    }
    if words.is_empty() {
        words.push("no correction of a place stands entered: nothing changes".to_owned());
    }
    files.entered(texts, job, words)
}
