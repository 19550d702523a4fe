//! Figures of a template: what is where on its plate.

use serde::Serialize;

use crate::geometry::Point;
use crate::job::PartName;
use crate::job::template::{Features, Template};
use crate::units::Length;

/// The plate as it lies on the machine: underside up, Z0 on it, zero at its near
/// left corner.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TemplateReport {
    /// The plate without the strip beside it.
    pub plate: PlateReport,
    /// What the collar runs in.
    pub openings: Vec<OpeningReport>,
    /// What is laid into the first opening for deeper steps.
    pub inserts: Vec<InsertReport>,
    /// Where battens are let in.
    pub grooves: Vec<GrooveReport>,
    /// What must stand beside a part, flush with its face, to carry the router's base.
    pub blocks: Vec<SupportBlock>,
}

/// A support block beside a part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SupportBlock {
    /// The part that it stands beside.
    pub part: PartName,
    /// On which side of it, in words: `on the inner side`.
    pub place: &'static str,
    /// Away from the part, at least.
    pub width: Length,
    /// Along it, at least.
    pub length: Length,
}

/// The plate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlateReport {
    /// Its near left corner.
    pub min: [Length; 2],
    /// Its far right corner.
    pub max: [Length; 2],
    /// As measured.
    pub thickness: Length,
}

/// An opening.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OpeningReport {
    /// The step that it is for, from 1.
    pub step: usize,
    /// Its middle.
    pub center: [Length; 2],
    /// Along X.
    pub length: Length,
    /// Along Y.
    pub width: Length,
    /// Corner radius.
    pub corner: Length,
}

/// What makes the first opening smaller for a deeper step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct InsertReport {
    /// The step that it is for, from 2.
    pub step: usize,
    /// Two end pieces or one ring, where they are cut out of the strip.
    pub pieces: Vec<InsertPieceReport>,
}

/// A loose piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct InsertPieceReport {
    /// Least X and Y.
    pub min: [Length; 2],
    /// Greatest X and Y.
    pub max: [Length; 2],
    /// Radius of its hollow end, or of a ring's inner corners.
    pub end_radius: Length,
}

/// A length of groove.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GrooveReport {
    /// The part whose outside face its batten lies against: `box` or `lid`.
    pub part: &'static str,
    /// Least X and Y.
    pub min: [Length; 2],
    /// Greatest X and Y.
    pub max: [Length; 2],
    /// Below the underside.
    pub depth: Length,
}

impl TemplateReport {
    /// Of a plate with these features.
    pub fn new(template: &Template, features: &Features, blocks: Vec<SupportBlock>) -> Self {
        let at = |point: Point| [point.x(), point.y()];
        let openings = features.openings.iter().map(|opening| OpeningReport {
            step: opening.step,
            center: at(opening.center),
            length: opening.length,
            width: opening.width,
            corner: opening.corner,
        });
        let inserts = features.inserts.iter().map(|insert| InsertReport {
            step: insert.step,
            pieces: insert
                .pieces
                .iter()
                .map(|piece| InsertPieceReport {
                    min: at(piece.min),
                    max: at(piece.max),
                    end_radius: piece.end_radius,
                })
                .collect(),
        });
        let grooves = features.grooves.iter().map(|groove| GrooveReport {
            part: if groove.is_for_box { "box" } else { "lid" },
            min: at(groove.min),
            max: at(groove.max),
            depth: groove.depth,
        });
        Self {
            plate: PlateReport {
                min: [Length::ZERO; 2],
                max: [template.plate_length, template.plate_width],
                thickness: template.plate_thickness,
            },
            openings: openings.collect(),
            inserts: inserts.collect(),
            grooves: grooves.collect(),
            blocks,
        }
    }
}
