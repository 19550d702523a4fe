//! Trial cuts on a template, entered.

use super::cut::What;
use super::enter::Desk;
use super::entry::Entry;
use super::reading::{Reading, SAME};
use super::turned::{self, Found};
use crate::diagnostic::Diagnostic;
use crate::job::template::Template;
use crate::units::{Length, text};

impl Desk<'_> {
    fn template(&self, option: &str) -> Result<Template, Diagnostic> {
        match (self.what, &self.job.template) {
            (What::Template, Some(template)) => Ok(template.clone()),
            _ => {
                let message = format!("--{option} is read on what a template guided");
                let help = "say --template, and name the program that cut the template with --cut";
                Err(Diagnostic::new("usage", message).help(help))
            }
        }
    }

    pub(super) fn turned(&mut self, read: [Length; 2]) -> Result<(), Diagnostic> {
        let template = self.template("turned")?;
        let plate = self.as_cut();
        let measured = self.cut.to_batten(plate).zip(self.cut.opening_width(plate));
        let (to_batten, width) = measured.ok_or_else(no_opening)?;
        let found = turned::across(&template, to_batten, width, read);
        let found = self.sensible("turned", found)?;
        let off = [found.off, template.off_centre[1]];
        self.off_centre(Reading::Turned, read, (0, off), &template)?;
        self.shifted(
            Reading::Turned,
            read,
            ("batten_off", template.batten_off, -found.error),
            (found.error, found.left),
        )
    }

    pub(super) fn turned_end(&mut self, read: [Length; 2]) -> Result<(), Diagnostic> {
        let template = self.template("turned-end")?;
        let found = turned::along(self.job, read).ok_or_else(no_opening)?;
        let found = self.sensible("turned-end", found)?;
        let off = [template.off_centre[0], found.off];
        self.off_centre(Reading::TurnedEnd, read, (1, off), &template)?;
        // The stop is screwed on by hand: what stood printed for it when this program's
        // plate was first read is what it was set by.
        let mut entries = self.files.job.entries().into_iter().rev();
        let earlier = entries.find(|entry| {
            entry.is(Reading::TurnedEnd)
                && entry.program == self.cut.digest
                && entry.key == "template.stop_off"
        });
        let set_by = earlier.map_or(template.stop_off, |entry| Length::from_mm(entry.text));
        self.shifted(
            Reading::TurnedEnd,
            read,
            ("stop_off", template.stop_off, set_by - found.error),
            (found.error, set_by),
        )
    }

    fn sensible(&self, option: &str, found: Found) -> Result<Found, Diagnostic> {
        if self.readings.as_read {
            return Ok(found.rounded());
        }
        let show = |length| self.show(length);
        found.plausible(option, &show).map(Found::rounded)
    }

    fn off_centre(
        &mut self,
        reading: Reading,
        read: [Length; 2],
        (index, off): (usize, [Length; 2]),
        template: &Template,
    ) -> Result<(), Diagnostic> {
        let [inward, right] = [
            ("inward from the batten", "towards the batten"),
            ("to the right", "to the left"),
        ];
        let (ahead, back) = if index == 0 { inward } else { right };
        let way = if off[index] < Length::ZERO {
            back
        } else {
            ahead
        };
        let shown = self.show(off[index].abs());
        if off[index].is_near(template.off_centre[index], SAME) {
            self.words.push(format!(
                "the bit stands {shown} off the collar's middle {way}: nothing changes"
            ));
            return Ok(());
        }
        let was = self.files.job.raw_template("off_centre");
        self.files.job.set_off_centre(index, off)?;
        let entry = Entry {
            key: "template.off_centre".to_owned(),
            was,
            now: self.files.job.raw_template("off_centre"),
            ..self.entry(reading, found_words(read, self.job.units), Length::ZERO)
        };
        self.files.job.log(entry)?;
        self.words.push(format!(
            "the bit stands {shown} off the collar's middle, {way}, half the difference of the readings"
        ));
        Ok(())
    }

    fn shifted(
        &mut self,
        reading: Reading,
        read: [Length; 2],
        (key, was, now): (&str, Length, Length),
        (error, text): (Length, Length),
    ) -> Result<(), Diagnostic> {
        let (what, middle) = match reading {
            Reading::Turned => ("the batten's grooves lie", "the opening"),
            _ => ("the stop's face lies", "the centre line"),
        };
        if now.is_near(was, SAME) {
            self.words.push(format!("{what}: nothing changes"));
            return Ok(());
        }
        let raw = self.files.job.raw_template(key);
        self.files.job.set_template(key, now)?;
        let entry = Entry {
            key: format!("template.{key}"),
            was: raw,
            now: self.files.job.raw_template(key),
            ..self.entry(reading, found_words(read, self.job.units), text)
        };
        self.files.job.log(entry)?;
        let way = if now > Length::ZERO {
            "farther from"
        } else {
            "nearer to"
        };
        self.words.push(format!(
            "{what} {} {way} {middle} in the next template than nominal: the mean of the readings is {} off",
            self.show(now.abs()),
            self.show(error.abs())
        ));
        Ok(())
    }
}

fn found_words(read: [Length; 2], units: crate::units::Units) -> String {
    read.map(|length| text::short(length, units)).join(" ")
}

fn no_opening() -> Diagnostic {
    let message = "no opening and no groove of the box is cut by this program";
    Diagnostic::new("no-pockets", message).help("name the program that cut the template with --cut")
}
