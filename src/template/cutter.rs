//! Whether the bit on the machine goes into what it cuts.

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::job::Job;
use crate::job::contour::{Contour, Edge};
use crate::job::template::Features;
use crate::units::{Length, text};

/// What is this much narrower than the bit still counts as wide as the bit.
const AS_WIDE: Length = Length::from_mm(0.02);

/// # Errors
/// What is narrower than the bit, each once.
pub(super) fn fits(
    job: &Job,
    features: &Features,
    contours: &[Contour],
) -> Result<(), Diagnostics> {
    let cutter = job.bit.cutting_diameter();
    let mut narrow = Vec::new();
    let mut add = |what: String, width: Length, cure: &str| {
        if width >= cutter - AS_WIDE {
            return;
        }
        let show = |length| text::short(length, job.units);
        let message = format!(
            "{what} is {} wide, the cutter {}",
            show(width),
            show(cutter)
        );
        let help = format!("take a thinner cutter{cure}");
        narrow.push(Diagnostic::new("cutter-too-wide", message).help(help));
    };
    let groove = features.grooves.iter();
    let groove = groove.map(|groove| groove.max.y() - groove.min.y());
    if let Some(width) = groove.reduce(Length::min) {
        add(
            "the groove for the batten".to_owned(),
            width,
            " or a wider batten",
        );
    }
    for opening in &features.openings {
        let step = opening.step;
        add(
            format!("the opening of step {step}"),
            opening.width.min(opening.length),
            "",
        );
        add(
            format!("a corner of the opening of step {step}"),
            opening.corner * 2.0,
            " or a wider collar",
        );
    }
    for insert in &features.inserts {
        let step = insert.step;
        // A ring is hollow to its opening, an end piece where an arc goes into it.
        let radii: Vec<Length> = match insert.pieces.as_slice() {
            [ring] => vec![ring.end_radius],
            pieces => {
                let own = contours.iter().filter(|contour| {
                    let mut pieces = pieces.iter();
                    pieces.any(|piece| piece.contour == contour.number)
                });
                let edges = own.flat_map(|contour| &contour.outline);
                let hollows = edges.filter(|edge| matches!(edge, Edge::Arc { bulges: false, .. }));
                hollows.filter_map(Edge::radius).collect()
            }
        };
        if let Some(radius) = radii.into_iter().reduce(Length::min) {
            add(
                format!("the hollow of the insert of step {step}"),
                radius * 2.0,
                " or a wider collar",
            );
        }
    }
    if narrow.is_empty() {
        Ok(())
    } else {
        Err(narrow.into())
    }
}
