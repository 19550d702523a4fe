//! `stepwell fit`: enters what was measured on what a program cut.

use std::io::Read;

use crate::cli::arguments::Fit;
use crate::cli::failure::Failure;
use crate::cli::{Ending, entered, positions, simulate, terminal, test_piece};
use crate::diagnostic::Diagnostic;
use crate::files::{self, Edited, ReadJob};
use crate::fit::{self, Entered, NamedText, Program, Readings, Refusal, Texts, What};
use crate::input::Overrides;
use crate::produce::optional_length;

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

pub(super) fn run(options: &Fit) -> Result<Ending, Failure> {
    let why = "fit writes into the job file, standard input cannot take that";
    entered::refuse_stream(&options.job, why)?;
    let overrides = Overrides {
        selection: options.program.selection()?,
        ..Overrides::default()
    };
    // All are held before they are read.
    let job = Edited::open(&options.job)?;
    let edits = files::edits(&options.job)?;
    let held = Held {
        job,
        bits: Edited::open(&edits.bits)?,
        hinges: edits.hinges.as_deref().map(Edited::open).transpose()?,
    };
    let loaded = files::read_job(&options.job, &overrides)?;
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
    let failed = |diagnostics| Failure {
        diagnostics,
        sources: loaded.sources.clone(),
    };
    let new = if options.show {
        Entered {
            words: fit::show(texts).map_err(failed)?,
            ..Entered::default()
        }
    } else if options.undo {
        fit::undo(texts, &loaded.job).map_err(failed)?
    } else if options.new_setup {
        fit::forget_set_up(texts, &loaded.job).map_err(failed)?
    } else {
        match enter(options, &loaded, texts)? {
            Ok(new) => new,
            Err(Refusal::Mistakes(diagnostics)) => return Err(failed(diagnostics)),
            Err(Refusal::AnotherProgram(why)) => {
                why.iter().for_each(|line| terminal::note(line));
                terminal::note(
                    "nothing was entered, since this is no program of this job as the command \
                     line says: name the part, hinge, step, position or test piece that it was made for",
                );
                return Ok(Ending::CheckFailed);
            }
        }
    };
    let changed = held.changed(&new);
    if !options.dry {
        files::replace_all(&changed)?;
    }
    let files: Vec<&Edited> = changed.iter().map(|(file, _)| *file).collect();
    let files = (!options.show).then_some(files.as_slice());
    entered::tell(&new.words, files, options.dry, options.format)?;
    Ok(Ending::Passed)
}

fn text<'t>(file: &'t str, edited: &'t Edited) -> NamedText<'t> {
    NamedText {
        file,
        text: edited.text(),
    }
}

fn enter(
    options: &Fit,
    loaded: &ReadJob,
    texts: Texts<'_>,
) -> Result<Result<Entered, Refusal>, Failure> {
    let job = &loaded.job;
    let readings = readings(options, loaded)?;
    let bits = simulate::named_bits(job, &options.bit, options.cut.len(), None)?;
    let positions = match options.program.test_piece {
        true => Vec::new(),
        false => positions::of_programs(job, &options.program.position, options.cut.len())?,
    };
    let mut cut = Vec::new();
    for path in &options.cut {
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
    let what = match test_piece::said(job, &options.program)? {
        Some((scrap, series)) => What::TestPiece(scrap, series),
        None => What::Job,
    };
    Ok(fit::enter(texts, job, &programs, what, &readings))
}

fn readings(options: &Fit, loaded: &ReadJob) -> Result<Readings, Diagnostic> {
    let units = loaded.job.units;
    let length = |name, written: &Option<String>| optional_length(name, written.as_ref(), units);
    Ok(Readings {
        pocket: options.pocket,
        depth_pocket: options.depth_pocket,
        slot: length("slot", &options.slot)?,
        outside_box: length("outside-box", &options.outside_box)?,
        outside_lid: length("outside-lid", &options.outside_lid)?,
        end_box: length("end-box", &options.end_box)?,
        end_lid: length("end-lid", &options.end_lid)?,
        gap: length("gap", &options.gap)?,
        as_read: options.as_read,
    })
}
