//! `edge-wear`: the edge of every bit that takes wood still cuts, told once for each.

use crate::report::CheckId;
use crate::verify::checks::check::{Check, Now, Taking, Whole};
use crate::verify::findings::{Answer, Found};

/// From this wear on the edge wants sharpening soon.
const SOON: f64 = 0.8;

#[derive(Debug, Default)]
pub(crate) struct EdgeWear {
    /// Bits that have been told of, by name.
    told: Vec<String>,
}

impl Check for EdgeWear {
    const ID: CheckId = CheckId::EdgeWear;

    fn begin(&mut self) {
        self.told.clear();
    }

    fn bite(&mut self, taking: &Taking<'_>, _now: Now<'_>, found: &mut Found<'_>) {
        let bit = &taking.tool.bit;
        if bit.wear < SOON || self.told.contains(&bit.name) {
            return;
        }
        self.told.push(bit.name.clone());
        let (name, wear) = (&bit.name, bit.wear);
        if wear >= 1.0 {
            found.fail(|| {
                format!("`{name}` is worn out; sharpen or replace it, then set its `wear`")
            });
        } else {
            found.warn(|| format!("`{name}` is worn {wear:.2}; sharpen or replace it soon"));
        }
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::passes("every edge that takes wood still cuts")
    }
}
