//! A plug as it is asked for, from what a pocket's own program has cut.

use std::path::{Path, PathBuf};

use crate::diagnostic::Diagnostic;
use crate::files::{self, Unread};
use crate::fit::{self, Program};
use crate::input::Overrides;
use crate::job::{Job, PartName, Selection};
use crate::plug;
use crate::produce::streams::{self, Watch};
use crate::produce::{lengths, positions, quoted};
use crate::test_piece::Scrap;
use crate::units::Units;

/// What is typed: lengths in the job's unit or with one of their own.
#[derive(Clone, Debug)]
pub(crate) struct PlugWish {
    /// What cut the pocket.
    pub(crate) programs: Vec<PathBuf>,
    pub(crate) length: String,
    pub(crate) width: String,
    pub(crate) thickness: String,
}

impl PlugWish {
    /// The plug for the selected pocket of `people`, the job that `path` holds in the units
    /// that people read, and what to do with it; `again` is the command that cuts the
    /// pocket once more.
    ///
    /// # Errors
    /// Files that cannot be read, programs that did not cut that pocket, a scrap too small.
    pub(crate) fn plug(
        &self,
        path: &Path,
        people: &Job,
        units: Units,
        again: &str,
        watch: Watch<'_>,
    ) -> Result<(Job, Vec<String>), Unread> {
        let (part, hinge) = one_pocket(people.selection)?;
        let scrap = Scrap {
            length: lengths::read("length", &self.length, units)?,
            width: lengths::read("width", &self.width, units)?,
            thickness: lengths::read("thickness", &self.thickness, units)?,
        };
        let cut = self.as_cut(path, people.selection, (part, hinge), watch)?;
        let pocket = cut.part(part).and_then(|part| part.pocket(hinge));
        let Some(pocket) = pocket else {
            let message = format!("the {part} has no pocket {hinge}");
            return Err(Diagnostic::new("nothing-to-cut", message).into());
        };
        let plug = plug::job(people, part, pocket, scrap).map_err(|diagnostics| Unread {
            diagnostics,
            ..Unread::default()
        })?;
        let fillings = plug::fillings(pocket);
        let words = plug::words(people, (part, hinge), &fillings, again);
        Ok((plug, words))
    }

    /// The job as the programs have it, whether they cut that pocket alone, the rest of its
    /// part too, or everything.
    fn as_cut(
        &self,
        path: &Path,
        selection: Selection,
        pocket: (PartName, usize),
        watch: Watch<'_>,
    ) -> Result<Job, Unread> {
        let texts = self.texts(watch)?;
        let job = files::read_job(path, &Overrides::default())?.job;
        let mut why = Vec::new();
        for selection in [
            selection,
            Selection {
                part: None,
                ..selection
            },
            Selection {
                hinge: None,
                ..selection
            },
            Selection::default(),
        ] {
            let tried = Job {
                selection,
                ..job.clone()
            };
            let Ok(positions) = positions::of_programs(&tried, &[], texts.len()) else {
                continue;
            };
            let programs = texts.iter().zip(positions);
            let programs: Vec<Program<'_>> = programs
                .map(|((name, text), position)| Program {
                    name,
                    text,
                    bit: None,
                    position,
                })
                .collect();
            match fit::as_cut(&tried, &programs, pocket) {
                Ok(cut) => return Ok(cut),
                Err(found) => why = found,
            }
        }
        Err(another(&texts, why).into())
    }

    fn texts(&self, watch: Watch<'_>) -> Result<Vec<(String, Vec<u8>)>, Diagnostic> {
        let mut texts = Vec::new();
        for stream in streams::open_all(&self.programs)? {
            let (name, mut text) = (stream.name.clone(), Vec::new());
            streams::pump(stream, watch, |chunk| text.extend_from_slice(chunk))?;
            texts.push((name, text));
        }
        Ok(texts)
    }
}

/// The command that cuts the pocket once more.
pub(crate) fn again(path: &Path, folder: Option<&Path>, selection: Selection) -> String {
    let shown = |path: &Path| quoted(&path.display().to_string());
    let mut command = format!("stepwell generate {}", shown(path));
    if let Some(folder) = folder {
        command += &format!(" -o {}", shown(folder));
    }
    if let Some(part) = selection.part {
        command += &format!(" --part {part}");
    }
    if let Some(hinge) = selection.hinge {
        command += &format!(" --hinge {hinge}");
    }
    command
}

fn one_pocket(selection: Selection) -> Result<(PartName, usize), Diagnostic> {
    selection.part.zip(selection.hinge).ok_or_else(|| {
        Diagnostic::new("usage", "--plug fills one pocket of one part")
            .help("name it with --part box or --part lid, and --hinge")
    })
}

fn another(texts: &[(String, Vec<u8>)], why: Vec<String>) -> Diagnostic {
    let names: Vec<&str> = texts.iter().map(|(name, _)| name.as_str()).collect();
    let why = why.first().map_or_else(
        || "it is not clear which position it is for".to_owned(),
        Clone::clone,
    );
    let message = format!(
        "{} did not cut that pocket of this job: {why}",
        names.join(", ")
    );
    Diagnostic::new("another-program", message)
        .help("name the program that cut the pocket; readings entered since do not matter")
}
