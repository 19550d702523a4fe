//! `preamble`: every mode is stated before it matters, and the zero and the
//! length in force are those of what is cut.

use crate::job::PartName;
use crate::report::CheckId;
use crate::rs274::event::{Event, Move};
use crate::shop::machine::ToolChange;
use crate::verify::checks::check::{Check, Heard, Now, Taking, Whole};
use crate::verify::findings::{Answer, Found};

#[derive(Debug, Default)]
pub(crate) struct Preamble;

impl Check for Preamble {
    const ID: CheckId = CheckId::Preamble;
    const WITHOUT_JOB: bool = true;

    fn event(&mut self, heard: &Heard<'_>, now: Now<'_>, found: &mut Found<'_>) {
        match heard.event {
            Event::Move(motion) => check_move(motion, now, found),
            Event::WorkOffset(number) => check_work_offset(*number, now, found),
            Event::LengthOffset(Some(number)) => check_length_offset(*number, now, found),
            _ => {}
        }
    }

    fn bite(&mut self, taking: &Taking<'_>, now: Now<'_>, found: &mut Found<'_>) {
        if now.run.length_pending {
            found
                .fail(|| "a cut after M6 without G43; take the new tool's length first".to_owned());
        }
        let by_word = now.machine.dialect.effective_tool_change() == ToolChange::M6;
        if by_word && !now.run.changed_tool {
            found.fail(|| {
                "a cut before M6; this machine changes its bits by T and M6, with G43 H after it"
                    .to_owned()
            });
        }
        check_own_offset(taking.board, now, found);
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::passes(
            "units, plane, distance, feed mode, work offset and what is off stated first",
        )
    }
}

fn check_move(motion: &Move, now: Now<'_>, found: &mut Found<'_>) {
    let stated = now.run.stated;
    let mut require = |is_stated: bool, name: &str| {
        if !is_stated {
            found.fail(|| {
                format!("{name} not stated before the first motion; state it in the head")
            });
        }
    };
    if !now.run.moved {
        require(stated.units, "units (G20 or G21)");
        require(stated.plane, "the plane (G17)");
        require(stated.distance, "the distance mode (G90)");
        require(stated.feed_mode, "the feed mode (G94)");
        require(stated.compensation, "cutter compensation off (G40)");
        let length = "the length offset, off by G49 or taken by G43,";
        require(stated.length, length);
    }
    // A move by G53 does not depend on the work offset.
    if !now.run.moved_in_work && !motion.machine_frame {
        require(stated.offset, "the work offset (G54)");
    }
    // Where the machine's zero is unknown nobody can tell where G53 leads.
    let unknown = (0..3).any(|axis| motion.named[axis] && motion.to[axis].is_none());
    if motion.machine_frame && unknown && now.shop.is_some() {
        found.fail(|| {
            "G53 counts from the machine's zero, and the job does not say where that is; \
             give `fixture.machine_zero`, or take G53 out"
                .to_owned()
        });
    }
}

fn check_work_offset(number: u8, now: Now<'_>, found: &mut Found<'_>) {
    let Some(shop) = now.shop else {
        return;
    };
    let offsets = shop.scene.offsets;
    if !offsets.contains(&number) {
        let wanted = match offsets {
            [54] => "`fixture.zero` is \"shared\", so G54 is the only zero",
            _ => "`fixture.zero` is \"each\": G54 at the box and G55 at the lid",
        };
        found.fail(|| format!("G{number}: {wanted}"));
    }
}

fn check_length_offset(number: u32, now: Now<'_>, found: &mut Found<'_>) {
    let loaded = now.run.loaded_tool;
    if !now.run.changed_tool {
        found.fail(|| format!("G43 H{number} without a change of bit; M6 comes first"));
    } else if let Some(loaded) = loaded.filter(|loaded| *loaded != number) {
        found.fail(|| {
            format!(
                "G43 H{number} takes the length of another tool than T{loaded}, which is in \
                 the spindle; use its own"
            )
        });
    }
}

/// Where each part has a zero of its own, its wood is cut by that zero
/// alone: the two may fall on one place, and a damaged G54 would go unseen.
fn check_own_offset(board: usize, now: Now<'_>, found: &mut Found<'_>) {
    let Some(shop) = now.shop.filter(|shop| shop.scene.offsets.len() > 1) else {
        return;
    };
    let name = shop.scene.boards[board].name;
    let own = match name {
        PartName::Lid => 55,
        _ => 54,
    };
    let offset = now.run.offset;
    if offset != own {
        found.fail(|| format!("the {name} is cut by G{offset}, its own zero is G{own}"));
    }
}
