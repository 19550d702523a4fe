//! How many hinges a lid wants.

use super::{Advice, Topic, screws};
use crate::job::{Job, Part, PartName};
use crate::units::{Units, text};

const BASIS: &str = "one hinge where the lid is shorter than three of its leaves, two to about 600 mm, \
a third beyond, one more for each 400 mm; a larger hinge past 3 to 4 kg; common practice, no source";
const BASIS_INCH: &str = "one hinge where the lid is shorter than three of its leaves, two to about 24 in, \
a third beyond, one more for each 16 in; a larger hinge past 7 to 9 lb; common practice, no source";

/// A lid shorter than so many leaves is held by one.
const ONE_SERVES_LEAVES: f64 = 3.0;

/// Lid length that two hinges serve, and the length that each further one does.
const TWO_SERVE_MM: f64 = 600.0;
const EACH_SERVES_MM: f64 = 400.0;

/// Weight past which a larger hinge is wanted.
const HEAVY_KG: f64 = 3.5;

pub(super) fn advise(job: &Job, advice: &mut Vec<Advice>) {
    let Some(lid) = job.part(PartName::Lid) else {
        return;
    };
    let wanted = wanted(lid.length.as_mm(), leaf_mm(lid));
    let (has, weight) = (lid.pockets.len(), screws::lid_weight_kg(job, lid));
    let few = has < wanted;
    let heavy = weight > HEAVY_KG;
    let mut text = format!(
        "{has} {} for a lid {} long of {}",
        if has == 1 { "hinge" } else { "hinges" },
        text::decimal_with_unit(lid.length, job.units),
        text::weight(weight, job.units)
    );
    if few {
        text.push_str(&format!("; {wanted} are usual"));
    }
    if heavy {
        text.push_str("; so heavy a lid wants a larger hinge");
    }
    advice.push(Advice {
        topic: Topic::HingeCount,
        parts: vec![PartName::Lid],
        warns: few || heavy,
        text,
        basis: match job.units {
            Units::Millimetre => BASIS,
            Units::Inch => BASIS_INCH,
        },
    });
}

/// How many of its hinges the job's lid wants: by its length, and so many that
/// the screws of their leaves hold its weight in both parts.
pub fn hinges_wanted(job: &Job) -> Option<usize> {
    let lid = job.part(PartName::Lid)?;
    let by_length = wanted(lid.length.as_mm(), leaf_mm(lid));
    let by_weight = job.parts.iter();
    let by_weight = by_weight.filter_map(|part| screws::leaves_that_hold(job, lid, part));
    by_weight.chain([by_length]).max()
}

fn leaf_mm(lid: &Part) -> f64 {
    let first = lid.pockets.first().and_then(|pocket| pocket.steps.first());
    first.map_or(0.0, |step| step.length.as_mm())
}

pub(super) fn wanted(length_mm: f64, leaf_mm: f64) -> usize {
    if length_mm < ONE_SERVES_LEAVES * leaf_mm {
        return 1;
    }
    let beyond = length_mm - TWO_SERVE_MM;
    if beyond <= 0.0 {
        return 2;
    }
    3 + (beyond / EACH_SERVES_MM).floor() as usize
}
