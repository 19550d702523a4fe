//! `travel-height`: every way between the pockets is high enough.

use crate::replay::segment::Segment;
use crate::report::CheckId;
use crate::rs274::event::{Event, Move, Path};
use crate::units::ruler::Ruler;
use crate::verify::checks::check::{Check, Heard, Now, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::rounding::ROUNDED_HEIGHT;
use crate::verify::scene::bounds;

#[derive(Debug, Default)]
pub(crate) struct TravelHeight {
    moves: u64,
}

impl Check for TravelHeight {
    const ID: CheckId = CheckId::TravelHeight;

    fn event(&mut self, heard: &Heard<'_>, now: Now<'_>, found: &mut Found<'_>) {
        self.moves += u64::from(heard.motion().is_some());
        let Some(height) = now.travel_height() else {
            return;
        };
        match heard.event {
            Event::Move(motion) if now.run.moved => {
                check_travel(motion, heard.segment, height, now, found);
            }
            Event::Move(motion) => check_first_move(motion, height, now.ruler, found),
            Event::WorkOffset(number) => check_offset_change(*number, height, now, found),
            _ => {}
        }
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::Passes(format!(
            "{} moves, every travel between pockets is at the safe height",
            self.moves
        ))
    }
}

fn check_offset_change(number: u8, height: f64, now: Now<'_>, found: &mut Found<'_>) {
    let low = now.run.position[2].filter(|z| *z < height - ROUNDED_HEIGHT);
    if now.run.offset != number
        && now.run.moved
        && !now.run.at_machine_height
        && let Some(z) = low
    {
        let ruler = now.ruler;
        found.fail(|| {
            format!(
                "the work offset changes at {}; go up to {} first",
                ruler.z(z),
                ruler.one(height, 3)
            )
        });
    }
}

fn check_first_move(motion: &Move, height: f64, ruler: Ruler, found: &mut Found<'_>) {
    if motion.named[0] || motion.named[1] || !motion.named[2] {
        found.fail(|| {
            format!(
                "X or Y moves before Z; first lift the bit to {}",
                ruler.one(height, 3)
            )
        });
        return;
    }
    // A machine height that the job does not know is above everything.
    if let Some(z) = motion.to[2].filter(|z| *z < height - ROUNDED_HEIGHT) {
        found.fail(|| {
            format!(
                "the first move goes to {}; it must go up to {}",
                ruler.z(z),
                ruler.one(height, 3)
            )
        });
    }
}

/// Sideways travel, and going down before X and Y are known.
fn check_travel(
    motion: &Move,
    segment: Option<&Segment>,
    height: f64,
    now: Now<'_>,
    found: &mut Found<'_>,
) {
    let ruler = now.ruler;
    let moves = |axis: usize| match (motion.from[axis], motion.to[axis]) {
        (Some(from), Some(to)) => from != to,
        _ => motion.named[axis],
    };
    let is_arc = matches!(motion.path, Path::Arc { .. });
    let sideways = moves(0) || moves(1) || is_arc;
    let lowest = match (motion.from[2], motion.to[2]) {
        (Some(from), Some(to)) => Some(from.min(to)),
        (None, Some(to)) => Some(to),
        (Some(from), None) => Some(from),
        (None, None) => None,
    };
    let Some(lowest) = lowest else {
        if sideways && !now.run.at_machine_height {
            found.fail(|| {
                format!(
                    "sideways at an unknown height; first lift the bit to {}",
                    ruler.one(height, 3)
                )
            });
        }
        return;
    };
    if lowest >= height - ROUNDED_HEIGHT {
        return;
    }
    // Where the bit should not be it is told when it gets there, not when it leaves.
    let rises = matches!((motion.from[2], motion.to[2]), (Some(a), Some(b)) if a < b);
    if rises && !sideways {
        return;
    }
    let plan = |point: [Option<f64>; 3]| Some([point[0]?, point[1]?]);
    let (Some(from), Some(to)) = (plan(motion.from), plan(motion.to)) else {
        found.fail(|| {
            format!(
                "down to {} before X and Y are known; go to X and Y first",
                ruler.z(lowest)
            )
        });
        return;
    };
    let (start, end) = (
        motion.from[2].unwrap_or(lowest),
        motion.to[2].unwrap_or(lowest),
    );
    let way = segment
        .copied()
        .unwrap_or_else(|| Segment::line([from[0], from[1], start], [to[0], to[1], end]));
    let low = way
        .between_heights(f64::NEG_INFINITY, height - ROUNDED_HEIGHT)
        .map(|(first, last)| way.part(first, last));
    if low.is_some_and(|low| !is_over_asked_for(&low, now)) {
        found.fail(|| {
            let what = if sideways { "sideways" } else { "down" };
            format!(
                "{what} at {} beside the pockets that are asked for; stay at {} or higher there",
                ruler.z(lowest),
                ruler.one(height, 3)
            )
        });
    }
}

/// Whether the bit's whole disc stays over one pocket, hole or tick that this run cuts.
fn is_over_asked_for(low: &Segment, now: Now<'_>) -> bool {
    let Some(shop) = now.shop else {
        return true;
    };
    let radius = now.run.radius();
    let middle = low.at(0.5);
    shop.scene.boards.iter().any(|board| {
        shop.scene
            .sites_across(board, middle[board.frame.row()], middle[board.frame.row()])
            .any(|index| bounds::is_over(low, radius, &shop.scene.sites[index]))
    })
}
