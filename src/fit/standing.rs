//! What stands entered: shown, taken back, or forgotten with the set-up.

use super::document::{self, Document};
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

/// A figure that belongs to the set-up, by where it stands in the job.
#[derive(Clone, Copy)]
enum Figure {
    Fit(&'static str),
    Template(&'static str),
    /// Of a position, by its number.
    Position(usize, &'static str),
}

impl Figure {
    fn path(self) -> String {
        match self {
            Self::Fit(key) => format!("fit.{key}"),
            Self::Template(key) => format!("template.{key}"),
            Self::Position(number, key) => document::position_key(number, key),
        }
    }

    /// As it stands, empty where it does not.
    fn raw(self, document: &mut Document) -> String {
        match self {
            Self::Fit(key) => document.raw_fit(key),
            Self::Template(key) => document.raw_template(key),
            Self::Position(number, key) => document.raw_position(number, key),
        }
    }

    fn clear(self, document: &mut Document) -> Result<(), Diagnostic> {
        match self {
            Self::Fit(key) => document.clear_fit(key),
            Self::Template(key) => document.clear_template(key),
            Self::Position(number, key) => document.clear_position(number, key),
        }
    }
}

/// The places of the job's parts, then collar, batten and stop, then each position's own.
fn of_the_set_up(job: &Job) -> Vec<Figure> {
    let mut all: Vec<Figure> = ["box_u", "box_v", "lid_u", "lid_v"].map(Figure::Fit).into();
    all.extend(["off_centre", "batten_off", "stop_off"].map(Figure::Template));
    let positions = job.fixture.positions.iter();
    all.extend(
        positions.flat_map(|position| {
            ["box_u", "lid_u"].map(|key| Figure::Position(position.number, key))
        }),
    );
    all
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
    for figure in of_the_set_up(job) {
        let document = &mut files.job;
        let was = figure.raw(document);
        if ["", "0", "[0, 0]"].contains(&was.as_str()) {
            continue;
        }
        figure.clear(document).map_err(|error| vec![error])?;
        let path = figure.path();
        words.push(format!(
            "{path}, {was}, is forgotten: it belonged to the last set-up"
        ));
        let entry = Entry {
            key: path,
            was,
            now: figure.raw(document),
            ..Entry::new(number, Reading::NewSetUp, String::new(), &job.bit.name)
        };
        document.log(entry).map_err(|error| vec![error])?;
    }
    if words.is_empty() {
        words.push("no correction of a place stands entered: nothing changes".to_owned());
    }
    files.entered(texts, job, words)
}
