//! A plug for a pocket that came out wrong: which pocket, of which scrap, drawn
//! and written as `generate --plug` does.

use std::path::Path;

use super::now::{self, Now};
use super::panel::{Asked, Button, Form, Panel};
use super::piece;
use super::programs;
use super::reach::Reach;
use super::readings;
use super::typed::{self, Typed};
use crate::diagnostic::Diagnostics;
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::produce::plugging::{self, PlugWish};
use crate::produce::{Made, Order, quoted};
use crate::{settings, sheet};

/// What the form is called among those of its section.
pub(super) const FORM: &str = "plug";

const SIZES: [(&str, &str, &str); 3] = [
    ("length", "Length", "Of the scrap, along X."),
    ("width", "Width", "Of the scrap, along Y."),
    (
        "thickness",
        "Thickness",
        "Of the scrap, of the part's wood.",
    ),
];
const WHICH: [&str; 3] = ["cut", "part", "hinge"];

/// What asks for it.
pub(super) fn form(now: &Now, lying: Vec<String>, typed: &Typed) -> Form {
    let mut fields = vec![
        programs::cut(lying, typed),
        Asked {
            choices: ["box", "lid"].map(str::to_owned).into(),
            ..Asked::typed(("part", "Part", "That the pocket is in."), typed)
        },
        Asked::typed(("hinge", "Hinge", "Counted from 1 at the stop end."), typed),
    ];
    fields.extend(SIZES.map(|about| Asked {
        unit: now.units.to_string(),
        ..Asked::typed(about, typed)
    }));
    Form {
        title: "A pocket came out wrong: a plug for it",
        only_asks: true,
        fields,
        hidden: vec![("form".to_owned(), FORM.to_owned())],
        buttons: vec![Button {
            words: "Draw the plug",
            ..Button::default()
        }],
        ..Form::default()
    }
}

/// Draws it, and offers to write it.
pub(super) fn show(
    panel: &mut Panel,
    now: &Now,
    job: &Path,
    folder: &Path,
    reach: &Reach,
    typed: &Typed,
) {
    let shown = made(job, folder, reach, typed, |made, _| {
        let drawings = sheet::figures(&made.sheet_input()).into_iter();
        let own = drawings.filter(|(suffix, _)| suffix != "-measure");
        panel.drawings = own.map(|(_, drawing)| drawing).collect();
        panel.lines.extend(made.report().notes.iter().cloned());
        for check in made.report().failed() {
            panel.wrong.push(format!("{}: {}", check.id, check.message));
        }
        if made.may_be_written() {
            let sizes = SIZES.map(|(name, ..)| name);
            let names = WHICH.into_iter().chain(sizes);
            let mut hidden = readings::hidden(now, FORM);
            hidden.extend(names.filter_map(|name| {
                let value = typed::of(typed, name)?;
                Some((name.to_owned(), value.to_owned()))
            }));
            panel.forms.push(Form {
                title: "Write program and sheet of the plug",
                action: "/write",
                hidden,
                cautions: true,
                buttons: vec![Button {
                    words: "Write the plug",
                    ..Button::default()
                }],
                command: command(job, folder, typed),
                ..Form::default()
            });
        }
    });
    if let Err(diagnostics) = shown {
        panel.wrong.extend(diagnostics.iter().map(piece::said));
    }
}

/// The command that writes it.
pub(super) fn command(job: &Path, folder: &Path, typed: &Typed) -> String {
    let shown = |path: &Path| quoted(&path.display().to_string());
    let program = folder.join(typed::of(typed, "cut").unwrap_or_default());
    format!(
        "stepwell generate {} -o {}{} --plug {}{}",
        shown(job),
        shown(folder),
        typed::options(typed, &["part", "hinge"]),
        shown(&program),
        typed::options(typed, &SIZES.map(|(name, ..)| name))
    )
}

/// Plans and judges it as `generate --plug` does, and hands on what was made.
///
/// # Errors
/// What is typed wrong, a program that did not cut that pocket, a scrap too small.
pub(super) fn made<T>(
    job: &Path,
    folder: &Path,
    reach: &Reach,
    typed: &Typed,
    then: impl FnOnce(&Made<'_>, &Order<'_>) -> T,
) -> Result<T, Diagnostics> {
    let program = programs::program(folder, reach, typed)?;
    let overrides = Overrides {
        selection: programs::selection(typed)?,
        ..Overrides::default()
    };
    let read: ReadJob = files::read_job(job, &overrides).map_err(|unread| unread.diagnostics)?;
    let of = |name| typed::of(typed, name).unwrap_or_default().to_owned();
    let wish = PlugWish {
        programs: vec![program.clone()],
        length: of("length"),
        width: of("width"),
        thickness: of("thickness"),
    };
    let again = plugging::again(job, Some(folder), read.job.selection);
    let (plug, notes) = wish
        .plug(job, &read.job, read.job.units, &again, &|_| {
            Box::new(|_| ())
        })
        .map_err(|unread| unread.diagnostics)?;
    let mut order = Order {
        stem: plug.stem.clone(),
        notes,
        ..now::order(&read, folder)
    };
    order.inputs.push(program);
    let settings = settings::for_job(&plug);
    Ok(then(&order.make(&plug, &settings), &order))
}
