//! `fixture.positions`: each hinge in one of them, and the mark before its hinges.

use std::collections::BTreeMap;

use crate::diagnostic::Diagnostic;
use crate::input::fixture::PositionSpec;
use crate::input::job::Written;
use crate::input::limits::SLACK_MM;
use crate::input::source::Sink;
use crate::job::position::{BLOCK_HEIGHT, BLOCK_LENGTH, Located, Position};
use crate::job::{Layout, Part, PartName};
use crate::units::{Length, text};

/// The positions as written; what is wrong with them is reported.
pub(super) fn resolve(spec: &Written, sink: &Sink<'_>, hinges: usize) -> Vec<Position> {
    let Some(written) = &spec.parts.fixture.positions else {
        return Vec::new();
    };
    if spec.parts.fixture.layout != Layout::Book {
        let message = "`fixture.positions` needs `layout = \"book\"`, found \"end-to-end\"";
        let help = "end to end both parts lie one behind the other and no longer part is shifted: lay them as a book";
        let diagnostic = Diagnostic::new("positions-not-in-a-book", message);
        sink.report(&written.span, diagnostic.help(help));
    }
    let mut seen = BTreeMap::new();
    for (index, position) in written.value.iter().enumerate() {
        for hinge in &position.hinges {
            let number = hinge.value as usize;
            if number > hinges {
                let message = format!(
                    "`fixture.positions[{}].hinges` names hinge {number}, allowed is from 1 to {hinges}",
                    index + 1
                );
                let help = "hinges count from the stop end; `placement` says how many there are";
                sink.report(
                    &hinge.span,
                    Diagnostic::new("unknown-hinge", message).help(help),
                );
            } else if let Some(first) = seen.insert(number, index + 1) {
                let message = if first == index + 1 {
                    format!("hinge {number} is named twice in position {first}")
                } else {
                    format!(
                        "hinge {number} is in positions {first} and {}, allowed is one",
                        index + 1
                    )
                };
                let help = "take it out of one of the two: each hinge is cut once";
                sink.report(
                    &hinge.span,
                    Diagnostic::new("hinge-in-two-positions", message).help(help),
                );
            }
        }
    }
    let left: Vec<String> = (1..=hinges)
        .filter(|number| !seen.contains_key(number))
        .map(|number| number.to_string())
        .collect();
    if !left.is_empty() {
        let message = format!(
            "no position cuts hinge {}, allowed is each hinge in one of `fixture.positions`",
            left.join(", ")
        );
        let help = "add it to the `hinges` of a position, or give it a position of its own";
        sink.report(
            &written.span,
            Diagnostic::new("hinge-without-position", message).help(help),
        );
    }
    let numbered = written.value.iter().zip(1..);
    let resolved = |(position, number): (&PositionSpec, usize)| {
        let named = position.hinges.iter();
        let mut hinges: Vec<usize> = named.map(|hinge| hinge.value as usize).collect();
        hinges.sort_unstable();
        Position {
            number,
            hinges,
            located: located(position),
            box_u: position.box_u,
            lid_u: position.lid_u,
        }
    };
    numbered.map(resolved).collect()
}

fn located(position: &PositionSpec) -> Located {
    match (&position.mark, &position.far_stop) {
        (Some(mark), _) => Located::Mark(mark.value),
        (None, Some(face)) => Located::FarStop(face.value),
        (None, None) => Located::Stop,
    }
}

/// A mark lies before every pocket that is cut at it, in both parts.
pub(super) fn marks_before_their_hinges(
    spec: &Written,
    sink: &Sink<'_>,
    positions: &[Position],
    parts: &[Part],
) {
    let written = spec.parts.fixture.positions.iter();
    let written = written.flat_map(|positions| &positions.value);
    for (written, position) in written.zip(positions) {
        let Some(mark) = &written.mark else {
            continue;
        };
        let pockets = parts.iter().flat_map(|part| {
            let pockets = part.pockets.iter();
            let own = pockets.filter(|pocket| position.holds(pocket.hinge));
            own.map(move |pocket| (part.name, pocket.hinge, pocket.extent_u().0))
        });
        let first = pockets.min_by(|one, other| one.2.as_mm().total_cmp(&other.2.as_mm()));
        let Some((part, hinge, start)) = first else {
            continue;
        };
        if mark.value.as_mm() <= start.as_mm() + SLACK_MM {
            continue;
        }
        let show = |length| text::short(length, spec.units);
        let message = format!(
            "`mark` is {}, past hinge {hinge}: its pocket in the {part} begins {} from the stop end",
            show(mark.value),
            show(start)
        );
        let help = format!(
            "the block lies on the part between mark and pocket: set the mark at most {} from the stop end, less the bit's and the nut's room",
            show(start - block_length(spec))
        );
        sink.report(
            &mark.span,
            Diagnostic::new("mark-past-hinge", message).help(help),
        );
    }
}

/// How far the blocks reach from the stop bar.
pub(super) fn block_length(spec: &Written) -> Length {
    spec.parts.fixture.block_length.unwrap_or(BLOCK_LENGTH)
}

/// Top of blocks and stop bar above Z0; they stand above both mating faces.
pub(super) fn block_height(spec: &Written, sink: &Sink<'_>, lid_rise: Length) -> Length {
    let highest = lid_rise.max(Length::ZERO);
    let Some(stated) = &spec.parts.fixture.block_height else {
        return highest + BLOCK_HEIGHT;
    };
    if stated.value <= highest {
        let show = |length| text::short(length, spec.units);
        let message = format!(
            "`fixture.block_height` is {}, allowed is more than the {}'s mating face, {}",
            show(stated.value),
            if lid_rise > Length::ZERO {
                PartName::Lid
            } else {
                PartName::Box
            },
            show(highest)
        );
        let help = "it is the top of the blocks and of the stop bar above Z0";
        sink.report(
            &stated.span,
            Diagnostic::new("out-of-range", message).help(help),
        );
    }
    stated.value
}
