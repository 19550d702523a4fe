//! The job, resolved: both parts, each in its own frame, ready to plan and to judge.
//!
//! A part's frame lies on its mating face: `u` along the hinged edge from the
//! stop end, `v` from the face that lies against the fence ([`faces`]), `w` down into the wood. Nothing
//! here knows about X, Y or Z: the planner and the judge each lay the parts
//! into the fixture on their own.

mod alone;
pub mod contour;
pub mod faces;
pub mod position;
#[cfg(test)]
pub(crate) mod sample;
pub mod screw;
pub mod template;

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::geometry::Point;
use crate::job::contour::Contour;
use crate::job::position::Position;
use crate::job::template::{Features, Template};
use crate::shop::bit::{Bit, care::Room};
use crate::shop::machine::Machine;
use crate::shop::wood::Wood;
use crate::units::{Length, Units};

/// Everything there is to know before planning.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// What people call it.
    pub title: String,
    /// What its programs are named after: the job file's name without folder and ending.
    pub stem: String,
    /// What people read is in this unit: the job file's own, unless they ask for the other.
    pub units: Units,
    /// The router.
    pub machine: Machine,
    /// All bits of the rack, in the file's order, as they stand now.
    pub rack: Vec<Bit>,
    /// The bit for the pockets; its `wear` is what this run assumes.
    pub bit: Bit,
    /// How the lid closes; meaningless for a scrap.
    pub closing: Closing,
    /// The hinge as measured.
    pub hinge: Hinge,
    /// Where it comes from, where it is taken from the drawer.
    pub drawn: Option<Drawn>,
    /// The fit as wanted.
    pub fit: Fit,
    /// Screw holes to drill.
    pub pilot: Option<Pilot>,
    /// Box and lid, in this order, or the one scrap of a test piece.
    pub parts: Vec<Part>,
    /// How the parts lie on the machine.
    pub fixture: Fixture,
    /// The template for a hand-held router, where the job has one.
    pub template: Option<Template>,
    /// Where this is the job of a template's plate: what is what on it.
    pub plate: Option<Plate>,
    /// What of it is cut in this run.
    pub selection: Selection,
    /// What was taken as meant though the file does not say it, a sentence each.
    pub taken: Vec<String>,
    /// Digest of the inputs, hexadecimal, for the program's head.
    pub digest: String,
}

impl Job {
    /// The part of that name, if the job has it.
    pub fn part(&self, name: PartName) -> Option<&Part> {
        self.parts.iter().find(|part| part.name == name)
    }

    /// How wide its pockets are for `bit`.
    pub fn room_for(&self, bit: &Bit) -> Room {
        let pockets = self.parts.iter().flat_map(|part| &part.pockets);
        let steps = pockets.flat_map(|pocket| &pocket.steps);
        Room::of(bit, steps.map(|step| step.width.min(step.length)))
    }

    /// The position that a hinge is cut in, where the job has positions.
    pub fn position_of(&self, hinge: usize) -> Option<&Position> {
        let mut positions = self.fixture.positions.iter();
        positions.find(|position| position.holds(hinge))
    }

    /// The positions in which something is cut in this run, in their order; one
    /// without a name where the job has none.
    pub fn positions(&self) -> Vec<Option<&Position>> {
        if self.fixture.positions.is_empty() {
            return vec![None];
        }
        let wanted = |position: &&Position| {
            let hinge = self.selection.hinge;
            hinge.is_none_or(|hinge| position.holds(hinge))
        };
        let positions = self.fixture.positions.iter().filter(wanted);
        positions.map(Some).collect()
    }

    /// How far the corrections move a pocket along u.
    pub fn correction_u(&self, part: &Part, hinge: usize) -> Length {
        let own = self.position_of(hinge);
        let own = own.map_or(Length::ZERO, |position| match part.name {
            PartName::Box => position.box_u,
            PartName::Lid => position.lid_u,
            PartName::Scrap | PartName::Plate => Length::ZERO,
        });
        part.correction_u + own
    }

    /// Whether this part is cut in this run.
    pub fn is_selected(&self, name: PartName) -> bool {
        self.selection.part.is_none_or(|part| part == name)
    }
}

/// Which piece of wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PartName {
    /// The box: its hinged wall.
    Box,
    /// The lid.
    Lid,
    /// A test piece, or the wood that a plug is cut out of.
    Scrap,
    /// The plate of a template.
    Plate,
}

