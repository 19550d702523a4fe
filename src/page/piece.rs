//! The test piece: what scrap is at hand, its pockets drawn, and its program
//! written as `test-piece` does.

use std::path::Path;

use super::now::{self, Now};
use super::panel::{Asked, Button, Form, Panel};
use super::typed::{self, Typed};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::produce::{Made, Order, PieceWish, counts, quoted};
use crate::{settings, sheet};

/// Name, label and meaning of each field; lengths but for the number of pockets.
const ASKED: [(&str, &str, &str); 6] = [
    ("length", "Length", "Of the scrap, along X."),
    ("width", "Width", "Of the scrap, along Y."),
    ("thickness", "Thickness", "Of the scrap."),
    (
        "pockets",
        "Pockets",
        "How many, from 5 to 9; 5 where nothing is said.",
    ),
    (
        "step",
        "Step",
        "Clearance from one pocket to the next; 0.05 mm where nothing is said.",
    ),
    (
        "depth-step",
        "Depth step",
        "Depth from one pocket to the next in a second row, cut only where this is said.",
    ),
];

const BIT: (&str, &str, &str) = ("bit", "Bit", "By its name in the rack.");
const WEAR: (&str, &str, &str) = (
    "wear",
    "Wear",
    "How worn the bit is: 0 fresh, 1 worn out; as the rack says where nothing is said.",
);

/// What is typed of a test piece; the number of pockets must be one.
pub(super) fn wish(typed: &Typed) -> Result<PieceWish, Diagnostic> {
    let of = |name| typed::of(typed, name).map(str::to_owned);
    let pockets = of("pockets").map(|written| {
        written.parse().map_err(|_| {
            let message = format!("--pockets: `{written}` is no count");
            Diagnostic::new("usage", message).help("write a whole number from 5 to 9")
        })
    });
    Ok(PieceWish {
        length: of("length").unwrap_or_default(),
        width: of("width").unwrap_or_default(),
        thickness: of("thickness").unwrap_or_default(),
        pockets: pockets.transpose()?,
        step: of("step"),
        depth_step: of("depth-step"),
    })
}

/// Whether a field of that name is one of a test piece.
pub(super) fn is_asked(name: &str) -> bool {
    names().any(|own| own == name)
}

fn names() -> impl Iterator<Item = &'static str> {
    let all = ASKED.into_iter().chain([BIT, WEAR]);
    all.map(|(name, ..)| name)
}

/// The options that say which test piece it is.
pub(super) fn options(typed: &Typed) -> String {
    typed::options(typed, &ASKED.map(|(name, _, _)| name))
}

/// The fields that say which test piece it is.
pub(super) fn fields(now: &Now, typed: &Typed) -> Vec<Asked> {
    let field = |about: (&'static str, &str, &str)| Asked {
        unit: match about.0 {
            "pockets" => String::new(),
            _ => now.units.to_string(),
        },
        ..Asked::typed(about, typed)
    };
    ASKED.map(field).into()
}

/// The command that writes it.
pub(super) fn command(job: &str, folder: &Path, typed: &Typed) -> String {
    let folder = folder.display().to_string();
    format!(
        "stepwell test-piece {} -o {}{}{}",
        quoted(job),
        quoted(&folder),
        options(typed),
        typed::options(typed, &[BIT.0, WEAR.0])
    )
}

/// The section: what is asked for and, where that is said, the piece.
pub(super) fn panel(now: &Now, job: &Path, folder: &Path, typed: &Typed) -> Panel {
    let mut asked = fields(now, typed);
    asked.extend(with_what(now, typed));
    let mut panel = Panel {
        forms: vec![Form {
            title: "The scrap at hand",
            only_asks: true,
            fields: asked,
            buttons: vec![Button {
                words: "Draw it",
                ..Button::default()
            }],
            ..Form::default()
        }],
        ..Panel::default()
    };
    let is_asked = names().any(|name| typed::of(typed, name).is_some());
    let Some(read) = now.job.as_ref().ok().filter(|_| is_asked) else {
        return panel;
    };
    let shown = made(read, (job, folder), typed, |made, _| {
        panel.drawings = sheet::figures(&made.sheet_input())
            .into_iter()
            .map(|(_, drawing)| drawing)
            .collect();
        let report = made.report();
        panel.lines.clone_from(&report.notes);
        for check in report.failed() {
            panel.wrong.push(format!("{}: {}", check.id, check.message));
        }
        if made.may_be_written() {
            panel.forms.push(Form {
                title: "Write program and sheet",
                action: "/write",
                hidden: hidden(now, typed),
                cautions: true,
                buttons: vec![Button {
                    words: "Write the test piece",
                    ..Button::default()
                }],
                command: command(&job.display().to_string(), folder, typed),
                ..Form::default()
            });
        }
    });
    if let Err(diagnostics) = shown {
        panel.wrong.extend(diagnostics.iter().map(said));
    }
    panel
}

/// The bit that it is cut with.
fn with_what(now: &Now, typed: &Typed) -> [Asked; 2] {
    let job = now.job.as_ref().ok().map(|read| &read.job);
    let bit = Asked {
        choices: job.map_or(Vec::new(), |job| {
            job.rack.iter().map(|bit| bit.name.clone()).collect()
        }),
        unsaid: job.map_or(String::new(), |job| job.bit.name.clone()),
        ..Asked::typed(BIT, typed)
    };
    [bit, Asked::typed(WEAR, typed)]
}

fn hidden(now: &Now, typed: &Typed) -> Vec<(String, String)> {
    let names = names().filter_map(|name| {
        let value = typed::of(typed, name)?;
        Some((name.to_owned(), value.to_owned()))
    });
    let seen = ("seen".to_owned(), now.digest.clone());
    names.chain([seen]).collect()
}

/// A mistake with what is to be done about it.
pub(super) fn said(diagnostic: &Diagnostic) -> String {
    match &diagnostic.help {
        Some(help) => format!("{}; {help}", diagnostic.message),
        None => diagnostic.message.clone(),
    }
}

/// Plans and judges the test piece as `test-piece` does, and hands on what was made.
pub(super) fn made<T>(
    read: &ReadJob,
    (path, folder): (&Path, &Path),
    typed: &Typed,
    then: impl FnOnce(&Made<'_>, &Order<'_>) -> T,
) -> Result<T, Diagnostics> {
    let wear = typed::of(typed, WEAR.0).map(counts::share).transpose();
    let wear = wear.map_err(|help| {
        let written = typed::of(typed, WEAR.0).unwrap_or_default();
        Diagnostic::new("usage", format!("--wear is `{written}`")).help(help)
    })?;
    let overrides = Overrides {
        bit: typed::of(typed, BIT.0).map(str::to_owned),
        wear,
        ..Overrides::default()
    };
    let other;
    let read = if overrides == Overrides::default() {
        read
    } else {
        other = files::read_job(path, &overrides).map_err(|unread| unread.diagnostics)?;
        &other
    };
    let job = &read.job;
    let (piece, notes) = wish(typed)?.piece(job, job.units)?;
    let order = Order {
        stem: piece.stem.clone(),
        notes,
        ..now::order(read, folder)
    };
    // The job's own feeds and passes, for both its woods: they decide the fit.
    let settings = settings::for_job(job);
    Ok(then(&order.make(&piece, &settings), &order))
}
