//! The programs that lie beside the job, and which of them, cutting what with
//! which bit, something is said of.

use std::path::{Path, PathBuf};

use super::panel::{Asked, Panel};
use super::reach::Reach;
use super::typed::{self, Typed};
use crate::diagnostic::Diagnostic;
use crate::files::{self, ReadJob};
use crate::job::{PartName, Selection};
use crate::produce::quoted;
use crate::{plug, template, test_piece};

const BOTH: &str = "both";

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
    let mut own: Vec<String> = own.collect();
    // In the order in which they are run: pockets before their pilot holes.
    own.sort_by(|one, other| {
        let stem = |name: &str| name.strip_suffix(".nc").map(str::to_owned);
        stem(one).cmp(&stem(other))
    });
    let own = own.into_iter();
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

/// Which programs they were, in the order in which they were run.
pub(super) fn all_cut(programs: Vec<String>, typed: &Typed) -> Asked {
    if programs.len() < 2 {
        return cut(programs, typed);
    }
    let chosen = typed::all(typed, "cut");
    Asked {
        label: "Programs".to_owned(),
        meaning: "Those that were run, one or several.".to_owned(),
        chosen: Some(chosen.into_iter().map(str::to_owned).collect()),
        ..cut(programs, typed)
    }
}

/// The bits of programs.
pub(super) fn bit(typed: &Typed) -> Asked {
    let meaning = "Of each program, in order, with a comma between. The bit that the program \
                   calls, else the job's, where nothing is said.";
    Asked::typed(("bit", "Bit", meaning), typed)
}

/// The bits that are named.
pub(super) fn bits(typed: &Typed) -> Vec<String> {
    let named = list(typed, "bit").into_iter();
    named.map(str::to_owned).collect()
}

/// The positions that are named.
///
/// # Errors
/// What is no number from 1.
pub(super) fn positions(typed: &Typed) -> Result<Vec<usize>, Diagnostic> {
    let named = list(typed, "position").into_iter();
    named.map(|written| number("position", written)).collect()
}

/// What is typed with commas between, or with semicolons where a name has a comma.
fn list<'t>(typed: &'t Typed, name: &str) -> Vec<&'t str> {
    let written = typed::of(typed, name).unwrap_or_default();
    let between = if written.contains(';') { ';' } else { ',' };
    let items = written.split(between).map(str::trim);
    items.filter(|item| !item.is_empty()).collect()
}

/// The same as options.
pub(super) fn bit_options(typed: &Typed) -> String {
    let named = bits(typed).into_iter();
    named
        .map(|name| format!(" --bit {}", quoted(&name)))
        .collect()
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
    if !read.job.fixture.positions.is_empty() {
        fields.push(field(
            "position",
            "Position",
            "Of each program, in order, with a comma between, or one for all; all of them in \
             their order where nothing is said.",
        ));
    }
    fields
}

/// The programs that are named, which lie in the folder.
///
/// # Errors
/// None, and one that does not lie there.
pub(super) fn named(
    folder: &Path,
    reach: &Reach,
    typed: &Typed,
) -> Result<Vec<PathBuf>, Diagnostic> {
    let names = typed::all(typed, "cut");
    if names.is_empty() {
        return Err(
            Diagnostic::new("no-program", "no program is chosen").help("choose what was run")
        );
    }
    let named = names.into_iter().map(|name| one(folder, reach, name));
    named.collect()
}

/// The one program that is named.
pub(super) fn program(folder: &Path, reach: &Reach, typed: &Typed) -> Result<PathBuf, Diagnostic> {
    one(folder, reach, typed::of(typed, "cut").unwrap_or_default())
}

fn one(folder: &Path, reach: &Reach, name: &str) -> Result<PathBuf, Diagnostic> {
    if !files::names(folder).iter().any(|own| own == name) {
        let message = format!("there is no program `{name}` in {}", folder.display());
        return Err(Diagnostic::new("no-program", message).help("choose one that lies there"));
    }
    let program = folder.join(name);
    reach.allow(&program)?;
    Ok(program)
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
    let rest = typed::options(typed, &["hinge", "step"]);
    let positions = list(typed, "position").into_iter();
    let positions = positions.map(|number| format!(" --position {}", quoted(number)));
    format!("{part}{rest}{}", positions.collect::<String>())
}

/// # Errors
/// What is typed and is no number from 1.
pub(super) fn count(typed: &Typed, name: &str) -> Result<Option<usize>, Diagnostic> {
    let written = typed::of(typed, name);
    written.map(|written| number(name, written)).transpose()
}

fn number(name: &str, written: &str) -> Result<usize, Diagnostic> {
    match written.parse() {
        Ok(number) if number >= 1 => Ok(number),
        _ => {
            let message = format!("--{name}: `{written}` is no number from 1");
            Err(Diagnostic::new("usage", message).help("write a whole number, such as 1"))
        }
    }
}
