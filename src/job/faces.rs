//! What the faces of a part are called, and which way each lies on the machine.

use super::{Closing, PartName};

/// The faces of a part by the names that people mark on the wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Faces {
    /// What is laid in.
    pub piece: &'static str,
    /// The mating face: it lies up and is cut.
    pub up: &'static str,
    /// What `v` counts from: it lies against the divider or the fence.
    pub fence: &'static str,
    /// Opposite the one against the fence.
    pub far: &'static str,
    /// Opposite the mating face: it lies on the bed or a support.
    pub bed: &'static str,
    /// What `u` counts from: it lies at the stop.
    pub stop: &'static str,
}

impl Closing {
    /// The faces of that part under a lid that closes so.
    pub const fn faces(self, part: PartName) -> Faces {
        match (part, self) {
            (PartName::Box, Self::Overlay) => Faces {
                piece: "box",
                up: "rim",
                fence: "outside face",
                far: "inside face",
                bed: "bottom",
                stop: "stop end",
            },
            (PartName::Box, Self::Inset) => Faces {
                piece: "hinged wall as a loose board",
                up: "inside face",
                fence: "rim",
                far: "bottom edge",
                bed: "outside face",
                stop: "stop end",
            },
            (PartName::Lid, Self::Overlay) => Faces {
                piece: "lid",
                up: "inside face",
                fence: "back edge",
                far: "front edge",
                bed: "show face",
                stop: "stop end",
            },
            (PartName::Lid, Self::Inset) => Faces {
                piece: "lid on edge",
                up: "back edge",
                fence: "show face",
                far: "inside face",
                bed: "front edge",
                stop: "stop end",
            },
            (PartName::Scrap, _) => Faces {
                piece: "scrap",
                up: "top",
                fence: "near edge",
                far: "far edge",
                bed: "underside",
                stop: "left end",
            },
            (PartName::Plate, _) => Faces {
                piece: "plate",
                up: "underside",
                fence: "near edge",
                far: "far edge",
                bed: "top",
                stop: "left end",
            },
        }
    }
}
