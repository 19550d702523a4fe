//! A clamp moved in the drawing: what is then typed in its fields.

use super::now::Now;
use super::typed::{self, Typed};
use crate::diagnostic::Diagnostic;
use crate::sheet;
use crate::units::{Length, Units, text};

const CLAMP: &str = "clamp";
/// A way in the drawing's units, to the right and up.
const WAY: [&str; 2] = ["right", "up"];
/// The same in steps of [`step`].
const STEPS: [&str; 2] = ["steps-right", "steps-up"];

/// What a clamp moves by, at least: a scale is read no finer by hand.
fn step(units: Units) -> Length {
    match units {
        Units::Millimetre => Length::from_mm(1.0),
        Units::Inch => Length::from_inch(1.0 / 16.0),
    }
}

/// The form with the moved clamp's corners typed in their fields; as it is where none is
/// moved.
///
/// # Errors
/// A clamp that the job does not have, and a way that is none.
pub(super) fn moved(now: &Now, typed: &Typed) -> Result<Typed, Diagnostic> {
    let Some(number) = typed::of(typed, CLAMP) else {
        return Ok(typed.clone());
    };
    let job = match &now.job {
        Ok(read) => &read.job,
        Err(_) => return Err(unmovable(number)),
    };
    let index = number
        .parse::<usize>()
        .ok()
        .and_then(|number| number.checked_sub(1));
    let clamp = index.and_then(|index| job.fixture.clamps.get(index));
    let clamp = clamp.ok_or_else(|| unmovable(number))?;
    let way = |names: [&str; 2]| {
        let [right, up] = names.map(|name| match typed::of(typed, name) {
            Some(written) => written.parse().ok().filter(|way: &f64| way.abs() < FAR),
            None => Some(0.0),
        });
        right.zip(up).ok_or_else(|| unmovable(number))
    };
    let moved = sheet::on_the_machine(job, way(WAY)?);
    let one = step(job.units);
    let steps = sheet::turned(job, way(STEPS)?);
    let whole = |moved: Length| (moved.as_mm() / one.as_mm()).round();
    let by = [whole(moved[0]) + steps.0, whole(moved[1]) + steps.1].map(|steps| one * steps);
    let mut new: Typed = typed
        .iter()
        .filter(|(name, _)| {
            name != CLAMP && !WAY.contains(&name.as_str()) && !STEPS.contains(&name.as_str())
        })
        .cloned()
        .collect();
    for (corner, at) in [("min", clamp.min), ("max", clamp.max)] {
        for (axis, (at, by)) in [at.x(), at.y()].into_iter().zip(by).enumerate() {
            if by == Length::ZERO {
                continue;
            }
            let path = format!("fixture.clamps[{number}].{corner}[{}]", axis + 1);
            let value = text::trimmed((at + by).as_units(job.units));
            new.retain(|(name, _)| *name != path);
            new.push((path, value));
        }
    }
    Ok(new)
}

/// No drawing is wider.
const FAR: f64 = 100_000.0;

fn unmovable(number: &str) -> Diagnostic {
    let message = format!("clamp `{number}` cannot be moved so");
    Diagnostic::new("no-clamp", message).help("type where it stands")
}
