//! Readings: what the calipers say of what was cut, entered as `fit` enters it.

use std::path::{Path, PathBuf};

use super::now::Now;
use super::panel::{Asked, Button, Form, Panel};
use super::piece;
use super::programs::{self, Lying};
use super::reach::Reach;
use super::trial;
use super::typed::{self, Typed};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::files::ReadJob;
use crate::job::Selection;
use crate::produce::fitting::{self, Act, Cut, Refused};
use crate::produce::{Subject, quoted};
use crate::sheet;
use crate::units::{Units, text};

/// Sent along where a question was asked, so that it can be answered.
pub(super) const ASKED: &str = "asked";

/// Name, label and meaning of the readings on what a job's program cut.
const PLACES: [(&str, &str, &str); 6] = [
    (
        "outside-box",
        "Box, outside",
        "Wood outside the first pocket that this program cut in the box.",
    ),
    (
        "outside-lid",
        "Lid, outside",
        "Wood outside the first pocket that this program cut in the lid.",
    ),
    (
        "end-box",
        "Box, stop end",
        "Wood from the stop end to the box's first pocket.",
    ),
    (
        "end-lid",
        "Lid, stop end",
        "Wood from the stop end to the lid's first pocket.",
    ),
    (
        "gap",
        "Gap",
        "Seen between the closed parts, the hinges screwed on.",
    ),
    ("slot", "Slot", "Width of a slot that the bit cut."),
];

const OF_PIECE: [(&str, &str, &str); 3] = [
    ("pocket", "Pocket that fits", "Count the ticks beside it."),
    (
        "depth-pocket",
        "Pocket as deep as it should be",
        "In the second row: count the ticks beside it.",
    ),
    PLACES[5],
];

/// The section as its files stand.
pub(super) fn panel(now: &Now, job: &Path, folder: &Path, typed: &Typed, last: &Typed) -> Panel {
    let Ok(read) = &now.job else {
        return Panel::default();
    };
    let form = typed::of(typed, "form");
    let nothing = Typed::new();
    let typed_in = |name| if form == Some(name) { typed } else { &nothing };
    let mut panel = Panel::default();
    let Lying {
        programs,
        pieces,
        templates,
    } = programs::lying(&read.job.stem, folder, &mut panel);
    if !programs.is_empty() {
        let own = typed_in("job");
        panel.forms.push(Form {
            title: "Read on what the job's program cut",
            fields: of_job(now, read, programs, own),
            hidden: hidden(now, "job"),
            ..entering(own)
        });
    }
    if !pieces.is_empty() {
        let scrap = typed_in("test-piece");
        let sizes = if scrap.is_empty() { last } else { scrap };
        let mut fields = vec![programs::all_cut(pieces, scrap), programs::bit(scrap)];
        fields.extend(piece::fields(now, sizes));
        let beside = |name| match name {
            "slot" => width_of_bit(read, now.units),
            _ => String::new(),
        };
        fields.extend(OF_PIECE.map(|about| reading(about, now, scrap, beside(about.0))));
        panel.forms.push(Form {
            title: "Read on its test piece",
            fields,
            hidden: hidden(now, "test-piece"),
            ..entering(scrap)
        });
    }
    if !templates.is_empty() {
        let own = typed_in("template");
        let mut fields = vec![programs::all_cut(templates, own), programs::bit(own)];
        fields.extend(trial::fields(now, read, own));
        panel.forms.push(Form {
            title: "Read on trial cuts that its template guided",
            fields,
            hidden: hidden(now, "template"),
            ..entering(own)
        });
    }
    match fitting::run(job, Selection::default(), &Act::Show, true, &|_| Ok(())) {
        Ok(done) => panel.lines.extend(done.words),
        Err(refused) => panel.wrong.extend(why(refused).iter().map(piece::said)),
    }
    let job = quoted(&job.display().to_string());
    panel.command = format!("stepwell fit {job} --show");
    for (title, act, words, option) in [
        ("The last entry", "undo", "Take it back", "--undo"),
        (
            "Another set-up",
            "new-setup",
            "Forget the corrections of places",
            "--new-setup",
        ),
    ] {
        panel.forms.push(Form {
            title,
            action: "/write",
            hidden: hidden(now, act),
            buttons: vec![Button {
                words,
                ..Button::default()
            }],
            command: format!("stepwell fit {job} {option}"),
            ..Form::default()
        });
    }
    panel
}

/// A form that enters; where a question was asked it can be answered.
fn entering(typed: &Typed) -> Form {
    let mut buttons = vec![Button {
        words: "Enter",
        ..Button::default()
    }];
    if typed::of(typed, ASKED).is_some() {
        buttons.push(Button {
            name: "as-read",
            value: "yes",
            words: "Enter as read",
        });
    }
    Form {
        action: "/write",
        buttons,
        ..Form::default()
    }
}

