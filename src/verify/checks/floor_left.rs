//! `floor-left`: wood left under pockets, holes and screws.

use crate::report::CheckId;
use crate::verify::checks::check::{Check, Whole};
use crate::verify::findings::{Answer, Found};

#[derive(Debug, Default)]
pub(crate) struct FloorLeft;

impl Check for FloorLeft {
    const ID: CheckId = CheckId::FloorLeft;

    fn answer(&mut self, whole: &Whole<'_>, found: &mut Found<'_>) -> Answer {
        match whole.tell_wood(Self::ID, found) {
            Some([least, wanted]) => Answer::Passes(format!(
                "at least {least} of wood under every pocket, wanted {wanted}"
            )),
            None => Answer::passes("nothing is cut that wants wood left under it"),
        }
    }
}
