//! Readings: what the calipers say of what was cut, entered as `fit` enters it.

use std::path::{Path, PathBuf};

use super::now::Now;
use super::panel::{Asked, Button, Form, Panel};
use super::piece;
use super::reach::Reach;
use super::trial;
use super::typed::{self, Typed};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::files::{self, ReadJob};
use crate::job::{PartName, Selection};
use crate::produce::fitting::{self, Act, Cut, Refused};
use crate::produce::{Subject, quoted};
use crate::sheet;
use crate::units::{Units, text};
use crate::{plug, template, test_piece};

/// Sent along where a question was asked, so that it can be answered.
pub(super) const ASKED: &str = "asked";
const BOTH: &str = "both";

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
    } = lying(&read.job.stem, folder, &mut panel);
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
        let mut fields = vec![cut(pieces, scrap)];
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
        let mut fields = vec![cut(templates, own)];
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

/// The programs that lie in a folder.
pub(super) struct Lying {
    /// Of the job.
    pub(super) programs: Vec<String>,
    /// Of its test piece.
    pub(super) pieces: Vec<String>,
    /// That cut its template.
    pub(super) templates: Vec<String>,
}

/// Those of the job of that stem; where there are none, the panel says so.
pub(super) fn lying(stem: &str, folder: &Path, panel: &mut Panel) -> Lying {
    let is_own = |name: &String| {
        let rest = name
            .strip_prefix(stem)
            .and_then(|rest| rest.strip_suffix(".nc"));
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
    };
    let ends_in = |name: &String, suffix: &str| {
        let program = name.strip_suffix(".nc");
        program.is_some_and(|program| program.ends_with(suffix))
    };
    let own = files::names(folder).into_iter().filter(is_own);
    let own = own.filter(|name| !ends_in(name, plug::SUFFIX));
    let (pieces, own): (Vec<_>, Vec<_>) = own.partition(|name| ends_in(name, test_piece::SUFFIX));
    let (templates, programs): (Vec<_>, Vec<_>) = own
        .into_iter()
        .partition(|name| ends_in(name, template::SUFFIX));
    if programs.is_empty() && pieces.is_empty() && templates.is_empty() {
        panel.lines.push(format!(
            "No program of this job lies in {}: write one first.",
            folder.display()
        ));
    }
    Lying {
        programs,
        pieces,
        templates,
    }
}

/// Which program it was.
pub(super) fn cut(programs: Vec<String>, typed: &Typed) -> Asked {
    Asked {
        name: "cut",
        label: "Program".to_owned(),
        meaning: "That cut what was measured.".to_owned(),
        value: typed::of(typed, "cut").unwrap_or_default().to_owned(),
        choices: programs,
        ..Asked::default()
    }
}

fn of_job(now: &Now, read: &ReadJob, programs: Vec<String>, typed: &Typed) -> Vec<Asked> {
    let mut fields = vec![cut(programs, typed)];
    fields.extend(what(read, typed));
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

/// Which part of the job a program is for.
pub(super) fn what(read: &ReadJob, typed: &Typed) -> Vec<Asked> {
    let field = |name, label: &str, meaning: &str| Asked::typed((name, label, meaning), typed);
    let mut fields = vec![
        Asked {
            choices: [BOTH, "box", "lid"].map(str::to_owned).into(),
            ..field(
                "part",
                "Part",
                "That the program cuts, where it cuts only one.",
            )
        },
        field(
            "hinge",
            "Hinge",
            "Where the program cuts only one: counted from 1 at the stop end.",
        ),
        field(
            "step",
            "Step",
            "Where the program cuts only one: counted from 1 at the top.",
        ),
    ];
    let positions = read.job.fixture.positions.len();
    if positions > 0 {
        let numbers = (1..=positions).map(|number| number.to_string());
        fields.push(Asked {
            choices: numbers.collect(),
            ..field("position", "Position", "That the program is for.")
        });
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
            let program = program(folder, reach, typed)?;
            let is_of_job = !matches!(form, Some("test-piece" | "template"));
            let shown = quoted(&program.display().to_string());
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
                    what_options(typed),
                    typed::options(typed, &PLACES.map(|(name, ..)| name))
                ),
            };
            let as_read = match typed::of(typed, "as-read") {
                Some(_) => " --as-read",
                None => "",
            };
            let selection = match is_of_job {
                true => selection(typed)?,
                false => Selection::default(),
            };
            let cut = Box::new(read(program, form, typed)?);
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

/// The program of that name in the folder.
pub(super) fn program(folder: &Path, reach: &Reach, typed: &Typed) -> Result<PathBuf, Diagnostic> {
    let name = typed::of(typed, "cut").unwrap_or_default();
    if !files::names(folder).iter().any(|own| own == name) {
        let message = format!("there is no program `{name}` in {}", folder.display());
        return Err(Diagnostic::new("no-program", message).help("choose one that lies there"));
    }
    let program = folder.join(name);
    reach.allow(&program)?;
    Ok(program)
}

fn read(program: PathBuf, form: Option<&str>, typed: &Typed) -> Result<Cut, Diagnostic> {
    let of = |name| typed::of(typed, name).map(str::to_owned);
    let mut cut = Cut {
        programs: vec![program],
        slot: of("slot"),
        as_read: of("as-read").is_some(),
        ..Cut::default()
    };
    if form == Some("template") {
        return trial::read(cut, typed);
    }
    if form == Some("test-piece") {
        cut.subject = Subject::TestPiece(piece::wish(typed)?);
        cut.pocket = count(typed, "pocket")?;
        cut.depth_pocket = count(typed, "depth-pocket")?;
    } else {
        cut.positions = count(typed, "position")?.into_iter().collect();
        cut.outside_box = of("outside-box");
        cut.outside_lid = of("outside-lid");
        cut.end_box = of("end-box");
        cut.end_lid = of("end-lid");
        cut.gap = of("gap");
    }
    Ok(cut)
}

/// The part of the job that a program is said to be for.
pub(super) fn selection(typed: &Typed) -> Result<Selection, Diagnostic> {
    Ok(Selection {
        part: match typed::of(typed, "part") {
            Some("box") => Some(PartName::Box),
            Some("lid") => Some(PartName::Lid),
            _ => None,
        },
        hinge: count(typed, "hinge")?,
        step: count(typed, "step")?,
    })
}

/// The same as options.
pub(super) fn what_options(typed: &Typed) -> String {
    let part = typed::of(typed, "part").filter(|part| *part != BOTH);
    let part = part.map_or(String::new(), |part| format!(" --part {}", quoted(part)));
    let rest = typed::options(typed, &["hinge", "step", "position"]);
    format!("{part}{rest}")
}

/// # Errors
/// What is typed and is no number from 1.
pub(super) fn count(typed: &Typed, name: &str) -> Result<Option<usize>, Diagnostic> {
    let Some(written) = typed::of(typed, name) else {
        return Ok(None);
    };
    match written.parse() {
        Ok(number) if number >= 1 => Ok(Some(number)),
        _ => {
            let message = format!("--{name}: `{written}` is no number from 1");
            Err(Diagnostic::new("usage", message).help("write a whole number, such as 1"))
        }
    }
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
