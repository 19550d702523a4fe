//! Readings entered, shown and taken back, in files that are held from before
//! they are read until they are replaced.

use std::io::Read;
use std::path::{Path, PathBuf};

use crate::diagnostic::Diagnostic;
use crate::files::{self, Edited, ReadJob, Unread};
use crate::fit::{self, Entered, NamedText, Program, Readings, Refusal, Texts, What};
use crate::input::Overrides;
use crate::job::{Job, Selection};
use crate::produce::{Subject, bits, lengths, positions};
use crate::units::Units;

/// Says whether a file may be changed.
pub(crate) type Allow<'a> = &'a dyn Fn(&Path) -> Result<(), Diagnostic>;

/// What is to be done with what stands entered.
pub(crate) enum Act {
    /// Only shown.
    Show,
    /// The last entry is taken back.
    Undo,
    /// The corrections of places are forgotten.
    NewSetUp,
    /// Readings are entered.
    Enter(Box<Cut>),
}

/// Programs as they are said to be, and what was read on what they cut;
/// lengths in the job's unit or with one of their own.
#[derive(Clone, Debug, Default)]
pub(crate) struct Cut {
    pub(crate) programs: Vec<PathBuf>,
    pub(crate) bits: Vec<String>,
    pub(crate) positions: Vec<usize>,
    /// What the programs are of.
    pub(crate) subject: Subject,
    pub(crate) pocket: Option<usize>,
    pub(crate) depth_pocket: Option<usize>,
    pub(crate) slot: Option<String>,
    pub(crate) outside_box: Option<String>,
    pub(crate) outside_lid: Option<String>,
    pub(crate) end_box: Option<String>,
    pub(crate) end_lid: Option<String>,
    pub(crate) gap: Option<String>,
    pub(crate) turned: Option<[String; 2]>,
    pub(crate) turned_end: Option<[String; 2]>,
    pub(crate) as_read: bool,
}

/// What was done.
pub(crate) struct Done {
    pub(crate) words: Vec<String>,
    /// The files that changed, or would have.
    pub(crate) changed: Vec<PathBuf>,
}

/// Why nothing was entered.
pub(crate) enum Refused {
    Unread(Unread),
    /// The program is not what it is said to be: the judge's words.
    AnotherProgram(Vec<String>),
}

impl From<Unread> for Refused {
    fn from(unread: Unread) -> Self {
        Self::Unread(unread)
    }
}

impl From<Diagnostic> for Refused {
    fn from(diagnostic: Diagnostic) -> Self {
        Self::Unread(diagnostic.into())
    }
}

/// The files that readings are entered in.
struct Held {
    job: Edited,
    bits: Edited,
    hinges: Option<Edited>,
}

impl Held {
    fn changed<'h>(&'h self, entered: &'h Entered) -> Vec<(&'h Edited, &'h str)> {
        let hinges = self.hinges.iter().map(|hinges| (hinges, &entered.hinges));
        let texts = [(&self.job, &entered.job), (&self.bits, &entered.bits)];
        let new = texts.into_iter().chain(hinges);
        new.filter_map(|(file, text)| Some((file, text.as_deref()?)))
            .collect()
    }
}