impl PartName {
    /// Whether it lies alone on the machine, its corner at zero: no half of a
    /// pair, with no face that another closes on.
    pub const fn lies_alone(self) -> bool {
        matches!(self, Self::Scrap | Self::Plate)
    }
}

impl fmt::Display for PartName {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Box => "box",
            Self::Lid => "lid",
            Self::Scrap => "scrap",
            Self::Plate => "plate",
        })
    }
}

/// How the lid closes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Closing {
    /// The lid lies on the rim.
    Overlay,
    /// The lid closes between the walls.
    Inset,
}

/// One piece of wood with what is cut into its mating face.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Which piece.
    pub name: PartName,
    /// Extent along u.
    pub length: Length,
    /// Wood across v.
    pub across: Length,
    /// Wood below the mating face, along w.
    pub below: Length,
    /// What it is made of.
    pub wood: Wood,
    /// Pockets, by hinge, all of them whatever the selection.
    pub pockets: Vec<Pocket>,
    /// Shallow countable marks; only a test piece has them.
    pub ticks: Vec<Tick>,
    /// Pieces that are cut out of it; only a part in [`Layout::Scrap`] has them.
    pub contours: Vec<Contour>,
    /// How deep the board below may be cut into, where one lies there to be cut;
    /// else nothing may be cut through.
    pub board_below: Option<Length>,
    /// `fit.box_u` or `fit.lid_u`, already contained in the pockets' centres:
    /// `fold-match` takes it off again. A position has one of its own besides.
    pub correction_u: Length,
    /// `fit.box_v` or `fit.lid_v`, likewise.
    pub correction_v: Length,
    /// Extent of the piece along v for the drawing, where it is more than the wood across v.
    pub depth_for_drawing: Option<Length>,
}

impl Part {
    /// The pocket of a hinge, counted from 1.
    pub fn pocket(&self, hinge: usize) -> Option<&Pocket> {
        // They stand in the order of their hinges; a part with some of them left out is searched.
        let own = self.pockets.get(hinge.checked_sub(1)?);
        own.filter(|pocket| pocket.hinge == hinge)
            .or_else(|| self.pockets.iter().find(|pocket| pocket.hinge == hinge))
    }
}

/// A stepped pocket in a part's frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Pocket {
    /// Which hinge, from 1; in a plate or scrap its number there.
    pub hinge: usize,
    /// What people call it.
    pub kind: PocketKind,
    /// Centre in (u, v), corrections included.
    pub center: Point,
    /// Steps as cut, shallowest first, each inside the one before; never empty.
    pub steps: Vec<Step>,
    /// Screw holes to drill in this pocket; empty without `[pilot]`.
    pub holes: Vec<Hole>,
    /// Where the hinge's screws end, for `floor-left`; empty where the spec has no screws.
    pub screws: Vec<ScrewInWood>,
}

impl Pocket {
    /// Least and greatest u of its steps.
    pub fn extent_u(&self) -> (Length, Length) {
        let reach = |side: f64| {
            let reaches = self
                .steps
                .iter()
                .map(|step| side * step.shift.as_mm() + step.length.as_mm() / 2.0);
            Length::from_mm(reaches.fold(f64::NEG_INFINITY, f64::max))
        };
        (self.center.x() - reach(-1.0), self.center.x() + reach(1.0))
    }
}

/// What a pocket is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PocketKind {
    /// A hinge, or its trial.
    #[default]
    Pocket,
    /// The collar of a hand-held router.
    Opening,
    /// A batten.
    Groove,
    /// Seeing a line from above.
    SightHole,
}

impl PocketKind {
    /// Whether a hinge goes in, which needs no word of its own.
    pub const fn is_pocket(&self) -> bool {
        matches!(self, Self::Pocket)
    }
}

impl fmt::Display for PocketKind {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Pocket => "pocket",
            Self::Opening => "opening",
            Self::Groove => "groove",
            Self::SightHole => "sight hole",
        })
    }
}

/// One step of a pocket as it is cut: clearance, room under the body and
/// recess are already in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Along u.
    pub length: Length,
    /// Along v.
    pub width: Length,
    /// Corner radius, at most half the width.
    pub corner: Length,
    /// Centre of the step from the pocket's centre, along u.
    pub shift: Length,
    /// Below the mating face.
    pub depth: Length,
}

