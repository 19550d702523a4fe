//! What is wrong with the job, at the key where it is wrong, in the words of
//! the terminal.

use std::path::Path;

use serde::Serialize;

use super::now::Now;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::input;

/// A mistake and the key it belongs to, where it belongs to one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct Mistake {
    #[serde(skip)]
    pub(super) key: Option<String>,
    pub(super) words: String,
    pub(super) help: Option<String>,
    pub(super) place: Option<String>,
}

/// All mistakes of the job and of the files that it names.
pub(super) fn of(now: &Now, path: &Path) -> Vec<Mistake> {
    let Err(diagnostics) = &now.job else {
        return Vec::new();
    };
    told(now, path, diagnostics)
}

/// What was found, each at its key.
pub(super) fn told(now: &Now, path: &Path, diagnostics: &Diagnostics) -> Vec<Mistake> {
    let own = path.display().to_string();
    diagnostics
        .iter()
        .map(|diagnostic| Mistake {
            key: key(now, diagnostic, &own),
            words: diagnostic.message.clone(),
            help: diagnostic.help.clone(),
            place: diagnostic
                .place
                .as_ref()
                .map(|place| format!("{}:{}:{}", place.file, place.line, place.column)),
        })
        .collect()
}

fn key(now: &Now, diagnostic: &Diagnostic, own: &str) -> Option<String> {
    // A key that is missing has no place of its own; its name leads the message.
    if diagnostic.code == "missing-key" {
        return diagnostic.message.split('`').nth(1).map(str::to_owned);
    }
    match &diagnostic.place {
        Some(place) if place.file == own => {
            input::key_at(&now.text, &now.keys, place.line, place.column)
        }
        Some(place) => naming(now, &place.file),
        None => diagnostic
            .file
            .as_deref()
            .and_then(|file| naming(now, file)),
    }
}

/// The key that names another file.
fn naming(now: &Now, file: &str) -> Option<String> {
    let keys = ["machine", "bits", "hinges"].into_iter();
    let mut naming = keys.filter(|key| {
        let named = now.shown(key);
        !named.is_empty() && Path::new(file).ends_with(Path::new(named))
    });
    naming.next().map(str::to_owned)
}
