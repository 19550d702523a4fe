//! What a form changes of the job, before anything is written.

use super::fields;
use super::now::Now;
use super::typed::{self, Typed};
use super::view::Told;
use crate::diagnostic::Diagnostic;
use crate::edit::{self, Kind};
use crate::produce::quoted;

/// The text that a form makes of the job's, and what is told of it.
pub(super) struct Change {
    pub(super) text: String,
    pub(super) told: Told,
    /// What was taken to be meant, by the key that it was typed for.
    pub(super) taken: Vec<(String, String)>,
}

/// What is typed where it differs from what the file says; nothing where
/// it does not.
///
/// # Errors
/// A key that no job has, and what cannot be written for one.
pub(super) fn of(now: &Now, job: &str, typed: &Typed) -> Result<Option<Change>, Diagnostic> {
    let wanted = match typed::of(typed, "remove") {
        Some(path) => vec![(path.to_owned(), String::new())],
        None => wanted(now, typed),
    };
    let mut new = Change {
        text: now.text.clone(),
        told: Told {
            may_undo: true,
            ..Told::default()
        },
        taken: Vec::new(),
    };
    for (path, value) in wanted {
        let change = edit::change(&new.text, &path, &value)?;
        if change.text == new.text {
            continue;
        }
        if let Some(taken) = change.told {
            new.told.words.push(taken.clone());
            new.taken.push((path.clone(), taken));
        }
        new.told.gone.extend(change.gone);
        new.told.come.extend(change.come);
        new.told.commands.push(command(job, &path, &value));
        new.text = change.text;
    }
    Ok(Some(new).filter(|new| new.text != now.text))
}

/// The keys whose value is to change, values that are taken away last and from
/// the end of a list, so that none changes its number before its turn.
fn wanted(now: &Now, typed: &Typed) -> Vec<(String, String)> {
    let differs = |(path, value): &&(String, String)| {
        !["seen", "read", "folder"].contains(&path.as_str())
            && now.shown(path).trim() != value.trim()
    };
    let changed: Vec<(String, String)> = typed.iter().filter(differs).cloned().collect();
    let (gone, mut wanted): (Vec<_>, Vec<_>) = changed
        .into_iter()
        .partition(|(_, value)| value.trim().is_empty());
    for (path, value) in gone.into_iter().rev() {
        let list = fields::list_of(&path);
        let is_fixed = list != path && matches!(Kind::of(list), Some(Kind::List(Some(_))));
        if !is_fixed {
            wanted.push((path, value));
            continue;
        }
        // A point has all its coordinates or is not there.
        let of_point = |(other, typed): &&(String, String)| {
            fields::list_of(other) == list && !typed.trim().is_empty()
        };
        let list = list.to_owned();
        if !typed.iter().any(|pair| of_point(&pair))
            && !wanted.iter().any(|(path, _)| *path == list)
        {
            wanted.push((list, String::new()));
        }
    }
    wanted
}

fn command(job: &str, path: &str, value: &str) -> String {
    let job = quoted(job);
    match value.trim() {
        "" => format!("stepwell set {job} {} --remove", quoted(path)),
        value => format!("stepwell set {job} {} {}", quoted(path), quoted(value)),
    }
}

pub(super) fn changed_outside(name: &str) -> Diagnostic {
    let message = format!("`{name}` has changed since this page was shown; nothing was written");
    let help = "what you see now is the file as it is; what you typed stands in its field and is \
                not saved: save it again where it is still wanted";
    Diagnostic::new("changed-meanwhile", message).help(help)
}