/// What the form was shown for, and which form it is.
pub(super) fn hidden(now: &Now, form: &str) -> Vec<(String, String)> {
    let pair = |name: &str, value: &str| (name.to_owned(), value.to_owned());
    vec![pair("seen", &now.digest), pair("form", form)]
}

fn of_job(now: &Now, read: &ReadJob, cut: Vec<String>, typed: &Typed) -> Vec<Asked> {
    let mut fields = vec![programs::all_cut(cut, typed), programs::bit(typed)];
    fields.extend(programs::what(read, typed));
    let to_read = sheet::to_read(&read.job);
    for about in PLACES {
        let beside = match about.0 {
            "gap" => text::decimal_with_unit(read.job.fit.gap, now.units),
            "slot" => width_of_bit(read, now.units),
            name => {
                let own = to_read.iter().filter(|(option, _)| option == name);
                let own: Vec<&str> = own.map(|(_, words)| words.as_str()).collect();
                own.join("; ")
            }
        };
        fields.push(reading(about, now, typed, beside));
    }
    fields
}

fn reading(about: (&'static str, &str, &str), now: &Now, typed: &Typed, to_read: String) -> Asked {
    let unit = match about.0 {
        "pocket" | "depth-pocket" => String::new(),
        _ => now.units.to_string(),
    };
    Asked::reading(about, unit, typed, to_read)
}

fn width_of_bit(read: &ReadJob, units: Units) -> String {
    text::decimal_with_unit(read.job.bit.cutting_diameter(), units)
}

/// Does what a form of the section asks for; what was done, which files
/// changed, and the command that does the same.
pub(super) fn enter(
    job: &Path,
    folder: &Path,
    reach: &Reach,
    typed: &Typed,
) -> Result<(Vec<String>, String), Diagnostics> {
    let name = quoted(&job.display().to_string());
    let (selection, act, options) = match typed::of(typed, "form") {
        Some("undo") => (Selection::default(), Act::Undo, " --undo".to_owned()),
        Some("new-setup") => {
            let option = " --new-setup".to_owned();
            (Selection::default(), Act::NewSetUp, option)
        }
        form => {
            let named = programs::named(folder, reach, typed)?;
            let is_of_job = !matches!(form, Some("test-piece" | "template"));
            let shown = named.iter().map(|path| quoted(&path.display().to_string()));
            let shown = shown.collect::<Vec<_>>().join(" ");
            let shown = format!("{shown}{}", programs::bit_options(typed));
            let options = match form {
                Some("template") => {
                    format!(" --cut {shown} --template{}", trial::options(typed))
                }
                Some("test-piece") => format!(
                    " --cut {shown} --test-piece{}{}",
                    piece::options(typed),
                    typed::options(typed, &OF_PIECE.map(|(name, ..)| name))
                ),
                _ => format!(
                    " --cut {shown}{}{}",
                    programs::what_options(typed),
                    typed::options(typed, &PLACES.map(|(name, ..)| name))
                ),
            };
            let as_read = match typed::of(typed, "as-read") {
                Some(_) => " --as-read",
                None => "",
            };
            let selection = match is_of_job {
                true => programs::selection(typed)?,
                false => Selection::default(),
            };
            let cut = Box::new(read(named, form, typed)?);
            (selection, Act::Enter(cut), format!("{options}{as_read}"))
        }
    };
    let done = fitting::run(job, selection, &act, false, &|path| reach.allow(path)).map_err(why)?;
    let mut words = done.words;
    if done.changed.is_empty() {
        words.push("nothing changed".to_owned());
    }
    let changed = done.changed.iter();
    words.extend(changed.map(|path| format!("{} written", path.display())));
    Ok((words, format!("stepwell fit {name}{options}")))
}

fn read(programs: Vec<PathBuf>, form: Option<&str>, typed: &Typed) -> Result<Cut, Diagnostic> {
    let of = |name| typed::of(typed, name).map(str::to_owned);
    let mut cut = Cut {
        programs,
        bits: programs::bits(typed),
        slot: of("slot"),
        as_read: of("as-read").is_some(),
        ..Cut::default()
    };
    if form == Some("template") {
        return trial::read(cut, typed);
    }
    if form == Some("test-piece") {
        cut.subject = Subject::TestPiece(piece::wish(typed)?);
        cut.pocket = programs::count(typed, "pocket")?;
        cut.depth_pocket = programs::count(typed, "depth-pocket")?;
    } else {
        cut.positions = programs::positions(typed)?;
        cut.outside_box = of("outside-box");
        cut.outside_lid = of("outside-lid");
        cut.end_box = of("end-box");
        cut.end_lid = of("end-lid");
        cut.gap = of("gap");
    }
    Ok(cut)
}

/// Why nothing was entered.
pub(super) fn why(refused: Refused) -> Diagnostics {
    match refused {
        Refused::Unread(unread) => unread.diagnostics,
        Refused::AnotherProgram(why) => why
            .into_iter()
            .map(|words| Diagnostic::new("another-program", words))
            .collect(),
    }
}
