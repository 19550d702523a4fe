//! A countable mark: once to and fro, a little way down.

use crate::job::{Part, Tick};

use super::cutter::Cutter;
use super::heights::Heights;
use super::layout::Placement;
use super::trace::ToolPath;
use super::{Piece, bore, slot};

pub(super) fn piece(part: &Part, tick: &Tick, placement: &Placement, cutter: &Cutter) -> Piece {
    let mut trace = ToolPath::new(placement, cutter.radius);
    let (from, to) = (placement.point(tick.from), placement.point(tick.to));
    let heights = Heights {
        top: placement.top,
        floor: placement.top - tick.depth.as_mm(),
    };
    trace.note(format!("{} mark", part.name));
    if from.distance(to).as_mm() < 1e-3 {
        bore::cut(&mut trace, from, heights, cutter);
    } else {
        slot::cut(&mut trace, from, to, heights, None, cutter);
    }
    trace.piece(part, placement)
}
