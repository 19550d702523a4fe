//! How a plug is glued in.

use super::{Filling, LARGER, PROUD};
use crate::job::{Job, PartName};
use crate::shop::wood::Grain;
use crate::units::{Length, text};

/// What to know and to do, in order. `again` is the command that cuts the pocket again.
pub fn words(
    job: &Job,
    (part, hinge): (PartName, usize),
    fillings: &[Filling],
    again: &str,
) -> Vec<String> {
    let show = |length: Length| text::decimal_with_unit(length, job.units);
    let mut said = vec![format!(
        "the plug is {} longer and wider than {part} pocket {hinge} as its program cut it",
        show(LARGER)
    )];
    for filling in fillings {
        said.push(format!(
            "piece {} stands on the floor of step {}: {} × {}, {} high when it goes in, of which \
             {} stand proud",
            filling.number,
            filling.step,
            show(filling.length),
            show(filling.width),
            show(filling.height + PROUD),
            show(PROUD)
        ));
    }
    let grain = job
        .part(part)
        .map_or(Grain::default(), |part| part.wood.grain);
    let (runs, axis) = match grain {
        Grain::Along => ("along", 'X'),
        Grain::Across => ("across", 'Y'),
    };
    said.push(format!(
        "grain: that of the {part} runs {runs} the hinged edge, so lay the scrap with its own along \
         {axis}, and mark on every piece which way it lay"
    ));
    said.push(
        "free the pieces: the skin under the kerf yields to a knife; sand the lower side down to the \
         height given on a board with abrasive, and never hold so small a piece to a saw"
            .to_owned(),
    );
    said.push(format!(
        "glue in: out with what is loose, glue on walls and floor, the grain as the {part}'s, a flat \
         caul with paper under it, clamped overnight"
    ));
    said.push(match fillings {
        [] | [_] => format!("then plane it flush with the {part}'s face"),
        [first, ..] => format!(
            "one after the other: pare piece {} flush with the floor above it before the next goes \
             in; plane the last flush with the {part}'s face",
            first.number
        ),
    });
    said.push(
        "before the pocket is cut again, mend what made it wrong: `stepwell fit` with the readings that \
         were off (--gap, --slot, or a test piece), else it comes out the same"
            .to_owned(),
    );
    said.push(format!("then cut the pocket again: {again}"));
    said
}
