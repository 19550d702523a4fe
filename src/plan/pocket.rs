//! One pocket: its steps from the shallowest down.

use crate::cutting::Settings;
use crate::job::{Job, Part, Pocket, Step};

use super::clock;
use super::cutter::{Cutter, Ends};
use super::heights::Heights;
use super::layout::Placement;
use super::operation::Piece;
use super::step;
use super::trace::ToolPath;

/// Ways that differ by fewer seconds take as long as each other.
const ALIKE: f64 = 1e-3;

/// The pockets of one part. Those of one shape are cut alike, wherever they lie.
#[derive(Default)]
pub(super) struct Pockets<'j> {
    /// The quickest way for each shape so far.
    ends: Vec<(&'j [Step], Ends)>,
}

impl<'j> Pockets<'j> {
    /// Cuts one, of the ways to do it by the one that takes the machine the shortest time.
    pub(super) fn piece(
        &mut self,
        job: &Job,
        of: (&Part, &'j Pocket),
        placement: &Placement,
        cutter: &Cutter,
        settings: &Settings,
    ) -> Piece {
        let way = |ends: Ends| {
            let inward = placement.inward();
            let cutter = Cutter {
                inward,
                ends,
                ..*cutter
            };
            cut(job, of, placement, &cutter)
        };
        let shape = of.1.steps.as_slice();
        if let Some((_, ends)) = self.ends.iter().find(|(known, _)| *known == shape) {
            return way(*ends);
        }
        let ways = Ends::ALL.map(|ends| {
            let piece = way(ends);
            let seconds = clock::seconds(&piece.motions, settings, &job.machine);
            (seconds, ends, piece)
        });
        let [first, others @ ..] = ways;
        let (_, ends, piece) = others.into_iter().fold(first, |best, other| {
            if other.0 < best.0 - ALIKE {
                other
            } else {
                best
            }
        });
        self.ends.push((shape, ends));
        piece
    }
}

fn cut(
    job: &Job,
    (part, pocket): (&Part, &Pocket),
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
