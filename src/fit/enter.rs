//! From readings to entries.

use super::cut::{self, Cut, Program, What};
use super::document::{Document, last_number};
use super::entry::Entry;
use super::questions::{self, Place};
use super::reading::{Reading, Readings, SAME};
use super::words;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::input::{self, Overrides};
use crate::job::{Job, PartName};
use crate::units::{Length, text};

/// The texts of the files a job came from.
#[derive(Clone, Copy, Debug)]
pub struct Texts<'t> {
    /// The job file's path as messages call it.
    pub job_file: &'t str,
    /// The job file's text.
    pub job: &'t str,
    /// The bits file's path as messages call it.
    pub bits_file: &'t str,
    /// The bits file's text.
    pub bits: &'t str,
}

/// The files with what was entered, and what that was in words.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entered {
    /// New text of the job file, where it changed.
    pub job: Option<String>,
    /// New text of the bits file, where it changed.
    pub bits: Option<String>,
    /// A sentence for each reading.
    pub words: Vec<String>,
}

/// Why nothing was entered.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal {
    /// Mistakes and questions.
    Mistakes(Diagnostics),
    /// The program is not what the command line says; what the judge has against it.
    AnotherProgram(Vec<String>),
}

impl From<Diagnostic> for Refusal {
    fn from(diagnostic: Diagnostic) -> Self {
        Self::Mistakes(vec![diagnostic])
    }
}

/// Enters `readings`, taken on what `programs` cut, into the texts that `job`
/// came from.
///
/// # Errors
/// Programs that are something else, readings that speak against themselves,
/// a pocket that was not cut, and corrections that cannot be: the corrected
/// job is resolved, and what it refuses comes back with what can be done instead.
pub fn enter(
    texts: Texts<'_>,
    job: &Job,
    programs: &[Program<'_>],
    what: What,
    readings: &Readings,
) -> Result<Entered, Refusal> {
    let cut = cut::of(job, what, programs).map_err(Refusal::AnotherProgram)?;
    let files = [
        Document::parse(texts.job_file, texts.job).map_err(Refusal::Mistakes)?,
        Document::parse(texts.bits_file, texts.bits).map_err(Refusal::Mistakes)?,
    ];
    let number = last_number(&files).unwrap_or(0) + 1;
    let [document, rack] = files;
    let bit = programs.iter().find_map(|program| program.bit);
    let mut desk = Desk {
        job,
        cut: &cut,
        what,
        readings,
        number,
        bit: bit.unwrap_or(&job.bit).name.clone(),
        document,
        rack,
        words: Vec::new(),
    };
    desk.all()?;
    if desk.words.is_empty() {
        let message = "there is no reading to enter";
        let help = "give one, such as --outside-lid 2.30, --gap 0.5, --slot 6.03 or --pocket 3";
        return Err(Diagnostic::new("nothing-to-enter", message)
            .help(help)
            .into());
    }
    let entered = Entered {
        job: desk.document.changed(texts.job),
        bits: desk.rack.changed(texts.bits),
        words: desk.words,
    };
    prove(texts, job, &entered).map_err(Refusal::Mistakes)?;
    Ok(entered)
}

/// The corrected job must resolve.
pub(super) fn prove(texts: Texts<'_>, job: &Job, entered: &Entered) -> Result<(), Diagnostics> {
    let text = entered.job.as_deref().unwrap_or(texts.job);
    let rack = entered.bits.as_deref().unwrap_or(texts.bits);
    let overrides = Overrides {
        bit: Some(job.bit.name.clone()),
        ..Overrides::default()
    };
    let resolved = input::bits(texts.bits_file, rack).and_then(|rack| {
        let spec = input::job(texts.job_file, text)?;
        spec.resolve(job.machine.clone(), rack, &overrides)
    });
    resolved.map(drop).map_err(|errors| {
        let advise = |error: Diagnostic| Diagnostic {
            message: format!("the correction cannot be: {}", error.message),
            help: Some(remedy(error.code).to_owned()),
            // The place is one of the corrected text, which nobody has.
            place: None,
            ..error
        };
        errors.into_iter().map(advise).collect()
    })
}

fn remedy(code: &str) -> &'static str {
    match code {
        "bit-too-wide" | "corner-too-tight" => {
            "a pocket cannot be narrower than the bit: take a thinner bit, shim the leaf, or use another hinge"
        }
        "out-of-range" => {
            "so large an error is no matter of fit: check the zero point, the stop and the reading"
        }
        _ => "check the reading and the pocket it was taken at",
    }
}

/// Finer than any caliper reads.
fn to_a_micrometre(length: Length) -> Length {
    Length::from_mm((length.as_mm() * 1e3).round() / 1e3)
}

struct Desk<'j> {
    job: &'j Job,
    cut: &'j Cut,
    what: What,
    readings: &'j Readings,
    number: i64,
    bit: String,
    document: Document,
    rack: Document,
    words: Vec<String>,
}