/// A hole to drill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// Centre in (u, v), corrections included.
    pub center: Point,
    /// Diameter the drill cuts.
    pub diameter: Length,
    /// Floor of the step that holds it, below the mating face.
    pub from: Length,
    /// Tip of the drill, below the mating face.
    pub tip: Length,
    /// Height of the drill's point: the full diameter ends this far above the tip.
    pub point_height: Length,
}

/// A screw as it will sit in the wood.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScrewInWood {
    /// Centre in (u, v), corrections included.
    pub center: Point,
    /// Shank (major) diameter.
    pub diameter: Length,
    /// Root diameter.
    pub root: Length,
    /// Overall length.
    pub length: Length,
    /// Where the wood begins under the leaf, below the mating face.
    pub from: Length,
    /// Tip, below the mating face: recess share + length.
    pub tip: Length,
}

/// A shallow straight mark one bit wide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tick {
    /// Centre of one end in (u, v).
    pub from: Point,
    /// Centre of the other end.
    pub to: Point,
    /// Below the mating face.
    pub depth: Length,
}

/// The hinge as the user measured it.
#[derive(Clone, Debug, PartialEq)]
pub struct Hinge {
    /// Across the pocket.
    pub width: Length,
    /// Outside face to the near side of the leaf.
    pub setback: Length,
    /// Gap between the parts with both leaves flush.
    pub closed_gap: Length,
    /// Near side to near side of the leaves when open flat.
    pub open_gap: Option<Length>,
    /// `lid.overhang` (overlay) or `lid.drop` (inset), signed.
    pub overhang_or_drop: Length,
    /// Hinge centres along the box, from its stop end, corrections left out.
    pub centers: Vec<Length>,
}

/// A hinge taken from the drawer.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// Its name there.
    pub name: String,
    /// The drawer's file as the job writes it.
    pub file: String,
    /// The keys that the job states over the drawer's.
    pub own: Vec<&'static str>,
    /// The woods of box and lid as one name.
    pub woods: String,
    /// `fit.clearance` is what the drawer has learned for the bit and the woods.
    pub is_clearance_learned: bool,
    /// `fit.depth` likewise.
    pub is_depth_learned: bool,
}

/// The fit as wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Pocket minus leaf, on the width and on the length.
    pub clearance: Length,
    /// Extra depth of every step after the first.
    pub under: Length,
    /// Added to every step of both parts, already contained in their depths.
    pub depth: Length,
    /// Wanted gap between the closed parts.
    pub gap: Length,
    /// The box's share of the recess, 0 … 1.
    pub box_share: f64,
    /// Wall allowance left for the finishing pass.
    pub finish: Length,
    /// Warn under this much wood beside or below.
    pub min_left: Length,
}

/// Screw holes as an operation of their own.
#[derive(Clone, Debug, PartialEq)]
pub struct Pilot {
    /// The drill.
    pub bit: Bit,
    /// Below the floor of the step that holds the screw, to the tip.
    pub depth: Length,
}

/// How the parts lie on the machine. Shared program coordinates: Z0 is the
/// box's mating face.
#[derive(Clone, Debug, PartialEq)]
pub struct Fixture {
    /// Which way the parts lie.
    pub layout: Layout,
    /// At which end the stop stands; a scrap has none.
    pub stop_end: StopEnd,
    /// Which axis the hinged edges lie along; for a scrap always X.
    pub along: Along,
    /// Thickness of the centre fence or centre stop; 0 = butted.
    pub divider: Length,
    /// The lid's mating face above the box's.
    pub lid_rise: Length,
    /// Top of the divider (book) or centre stop (end to end) above Z0.
    pub divider_height: Length,
    /// Top of the long fence (end to end) above Z0.
    pub fence_height: Length,
    /// What the box stands on above the bed, negative = hangs below it.
    pub box_base: Option<Length>,
    /// What the lid lies on above the bed.
    pub lid_base: Option<Length>,
    /// One zero, or one for each part.
    pub zero: ZeroPoint,
    /// Where the origin of G54 sits in machine coordinates.
    pub machine_zero: Option<[Length; 3]>,
    /// How far the tip of the job's bit can rise above Z0, where known.
    pub headroom: Option<Length>,
    /// Where the tip goes for bit changes and at the end, in shared coordinates.
    pub park: Option<Point>,
    /// Things to keep clear of, in shared coordinates.
    pub clamps: Vec<Clamp>,
    /// How the parts lie one time after another; empty where once is enough.
    pub positions: Vec<Position>,
    /// How far the blocks of a position with a mark reach from the stop bar.
    pub block_length: Length,
    /// Top of those blocks and of the stop bar above Z0.
    pub block_height: Length,
}

