//! `pocket-bounds`: no wood is taken beyond the wanted shape.

use crate::report::CheckId;
use crate::verify::checks::check::{Check, Now, Place, Struck, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::scene::bounds::Beyond;
use crate::verify::scene::gouge::GOUGE;

#[derive(Debug, Default)]
pub(crate) struct PocketBounds {
    /// Millimetres.
    deepest: f64,
}

impl Check for PocketBounds {
    const ID: CheckId = CheckId::PocketBounds;

    fn stroke(&mut self, struck: &Struck<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let (Some(Beyond { figure, what }), Some(shop)) = (struck.beyond, now.shop) else {
            return;
        };
        if figure > GOUGE {
            let name = shop.scene.boards[struck.stroke.board].name;
            found.fail(|| {
                format!(
                    "cuts {} into the {name} {what}, at most {}; correct the coordinates",
                    now.ruler.both(figure, 3),
                    now.ruler.limit(GOUGE)
                )
            });
        }
    }

    fn place(&mut self, place: &Place<'_>, _found: &mut Found<'_>) {
        let gouges = place.shop.gouges.iter().copied();
        self.deepest = gouges.fold(self.deepest, f64::max);
    }

    fn answer(&mut self, whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::Passes(format!(
            "at most {} cut beyond the wanted shape, allowed {}",
            whole.ruler.one(self.deepest, 3),
            whole.ruler.limit(GOUGE)
        ))
    }
}
