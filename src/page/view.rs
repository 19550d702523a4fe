//! From values to HTML.

use minijinja::value::Serde;
use minijinja::{Environment, context};
use serde::Serialize;

use super::fields::FieldSet;
use super::mistakes::Mistake;
use super::panel::Panel;
use super::proof::Proof;
use crate::diagnostic::Diagnostic;
use crate::{sheet, visible};

const PAGE: &str = include_str!("page.html");
const STYLE: &str = include_str!("page.css");
/// What saves a field when it is left, and says every minute that somebody is there.
pub(super) const SCRIPT: &str = include_str!("page.js");

/// The style of page and drawings.
pub(super) fn style() -> String {
    let sheet = [sheet::COLORS, sheet::PLAYBACK_STYLE, sheet::DRAWING_STYLE];
    format!("{}{STYLE}", sheet.concat())
}

/// What is told above the section.
#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Told {
    /// Whether something was refused.
    pub(super) is_refusal: bool,
    pub(super) words: Vec<String>,
    /// Lines of the file that went and that came.
    pub(super) gone: Vec<String>,
    pub(super) come: Vec<String>,
    /// The commands that do the same.
    pub(super) commands: Vec<String>,
    pub(super) may_undo: bool,
}

/// A section in the row of all.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Tab {
    pub(super) path: &'static str,
    pub(super) title: &'static str,
    pub(super) is_here: bool,
    pub(super) mistakes: usize,
}

/// Everything a page shows.
#[derive(Clone, Debug, Serialize)]
pub(super) struct View {
    #[serde(skip)]
    pub(super) token: String,
    pub(super) title: String,
    pub(super) file: String,
    /// Whether there is a job file; without one it is offered to begin one.
    pub(super) is_there: bool,
    /// Whether it shows what is typed and not saved.
    pub(super) is_draft: bool,
    pub(super) path: &'static str,
    pub(super) section: &'static str,
    pub(super) aim: &'static str,
    pub(super) digest: String,
    pub(super) tabs: Vec<Tab>,
    pub(super) told: Option<Told>,
    /// Mistakes that no field is there for.
    pub(super) mistakes: Vec<Mistake>,
    /// All of them.
    pub(super) count: usize,
    pub(super) sets: Vec<FieldSet>,
    pub(super) proof: Option<Proof>,
    pub(super) panel: Panel,
    /// Whether the whole verdict is shown, and what it is on is written.
    pub(super) proves: bool,
    /// Where the sheet of it is.
    pub(super) sheet: String,
    /// The folder that it is written to where no other is typed.
    pub(super) folder: String,
    pub(super) command: String,
    pub(super) next: Option<Tab>,
}

/// # Errors
/// A template that is broken, which no input can bring about.
pub(super) fn html(view: &View) -> Result<String, Diagnostic> {
    let failed = |error: minijinja::Error| {
        let message = format!("the page's template failed: {error}");
        Diagnostic::new("internal", message)
    };
    let mut environment = Environment::new();
    environment
        .add_template("page.html", PAGE)
        .map_err(failed)?;
    environment
        .add_template("playback.html", sheet::PLAYBACK)
        .map_err(failed)?;
    let template = environment.get_template("page.html").map_err(failed)?;
    let text = template
        .render(context! { view => Serde(view), token => view.token.as_str(), cautions => sheet::CAUTIONS })
        .map_err(failed)?;
    Ok(visible::escaped(&text).into_owned())
}
