//! A part in the fixture: a block of wood.

use crate::geometry::norm;
use crate::job::{Fixture, Part, PartName};
use crate::shop::wood::Wood;
use crate::verify::scene::frame::PartFrame;

/// A part in the fixture: a block of wood.
#[derive(Clone, Debug)]
pub(crate) struct Board {
    pub(crate) name: PartName,
    pub(crate) min: [f64; 2],
    pub(crate) max: [f64; 2],
    /// Z of the mating face.
    pub(crate) top: f64,
    pub(crate) wood: Wood,
    pub(crate) frame: PartFrame,
    /// Its entries in `Scene::sites`.
    pub(crate) sites: std::ops::Range<usize>,
    /// The widest of them along the row.
    pub(crate) widest: f64,
}

impl Board {
    pub(crate) fn new(
        part: &Part,
        frame: PartFrame,
        fixture: &Fixture,
        sites: std::ops::Range<usize>,
    ) -> Self {
        let near = frame.to_program(0.0, 0.0);
        let far = frame.to_program(part.length.as_mm(), part.across.as_mm());
        Self {
            name: part.name,
            min: [near[0].min(far[0]), near[1].min(far[1])],
            max: [near[0].max(far[0]), near[1].max(far[1])],
            top: match part.name {
                PartName::Lid => fixture.lid_rise.as_mm(),
                PartName::Box | PartName::Scrap | PartName::Plate => 0.0,
            },
            wood: part.wood.clone(),
            frame,
            sites,
            widest: 0.0,
        }
    }

    /// Distance from a point to the board's rectangle; negative inside.
    pub(crate) fn signed_distance(&self, point: [f64; 2]) -> f64 {
        let x = (self.min[0] - point[0]).max(point[0] - self.max[0]);
        let y = (self.min[1] - point[1]).max(point[1] - self.max[1]);
        norm([x.max(0.0), y.max(0.0)]) + x.max(y).min(0.0)
    }
}
