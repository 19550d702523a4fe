//! Books what the test piece or the first pocket taught: into the job, or into
//! the bit's entry of the rack, with comments and layout kept.
//!
//! A reading belongs to a pocket that was cut with the job as it stood. Each
//! booked reading is therefore recorded in the job under `fit.booked`, with
//! the value that it replaced, and the same reading is not booked a second
//! time unless the caller says that it was taken on a new cut.

mod edit;
mod reading;
mod record;
mod words;

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::input::{self, Overrides};
use crate::job::{Job, Part};
use crate::test_piece::{self, Series};
use crate::units::{Length, text};

use edit::Document;
use reading::Reading;
use record::Change;
pub use words::corrections;

/// What was seen and measured; each is booked on its own.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Readings {
    /// Number of the test piece's pocket that fits, with the series it was cut by.
    pub test_piece: Option<(usize, Series)>,
    /// Number of the pocket in the test piece's second row whose depth is right,
    /// with the series it was cut by.
    pub depth_pocket: Option<(usize, Series)>,
    /// Caliper reading of a slot that the bit cut.
    pub slot: Option<Length>,
    /// Wood measured outside the first pocket of the box.
    pub outside_box: Option<Length>,
    /// Wood measured outside the first pocket of the lid.
    pub outside_lid: Option<Length>,
    /// Wood measured between the stop end and the first pocket of the box.
    pub end_box: Option<Length>,
    /// Wood measured between the stop end and the first pocket of the lid.
    pub end_lid: Option<Length>,
    /// Gap seen between the closed parts.
    pub gap: Option<Length>,
    /// What a reading that is booked already means.
    pub repeat: Repeat,
}

/// What to do with a reading of a kind that is booked already.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Repeat {
    /// The same figure is left alone; another one was taken on a cut made
    /// with the job as it stands.
    #[default]
    Once,
    /// Every figure was taken on a new cut, the same one too.
    Again,
    /// The figure takes the place of the last one, on the same cut.
    Instead,
}

/// The files with their corrections, and what was done in words.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Booked {
    /// New text of the job file, where it changed.
    pub job: Option<String>,
    /// New text of the bits file, where it changed.
    pub bits: Option<String>,
    /// A sentence for each reading.
    pub words: Vec<String>,
}

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

/// Books `readings`, taken on pockets of `job`, into the texts it came from.
///
/// # Errors
/// No reading at all, a test piece pocket that does not exist, and corrections
/// that cannot be: the corrected job is resolved, and what it refuses comes
/// back with what can be done instead.
pub fn book(texts: Texts<'_>, job: &Job, readings: &Readings) -> Result<Booked, Diagnostics> {
    let mut booking = Booking {
        job,
        repeat: readings.repeat,
        document: Document::parse(texts.job_file, texts.job)?,
        rack: Document::parse(texts.bits_file, texts.bits)?,
        words: Vec::new(),
    };
    booking.all(readings).map_err(|error| vec![error])?;
    if booking.words.is_empty() {
        let message = "there is no reading to book";
        let help = "give one, such as --pocket 3, --slot 6.03 or --outside-lid 2.30";
        return Err(vec![Diagnostic::new("nothing-to-book", message).help(help)]);
    }
    let booked = Booked {
        job: booking.document.changed(texts.job),
        bits: booking.rack.changed(texts.bits),
        words: booking.words,
    };
    prove(texts, job, &booked)?;
    Ok(booked)
}

/// The corrected job must resolve.
fn prove(texts: Texts<'_>, job: &Job, booked: &Booked) -> Result<(), Diagnostics> {
    let text = booked.job.as_deref().unwrap_or(texts.job);
    let rack = booked.bits.as_deref().unwrap_or(texts.bits);
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
        "leaf-proud" => {
            "cutting deeper cannot open the gap: pack card under the leaves, or ask for a smaller `fit.gap`"
        }
        "out-of-range" => {
            "so large an error is no matter of fit: check the zero point, the stop and the reading"
        }
        _ => "check the reading and the pocket it was taken at",
    }
}

struct Booking<'j> {
    job: &'j Job,
    repeat: Repeat,
    document: Document,
    rack: Document,
    words: Vec<String>,
}

