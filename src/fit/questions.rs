//! Readings that speak against themselves: what was likely meant is asked for,
//! and nothing is entered.

use super::reading::{Reading, Readings};
use crate::diagnostic::Diagnostic;
use crate::job::position::Located;
use crate::job::{Job, Layout, PartName};
use crate::units::{Length, Units, text};

/// More than this is no matter of fit (common practice, no source).
const FAR: Length = Length::from_mm(1.5);
/// The same for the gap, of which each leaf has half.
const FAR_GAP: Length = Length::from_mm(1.0);
/// The loosest fit that is one.
const LOOSEST: Length = Length::from_mm(0.6);
/// Two errors this near are one error.
const ALIKE: Length = Length::from_mm(0.05);
/// A smaller error is none that a zero has.
const SEEN: Length = Length::from_mm(0.1);

/// A reading of a place, with what the text should have left there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) kind: Reading,
    pub(super) reading: Length,
    pub(super) left: Length,
    /// The position of the pocket it is of, where the job has positions.
    pub(super) position: Option<usize>,
}

impl Place {
    pub(super) fn error(&self) -> Length {
        self.reading - self.left
    }
}

fn question(message: String, help: &str) -> Diagnostic {
    Diagnostic::new("question", message).help(format!(
        "{help}; if it is as read, say --as-read. Nothing was entered"
    ))
}

/// What is asked about readings of places.
///
/// # Errors
/// The question.
pub(super) fn of_places(
    places: &[Place],
    job: &Job,
    readings: &Readings,
) -> Result<(), Diagnostic> {
    if readings.as_read {
        return Ok(());
    }
    let show = |length| text::decimal_with_unit(length, job.units);
    let by = |kind| places.iter().find(|place| place.kind == kind);
    let pairs = [
        (by(Reading::OutsideBox), by(Reading::OutsideLid)),
        (by(Reading::EndBox), by(Reading::EndLid)),
    ];
    for (own, other) in pairs {
        let (Some(own), Some(other)) = (own, other) else {
            continue;
        };
        let straight = own.error().abs() + other.error().abs();
        let crossed = (own.reading - other.left).abs() + (other.reading - own.left).abs();
        if crossed * 4.0 < straight && straight > SEEN {
            return Err(question(
                format!(
                    "{} on the box and {} on the lid fit the other part better: {} and {} were to be left",
                    show(own.reading),
                    show(other.reading),
                    show(own.left),
                    show(other.left)
                ),
                "were the two readings swapped? Read them again",
            ));
        }
    }
    for place in places {
        in_other_unit(place.reading, place.left, FAR, place.kind, job)?;
        if place.error().abs() > FAR {
            return Err(question(
                format!(
                    "--{} is {}, {} from what the program should have left, {}",
                    place.kind.name(),
                    show(place.reading),
                    show(place.error().abs()),
                    show(place.left)
                ),
                "so large an error is no matter of fit: check the zero, the stop and the reading",
            ));
        }
    }
    for (own, other) in pairs {
        let (Some(own), Some(other)) = (own, other) else {
            continue;
        };
        let (a, b) = (own.error(), other.error());
        // A zero that is off moves both parts one way on the machine: in book
        // layout v runs the other way in the box, end to end u does.
        let opposite = (job.fixture.layout == Layout::Book) != own.kind.is_end();
        let b = if opposite { -b } else { b };
        // A mark or a far stop that is off moves both parts alike, and that is
        // what the corrections of its position are for.
        let position = own.position;
        let located = position.and_then(|number| job.fixture.position(number));
        let is_own = located.is_some_and(|position| position.located != Located::Stop);
        if own.kind.is_end() && is_own {
            continue;
        }
        if a.is_near(b, ALIKE) && a.abs() > SEEN {
            let [along, across] = job.fixture.letters();
            let axis = if own.kind.is_end() { along } else { across };
            return Err(question(
                format!(
                    "box and lid are off alike, by {} and {}: that is the {axis} zero, not the fit",
                    show(own.error()),
                    show(other.error())
                ),
                &format!("touch off {axis} again, and cut again"),
            ));
        }
    }
    Ok(())
}

/// What is asked about a gap.
///
/// # Errors
/// The question.
pub(super) fn of_gap(seen: Length, job: &Job, readings: &Readings) -> Result<(), Diagnostic> {
    if readings.as_read {
        return Ok(());
    }
    let wanted = job.fit.gap;
    in_other_unit(seen, wanted, FAR_GAP, Reading::Gap, job)?;
    if (seen - wanted).abs() > FAR_GAP {
        let show = |length| text::decimal_with_unit(length, job.units);
        return Err(question(
            format!("--gap is {}, wanted was {}", show(seen), show(wanted)),
            "so wide a gap is no matter of fit: check that the leaves and the screws' heads are seated",
        ));
    }
    Ok(())
}

/// What is asked about a clearance.
///
/// # Errors
/// The question.
pub(super) fn of_clearance(clearance: Length, job: &Job) -> Result<(), Diagnostic> {
    if clearance > LOOSEST {
        let show = |length| text::decimal_with_unit(length, job.units);
        let message = format!(
            "that pocket has a clearance of {}, allowed is at most {}: a leaf rattles in it",
            show(clearance),
            show(LOOSEST)
        );
        return Err(Diagnostic::new("out-of-range", message)
            .help("check the number, counted by the ticks, and the hinge's width"));
    }
    Ok(())
}

/// A figure that would be right in the other unit.
fn in_other_unit(
    read: Length,
    wanted: Length,
    far: Length,
    kind: Reading,
    job: &Job,
) -> Result<(), Diagnostic> {
    let other = match job.units {
        Units::Millimetre => Length::from_inch(read.as_mm()),
        Units::Inch => Length::from_mm(read.as_inch()),
    };
    if (read - wanted).abs() > far && (other - wanted).abs() <= far {
        let show = |length| text::decimal_with_unit(length, job.units);
        let unit = job.units.other();
        return Err(question(
            format!(
                "--{} is {}, and {} were to be left: {} would fit",
                kind.name(),
                show(read),
                show(wanted),
                text::short(other, unit)
            ),
            &format!(
                "if {} were meant, write the unit behind the figure",
                unit.name()
            ),
        ));
    }
    Ok(())
}

/// A reading that equals the last one's although another program was cut.
///
/// # Errors
/// The question.
pub(super) fn of_repeat(kind: Reading, part: Option<PartName>) -> Diagnostic {
    let what = part.map_or("pocket".to_owned(), |part| format!("{part}'s pocket"));
    question(
        format!(
            "--{} is what was read on the last cut, and this program cuts the {what} elsewhere",
            kind.name()
        ),
        "was the piece cut by this program? If by the last, name that one with --cut",
    )
}
