//! Files in, jobs or mistakes out.

mod any;
mod drawer;
mod geometry;
mod helps;
mod mistakes;
mod schema;
mod shipped;
mod syntax;

use crate::diagnostic::Diagnostics;
use crate::input::Overrides;
use crate::input::sample::{self, BITS, MACHINE, OVERLAY};
use crate::job::Job;

fn resolve(text: &str) -> Result<Job, Diagnostics> {
    resolve_with(text, &Overrides::default())
}

fn resolve_with(text: &str, overrides: &Overrides) -> Result<Job, Diagnostics> {
    sample::resolve(text, BITS, overrides)
}

/// The sample job with each first text replaced by the second.
#[track_caller]
fn overlay(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(OVERLAY.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "the sample has no {old:?}");
        text.replacen(old, new, 1)
    })
}

/// `line:column+length code: message; help`, one a line.
fn listing(errors: &Diagnostics) -> String {
    let line = |error: &crate::diagnostic::Diagnostic| {
        let place = error.place.as_ref().map_or_else(String::new, |place| {
            format!("{}:{}+{} ", place.line, place.column, place.length)
        });
        let help = error
            .help
            .as_ref()
            .map_or_else(String::new, |help| format!("; {help}"));
        format!("{place}{}: {}{help}", error.code, error.message)
    };
    errors.iter().map(line).collect::<Vec<_>>().join("\n")
}
