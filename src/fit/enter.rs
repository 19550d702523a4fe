//! From readings to entries.

use super::cut::{self, Cut, Program, What};
use super::document::{self, Document};
use super::entry::Entry;
use super::learned::{Made, Owner};
use super::questions::{self, Place};
use super::reading::{Reading, Readings, SAME, to_a_micrometre};
use super::texts::{Documents, Entered, NamedText, Texts};
use super::words;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::input;
use crate::job::{Job, PartName};
use crate::units::{Length, text};

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
        Self::Mistakes(diagnostic.into())
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
    let files = Documents::parse(texts).map_err(Refusal::Mistakes)?;
    let number = files.last_number().unwrap_or(0) + 1;
    let bit = programs.iter().find_map(|program| program.bit);
    let mut desk = Desk {
        job,
        cut: &cut,
        what,
        readings,
        number,
        bit: bit.unwrap_or(&job.bit).name.clone(),
        files,
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
    let learned = texts.hinges.filter(|_| readings.slot.is_some());
    if let Some(drawer) = learned {
        desk.learned_with_the_bit(&drawer)?;
    }
    desk.files
        .entered(texts, job, desk.words)
        .map_err(Refusal::Mistakes)
}

pub(super) struct Desk<'j> {
    pub(super) job: &'j Job,
    pub(super) cut: &'j Cut,
    pub(super) what: What,
    pub(super) readings: &'j Readings,
    number: i64,
    bit: String,
    pub(super) files: Documents,
    pub(super) words: Vec<String>,
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
        if let Some(read) = self.readings.turned {
            self.turned(read)?;
        }
        if let Some(read) = self.readings.turned_end {
            self.turned_end(read)?;
        }
        self.readings.gap.map_or(Ok(()), |gap| self.gap(gap))
    }

    pub(super) fn show(&self, length: Length) -> String {
        text::decimal_with_unit(length, self.job.units)
    }

    /// The job as the programs have it.
    pub(super) fn as_cut(&self) -> &Job {
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
        if let Some(owner) = self.owner(key) {
            return self.learn(owner, reading, found, text, (key, value));
        }
        let was = self.files.job.raw_fit(key);
        let made_table = !self.files.job.has_fit();
        self.files.job.set_fit(key, value)?;
        let entry = Entry {
            key: format!("fit.{key}"),
            was,
            now: self.files.job.raw_fit(key),
            made_table,
            ..self.entry(reading, found, text)
        };
        self.files.job.log(entry)
    }

    /// The hinge of the drawer that a figure belongs to: where the job takes its
    /// hinge from there and does not state the key itself.
    fn owner(&self, key: &str) -> Option<Owner> {
        let drawn = self.job.drawn.as_ref()?;
        let is_learned = ["clearance", "depth"].contains(&key);
        let is_stated = !self.files.job.raw_fit(key).is_empty();
        (is_learned && !is_stated).then(|| Owner {
            hinge: drawn.name.clone(),
            bit: self.bit.clone(),
            wood: drawn.woods.clone(),
        })
    }

    /// Sets a figure of a hinge of the drawer and logs it there.
    fn learn(
        &mut self,
        owner: Owner,
        reading: Reading,
        found: String,
        text: Length,
        (key, value): (&str, Length),
    ) -> Result<(), Diagnostic> {
        let entry = self.entry(reading, found, text);
        let Some(drawer) = &mut self.files.drawer else {
            return Ok(());
        };
        let was = drawer.raw_learned(&owner, key);
        let Made { table, list } = drawer.set_learned(&owner, key, value)?;
        let now = drawer.raw_learned(&owner, key);
        self.words.push(format!(
            "the drawer has learned of `{}` with {} in {}: `{key}` {now}",
            owner.hinge, owner.bit, owner.wood
        ));
        drawer.log(Entry {
            key: format!("learned.{key}"),
            was,
            now,
            made_table: table,
            made_list: list,
            hinge: owner.hinge,
            wood: owner.wood,
            ..entry
        })
    }

    /// Clearances of the drawer that were found with a bit which is now known to
    /// cut another width change by the difference.
    fn learned_with_the_bit(&mut self, drawer: &NamedText<'_>) -> Result<(), Refusal> {
        let Some(slot) = self.readings.slot else {
            return Ok(());
        };
        let mut rack = self.job.rack.iter();
        let Some(bit) = rack.find(|bit| bit.name == self.bit) else {
            return Ok(());
        };
        let wider = slot - bit.cutting_diameter();
        if wider.is_near(Length::ZERO, SAME) {
            return Ok(());
        }
        let drawer = input::hinges(drawer.file, drawer.text).map_err(Refusal::Mistakes)?;
        let of_text = self.as_cut().fit.clearance;
        let bit = self.bit.clone();
        for (hinge, wood, clearance) in drawer.clearances(&bit) {
            let owner = Owner {
                hinge: hinge.to_owned(),
                bit: bit.clone(),
                wood: wood.to_owned(),
            };
            let found = text::short(slot, self.job.units);
            let value = to_a_micrometre(clearance + wider);
            self.learn(owner, Reading::Slot, found, of_text, ("clearance", value))?;
        }
        Ok(())
    }

    /// What is logged of a reading on the programs, but for what it changes.
    pub(super) fn entry(&self, reading: Reading, found: String, text: Length) -> Entry {
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
        let mut entries = self.files.job.entries();
        let is_own = |entry: &Entry| {
            let drawn = self.job.drawn.as_ref();
            let is_of = drawn.map(|drawn| (&drawn.name, &drawn.woods, &self.bit));
            is_of == Some((&entry.hinge, &entry.wood, &entry.bit))
        };
        let drawer = self.files.drawer.iter().flat_map(Document::entries);
        entries.extend(drawer.filter(is_own));
        entries.sort_by_key(|entry| entry.number);
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
            let Some((hinge, pocket)) = self.cut.first_with_hinge(part) else {
                let message = format!("no pocket of the {part} is cut by this program");
                return Err(Diagnostic::new("no-pockets", message)
                    .help("name the program that cut it with --cut"));
            };
            let left = if kind.is_end() {
                pocket.u[0]
            } else {
                pocket.v[0]
            };
            let position = self.job.position_of(hinge);
            places.push(Place {
                kind,
                reading,
                left: Length::from_mm(left),
                position: position.map(|position| position.number),
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
        if let (Some(number), true) = (place.position, place.kind.is_end()) {
            // What the whole job is corrected by comes on top in every position.
            return self.place_of_position(place, (part, number, key), corrected - now);
        }
        let read = self.read(place);
        if corrected.is_near(now, SAME) {
            self.words.push(format!("{part}: {read}: nothing changes"));
            return Ok(());
        }
        let moved = words::moved(part, place.kind.is_end(), corrected, self.job.units);
        self.set(place.kind, found, place.left, (key, corrected))?;
        // Across the edge there is one correction for all.
        let scope = match place.position {
            Some(_) => " in all positions",
            None => "",
        };
        self.words
            .push(format!("{moved}{scope} from where the job has it: {read}"));
        Ok(())
    }

    fn read(&self, place: Place) -> String {
        format!(
            "{} of wood read, {} left by the program",
            self.show(place.reading),
            self.show(place.left)
        )
    }

    /// The same for a position, whose own corrections cancel its own error.
    fn place_of_position(
        &mut self,
        place: Place,
        (part, number, key): (PartName, usize, &str),
        corrected: Length,
    ) -> Result<(), Diagnostic> {
        let read = self.read(place);
        let now = self.job.fixture.position(number);
        let now = now.map_or(Length::ZERO, |position| match part {
            PartName::Lid => position.lid_u,
            PartName::Box | PartName::Scrap | PartName::Plate => position.box_u,
        });
        if corrected.is_near(now, SAME) {
            self.words.push(format!(
                "{part}, position {number}: {read}: nothing changes"
            ));
            return Ok(());
        }
        let found = text::short(place.reading, self.job.units);
        let was = self.files.job.raw_position(number, key);
        self.files.job.set_position(number, key, corrected)?;
        let entry = Entry {
            key: document::position_key(number, key),
            was,
            now: self.files.job.raw_position(number, key),
            ..self.entry(place.kind, found, place.left)
        };
        self.files.job.log(entry)?;
        let moved = words::moved(part, true, corrected, self.job.units);
        self.words.push(format!(
            "position {number}: {moved} from where the job has it: {read}"
        ));
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
        let was = self.files.rack.raw_measured(&bit.name);
        self.files.rack.set_measured(&bit.name, slot)?;
        let found = text::short(slot, self.job.units);
        let entry = Entry {
            key: "bit.measured".to_owned(),
            was,
            now: self.files.rack.raw_measured(&bit.name),
            ..self.entry(Reading::Slot, found, taken_as)
        };
        self.files.rack.log(entry)?;
        self.words.push(format!(
            "{} cuts {} wide, was taken as {}",
            bit.name,
            self.show(slot),
            self.show(taken_as)
        ));
        let is_stated = !self.files.job.raw_fit("clearance").is_empty();
        let entries = self.files.job.entries();
        let mut found = entries
            .iter()
            .rev()
            .filter(|entry| entry.key == "fit.clearance" && is_stated);
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
