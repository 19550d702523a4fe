//! One pocket: its steps from the shallowest down.

use crate::job::{Job, Part, Pocket};

use super::cutter::Cutter;
use super::heights::Heights;
use super::layout::Placement;
use super::operation::Piece;
use super::step;
use super::trace::ToolPath;

pub(super) fn piece(
    job: &Job,
    part: &Part,
    pocket: &Pocket,
    placement: &Placement,
    cutter: &Cutter,
) -> Piece {
    let mut trace = ToolPath::new(placement, cutter.radius);
    let mut top = placement.top;
    let name = format!("{} {} {}", part.name, pocket.kind, pocket.hinge);
    trace.note(name.clone());
    for (index, step) in pocket.steps.iter().enumerate() {
        let number = index + 1;
        let floor = placement.top - step.depth.as_mm();
        let outline = placement.outline(pocket, step);
        let wanted = job.selection.step.is_none_or(|step| step == number);
        if wanted && top - floor > 1e-6 {
            trace.note(format!("{name} step {number}"));
            let rim = if index == 0 { cutter.score } else { None };
            step::cut(&mut trace, &outline, Heights { top, floor }, rim, cutter);
        }
        trace.clear(outline, floor);
        top = top.min(floor);
    }
    trace.piece(part, placement)
}
