//! The job as its files stand now.

use std::path::{Path, PathBuf};

use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};

use super::reach::{Reach, folder_of};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::edit::{self, Kind};
use crate::files::{self, ReadJob};
use crate::input::{self, Overrides, Written};
use crate::units::Units;
use crate::{produce, settings};

/// The job file, what it says key by key, and the job or what is wrong with it.
pub(super) struct Now {
    pub(super) text: String,
    /// Of the text: what a form must show to change it.
    pub(super) digest: String,
    pub(super) keys: Vec<Written>,
    pub(super) units: Units,
    pub(super) job: Result<ReadJob, Diagnostics>,
}

impl Now {
    /// # Errors
    /// A job file that cannot be read at all.
    pub(super) fn read(path: &Path, reach: &Reach) -> Result<Self, Diagnostic> {
        reach.allow(path)?;
        Ok(Self::of(plain(&files::read_spec_file(path)?), path, reach))
    }

    /// Of a text, whether the file holds it or not.
    pub(super) fn of(text: String, path: &Path, reach: &Reach) -> Self {
        let mut now = Self {
            digest: digest(&text),
            keys: input::written(&text),
            units: edit::units(&text),
            job: job(path, &text, reach),
            text,
        };
        now.show_what_is_broken();
        now.show_lists();
        now
    }

    /// Of a line that is no TOML a part may still be read as a value; what
    /// stands there is shown whole.
    fn show_what_is_broken(&mut self) {
        let Err(diagnostics) = &self.job else {
            return;
        };
        let places = diagnostics.iter().filter_map(|found| found.place.as_ref());
        let broken: Vec<String> = places
            .filter_map(|place| input::key_at(&self.text, &self.keys, place.line, place.column))
            .collect();
        for key in &mut self.keys {
            if key.is_whole || !broken.contains(&key.path) {
                continue;
            }
            let written = input::value_on_line(&self.text, &key.path);
            let written = written.and_then(|span| self.text.get(span));
            if let Some(written) = written.filter(|written| *written != key.raw) {
                key.shown = written.to_owned();
            }
        }
    }

    /// Of a list of single values all are shown, of what else is a whole nothing.
    fn show_lists(&mut self) {
        let lists: Vec<(usize, String)> = (self.keys.iter().enumerate())
            .filter(|(_, key)| key.is_whole)
            .map(|(index, key)| (index, self.listed(&key.path)))
            .collect();
        for (index, shown) in lists {
            self.keys[index].shown = shown;
        }
    }

    fn listed(&self, path: &str) -> String {
        if Kind::of(path).and_then(|kind| kind.item(path)).is_none() {
            return String::new();
        }
        let items = self.keys.iter().filter(|key| {
            let index = key.path.strip_prefix(path);
            index.is_some_and(|index| index.starts_with('[') && !key.is_whole)
        });
        let shown: Vec<&str> = items.map(|key| key.shown.as_str()).collect();
        shown.join(", ")
    }

    /// What the file says of a key, empty where it says nothing.
    pub(super) fn shown(&self, path: &str) -> &str {
        let key = self.keys.iter().find(|key| key.path == path);
        key.map_or("", |key| &key.shown)
    }

    /// How many values a list has.
    pub(super) fn count(&self, list: &str) -> usize {
        let is_item = |key: &&Written| {
            let rest = key
                .path
                .strip_prefix(list)
                .and_then(|rest| rest.strip_prefix('['));
            rest.is_some_and(|rest| {
                rest.strip_suffix(']')
                    .is_some_and(|number| !number.contains(']'))
            })
        };
        self.keys.iter().filter(is_item).count()
    }
}

/// Without a byte order mark and with plain line ends, as it is edited.
fn plain(text: &str) -> String {
    text.trim_start_matches('\u{feff}').replace("\r\n", "\n")
}

/// What tells one text of the file from another.
pub(super) fn digest(text: &str) -> String {
    HEXLOWER.encode(&Sha256::digest(text))
}

fn job(path: &Path, text: &str, reach: &Reach) -> Result<ReadJob, Diagnostics> {
    let spec = input::job(&path.display().to_string(), text)?;
    let places = [
        Some(spec.machine_place()),
        Some(spec.bits_place()),
        spec.hinges_place(),
    ];
    let named = [
        Some(spec.machine_path()),
        Some(spec.bits_path()),
        spec.hinges_path(),
    ];
    let mut outside = Diagnostics::new();
    for (named, place) in named.into_iter().zip(places) {
        let (Some(named), Some(place)) = (named, place) else {
            continue;
        };
        // A file that is not there is told as such by who reads it.
        let there = beside(path, named);
        if let Err(error) = reach.allow(&there) {
            outside.push(error.at(place));
        }
    }
    if !outside.is_empty() {
        return Err(outside);
    }
    files::read_job_as(path, text.to_owned(), &Overrides::default())
        .map_err(|unread| unread.diagnostics)
}

fn beside(job: &Path, named: &str) -> PathBuf {
    folder_of(job).join(named)
}

/// What `generate` makes of a job in `folder`.
pub(super) fn order<'f>(read: &ReadJob, folder: &'f Path) -> produce::Order<'f> {
    produce::Order {
        folder,
        stem: read.job.stem.clone(),
        inputs: read.inputs.clone(),
        notes: produce::notes(&read.job),
        drawings: false,
        force: false,
        boxes: None,
    }
}

/// Plans and judges a job as `generate` does, and hands on what was made.
pub(super) fn made<T>(
    read: &ReadJob,
    order: &produce::Order<'_>,
    then: impl FnOnce(&produce::Made<'_>) -> T,
) -> T {
    let settings = settings::for_job(&read.job);
    then(&order.make(&read.job, &settings))
}