impl Fixture {
    /// The machine's axes along the hinged edges and across them.
    pub const fn letters(&self) -> [char; 2] {
        match self.along {
            Along::X => ['X', 'Y'],
            Along::Y => ['Y', 'X'],
        }
    }

    /// The axis along which box and lid lie on both sides of what divides them,
    /// so that an error of zero counts twice. A scrap's is that along its pockets.
    pub const fn doubled_axis(&self) -> char {
        let [along, across] = self.letters();
        match self.layout {
            Layout::Book => across,
            Layout::EndToEnd | Layout::Scrap => along,
        }
    }

    /// The position of that number, from 1.
    pub fn position(&self, number: usize) -> Option<&Position> {
        let mut positions = self.positions.iter();
        positions.find(|position| position.number == number)
    }

    /// Z of the machine's bed, where it is known what box or lid stands on.
    pub fn bed(&self, parts: &[Part]) -> Option<Length> {
        let below = |name| {
            let part = parts.iter().find(|part| part.name == name);
            part.map(|part| part.below)
        };
        let by_box = || Some(-self.box_base? - below(PartName::Box)?);
        let by_lid = || Some(self.lid_rise - self.lid_base? - below(PartName::Lid)?);
        by_box().or_else(by_lid)
    }
}

/// Which way the parts lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Layout {
    /// Opened flat about the divider, stop ends on the same side.
    Book,
    /// Both against one fence, stop ends at the centre stop.
    EndToEnd,
    /// One test piece, its corner at zero: u is X, v is Y. Not for a job file.
    #[serde(skip)]
    Scrap,
}

/// At which end the stop stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StopEnd {
    /// X runs away from it to the right.
    #[default]
    Left,
    /// X runs away from it to the left.
    Right,
}

impl fmt::Display for StopEnd {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Left => "left",
            Self::Right => "right",
        })
    }
}

/// Which axis of the machine the hinged edges lie along.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Along {
    /// As the layouts are drawn.
    #[default]
    X,
    /// A quarter turn counter-clockwise: X, Y become −Y, X.
    Y,
}

/// One zero, or one for each part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ZeroPoint {
    /// G54 for both.
    #[default]
    Shared,
    /// G54 at the box, G55 at the lid.
    Each,
}

/// A box-shaped thing to keep clear of, standing on the bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Clamp {
    /// What people call it.
    pub name: String,
    /// Corner with the smaller X and Y.
    pub min: Point,
    /// Corner with the larger X and Y.
    pub max: Point,
    /// Top above Z0.
    pub height: Length,
}

/// What makes a job that of a template's plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// The job whose pockets the hand-held router cuts.
    pub of: Box<Job>,
    /// What is what on the plate.
    pub features: Features,
}

/// What of the job is cut in this run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Selection {
    /// Only this part.
    pub part: Option<PartName>,
    /// Only this hinge, from 1.
    pub hinge: Option<usize>,
    /// Only this step, from 1; shallower steps count as already cut.
    pub step: Option<usize>,
}

impl Selection {
    /// Whether everything is cut.
    pub fn is_whole(&self) -> bool {
        *self == Self::default()
    }

    /// What a file name gets, so that a partial program never replaces the
    /// whole one: empty, `-box`, `-lid-h2`, `-h1-s2`.
    pub fn suffix(&self) -> String {
        let part = self.part.map(|part| format!("-{part}"));
        let hinge = self.hinge.map(|hinge| format!("-h{hinge}"));
        let step = self.step.map(|step| format!("-s{step}"));
        [part, hinge, step].into_iter().flatten().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A box 90 mm high whose underside hangs 60 mm below the bed, and a lid
    /// of 18 mm lying 12 mm above it: the bed is at -30 from both.
    #[test]
    fn the_bed_lies_below_the_wood_and_its_base() {
        let mut job = sample::job();
        let bed = |job: &Job| job.fixture.bed(&job.parts).map(Length::as_mm);
        assert_eq!(bed(&job), None);
        job.fixture.lid_base = Some(Length::from_mm(12.0));
        assert_eq!(bed(&job), Some(-30.0));
        job.fixture.box_base = Some(Length::from_mm(-60.0));
        assert_eq!(bed(&job), Some(-30.0));
    }
}