/// Does it with the files of a job; a `dry` run writes nothing.
///
/// # Errors
/// Files and readings that are wrong, questions, and a program that is another.
pub(crate) fn run(
    path: &Path,
    selection: Selection,
    act: &Act,
    dry: bool,
    allow: Allow<'_>,
) -> Result<Done, Refused> {
    let is_of_template = match act {
        Act::Enter(cut) => cut.subject == Subject::Template,
        // What only tells and takes back needs no bit for any cut.
        Act::Show | Act::Undo | Act::NewSetUp => true,
    };
    let overrides = Overrides {
        selection,
        cuts_template: is_of_template,
        ..Overrides::default()
    };
    // All are held before they are read.
    let job = Edited::open(path)?;
    let edits = files::edits(path)?;
    allow(path)?;
    allow(&edits.bits)?;
    edits.hinges.as_deref().map_or(Ok(()), allow)?;
    let held = Held {
        job,
        bits: Edited::open(&edits.bits)?,
        hinges: edits.hinges.as_deref().map(Edited::open).transpose()?,
    };
    let loaded = files::read_job(path, &overrides)?;
    let name = |edited: &Edited| edited.path().display().to_string();
    let (job_file, bits_file) = (name(&held.job), name(&held.bits));
    let hinges_file = held.hinges.as_ref().map(name);
    let texts = Texts {
        job: text(&job_file, &held.job),
        bits: text(&bits_file, &held.bits),
        hinges: hinges_file
            .as_deref()
            .zip(held.hinges.as_ref())
            .map(|(file, edited)| text(file, edited)),
    };
    let failed = |diagnostics| Unread {
        diagnostics,
        sources: loaded.sources.clone(),
    };
    let new = match act {
        Act::Show => Entered {
            words: fit::show(texts).map_err(failed)?,
            ..Entered::default()
        },
        Act::Undo => fit::undo(texts, &loaded.job).map_err(failed)?,
        Act::NewSetUp => fit::forget_set_up(texts, &loaded.job).map_err(failed)?,
        Act::Enter(cut) => match enter(cut, &loaded, texts)? {
            Ok(new) => new,
            Err(Refusal::Mistakes(diagnostics)) => return Err(failed(diagnostics).into()),
            Err(Refusal::AnotherProgram(mut why)) => {
                why.push(
                    "nothing was entered, since this is no program of this job as the command \
                     line says: name the part, hinge, step, position, test piece or template that it \
                     was made for"
                        .to_owned(),
                );
                return Err(Refused::AnotherProgram(why));
            }
        },
    };
    let changed = held.changed(&new);
    if !dry {
        files::replace_all(&changed)?;
    }
    let files = changed.iter().map(|(file, _)| file.path().to_owned());
    Ok(Done {
        changed: files.collect(),
        words: new.words,
    })
}

fn text<'t>(file: &'t str, edited: &'t Edited) -> NamedText<'t> {
    NamedText {
        file,
        text: edited.text(),
    }
}

fn enter(
    said: &Cut,
    loaded: &ReadJob,
    texts: Texts<'_>,
) -> Result<Result<Entered, Refusal>, Refused> {
    let job = &loaded.job;
    let readings = said.readings(job.units)?;
    let bits = bits::of_programs(job, &said.bits, said.programs.len())?;
    let positions = match said.subject {
        Subject::TestPiece(_) | Subject::Template => Vec::new(),
        Subject::Job => positions::of_programs(job, &said.positions, said.programs.len())?,
    };
    let mut cut = Vec::new();
    for path in &said.programs {
        let mut text = Vec::new();
        let name = path.display().to_string();
        files::open(path)?
            .read_to_end(&mut text)
            .map_err(|error| files::unreadable(path, &error))?;
        cut.push((name, text));
    }
    let programs: Vec<Program<'_>> = cut
        .iter()
        .enumerate()
        .map(|(index, (name, text))| Program {
            name,
            text,
            bit: bits.get(index),
            position: positions.get(index).copied().flatten(),
        })
        .collect();
    let what = said.what(job)?;
    Ok(fit::enter(texts, job, &programs, what, &readings))
}

impl Cut {
    fn what(&self, job: &Job) -> Result<What, Diagnostic> {
        Ok(match &self.subject {
            Subject::TestPiece(wish) => {
                let (scrap, series) = wish.said(job.units)?;
                What::TestPiece(scrap, series)
            }
            Subject::Template => What::Template,
            Subject::Job => What::Job,
        })
    }

    fn readings(&self, units: Units) -> Result<Readings, Diagnostic> {
        let length =
            |name, written: &Option<String>| lengths::optional(name, written.as_ref(), units);
        let pair = |name, written: &Option<[String; 2]>| {
            let read = written.as_ref().map(|[one, other]| {
                Ok([
                    lengths::read(name, one, units)?,
                    lengths::read(name, other, units)?,
                ])
            });
            read.transpose()
        };
        Ok(Readings {
            pocket: self.pocket,
            depth_pocket: self.depth_pocket,
            slot: length("slot", &self.slot)?,
            outside_box: length("outside-box", &self.outside_box)?,
            outside_lid: length("outside-lid", &self.outside_lid)?,
            end_box: length("end-box", &self.end_box)?,
            end_lid: length("end-lid", &self.end_lid)?,
            turned: pair("turned", &self.turned)?,
            turned_end: pair("turned-end", &self.turned_end)?,
            gap: length("gap", &self.gap)?,
            as_read: self.as_read,
        })
    }
}
