//! The next box: what was run is entered as `ran` enters it, and a run of
//! boxes is looked at and written as `generate --boxes` does.

use std::path::Path;

use super::now::{self, Now};
use super::panel::{Asked, Button, Form, Panel, Table};
use super::piece;
use super::plug;
use super::programs::{self, Lying};
use super::reach::Reach;
use super::readings;
use super::typed::{self, Typed};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::files::ReadJob;
use crate::produce::running::{self, Run};
use crate::produce::{Order, Subject, counts, quoted};
use crate::report;

/// The section as its files stand.
pub(super) fn panel(
    now: &Now,
    (job, folder): (&Path, &Path),
    reach: Option<&Reach>,
    typed: &Typed,
    last: &Typed,
) -> Panel {
    let Ok(read) = &now.job else {
        return Panel::default();
    };
    let form = typed::of(typed, "form");
    let nothing = Typed::new();
    let own = |name| if form == Some(name) { typed } else { &nothing };
    let mut panel = Panel::default();
    let Lying {
        programs,
        pieces,
        templates,
    } = programs::lying(&read.job.stem, folder, &mut panel);
    let cut = programs.clone();
    if !programs.is_empty() {
        let typed = own("job");
        let mut fields = vec![programs::all_cut(programs, typed), programs::bit(typed)];
        fields.extend(programs::what(read, typed));
        fields.push(often(typed));
        panel.forms.push(Form {
            title: "A program of the job was run",
            fields,
            ..entering(now, "job")
        });
    }
    if !pieces.is_empty() {
        let typed = own("test-piece");
        let sizes = if typed.is_empty() { last } else { typed };
        let mut fields = vec![programs::all_cut(pieces, typed), programs::bit(typed)];
        fields.extend(piece::fields(now, sizes));
        fields.push(often(typed));
        panel.forms.push(Form {
            title: "Its test piece was run",
            fields,
            ..entering(now, "test-piece")
        });
    }
    if !templates.is_empty() {
        let typed = own("template");
        panel.forms.push(Form {
            title: "Its template was run",
            fields: vec![
                programs::all_cut(templates, typed),
                programs::bit(typed),
                often(typed),
            ],
            ..entering(now, "template")
        });
    }
    panel.forms.push(Form {
        title: "A run of boxes",
        only_asks: true,
        fields: vec![Asked {
            name: "boxes",
            label: "Boxes".to_owned(),
            meaning: "How many are cut, one after the other, from 1 to 200.".to_owned(),
            value: typed::of(typed, "boxes").unwrap_or_default().to_owned(),
            ..Asked::default()
        }],
        buttons: vec![Button {
            words: "Show it",
            ..Button::default()
        }],
        ..Form::default()
    });
    if typed::of(typed, "boxes").is_some() {
        show(&mut panel, now, read, job, folder, typed);
    }
    if !cut.is_empty() {
        let typed = own(plug::FORM);
        panel.forms.push(plug::form(now, cut, typed));
        if let Some(reach) = reach.filter(|_| !typed.is_empty()) {
            plug::show(&mut panel, now, job, folder, reach, typed);
        }
    }
    panel
}

fn entering(now: &Now, form: &'static str) -> Form {
    Form {
        action: "/write",
        hidden: readings::hidden(now, form),
        buttons: vec![Button {
            words: "Enter",
            ..Button::default()
        }],
        ..Form::default()
    }
}

fn often(typed: &Typed) -> Asked {
    Asked {
        name: "times",
        label: "Times".to_owned(),
        meaning: "How often it was run; once where nothing is said.".to_owned(),
        value: typed::of(typed, "times").unwrap_or_default().to_owned(),
        ..Asked::default()
    }
}

