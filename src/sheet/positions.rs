//! A section for each position: what lies where, what to touch, what hangs out,
//! what to measure before the next, and what an error does.

use serde::Serialize;

use crate::geometry::Point;
use crate::job::position::{Located, Position};
use crate::job::{Along, Job, PartName};
use crate::units::{Length, Units};

use super::frame::{in_position, lie};
use super::measure::one;
use super::touch_off::{self, Touch};
use super::{caliper, order, position_picture};

/// One of them.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Card {
    number: usize,
    /// `Position 2: hinge 2`.
    title: String,
    /// None for the first, which the page begins with.
    drawing: Option<String>,
    way_round: String,
    touches: Vec<Touch>,
    /// What stands where, and what hangs out.
    lines: Vec<String>,
    calipers: Vec<caliper::Reading>,
    command: String,
    /// What makes the program of the first shallow step alone here.
    first_step: Option<String>,
    /// What an error does.
    error: String,
}

/// The sections, none where the parts lie once.
pub(super) fn cards(job: &Job, units: Units) -> Vec<Card> {
    let positions = job.positions().into_iter().flatten();
    let card = |(index, position)| card(job, position, index == 0, units);
    positions.enumerate().map(card).collect()
}

fn card(job: &Job, position: &Position, is_first: bool, units: Units) -> Card {
    let view = in_position(job, position);
    let number = position.number;
    let drawing = position_picture::draw(&view, position, units);
    let hinges: Vec<String> = position.hinges.iter().map(usize::to_string).collect();
    let word = if hinges.len() == 1 { "hinge" } else { "hinges" };
    Card {
        number,
        title: format!("Position {number}: {word} {}", hinges.join(", ")),
        drawing: (!is_first).then(|| drawing.inline()),
        way_round: order::way_round(&view),
        touches: touch_off::along(&view, units),
        lines: [stands(&view, position, units), hangs(&view, units)].concat(),
        calipers: caliper::readings(&view, units),
        command: format!("stepwell fit JOB.toml --cut PROGRAM.nc --position {number}"),
        first_step: caliper::command(&view),
        error: error(&view, position),
    }
}

/// What locates the parts, and how they are measured for it.
fn stands(view: &Job, position: &Position, units: Units) -> Vec<String> {
    let fixture = &view.fixture;
    let [letter, _] = fixture.letters();
    match position.located {
        Located::Stop => {
            vec!["No bar, no block and no far stop lie here: the program travels lower.".to_owned()]
        }
        Located::Mark(mark) => vec![
            format!(
                "The stop bar spans both parts at {letter}0, clear above them and held beyond them. \
                 Clamp a block on top of each part, square to its outside face, the face towards \
                 the stop end {} from that part's own stop end, and push it against the bar.",
                one(mark, units)
            ),
            format!(
                "Bar and blocks with their clamps no higher than {} above Z0, blocks no longer than \
                 {}: the program travels above them. Take the near stop off the bed.",
                one(fixture.block_height, units),
                one(fixture.block_length, units)
            ),
        ],
        Located::FarStop(face) => {
            let lengths = view.parts.iter().map(|part| {
                let length = one(part.length, units);
                format!("the {} {length}", part.name)
            });
            let lengths: Vec<String> = lengths.collect();
            vec![format!(
                "The far stop's face stands {} from {letter}0, no higher than the mating faces, and \
                 the far ends lie at it. Both lengths count: {}; measure them. Take the near stop \
                 off the bed, and bar and blocks of a mark: the program travels lower.",
                one(face, units),
                lengths.join(", ")
            )]
        }
    }
}

/// From where to where each part lies along the hinged edges.
fn hangs(view: &Job, units: Units) -> Vec<String> {
    let [letter, _] = view.fixture.letters();
    let extents = view.parts.iter().map(|part| {
        let end = |u: f64| lie(view, part.name, Point::from_mm(u, 0.0)).x;
        let (one_end, other) = (end(0.0), end(part.length.as_mm()));
        let show = |at: f64| one(Length::from_mm(at), units);
        format!(
            "the {} from {letter} {} to {}",
            part.name,
            show(one_end.min(other)),
            show(one_end.max(other))
        )
    });
    let extents: Vec<String> = extents.collect();
    let mut lines = vec![format!(
        "Along it lie {}. What lies past the bed wants support: a stand under each end that hangs \
         out, as high as what carries the part on the bed, so that nothing tips, lifts or sags.",
        extents.join(", ")
    )];
    let axis = match view.fixture.along {
        Along::X => 0,
        Along::Y => 1,
    };
    let travel = view.machine.travel[axis];
    let longest = view.parts.iter().map(|part| part.length);
    let past = longest.fold(Length::ZERO, Length::max) - travel;
    if past > Length::ZERO {
        lines.push(format!(
            "The travel is {}: at least {} of the longer part is never over it.",
            one(travel, units),
            one(past, units)
        ));
    }
    let bases = [
        (PartName::Box, view.fixture.box_base),
        (PartName::Lid, view.fixture.lid_base),
    ];
    for (name, base) in bases {
        if let Some(base) = base.filter(|base| *base < Length::ZERO) {
            lines.push(format!(
                "The {name} hangs {} below the bed along all that length: nothing that closes the \
                 bed's ends may stand in its way, and it wants carrying from below.",
                one(-base, units)
            ));
        }
    }
    lines
}

/// What an error of what locates the parts does to the closed lid.
fn error(view: &Job, position: &Position) -> String {
    let own = [PartName::Box, PartName::Lid].map(|name| view.closing.faces(name).stop);
    let ends = if own[0] == own[1] {
        format!("the {}s", own[0])
    } else {
        "the stop ends".to_owned()
    };
    match position.located {
        Located::Stop => format!(
            "A stop that is off moves both halves of a hinge alike: the joint closes as it should, \
             and all hinges sit a little nearer to or farther from {ends}."
        ),
        Located::Mark(_) => format!(
            "A bar that is off moves both halves alike and does no harm to the joint. A block that \
             is off moves its own half alone: {ends} no longer meet by as much, and with the hinges \
             of other positions the lid binds."
        ),
        Located::FarStop(_) => format!(
            "A far stop that is off moves both halves alike and does no harm to the joint. A length \
             that is wrong moves its own half by as much: {ends} no longer meet, and with the \
             hinges of other positions the lid binds."
        ),
    }
}
