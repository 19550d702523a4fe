//! Whether a scrap is large enough, and the machine for it.

use super::Scrap;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::job::Job;
use crate::units::{Length, Units, text};

/// A scrap may stick out of the machine, but not be so many times as large.
const FAR_PAST: f64 = 4.0;

/// How what is cut from a scrap is spoken of.
pub(crate) struct Words {
    /// What it is.
    pub(crate) what: &'static str,
    /// What helps where the scrap is too small.
    pub(crate) larger: &'static str,
    /// What helps where the machine is.
    pub(crate) smaller: &'static str,
}

/// Holds a scrap against the least that is needed.
///
/// # Errors
/// A scrap or a travel that is too small, a scrap much larger than the machine.
pub(crate) fn check(
    job: &Job,
    scrap: Scrap,
    needed: Scrap,
    words: &Words,
) -> Result<(), Diagnostics> {
    let what = words.what;
    let mut errors = Vec::new();
    let show = |length| text::short(length, job.units);
    let pairs = [
        ("long", scrap.length, needed.length),
        ("wide", scrap.width, needed.width),
        ("thick", scrap.thickness, needed.thickness),
    ];
    if pairs.iter().any(|(_, has, wants)| has < wants) {
        let found: Vec<String> = pairs.iter().map(|(_, has, _)| show(*has)).collect();
        let wanted: Vec<String> = pairs
            .iter()
            .map(|(word, _, wants)| format!("{} {word}", show(round_up(*wants))))
            .collect();
        let message = format!(
            "the scrap is {}, this {what} needs {}",
            found.join(" × "),
            wanted.join(", ")
        );
        errors.push(Diagnostic::new("scrap-too-small", message).help(words.larger));
    }
    let [travel_x, travel_y, travel_z] = job.machine.travel;
    let far = [
        ("length", scrap.length, travel_x),
        ("width", scrap.width, travel_y),
        ("thickness", scrap.thickness, travel_z),
    ];
    for (word, has, travel) in far
        .iter()
        .filter(|(_, has, travel)| *has > *travel * FAR_PAST)
    {
        let message = format!(
            "the scrap's {word} is {}, the machine travels {} that way",
            show(*has),
            show(*travel)
        );
        let diagnostic = Diagnostic::new("scrap-past-machine", message);
        errors.push(match job.units {
            Units::Inch => diagnostic.help(format!(
                "if millimetres were meant, write --{word} {}mm",
                text::trimmed(has.as_inch())
            )),
            Units::Millimetre => diagnostic.help("saw off a piece that lies on the machine"),
        });
    }
    if needed.length > travel_x || needed.width > travel_y {
        let message = format!(
            "the {what} is {} × {}, the machine travels {} × {}",
            show(round_up(needed.length)),
            show(round_up(needed.width)),
            show(travel_x),
            show(travel_y)
        );
        errors.push(Diagnostic::new("test-piece-past-travel", message).help(words.smaller));
    }
    if errors.is_empty() {
        Ok(())
    } else {
        Err(errors.into())
    }
}

/// To the next whole millimetre: nobody saws a scrap to a hundredth.
fn round_up(length: Length) -> Length {
    Length::from_mm(length.as_mm().ceil())
}