impl Booking<'_> {
    fn all(&mut self, readings: &Readings) -> Result<(), Diagnostic> {
        if let Some((pocket, series)) = readings.test_piece {
            self.test_piece(pocket, series)?;
        }
        if let Some((pocket, series)) = readings.depth_pocket {
            self.depth_pocket(pocket, series)?;
        }
        if let Some(slot) = readings.slot {
            self.slot(slot)?;
        }
        let walls = [
            (Reading::OutsideBox, readings.outside_box),
            (Reading::OutsideLid, readings.outside_lid),
            (Reading::EndBox, readings.end_box),
            (Reading::EndLid, readings.end_lid),
        ];
        for (kind, reading) in walls {
            if let Some(reading) = reading {
                self.wall(kind, reading)?;
            }
        }
        match readings.gap {
            Some(gap) => self.gap(gap),
            None => Ok(()),
        }
    }

    fn show(&self, length: Length) -> String {
        text::decimal_with_unit(length, self.job.units)
    }

    /// The value to correct from, or nothing where the reading is booked already.
    fn basis(&mut self, kind: Reading, reading: f64, now: Length) -> Option<Length> {
        match record::judge(&self.document, kind, reading, self.repeat) {
            Change::Fresh => Some(now),
            Change::InsteadOf(was) => Some(was),
            Change::Repeated => {
                let name = kind.option();
                self.words.push(format!(
                    "{name} with this figure is booked already and is left alone; \
                     if it was taken on a new cut, say --again"
                ));
                None
            }
        }
    }

    fn test_piece(&mut self, pocket: usize, series: Series) -> Result<(), Diagnostic> {
        let now = self.job.fit.clearance;
        let Some(was) = self.basis(Reading::TestPiece, pocket as f64, now) else {
            return Ok(());
        };
        let mut cut = self.job.clone();
        edit::widen(&mut cut, was - now);
        let clearances = test_piece::clearances(&cut, series)?;
        let chosen = pocket
            .checked_sub(1)
            .and_then(|index| clearances.get(index));
        let Some(chosen) = chosen else {
            let message = format!(
                "--pocket is {pocket}, allowed is from 1 to {}",
                clearances.len()
            );
            return Err(Diagnostic::new("out-of-range", message));
        };
        if chosen.is_near(now, record::UNSEEN) {
            self.words.push(format!(
                "pocket {pocket} of the test piece has the job's own clearance, {}: nothing changes",
                self.show(now)
            ));
            return Ok(());
        }
        self.document.set_fit("clearance", *chosen)?;
        record::write(&mut self.document, Reading::TestPiece, pocket as f64, was)?;
        self.words.push(format!(
            "clearance {} instead of {}, as in pocket {pocket} of the test piece",
            self.show(*chosen),
            self.show(was)
        ));
        Ok(())
    }

    /// The leaf sits right in a pocket of the second row: every step becomes
    /// as much deeper or shallower as that pocket is.
    fn depth_pocket(&mut self, pocket: usize, series: Series) -> Result<(), Diagnostic> {
        let Some(now) = self.document.leaf() else {
            return Err(Diagnostic::new(
                "no-pockets",
                "the hinge has no step to correct",
            ));
        };
        let Some(was) = self.basis(Reading::TestPieceDepth, pocket as f64, now) else {
            return Ok(());
        };
        let mut cut = self.job.clone();
        edit::deepen(&mut cut, was - now);
        let own = test_piece::leaf_depth(&cut);
        let depths = test_piece::depths(&cut, series)?;
        let chosen = pocket.checked_sub(1).and_then(|index| depths.get(index));
        let Some(chosen) = chosen else {
            let message = format!(
                "--depth-pocket is {pocket}, allowed is from 1 to {}",
                depths.len()
            );
            return Err(Diagnostic::new("out-of-range", message));
        };
        let corrected = was + (*chosen - own);
        let row = "of the test piece's second row";
        if corrected.is_near(now, record::UNSEEN) {
            self.words.push(format!(
                "pocket {pocket} {row} is as deep as the job's own: nothing changes"
            ));
            return Ok(());
        }
        let deeper = corrected - now;
        let others = self.document.deepen_steps(deeper)?;
        record::write(
            &mut self.document,
            Reading::TestPieceDepth,
            pocket as f64,
            was,
        )?;
        let way = if deeper > Length::ZERO {
            "deeper"
        } else {
            "shallower"
        };
        let mut words = format!(
            "the leaf's step is {} deep, not {}, and every step below it {} {way}, as in pocket {pocket} {row}",
            self.show(corrected),
            self.show(now),
            self.show(deeper.abs()),
        );
        if others {
            words.push_str("; the lid's own steps are left as they are");
        }
        self.words.push(words);
        Ok(())
    }

    fn slot(&mut self, slot: Length) -> Result<(), Diagnostic> {
        let bit = &self.job.bit;
        if bit
            .measured
            .is_some_and(|measured| measured.is_near(slot, record::UNSEEN))
        {
            let name = &bit.name;
            self.words.push(format!(
                "{name} is known to cut {} already: nothing changes",
                self.show(slot)
            ));
            return Ok(());
        }
        self.rack.set_measured(&bit.name, slot)?;
        self.words.push(format!(
            "{} cuts {} wide, nominal {}",
            bit.name,
            self.show(slot),
            self.show(bit.diameter)
        ));
        Ok(())
    }

    /// Wood measured beside the first pocket: the pockets of that part move
    /// by what is missing.
    fn wall(&mut self, kind: Reading, reading: Length) -> Result<(), Diagnostic> {
        let Some((part, key)) = kind.part() else {
            return Ok(());
        };
        let job = self.job;
        let (wanted, now) = job
            .part(part)
            .and_then(|part| wall(kind, part))
            .ok_or_else(|| {
                Diagnostic::new(
                    "no-pockets",
                    format!("the {part} has no pocket to measure at"),
                )
            })?;
        let Some(was) = self.basis(kind, reading.as_mm(), now) else {
            return Ok(());
        };
        let corrected = was + (wanted - reading);
        if !corrected.is_near(now, record::UNSEEN) {
            self.document.set_fit(key, corrected)?;
            record::write(&mut self.document, kind, reading.as_mm(), was)?;
        }
        let moved = words::moved(part, kind.is_end(), corrected - now, job.units);
        self.words.push(format!(
            "{moved}: {} of wood measured, {} wanted",
            self.show(reading),
            self.show(wanted)
        ));
        Ok(())
    }

    fn gap(&mut self, seen: Length) -> Result<(), Diagnostic> {
        let now = self.job.hinge.closed_gap;
        let Some(was) = self.basis(Reading::Gap, seen.as_mm(), now) else {
            return Ok(());
        };
        // Without a gap of its own the job recesses nothing, whatever the hinge.
        let recess = if self.document.has_fit("gap") {
            was - self.job.fit.gap
        } else {
            Length::ZERO
        };
        let corrected = seen + recess;
        if corrected.is_near(now, record::UNSEEN) {
            self.words.push(format!(
                "a gap of {} seen is what the job expects: nothing changes",
                self.show(seen)
            ));
            return Ok(());
        }
        self.document.set_hinge("closed_gap", corrected)?;
        record::write(&mut self.document, Reading::Gap, seen.as_mm(), was)?;
        self.words.push(format!(
            "the hinge closes to {} with both leaves flush, not {}: {} seen and {} of recess",
            self.show(corrected),
            self.show(was),
            self.show(seen),
            self.show(recess)
        ));
        Ok(())
    }
}

/// The wood that should stand beside the first pocket, and the correction that
/// is in the job already.
fn wall(kind: Reading, part: &Part) -> Option<(Length, Length)> {
    let pocket = part.pockets.first()?;
    let step = pocket.steps.first()?;
    Some(if kind.is_end() {
        let near = pocket.center.x() + step.shift - step.length / 2.0;
        (near - part.correction_u, part.correction_u)
    } else {
        let near = pocket.center.y() - step.width / 2.0;
        (near - part.correction_v, part.correction_v)
    })
}

#[cfg(test)]
mod tests;
