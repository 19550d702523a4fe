//! `clamp-clearance`: everything that turns keeps clear of the clamps.

use crate::job::position::{Located, Position};
use crate::report::CheckId;
use crate::rs274::event::Path;
use crate::verify::checks::check::{Check, End, Heard, Now, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::material::contact::Contacts;
use crate::verify::scene::SolidKind;

#[derive(Debug, Default)]
pub(crate) struct ClampClearance {
    contacts: Contacts,
}

impl Check for ClampClearance {
    const ID: CheckId = CheckId::ClampClearance;

    fn begin(&mut self) {
        *self = Self::default();
    }

    fn event(&mut self, heard: &Heard<'_>, now: Now<'_>, _found: &mut Found<'_>) {
        if let (Some(motion), Some(segment)) = (heard.motion(), heard.segment)
            && let (Some(shop), Some(tool)) = (now.shop, &now.run.tool)
        {
            let way = (segment, motion.path == Path::Rapid);
            let (line, kind) = (now.run.line, SolidKind::Clamp);
            self.contacts
                .meet(line, &shop.scene, kind, way, &tool.turned);
        }
    }

    fn end(&mut self, _end: End, now: Now<'_>, found: &mut Found<'_>) {
        self.contacts.tell(now.ruler, found);
    }

    fn answer(&mut self, whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        let fixture = whole.shop.map(|shop| &shop.job.fixture);
        // The stop bar and the block at a mark stand like clamps.
        let has_blocks = |position: &Position| matches!(position.located, Located::Mark(_));
        let has_clamps = fixture.is_some_and(|fixture| {
            !fixture.clamps.is_empty() || fixture.positions.iter().any(has_blocks)
        });
        if has_clamps {
            Answer::passes("everything keeps clear of the clamps")
        } else {
            Answer::DoesNotApply("the job names no clamps")
        }
    }
}