impl Desk<'_> {
    fn all(&mut self) -> Result<(), Diagnostic> {
        if let Some(number) = self.readings.pocket {
            self.pocket(number)?;
        }
        if let Some(number) = self.readings.depth_pocket {
            self.depth_pocket(number)?;
        }
        if let Some(slot) = self.readings.slot {
            self.slot(slot)?;
        }
        self.places()?;
        self.readings.gap.map_or(Ok(()), |gap| self.gap(gap))
    }

    fn show(&self, length: Length) -> String {
        text::decimal_with_unit(length, self.job.units)
    }

    /// The job as the programs have it.
    fn as_cut(&self) -> &Job {
        self.cut.job.as_ref().unwrap_or(self.job)
    }

    /// Sets a key of `[fit]` and logs it.
    fn set(
        &mut self,
        reading: Reading,
        found: String,
        text: Length,
        (key, value): (&str, Length),
    ) -> Result<(), Diagnostic> {
        let was = self.document.raw_fit(key);
        let made_table = !self.document.has_fit();
        self.document.set_fit(key, value)?;
        let entry = Entry {
            key: format!("fit.{key}"),
            was,
            now: self.document.raw_fit(key),
            made_table,
            ..self.entry(reading, found, text)
        };
        self.document.log(entry)
    }

    /// What is logged of a reading on the programs, but for what it changes.
    fn entry(&self, reading: Reading, found: String, text: Length) -> Entry {
        Entry {
            program: self.cut.digest.clone(),
            text: text.as_mm(),
            ..Entry::new(self.number, reading, found, &self.bit)
        }
    }

    /// Refuses the last cut's figure for a program that has moved since.
    fn ask_about_repeat(
        &self,
        kind: Reading,
        found: &str,
        left: Length,
        part: Option<PartName>,
    ) -> Result<(), Diagnostic> {
        let entries = self.document.entries();
        let last = entries.iter().rev().find(|entry| entry.is(kind));
        let moved = |entry: &Entry| {
            entry.program != self.cut.digest
                && !Length::from_mm(entry.text).is_near(left, Length::from_mm(0.005))
        };
        match last {
            Some(entry) if !self.readings.as_read && entry.found == found && moved(entry) => {
                Err(questions::of_repeat(kind, part))
            }
            _ => Ok(()),
        }
    }

    fn places(&mut self) -> Result<(), Diagnostic> {
        let mut places = Vec::new();
        for (kind, reading) in self.readings.places() {
            let Some((part, _)) = kind.part() else {
                continue;
            };
            let Some(pocket) = self.cut.first(part) else {
                let message = format!("no pocket of the {part} is cut by this program");
                return Err(Diagnostic::new("no-pockets", message)
                    .help("name the program that cut it with --cut"));
            };
            let left = if kind.is_end() {
                pocket.u[0]
            } else {
                pocket.v[0]
            };
            places.push(Place {
                kind,
                reading,
                left: Length::from_mm(left),
            });
        }
        questions::of_places(&places, self.job, self.readings)?;
        for place in places {
            self.place(place)?;
        }
        Ok(())
    }

    /// The correction is the error with its sign turned, whatever was in force.
    fn place(&mut self, place: Place) -> Result<(), Diagnostic> {
        let Some((part, key)) = place.kind.part() else {
            return Ok(());
        };
        let found = text::short(place.reading, self.job.units);
        self.ask_about_repeat(place.kind, &found, place.left, Some(part))?;
        let own = self.job.part(part);
        let now = own.map_or(Length::ZERO, |part| match place.kind.is_end() {
            true => part.correction_u,
            false => part.correction_v,
        });
        let corrected = -place.error();
        let read = format!(
            "{} of wood read, {} left by the program",
            self.show(place.reading),
            self.show(place.left)
        );
        if corrected.is_near(now, SAME) {
            self.words.push(format!("{part}: {read}: nothing changes"));
            return Ok(());
        }
        let moved = words::moved(part, place.kind.is_end(), corrected, self.job.units);
        self.set(place.kind, found, place.left, (key, corrected))?;
        self.words
            .push(format!("{moved} from where the job has it: {read}"));
        Ok(())
    }

    /// The pocket of the test piece by its number in row `row`, from 0.
    fn of_piece(&self, option: &str, number: usize, row: usize) -> Result<cut::Pocket, Diagnostic> {
        let What::TestPiece(_, series) = self.what else {
            let message = format!("--{option} is a pocket of a test piece");
            let help = "say --test-piece, and the options that it was made with";
            return Err(Diagnostic::new("usage", message).help(help));
        };
        let found = (1..=series.pockets)
            .contains(&number)
            .then(|| (PartName::Scrap, row * series.pockets + number))
            .and_then(|key| self.cut.pockets.get(&key));
        found.copied().ok_or_else(|| {
            let message = format!(
                "--{option} is {number}, allowed is from 1 to {}",
                series.pockets
            );
            Diagnostic::new("out-of-range", message)
        })
    }

    fn pocket(&mut self, number: usize) -> Result<(), Diagnostic> {
        let cut = self.of_piece("pocket", number, 0)?;
        let clearance = Length::from_mm(cut.width()) - cut::leaf_width(self.job);
        questions::of_clearance(clearance, self.job)?;
        let was = self.job.fit.clearance;
        if clearance.is_near(was, SAME) {
            self.words.push(format!(
                "pocket {number} of the test piece has the job's own clearance, {}: nothing changes",
                self.show(was)
            ));
            return Ok(());
        }
        let rounded = to_a_micrometre(clearance);
        self.set(
            Reading::Pocket,
            number.to_string(),
            clearance,
            ("clearance", rounded),
        )?;
        self.words.push(format!(
            "clearance {} instead of {}, as in pocket {number} of the test piece",
            self.show(rounded),
            self.show(was)
        ));
        Ok(())
    }

    /// The leaf sits right in a pocket of the second row: every step of both
    /// parts becomes as much deeper as that pocket is.
    fn depth_pocket(&mut self, number: usize) -> Result<(), Diagnostic> {
        let found = self.of_piece("depth-pocket", number, 1)?;
        let own = self.of_piece("depth-pocket", 1, 0)?;
        let depth = self.as_cut().fit.depth + Length::from_mm(found.depth - own.depth);
        self.depth(
            Reading::DepthPocket,
            number.to_string(),
            depth,
            &format!("as in pocket {number} of the test piece's second row"),
        )
    }

    fn gap(&mut self, seen: Length) -> Result<(), Diagnostic> {
        questions::of_gap(seen, self.job, self.readings)?;
        let found = text::short(seen, self.job.units);
        let of_text = self.as_cut().fit.depth;
        self.ask_about_repeat(Reading::Gap, &found, of_text, None)?;
        let wanted = self.job.fit.gap;
        let depth = of_text + (seen - wanted) * 0.5;
        self.depth(
            Reading::Gap,
            found,
            depth,
            &format!(
                "{} of gap seen, {} wanted",
                self.show(seen),
                self.show(wanted)
            ),
        )
    }

    fn depth(
        &mut self,
        kind: Reading,
        found: String,
        depth: Length,
        why: &str,
    ) -> Result<(), Diagnostic> {
        let was = self.job.fit.depth;
        let depth = to_a_micrometre(depth);
        if depth.is_near(was, SAME) {
            self.words.push(format!("{why}: nothing changes"));
            return Ok(());
        }
        let of_text = self.as_cut().fit.depth;
        self.set(kind, found, of_text, ("depth", depth))?;
        let way = if depth > was { "deeper" } else { "shallower" };
        self.words.push(format!(
            "every step of both parts {} {way} than the job has it now: {why}",
            self.show((depth - was).abs())
        ));
        Ok(())
    }

    /// What the bit really cuts; what fitted with it still does.
    fn slot(&mut self, slot: Length) -> Result<(), Diagnostic> {
        let mut rack = self.job.rack.iter();
        let Some(bit) = rack.find(|bit| bit.name == self.bit) else {
            return Err(Diagnostic::new("unknown-bit", "the rack has no such bit"));
        };
        let taken_as = bit.cutting_diameter();
        if taken_as.is_near(slot, SAME) {
            self.words.push(format!(
                "{} is known to cut {} already: nothing changes",
                bit.name,
                self.show(slot)
            ));
            return Ok(());
        }
        let was = self.rack.raw_measured(&bit.name);
        self.rack.set_measured(&bit.name, slot)?;
        let found = text::short(slot, self.job.units);
        let entry = Entry {
            key: "bit.measured".to_owned(),
            was,
            now: self.rack.raw_measured(&bit.name),
            ..self.entry(Reading::Slot, found, taken_as)
        };
        self.rack.log(entry)?;
        self.words.push(format!(
            "{} cuts {} wide, was taken as {}",
            bit.name,
            self.show(slot),
            self.show(taken_as)
        ));
        let entries = self.document.entries();
        let mut found = entries
            .iter()
            .rev()
            .filter(|entry| entry.key == "fit.clearance");
        if found.next().is_some_and(|entry| entry.bit == self.bit) {
            let clearance = self.job.fit.clearance + (slot - taken_as);
            let of_text = self.as_cut().fit.clearance;
            let found = text::short(slot, self.job.units);
            self.set(Reading::Slot, found, of_text, ("clearance", clearance))?;
            self.words.push(format!(
                "clearance {} instead of {}, so that what fitted with it still does",
                self.show(clearance),
                self.show(self.job.fit.clearance)
            ));
        }
        Ok(())
    }
}
