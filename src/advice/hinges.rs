//! How many hinges a lid wants.

use super::{Advice, Topic, screws};
use crate::job::{Job, PartName};
use crate::units::text;

const BASIS: &str = "two hinges to about 600 mm of lid, a third beyond, one more for each 400 mm; \
a larger hinge past 3 to 4 kg; common practice, no source";

/// Lid length that two hinges serve, and the length that each further one does.
const TWO_SERVE_MM: f64 = 600.0;
const EACH_SERVES_MM: f64 = 400.0;

/// Weight past which a larger hinge is wanted.
const HEAVY_KG: f64 = 3.5;

pub(super) fn advise(job: &Job, advice: &mut Vec<Advice>) {
    let Some(lid) = job.part(PartName::Lid) else {
        return;
    };
    let wanted = wanted(lid.length.as_mm());
    let (has, weight) = (lid.pockets.len(), screws::lid_weight_kg(job, lid));
    let few = has < wanted;
    let heavy = weight > HEAVY_KG;
    let mut text = format!(
        "{has} hinges for a lid {} long of {weight:.2} kg",
        text::decimal_with_unit(lid.length, job.units)
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
        basis: BASIS,
    });
}

pub(super) fn wanted(length_mm: f64) -> usize {
    let beyond = length_mm - TWO_SERVE_MM;
    if beyond <= 0.0 {
        return 2;
    }
    3 + (beyond / EACH_SERVES_MM).floor() as usize
}
