//! Plugs: wood that fills a pocket which came out loose or too deep, glued in
//! so that the pocket can be cut again.
//!
//! A stepped pocket is filled from its deepest floor up, each plug as large as the
//! pocket is there.

mod words;

#[cfg(test)]
mod tests;

pub use words::words;

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::geometry::{Point, RoundedRectangle};
use crate::job::contour::{self, Contour};
use crate::job::{Fixture, Job, Part, PartName, Pocket, Selection, Step};
use crate::shop::bit::Bit;
use crate::test_piece::{Scrap, room};
use crate::units::{Length, text};

/// What a plug's stem ends in.
pub const SUFFIX: &str = "-plug";

/// A plug is so much longer and wider than the pocket as cut: it goes in under
/// the mallet, and glue swells it (common practice, no source).
const LARGER: Length = Length::from_mm(0.05);

/// It stands so far above what it is made flush with.
const PROUD: Length = Length::from_mm(1.0);

/// What holds it in the scrap.
const SKIN: Length = Length::from_mm(0.5);

/// A scrap may be so much thicker than its highest plug and the skin.
const TOO_THICK: Length = Length::from_mm(2.0);

/// Wood between two kerfs, and between a kerf and the scrap's edge.
const WALL: Length = Length::from_mm(4.0);

/// A step this much smaller leaves no floor around it.
const SAME: Length = Length::from_mm(0.02);

const WORDS: room::Words = room::Words {
    what: "plug",
    larger: "take a larger scrap of the part's wood",
    smaller: "cut the plug by hand",
};

/// A plug, by the floor that it stands on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Filling {
    /// Which piece, from 1, in the order they are glued in.
    pub number: usize,
    /// Which step's floor it stands on, from 1.
    pub step: usize,
    /// Along the pocket.
    pub length: Length,
    /// Across the pocket.
    pub width: Length,
    /// Corner radius.
    pub corner: Length,
    /// From the floor that it stands on to the floor above, or to the face.
    pub height: Length,
}

/// What fills `pocket`, the deepest first.
pub fn fillings(pocket: &Pocket) -> Vec<Filling> {
    let steps = &pocket.steps;
    let has_floor = |index: usize, step: &Step| {
        steps
            .get(index + 1)
            .is_none_or(|next| step.length - next.length > SAME || step.width - next.width > SAME)
    };
    let mut above = Length::ZERO;
    let mut all = Vec::new();
    for (index, step) in steps.iter().enumerate() {
        let height = step.depth - above;
        if has_floor(index, step) && height > SAME {
            above = step.depth;
            all.push(Filling {
                number: 0,
                step: index + 1,
                length: step.length + LARGER,
                width: step.width + LARGER,
                corner: step.corner + LARGER / 2.0,
                height,
            });
        }
    }
    all.reverse();
    for (index, filling) in all.iter_mut().enumerate() {
        filling.number = index + 1;
    }
    all
}

/// The plugs as a job of their own: a scrap of the part's wood, its corner at zero,
/// with a kerf round each. `pocket` is the part's pocket as it was cut; bit and
/// machine are those of `job`.
///
/// # Errors
/// A scrap or a travel that is too small, with the size that is needed; a part
/// that the job does not have.
pub fn job(job: &Job, part: PartName, pocket: &Pocket, scrap: Scrap) -> Result<Job, Diagnostics> {
    let fillings = fillings(pocket);
    let Some(owner) = job.part(part).filter(|_| !fillings.is_empty()) else {
        let message = format!("the {part} has no pocket {} to fill", pocket.hinge);
        return Err(Diagnostic::new("nothing-to-cut", message).into());
    };
    let needed = needed(&fillings, &job.bit);
    room::check(job, scrap, needed, &WORDS)?;
    let most = needed.thickness + TOO_THICK;
    if scrap.thickness > most {
        let show = |length| text::short(length, job.units);
        let message = format!(
            "the scrap is {} thick, a plug of it would stand {} too high, and so small a piece is not sawn",
            show(scrap.thickness),
            show(scrap.thickness - needed.thickness)
        );
        let help = format!(
            "plane or resaw the scrap to between {} and {} before it goes on the machine",
            show(needed.thickness),
            show(most)
        );
        return Err(Diagnostic::new("scrap-too-thick", message)
            .help(help)
            .into());
    }
    let part = Part {
        name: PartName::Scrap,
        length: scrap.length,
        across: scrap.width,
        below: scrap.thickness,
        wood: owner.wood.clone(),
        pockets: Vec::new(),
        ticks: Vec::new(),
        contours: contours(&fillings, &job.bit, scrap.thickness - SKIN),
        board_below: None,
        correction_u: Length::ZERO,
        correction_v: Length::ZERO,
        depth_for_drawing: None,
    };
    let (name, hinge) = (owner.name, pocket.hinge);
    Ok(Job {
        title: format!("{}, plug for {name} pocket {hinge}", job.title),
        stem: format!("{}-{name}-h{hinge}{SUFFIX}", job.stem),
        pilot: None,
        parts: vec![part],
        fixture: Fixture::of_one_alone(job),
        selection: Selection::default(),
        ..job.clone()
    })
}

/// From the scrap's edge to a plug.
fn margin(bit: &Bit) -> Length {
    bit.cutting_diameter() + WALL
}

/// From one plug to the next: two kerfs and what stays between them.
fn between(bit: &Bit) -> Length {
    bit.cutting_diameter() * 2.0 + WALL
}

fn needed(fillings: &[Filling], bit: &Bit) -> Scrap {
    let most = |of: fn(&Filling) -> Length| fillings.iter().map(of).fold(Length::ZERO, Length::max);
    let widths = fillings.iter().map(|filling| filling.width);
    let widths = widths.fold(Length::ZERO, |sum, width| sum + width);
    let gaps = between(bit) * (fillings.len().saturating_sub(1)) as f64;
    Scrap {
        length: most(|filling| filling.length) + margin(bit) * 2.0,
        width: widths + gaps + margin(bit) * 2.0,
        thickness: most(|filling| filling.height) + PROUD + SKIN,
    }
}

/// One above the other, all from the same distance to the left end.
fn contours(fillings: &[Filling], bit: &Bit, depth: Length) -> Vec<Contour> {
    let mut edge = margin(bit);
    let mut all = Vec::new();
    for filling in fillings {
        let center = Point::new(
            margin(bit) + filling.length / 2.0,
            edge + filling.width / 2.0,
        );
        let outline = RoundedRectangle::new(center, filling.length, filling.width, filling.corner);
        all.push(Contour {
            number: filling.number,
            outline: contour::of_rectangle(&outline),
            depth,
        });
        edge += filling.width + between(bit);
    }
    all
}
