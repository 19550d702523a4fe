//! From a part's frame into the program's: u, v, w to X, Y, Z.

use crate::geometry::{Point, RoundedRectangle};
use crate::job::position::{Located, Position};
use crate::job::{Along, Fixture, Job, Layout, Part, PartName, Pocket, Step, StopEnd, ZeroPoint};
use crate::shop::machine::Dialect;

/// What a piece counts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Frame {
    /// The shared zero, or the box's own.
    G54,
    /// The lid's own.
    G55,
}

/// How one part lies in the program.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Placement {
    pub(super) frame: Frame,
    /// Z of the part's mating face in its frame.
    pub(super) top: f64,
    /// Safe height in its frame.
    pub(super) safe: f64,
    along: Axis,
    across: Axis,
    turn: Along,
}

/// A coordinate as `sign` × (offset + distance).
#[derive(Clone, Copy, Debug, PartialEq)]
struct Axis {
    sign: f64,
    offset: f64,
}

impl Axis {
    fn at(self, distance: f64) -> f64 {
        self.sign * (self.offset + distance)
    }

    /// The same for distances that count from further back.
    fn from(self, start: f64) -> Self {
        Self {
            offset: self.offset - start,
            ..self
        }
    }
}

impl Placement {
    /// Where `part` lies in a position, or as the layout alone has it.
    pub(super) fn of(job: &Job, part: &Part, position: Option<&Position>) -> Self {
        let fixture = &job.fixture;
        let own_zero = fixture.zero == ZeroPoint::Each && part.name == PartName::Lid;
        let rise = if part.name == PartName::Lid {
            fixture.lid_rise.as_mm()
        } else {
            0.0
        };
        let half_divider = match fixture.zero {
            ZeroPoint::Shared => fixture.divider.as_mm() / 2.0,
            ZeroPoint::Each => 0.0,
        };
        let (along, across) = axes(fixture, part.name, half_divider);
        let along = along.from(position.map_or(0.0, |position| start(part, position)));
        let below = if own_zero { rise } else { 0.0 };
        Self {
            frame: if own_zero { Frame::G55 } else { Frame::G54 },
            top: if own_zero { 0.0 } else { rise },
            safe: round_up(travel_height(job, position) - below, &job.machine.dialect),
            along,
            across,
            turn: fixture.along,
        }
    }

    /// Where the point `u`, `v` lies.
    pub(super) fn point(&self, at: Point) -> Point {
        turned(self.turn, self.along.at(at.x), self.across.at(at.y))
    }

    /// The way of growing `v`, away from the show face; one long.
    pub(super) fn inward(&self) -> Point {
        turned(self.turn, 0.0, self.across.sign)
    }

    /// What a step looks like from above.
    pub(super) fn outline(&self, pocket: &Pocket, step: &Step) -> RoundedRectangle {
        let center = Point::from_mm(pocket.center.x + step.shift.as_mm(), pocket.center.y);
        let (wide, high) = match self.turn {
            Along::X => (step.length, step.width),
            Along::Y => (step.width, step.length),
        };
        RoundedRectangle::new(self.point(center), wide, high, step.corner)
    }
}

/// The u of a part that lies at zero along the hinged edges.
fn start(part: &Part, position: &Position) -> f64 {
    match position.located {
        Located::Stop => 0.0,
        Located::Mark(mark) => mark.as_mm(),
        Located::FarStop(face) => (part.length - face).as_mm(),
    }
}

/// Where a frame's zero lies in shared coordinates, in every position.
pub(crate) fn origin(job: &Job, frame: Frame) -> Point {
    let fixture = &job.fixture;
    if fixture.zero == ZeroPoint::Shared {
        return Point::default();
    }
    let part = match frame {
        Frame::G54 => PartName::Box,
        Frame::G55 => PartName::Lid,
    };
    let (along, across) = axes(fixture, part, fixture.divider.as_mm() / 2.0);
    turned(fixture.along, along.at(0.0), across.at(0.0))
}

/// A point of the layout, where it lies after the layout's turn.
fn turned(turn: Along, x: f64, y: f64) -> Point {
    match turn {
        Along::X => Point::from_mm(x, y),
        Along::Y => Point::from_mm(-y, x),
    }
}

fn axes(fixture: &Fixture, part: PartName, half_divider: f64) -> (Axis, Axis) {
    let plain = |offset| Axis { sign: 1.0, offset };
    let turned = |offset| Axis { sign: -1.0, offset };
    let away = match fixture.stop_end {
        StopEnd::Left => 1.0,
        StopEnd::Right => -1.0,
    };
    let from_stop = |sign, offset| Axis { sign, offset };
    match (fixture.layout, part) {
        (Layout::Scrap, _) | (_, PartName::Scrap | PartName::Plate) => (plain(0.0), plain(0.0)),
        (Layout::Book, PartName::Box) => (from_stop(away, 0.0), turned(half_divider)),
        (Layout::Book, PartName::Lid) => (from_stop(away, 0.0), plain(half_divider)),
        (Layout::EndToEnd, PartName::Box) => (from_stop(-away, half_divider), plain(0.0)),
        (Layout::EndToEnd, PartName::Lid) => (from_stop(away, half_divider), plain(0.0)),
    }
}

/// Safe height in shared coordinates: clearance above everything that stands.
fn travel_height(job: &Job, position: Option<&Position>) -> f64 {
    let fixture = &job.fixture;
    let lid = job
        .part(PartName::Lid)
        .map_or(0.0, |_| fixture.lid_rise.as_mm());
    let clamps = fixture.clamps.iter().map(|clamp| clamp.height.as_mm());
    let has_blocks = |position: &&Position| matches!(position.located, Located::Mark(_));
    let blocks = position.filter(has_blocks);
    let heights = [
        blocks.map_or(0.0, |_| fixture.block_height.as_mm()),
        fixture.divider_height.as_mm(),
        fixture.fence_height.as_mm(),
        lid,
    ];
    let highest = clamps.chain(heights).fold(0.0, f64::max);
    highest + job.machine.clearance.as_mm()
}

/// The last printed digit, in millimetres.
pub(super) fn grid(dialect: &Dialect) -> f64 {
    dialect.units.one().as_mm() * 10f64.powi(-i32::from(dialect.decimals))
}

fn round_up(height: f64, dialect: &Dialect) -> f64 {
    let grid = grid(dialect);
    (height / grid - 1e-6).ceil() * grid
}
