//! What a form sends, and the options that say the same.

use crate::edit;
use crate::produce::{counts, quoted};
use crate::units::Units;

/// Names and what is typed for them.
pub(super) type Typed = Vec<(String, String)>;

/// What is typed for a name, without the spaces around it; nothing where it is empty.
pub(super) fn of<'t>(typed: &'t Typed, name: &str) -> Option<&'t str> {
    let mut named = typed.iter().filter(|(key, _)| key == name);
    let (_, value) = named.next()?;
    Some(value.trim()).filter(|value| !value.is_empty())
}

/// The options of these names that something is typed for.
pub(super) fn options(typed: &Typed, names: &[&str]) -> String {
    let said = names.iter().filter_map(|name| {
        let value = of(typed, name)?;
        Some(format!(" --{name} {}", quoted(value)))
    });
    said.collect()
}

/// All that is typed or ticked for a name.
pub(super) fn all<'t>(typed: &'t Typed, name: &str) -> Vec<&'t str> {
    let named = typed.iter().filter(|(key, _)| key == name);
    let values = named.map(|(_, value)| value.trim());
    values.filter(|value| !value.is_empty()).collect()
}

/// Lengths that are asked for besides keys of the job.
const LENGTHS: [&str; 15] = [
    "length",
    "width",
    "thickness",
    "step",
    "depth-step",
    "outside-box",
    "outside-lid",
    "end-box",
    "end-lid",
    "gap",
    "slot",
    "turned-a",
    "turned-b",
    "turned-end-a",
    "turned-end-b",
];

/// With lengths and wear as options take them, and what was taken to be meant.
pub(super) fn meant(typed: &Typed, units: Units) -> (Typed, Vec<String>) {
    // A step of the job is counted, one of a series measured.
    let is_counted = |name: &str| name == "step" && of(typed, "form") == Some("job");
    let mut told = Vec::new();
    let meant = typed.iter().map(|(name, value)| {
        let written = value.trim();
        let (value, taken) = match name.as_str() {
            _ if written.is_empty() || is_counted(name) => (value.clone(), None),
            "wear" => wear(written),
            name if LENGTHS.contains(&name) => edit::meant_length(written, units),
            _ => (value.clone(), None),
        };
        told.extend(taken);
        (name.clone(), value)
    });
    (meant.collect(), told)
}

fn wear(written: &str) -> (String, Option<String>) {
    match (counts::share(written), counts::meant_share(written)) {
        (Err(_), Some(meant)) => {
            let meant = meant.to_string();
            let told = format!("`{written}` was taken as {meant}");
            (meant, Some(told))
        }
        _ => (written.to_owned(), None),
    }
}