/// How wear grows over the boxes, and what writes their programs.
fn show(panel: &mut Panel, now: &Now, read: &ReadJob, job: &Path, folder: &Path, typed: &Typed) {
    let order = match order(read, folder, typed) {
        Ok(order) => order,
        Err(error) => return panel.wrong.push(piece::said(&error)),
    };
    now::made(read, &order, |made| {
        let stretches = report::stretches(&made.report().boxes);
        panel
            .lines
            .extend(stretches.iter().map(ToString::to_string));
        let row = |row: &report::BoxReport| {
            let sharpen = if row.sharpen { "sharpen before" } else { "" };
            [
                row.number.to_string(),
                row.program.clone(),
                row.bit.clone(),
                format!("{:.2}", row.wear),
                sharpen.to_owned(),
            ]
        };
        panel.table = Some(Table {
            head: ["Box", "Program", "Bit", "Wear", "To do"],
            rows: made.report().boxes.iter().map(row).collect(),
        });
        for check in made.report().failed() {
            panel.wrong.push(format!("{}: {}", check.id, check.message));
        }
        if made.may_be_written() {
            let boxes = typed::of(typed, "boxes").unwrap_or_default().to_owned();
            let mut hidden = readings::hidden(now, "boxes");
            hidden.push(("boxes".to_owned(), boxes));
            panel.forms.push(Form {
                title: "Write programs and sheet",
                action: "/write",
                hidden,
                cautions: true,
                buttons: vec![Button {
                    words: "Write the run",
                    ..Button::default()
                }],
                command: generate(job, folder, typed),
                ..Form::default()
            });
        }
    });
}

/// The command that writes the run.
pub(super) fn generate(job: &Path, folder: &Path, typed: &Typed) -> String {
    format!(
        "stepwell generate {} -o {}{}",
        quoted(&job.display().to_string()),
        quoted(&folder.display().to_string()),
        typed::options(typed, &["boxes"])
    )
}

/// What is to be made of so many boxes.
pub(super) fn order<'f>(
    read: &ReadJob,
    folder: &'f Path,
    typed: &Typed,
) -> Result<Order<'f>, Diagnostic> {
    let written = typed::of(typed, "boxes").unwrap_or_default();
    let boxes = counts::boxes(written).map_err(|help| uncounted("boxes", written, help))?;
    Ok(Order {
        boxes: Some(boxes),
        ..now::order(read, folder)
    })
}

fn uncounted(name: &str, written: &str, help: String) -> Diagnostic {
    Diagnostic::new("usage", format!("--{name} is `{written}`")).help(help)
}

/// Enters what was run; what was done, and the command that does the same.
pub(super) fn enter(
    job: &Path,
    folder: &Path,
    reach: &Reach,
    typed: &Typed,
) -> Result<(Vec<String>, String), Diagnostics> {
    let named = programs::named(folder, reach, typed)?;
    let times = match typed::of(typed, "times") {
        None => 1,
        Some(written) => {
            counts::times(written).map_err(|help| uncounted("times", written, help))?
        }
    };
    let shown = named.iter().map(|path| quoted(&path.display().to_string()));
    let mut command = format!(
        "stepwell ran {} --job {}{}",
        shown.collect::<Vec<_>>().join(" "),
        quoted(&job.display().to_string()),
        programs::bit_options(typed)
    );
    let mut run = Run {
        job: job.to_owned(),
        programs: named,
        bits: programs::bits(typed),
        times,
        ..Run::default()
    };
    match typed::of(typed, "form") {
        Some("template") => {
            run.subject = Subject::Template;
            command.push_str(" --template");
        }
        Some("test-piece") => {
            run.subject = Subject::TestPiece(piece::wish(typed)?);
            command.push_str(" --test-piece");
            command.push_str(&piece::options(typed));
        }
        _ => {
            run.selection = programs::selection(typed)?;
            run.positions = programs::positions(typed)?;
            command.push_str(&programs::what_options(typed));
        }
    }
    command.push_str(&typed::options(typed, &["times"]));
    let done = running::enter(&run, false, &|path| reach.allow(path), &|_| {
        Box::new(|_| ())
    })
    .map_err(readings::why)?;
    let changed = done.changed.iter();
    let written = changed.map(|path| format!("{} written", path.display()));
    Ok((done.words.into_iter().chain(written).collect(), command))
}
