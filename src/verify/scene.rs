//! Where each part, pocket and fixture piece lies in shared program
//! coordinates, worked out from the job alone.

use crate::geometry::{Point, RoundedRectangle, norm};
use crate::job::position::{Located, Position};
use crate::job::{
    Along, Fixture, Job, Layout, Part, PartName, Pocket, Selection, StopEnd, Tick, ZeroPoint,
};
use crate::replay::segment::Segment;
use crate::rs274::event::Frames;
use crate::shop::wood::Wood;
use crate::verify::feature::Feature;
use crate::verify::kerf::Kerf;
use crate::verify::piece_walls::{self, Meeting};

/// The job as it lies on the machine. Millimetres.
#[derive(Clone, Debug)]
pub(crate) struct Scene {
    pub(crate) boards: Vec<Board>,
    /// Pockets and ticks of all boards, board by board, each board's sorted along its row.
    pub(crate) sites: Vec<Site>,
    pub(crate) solids: Vec<Solid>,
    pub(crate) frames: Frames,
    /// Origin of G54.
    pub(crate) zero: [f64; 3],
    /// Which of G54 … G59 the job has a zero for.
    pub(crate) offsets: &'static [u8],
    /// Least height for sideways travel.
    pub(crate) travel_height: f64,
    /// Highest of wood, divider, fence, stop and clamps.
    pub(crate) highest: f64,
    /// The faces that X and Y are found at.
    pub(crate) faces: [f64; 2],
}

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
    /// Its entries in [`Scene::sites`].
    pub(crate) sites: std::ops::Range<usize>,
    /// The widest of them along the row.
    pub(crate) widest: f64,
}

/// How a part's (u, v) lies in X and Y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PartFrame {
    /// Where u = v = 0 lies along the row of hinges and across it, before the
    /// layout's quarter turn.
    origin: [f64; 2],
    /// Whether u counts down along the row, and v across it.
    turned: [bool; 2],
    /// Whether the row lies along Y: a quarter turn counter-clockwise.
    quarter: bool,
}

/// One place of a board that is cut: a pocket or a tick.
#[derive(Clone, Debug)]
pub(crate) struct Site {
    pub(crate) board: usize,
    pub(crate) feature: Feature,
    /// All steps, shallowest first: outline and depth below the board's face.
    pub(crate) steps: Vec<Depth>,
    /// How many of them may be cut in this run.
    pub(crate) allowed: usize,
    /// How many of them count as cut before this run.
    pub(crate) already: usize,
    pub(crate) holes: Vec<Bore>,
    /// The kerf round a piece; what has one has no steps.
    pub(crate) kerf: Option<Kerf>,
    /// Places with pieces that this one lies near, and that it must leave whole.
    pub(crate) spared: Vec<usize>,
    /// The least rectangle about its steps and holes, or its kerf.
    pub(crate) min: [f64; 2],
    pub(crate) max: [f64; 2],
}

/// One step: everything inside `outline` down to `depth`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Depth {
    pub(crate) outline: RoundedRectangle,
    pub(crate) depth: f64,
}

/// One drilled hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bore {
    pub(crate) center: [f64; 2],
    pub(crate) radius: f64,
    /// Tip of the drill, below the board's face.
    pub(crate) tip: f64,
    pub(crate) point: f64,
}

/// Something of the fixture, from below up to `top`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Solid {
    pub(crate) name: String,
    pub(crate) kind: SolidKind,
    pub(crate) min: [f64; 2],
    pub(crate) max: [f64; 2],
    pub(crate) top: f64,
}

/// Which check a solid belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum SolidKind {
    /// Divider, fence, stop.
    Fixture,
    /// A clamp.
    Clamp,
}

impl PartFrame {
    /// The contract's table: book (opened flat about the divider, stop ends
    /// on the same side) and end to end (outside faces on one fence, stop
    /// ends at the centre stop). A stop at the right-hand end is its mirror
    /// image: every X changes its sign.
    fn new(fixture: &Fixture, part: PartName) -> Self {
        let half = fixture.divider.as_mm() / 2.0;
        let (mut origin, mut turned) = match (fixture.layout, part) {
            (Layout::Book, PartName::Box) => ([0.0, -half], [false, true]),
            (Layout::Book, _) => ([0.0, half], [false, false]),
            (Layout::EndToEnd, PartName::Box) => ([-half, 0.0], [true, false]),
            (Layout::EndToEnd, _) => ([half, 0.0], [false, false]),
            (Layout::Scrap, _) => ([0.0, 0.0], [false, false]),
        };
        if fixture.stop_end == StopEnd::Right && fixture.layout != Layout::Scrap {
            origin[0] = 0.0 - origin[0];
            turned[0] = !turned[0];
        }
        Self {
            origin,
            turned,
            quarter: fixture.along == Along::Y,
        }
    }

    /// The same part in a position: what lies at zero along the row is there
    /// no longer its stop end. Further up u every point lies as far from it as before.
    fn of(fixture: &Fixture, part: &Part, position: Option<&Position>) -> Self {
        let mut frame = Self::new(fixture, part.name);
        let at_zero = match position.map(|position| position.located) {
            None | Some(Located::Stop) => return frame,
            Some(Located::Mark(mark)) => mark.as_mm(),
            // The far end is at the face, so the stop end is a length before it.
            Some(Located::FarStop(face)) => part.length.as_mm() - face.as_mm(),
        };
        frame.origin[0] -= frame.turn(0, at_zero);
        frame
    }

    /// The axis of the machine that the row of hinges lies along: 0 for X, 1 for Y.
    pub(crate) fn row(self) -> usize {
        usize::from(self.quarter)
    }

    /// What lies so far along the row and across it, as extents along X and Y,
    /// and the other way round.
    pub(crate) fn swap<T>(self, [along, across]: [T; 2]) -> [T; 2] {
        if self.quarter {
            [across, along]
        } else {
            [along, across]
        }
    }

    fn turn(self, axis: usize, value: f64) -> f64 {
        if self.turned[axis] { -value } else { value }
    }

    /// X and Y of a point of the part.
    pub(crate) fn to_program(self, u: f64, v: f64) -> [f64; 2] {
        let along = self.origin[0] + self.turn(0, u);
        let across = self.origin[1] + self.turn(1, v);
        if self.quarter {
            [0.0 - across, along]
        } else {
            [along, across]
        }
    }

    /// u and v of a point of the program.
    pub(crate) fn to_part(self, x: f64, y: f64) -> [f64; 2] {
        let [along, across] = if self.quarter { [y, -x] } else { [x, y] };
        [
            self.turn(0, along - self.origin[0]),
            self.turn(1, across - self.origin[1]),
        ]
    }
}

impl Scene {
    /// All parts as the layout alone has them.
    pub(crate) fn new(job: &Job) -> Self {
        Self::of(job, None)
    }

    /// All parts as they lie in a position.
    pub(crate) fn of(job: &Job, position: Option<&Position>) -> Self {
        let fixture = &job.fixture;
        let mut boards = Vec::with_capacity(job.parts.len());
        let mut sites = Vec::new();
        for part in &job.parts {
            let frame = PartFrame::of(fixture, part, position);
            let first = sites.len();
            sites.extend(part_sites(job, part, position, frame, boards.len()));
            let row = frame.row();
            sites[first..].sort_by(|a, b| a.min[row].total_cmp(&b.min[row]));
            let mut board = Board::new(part, frame, fixture, first..sites.len());
            board.widest = sites[first..]
                .iter()
                .map(|site| site.max[row] - site.min[row])
                .fold(0.0, f64::max);
            boards.push(board);
        }
        find_spared(&mut sites);
        let solids = solids(fixture, position);
        let highest = boards
            .iter()
            .map(|board| board.top)
            .chain(solids.iter().map(|solid| solid.top))
            .fold(0.0, f64::max);
        let (frames, zero, offsets) = frames(fixture);
        Self {
            boards,
            sites,
            solids,
            frames,
            zero,
            offsets,
            travel_height: highest + job.machine.clearance.as_mm(),
            highest,
            faces: touched_faces(fixture, position),
        }
    }
}

impl Board {
    fn new(
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

fn part_sites(
    job: &Job,
    part: &Part,
    position: Option<&Position>,
    frame: PartFrame,
    board: usize,
) -> Vec<Site> {
    let pockets = part.pockets.iter().map(|pocket| {
        let here = position.is_none_or(|position| position.holds(pocket.hinge));
        let (allowed, already) = match here {
            true => allowance(&job.selection, part.name, pocket),
            false => (0, 0),
        };
        pocket_site(pocket, frame, board, allowed, already, &job.selection)
    });
    let whole_part = job.is_selected(part.name) && job.selection.hinge.is_none();
    let width = job.bit.cutting_diameter().as_mm();
    let ticks = part
        .ticks
        .iter()
        .map(|tick| tick_site(tick, frame, board, width, usize::from(whole_part)));
    // Roughing keeps off the piece by what the finishing pass is left.
    let kerf_width = width + job.fit.finish.as_mm();
    let pieces = part.contours.iter().filter_map(|contour| {
        let kerf = Kerf::of(contour, kerf_width, |u, v| frame.to_program(u, v))?;
        Some(Site::round(kerf, board, usize::from(whole_part)))
    });
    pockets.chain(ticks).chain(pieces).collect()
}

/// Notes at each place whose pieces it lies near. What lies on a piece is part of it.
fn find_spared(sites: &mut [Site]) {
    let near = |site: &Site, kerf: &Kerf| {
        (0..2).all(|axis| {
            site.min[axis] < kerf.piece.max[axis] && site.max[axis] > kerf.piece.min[axis]
        })
    };
    let is_piece = |&number: &usize| sites[number].kerf.is_some();
    let pieces: Vec<usize> = (0..sites.len()).filter(is_piece).collect();
    if pieces.is_empty() {
        return;
    }
    for number in 0..sites.len() {
        let site = &sites[number];
        let is_spared = |&&other: &&usize| {
            let place = &sites[other];
            let kerf = place.kerf.as_ref();
            let kerf = kerf.filter(|_| other != number && place.board == site.board);
            kerf.is_some_and(|kerf| near(site, kerf) && !site.is_on(kerf))
        };
        let spared = pieces.iter().filter(is_spared).copied().collect();
        sites[number].spared = spared;
    }
}

/// How many steps of a pocket may be cut, and how many count as cut already.
fn allowance(selection: &Selection, part: PartName, pocket: &Pocket) -> (usize, usize) {
    let selected = selection.part.is_none_or(|name| name == part)
        && selection.hinge.is_none_or(|hinge| hinge == pocket.hinge);
    match (selected, selection.step) {
        (false, _) => (0, 0),
        (true, None) => (pocket.steps.len(), 0),
        (true, Some(step)) if step <= pocket.steps.len() => (step, step.saturating_sub(1)),
        (true, Some(_)) => (0, 0),
    }
}

fn pocket_site(
    pocket: &Pocket,
    frame: PartFrame,
    board: usize,
    allowed: usize,
    already: usize,
    selection: &Selection,
) -> Site {
    let steps: Vec<Depth> = pocket
        .steps
        .iter()
        .map(|step| {
            let u = pocket.center.x + step.shift.as_mm();
            let [x, y] = frame.to_program(u, pocket.center.y);
            let [wide, high] = frame.swap([step.length, step.width]);
            Depth {
                outline: RoundedRectangle::new(Point::from_mm(x, y), wide, high, step.corner),
                depth: step.depth.as_mm(),
            }
        })
        .collect();
    let drilled = allowed > 0 && selection.step.is_none();
    let holes = pocket
        .holes
        .iter()
        .filter(|_| drilled)
        .map(|hole| Bore {
            center: frame.to_program(hole.center.x, hole.center.y),
            radius: hole.diameter.as_mm() / 2.0,
            tip: hole.tip.as_mm(),
            point: hole.point_height.as_mm(),
        })
        .collect();
    let feature = Feature::Pocket(pocket.kind, pocket.hinge);
    Site::new(board, feature, steps, allowed, already, holes)
}

/// A tick lies along u or along v.
fn tick_site(tick: &Tick, frame: PartFrame, board: usize, width: f64, allowed: usize) -> Site {
    let from = frame.to_program(tick.from.x, tick.from.y);
    let to = frame.to_program(tick.to.x, tick.to.y);
    let outline = RoundedRectangle {
        center: Point::from_mm((from[0] + to[0]) / 2.0, (from[1] + to[1]) / 2.0),
        half_x: ((to[0] - from[0]).abs() + width) / 2.0,
        half_y: ((to[1] - from[1]).abs() + width) / 2.0,
        corner: width / 2.0,
    };
    let depth = tick.depth.as_mm();
    Site::new(
        board,
        Feature::Tick,
        vec![Depth { outline, depth }],
        allowed,
        0,
        Vec::new(),
    )
}

impl Site {
    fn new(
        board: usize,
        feature: Feature,
        steps: Vec<Depth>,
        allowed: usize,
        already: usize,
        holes: Vec<Bore>,
    ) -> Self {
        let mut min = [f64::INFINITY; 2];
        let mut max = [f64::NEG_INFINITY; 2];
        let mut add = |x: f64, y: f64, half_x: f64, half_y: f64| {
            min = [min[0].min(x - half_x), min[1].min(y - half_y)];
            max = [max[0].max(x + half_x), max[1].max(y + half_y)];
        };
        for Depth { outline, .. } in &steps {
            add(
                outline.center.x,
                outline.center.y,
                outline.half_x,
                outline.half_y,
            );
        }
        for hole in &holes {
            add(hole.center[0], hole.center[1], hole.radius, hole.radius);
        }
        Self {
            board,
            feature,
            steps,
            allowed,
            already,
            holes,
            kerf: None,
            spared: Vec::new(),
            min,
            max,
        }
    }

    /// The place of a kerf.
    fn round(kerf: Kerf, board: usize, allowed: usize) -> Self {
        let reach = |ends: [f64; 2], by: f64| ends.map(|end| end + by);
        Self {
            board,
            feature: Feature::Piece(kerf.number),
            steps: Vec::new(),
            allowed,
            already: 0,
            holes: Vec::new(),
            spared: Vec::new(),
            min: reach(kerf.piece.min, -kerf.width),
            max: reach(kerf.piece.max, kerf.width),
            kerf: Some(kerf),
        }
    }

    /// Whether its steps lie on a piece, all of them.
    fn is_on(&self, kerf: &Kerf) -> bool {
        let mut widest = self.steps.first().into_iter();
        widest.any(|step| matches!(piece_walls::meeting(kerf, &step.outline), Meeting::On(_)))
    }

    /// The kerf that this run may cut.
    pub(crate) fn allowed_kerf(&self) -> Option<&Kerf> {
        self.kerf.as_ref().filter(|_| self.allowed > 0)
    }

    /// The kerf that this run must cut.
    pub(crate) fn required_kerf(&self) -> Option<&Kerf> {
        self.allowed_kerf().filter(|_| self.already == 0)
    }

    /// Everything in it counts as cut before this run.
    pub(crate) fn take_as_cut(&mut self) {
        self.already = self.steps.len().max(usize::from(self.kerf.is_some()));
    }

    /// Which hinge's pocket, from 1; 0 where it is none.
    pub(crate) fn hinge(&self) -> usize {
        self.feature.hinge()
    }

    /// The steps that this run may cut, with those cut before it.
    pub(crate) fn allowed_steps(&self) -> &[Depth] {
        &self.steps[..self.allowed.min(self.steps.len())]
    }

    /// The steps that this run must cut.
    pub(crate) fn required_steps(&self) -> &[Depth] {
        let allowed = self.allowed_steps();
        &allowed[self.already.min(allowed.len())..]
    }
}

fn solids(fixture: &Fixture, position: Option<&Position>) -> Vec<Solid> {
    let half = fixture.divider.as_mm() / 2.0;
    let everywhere = (f64::NEG_INFINITY, f64::INFINITY);
    let mut solids = Vec::new();
    let mut add = |name: &str, kind: SolidKind, x: (f64, f64), y: (f64, f64), top: f64| {
        let (min, max) = match fixture.along {
            Along::X => ([x.0, y.0], [x.1, y.1]),
            Along::Y => ([0.0 - y.1, x.0], [0.0 - y.0, x.1]),
        };
        solids.push(Solid {
            name: name.to_owned(),
            kind,
            min,
            max,
            top,
        });
    };
    let divider_top = fixture.divider_height.as_mm();
    match fixture.layout {
        Layout::Book if half > 0.0 => {
            let across = (-half, half);
            add(
                "divider",
                SolidKind::Fixture,
                everywhere,
                across,
                divider_top,
            );
        }
        Layout::EndToEnd => {
            let fence_top = fixture.fence_height.as_mm();
            let outside = (f64::NEG_INFINITY, 0.0);
            add("fence", SolidKind::Fixture, everywhere, outside, fence_top);
            if half > 0.0 {
                let between = (-half, half);
                add(
                    "centre stop",
                    SolidKind::Fixture,
                    between,
                    everywhere,
                    divider_top,
                );
            }
        }
        Layout::Book | Layout::Scrap => {}
    }
    if let Some(Located::Mark(_)) = position.map(|position| position.located) {
        let (bar, block) = match fixture.stop_end {
            StopEnd::Left => (
                (f64::NEG_INFINITY, 0.0),
                (0.0, fixture.block_length.as_mm()),
            ),
            StopEnd::Right => ((0.0, f64::INFINITY), (-fixture.block_length.as_mm(), 0.0)),
        };
        let top = fixture.block_height.as_mm();
        add("stop bar", SolidKind::Clamp, bar, everywhere, top);
        add(
            "block at the mark",
            SolidKind::Clamp,
            block,
            everywhere,
            top,
        );
    }
    solids.extend(fixture.clamps.iter().map(|clamp| Solid {
        name: clamp.name.clone(),
        kind: SolidKind::Clamp,
        min: [clamp.min.x, clamp.min.y],
        max: [clamp.max.x, clamp.max.y],
        top: clamp.height.as_mm(),
    }));
    solids
}

/// X and Y of the faces that are touched to find zero: along the row the stop
/// or the stop bar, or the far stop where that is what stands; across it the divider or the fence.
fn touched_faces(fixture: &Fixture, position: Option<&Position>) -> [f64; 2] {
    let along = match (position.map(|position| position.located), fixture.stop_end) {
        (Some(Located::FarStop(face)), StopEnd::Left) => face.as_mm(),
        (Some(Located::FarStop(face)), StopEnd::Right) => -face.as_mm(),
        (None | Some(Located::Stop | Located::Mark(_)), _) => 0.0,
    };
    match fixture.along {
        Along::X => [along, 0.0],
        Along::Y => [0.0, along],
    }
}

/// Origins of the work offsets, the origin of G54, and the offsets in use.
fn frames(fixture: &Fixture) -> (Frames, [f64; 3], &'static [u8]) {
    let origin = |part, z| {
        let [x, y] = PartFrame::new(fixture, part).to_program(0.0, 0.0);
        [x, y, z]
    };
    let mut work = [[0.0; 3]; 6];
    let offsets: &[u8] = match fixture.zero {
        ZeroPoint::Shared => &[54],
        ZeroPoint::Each => {
            work[0] = origin(PartName::Box, 0.0);
            work[1] = origin(PartName::Lid, fixture.lid_rise.as_mm());
            &[54, 55]
        }
    };
    let machine = fixture
        .machine_zero
        .map(|zero| [0, 1, 2].map(|axis| work[0][axis] - zero[axis].as_mm()));
    (Frames { work, machine }, work[0], offsets)
}

impl Site {
    fn distance(&self, point: [f64; 2]) -> f64 {
        if let Some(kerf) = &self.kerf {
            return kerf.distance(point);
        }
        let apart = |axis: usize| {
            (self.min[axis] - point[axis])
                .max(point[axis] - self.max[axis])
                .max(0.0)
        };
        norm([apart(0), apart(1)])
    }
}

impl Scene {
    /// Sites of a board whose rectangle meets the stretch of its row.
    pub(crate) fn sites_across<'a>(
        &'a self,
        board: &Board,
        low: f64,
        high: f64,
    ) -> impl Iterator<Item = usize> + 'a {
        let range = board.sites.clone();
        let sites = &self.sites[range.clone()];
        let row = board.frame.row();
        let end = sites.partition_point(|site| site.min[row] <= high);
        let start = sites.partition_point(|site| site.min[row] < low - board.widest);
        let first = range.start;
        (start..end)
            .map(move |index| first + index)
            .filter(move |&index| self.sites[index].max[row] >= low)
    }

    /// The site that a move is in: the one about its middle, or else about an end.
    pub(crate) fn site_of(&self, board: &Board, segment: &Segment) -> Option<usize> {
        let extent = segment.extent();
        let row = board.frame.row();
        let across = 1 - row;
        let points = [segment.at(0.5), segment.from, segment.to].map(|point| [point[0], point[1]]);
        let met = |&index: &usize| {
            let site = &self.sites[index];
            site.min[across] <= extent.max[across] && site.max[across] >= extent.min[across]
        };
        let distance = |index: usize| -> f64 {
            let site = &self.sites[index];
            points.iter().map(|&point| site.distance(point)).sum()
        };
        self.sites_across(board, extent.min[row], extent.max[row])
            .filter(met)
            .map(|index| (distance(index), index))
            .min_by(|one, other| one.0.total_cmp(&other.0))
            .map(|(_, index)| index)
    }

    /// The site that a point is nearest to, of those whose board it is over.
    pub(crate) fn site_at(&self, point: [f64; 2]) -> Option<&Site> {
        let over = |site: &&Site| self.boards[site.board].signed_distance(point) < 0.0;
        let sites = self.sites.iter().filter(over);
        sites.min_by(|one, other| one.distance(point).total_cmp(&other.distance(point)))
    }

    /// A site near the middle of a move, for the report.
    pub(crate) fn nearest_site(&self, board: &Board, segment: &Segment) -> Option<usize> {
        let middle = segment.at(0.5);
        let range = board.sites.clone();
        let row = board.frame.row();
        let sites = &self.sites[range.clone()];
        let after = sites.partition_point(|site| site.min[row] <= middle[row]);
        let first = range.start + after.saturating_sub(2);
        let last = (range.start + after + 2).min(range.end);
        (first..last).min_by(|&a, &b| {
            let distance = |index: usize| self.sites[index].distance([middle[0], middle[1]]);
            distance(a).total_cmp(&distance(b))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Clamp, Hole, sample};
    use crate::units::Length;

    /// Source: the contract's table of program coordinates, worked by hand
    /// for divider 12, u 45, v 8.5.
    #[test]
    fn parts_lie_as_the_table_of_program_coordinates_says() {
        let place = |layout, part| {
            PartFrame::new(&fixture(layout, StopEnd::Left, 12.0), part).to_program(45.0, 8.5)
        };
        assert_eq!(place(Layout::Book, PartName::Box), [45.0, -14.5]);
        assert_eq!(place(Layout::Book, PartName::Lid), [45.0, 14.5]);
        assert_eq!(place(Layout::EndToEnd, PartName::Box), [-51.0, 8.5]);
        assert_eq!(place(Layout::EndToEnd, PartName::Lid), [51.0, 8.5]);
        assert_eq!(place(Layout::Scrap, PartName::Scrap), [45.0, 8.5]);
    }

    /// Source: handbook rows W53 and W54, fold line and fence at 0: (40, -8.75)
    /// to (40, 8.75); in one line the stop ends meet, so the box counts down.
    #[test]
    fn the_opened_book_mirrors_y_and_the_line_mirrors_x() {
        let place = |layout, part| {
            PartFrame::new(&fixture(layout, StopEnd::Left, 0.0), part).to_program(40.0, 8.75)
        };
        assert_eq!(place(Layout::Book, PartName::Box), [40.0, -8.75]);
        assert_eq!(place(Layout::Book, PartName::Lid), [40.0, 8.75]);
        assert_eq!(place(Layout::EndToEnd, PartName::Box), [-40.0, 8.75]);
    }

    #[test]
    fn program_coordinates_lead_back_to_the_part() {
        for layout in [Layout::Book, Layout::EndToEnd] {
            for stop_end in [StopEnd::Left, StopEnd::Right] {
                for part in [PartName::Box, PartName::Lid] {
                    let frame = PartFrame::new(&fixture(layout, stop_end, 7.0), part);
                    let [x, y] = frame.to_program(31.0, 4.5);
                    assert_eq!(frame.to_part(x, y), [31.0, 4.5]);
                }
            }
        }
    }

    /// Source: the contract on positions, worked by hand for a box of 260 with
    /// hinges at 45 and 215: 215 - 150; 90 - (260 - 215). The stop ends hang out
    /// at -150 and -170, and what stands at the mark is 20 high.
    #[test]
    fn a_position_is_located_by_its_mark_or_its_far_stop() {
        let mut job = sample::job();
        let mut at = |located, stop_end| {
            job.fixture.stop_end = stop_end;
            let position = Position {
                number: 1,
                hinges: vec![2],
                located,
                box_u: Length::ZERO,
                lid_u: Length::ZERO,
            };
            Scene::of(&job, Some(&position))
        };
        let mark = Located::Mark(Length::from_mm(150.0));
        let far = Located::FarStop(Length::from_mm(90.0));
        for (located, end, x, faces, board) in [
            (mark, StopEnd::Left, 65.0, [0.0, 0.0], [-150.0, 110.0]),
            (mark, StopEnd::Right, -65.0, [0.0, 0.0], [-110.0, 150.0]),
            (far, StopEnd::Left, 45.0, [90.0, 0.0], [-170.0, 90.0]),
            (far, StopEnd::Right, -45.0, [-90.0, 0.0], [-90.0, 170.0]),
        ] {
            let scene = at(located, end);
            let cut = scene.sites.iter().filter(|site| site.allowed > 0);
            let centers: Vec<f64> = cut.map(|site| site.steps[0].outline.center.x).collect();
            assert_eq!(centers, [x, x], "{located:?} {end}");
            assert_eq!(scene.faces, faces);
            assert_eq!([scene.boards[0].min[0], scene.boards[0].max[0]], board);
            let raised = if located == mark { 20.0 } else { 0.0 };
            assert_eq!(scene.travel_height, raised + 5.0);
        }
        let names: Vec<String> = at(mark, StopEnd::Left)
            .solids
            .into_iter()
            .map(|solid| solid.name)
            .collect();
        assert_eq!(names, ["divider", "stop bar", "block at the mark"]);
    }

    /// Source: the contract on `stop_end`, worked by hand for divider 12, u 45,
    /// v 8.5: X = -u in a book; end to end box and lid change sides.
    #[test]
    fn a_stop_on_the_right_turns_x_round() {
        let place = |layout, part| {
            PartFrame::new(&fixture(layout, StopEnd::Right, 12.0), part).to_program(45.0, 8.5)
        };
        assert_eq!(place(Layout::Book, PartName::Box), [-45.0, -14.5]);
        assert_eq!(place(Layout::Book, PartName::Lid), [-45.0, 14.5]);
        assert_eq!(place(Layout::EndToEnd, PartName::Box), [51.0, 8.5]);
        assert_eq!(place(Layout::EndToEnd, PartName::Lid), [-51.0, 8.5]);
        assert_eq!(place(Layout::Scrap, PartName::Scrap), [45.0, 8.5]);
    }

    #[test]
    fn boards_lie_on_the_side_that_their_stop_leaves_them() {
        let extents = |layout| {
            let mut job = sample::job();
            job.fixture = fixture(layout, StopEnd::Right, 12.0);
            let boards = Scene::new(&job).boards.into_iter();
            boards
                .map(|board| (board.min, board.max))
                .collect::<Vec<_>>()
        };
        // Box 260 by 18, lid 260 by 180.
        assert_eq!(
            extents(Layout::Book),
            [
                ([-260.0, -24.0], [0.0, -6.0]),
                ([-260.0, 6.0], [0.0, 186.0])
            ]
        );
        assert_eq!(
            extents(Layout::EndToEnd),
            [([6.0, 0.0], [266.0, 18.0]), ([-266.0, 0.0], [-6.0, 180.0])]
        );
    }

    /// Source: the contract on `along`, every place of the tables above with
    /// X, Y become -Y, X, worked by hand for divider 12, u 45, v 8.5.
    #[test]
    fn along_y_the_layout_lies_a_quarter_turn_round() {
        use {Layout::*, PartName::*, StopEnd::*};
        for (layout, stop_end, part, expected) in [
            (Book, Left, Box, [14.5, 45.0]),
            (Book, Left, Lid, [-14.5, 45.0]),
            (EndToEnd, Left, Box, [-8.5, -51.0]),
            (EndToEnd, Left, Lid, [-8.5, 51.0]),
            (Book, Right, Box, [14.5, -45.0]),
            (Book, Right, Lid, [-14.5, -45.0]),
            (EndToEnd, Right, Box, [-8.5, 51.0]),
            (EndToEnd, Right, Lid, [-8.5, -51.0]),
        ] {
            let laid = along_y(fixture(layout, stop_end, 12.0));
            let frame = PartFrame::new(&laid, part);
            let [x, y] = frame.to_program(45.0, 8.5);
            assert_eq!([x, y], expected, "{layout:?} {stop_end:?} {part}");
            assert_eq!(frame.to_part(x, y), [45.0, 8.5]);
        }
    }

    /// The first pocket of the box, 44.1 by 10.1, about (14.5, 45); the divider
    /// across X, the fence beyond X0, the stop across Y, the clamp where it was.
    #[test]
    fn along_y_pockets_and_fixture_are_turned_and_clamps_are_not() {
        let mut job = sample::job();
        job.fixture = along_y(fixture(Layout::Book, StopEnd::Left, 12.0));
        let clamp = Clamp {
            name: "left".to_owned(),
            min: Point::from_mm(-20.0, 1.0),
            max: Point::from_mm(-5.0, 20.0),
            height: Length::from_mm(25.0),
        };
        job.fixture.clamps.push(clamp);
        let (far, near) = (f64::INFINITY, f64::NEG_INFINITY);
        let places = |job: &Job| {
            let solids = Scene::new(job).solids.into_iter();
            solids
                .map(|solid| (solid.min, solid.max))
                .collect::<Vec<_>>()
        };
        let clamped = ([-20.0, 1.0], [-5.0, 20.0]);
        assert_eq!(places(&job), [([-6.0, near], [6.0, far]), clamped]);
        let scene = Scene::new(&job);
        let outline = scene.sites[0].steps[0].outline;
        assert_eq!(outline.center, Point::from_mm(14.5, 45.0));
        assert_eq!([outline.half_x, outline.half_y], [5.05, 22.05]);
        assert_eq!(scene.boards[0].min, [6.0, 0.0]);
        assert_eq!(scene.boards[0].max, [24.0, 260.0]);
        job.fixture.layout = Layout::EndToEnd;
        assert_eq!(
            places(&job),
            [
                ([0.0, near], [far, far]),
                ([near, -6.0], [far, 6.0]),
                clamped
            ]
        );
    }

    /// Of two pockets in one row along Y the one that the move is in or near.
    #[test]
    fn along_y_a_move_belongs_to_the_place_it_is_in() {
        let mut job = crowded();
        job.fixture.along = Along::Y;
        let scene = Scene::new(&job);
        let lid = &scene.boards[1];
        let segment = |x: f64, from: f64, to: f64| Segment::line([x, from, -1.0], [x, to, -1.0]);
        let of = |x, from, to| scene.site_of(lid, &segment(x, from, to));
        assert_eq!(of(-14.5, 30.0, 60.0), Some(2));
        assert_eq!(of(-14.5, 80.0, 110.0), Some(3));
        assert_eq!(of(-14.5, 70.0, 75.0), None);
        assert_eq!(of(-30.0, 30.0, 60.0), None);
        let nearest = |y| scene.nearest_site(lid, &segment(-30.0, y, y));
        assert_eq!([nearest(5.0), nearest(200.0)], [Some(2), Some(3)]);
    }

    fn along_y(fixture: Fixture) -> Fixture {
        Fixture {
            along: Along::Y,
            ..fixture
        }
    }

    fn fixture(layout: Layout, stop_end: StopEnd, divider: f64) -> Fixture {
        Fixture {
            layout,
            stop_end,
            divider: Length::from_mm(divider),
            ..sample::job().fixture
        }
    }

    #[test]
    fn a_shift_follows_u_and_not_x() {
        let mut job = sample::job();
        job.fixture.layout = Layout::EndToEnd;
        for part in &mut job.parts {
            part.pockets[0].steps[1].shift = Length::from_mm(2.0);
        }
        let scene = Scene::new(&job);
        let shifted = |part| {
            let board = scene
                .boards
                .iter()
                .find(|board| board.name == part)
                .unwrap();
            let site = scene.sites[board.sites.clone()]
                .iter()
                .find(|site| site.hinge() == 1)
                .unwrap();
            site.steps[1].outline.center.x - site.steps[0].outline.center.x
        };
        assert_eq!(shifted(PartName::Box), -2.0);
        assert_eq!(shifted(PartName::Lid), 2.0);
    }

    /// Source: the contract on `zero = "each"`: each part's own u = v = w = 0,
    /// and in G55 the lid's mating face is Z0.
    #[test]
    fn one_zero_for_each_part_puts_each_origin_at_its_own_corner() {
        let mut job = sample::job();
        job.fixture.zero = ZeroPoint::Each;
        job.fixture.lid_rise = Length::from_mm(1.5);
        job.fixture.machine_zero = Some([60.0, 150.0, -40.0].map(Length::from_mm));
        let scene = Scene::new(&job);
        assert_eq!(scene.frames.work[0], [0.0, -6.0, 0.0]);
        assert_eq!(scene.frames.work[1], [0.0, 6.0, 1.5]);
        assert_eq!(scene.frames.machine, Some([-60.0, -156.0, 40.0]));
        assert_eq!(scene.boards[1].top, 1.5);
    }

    #[test]
    fn travel_height_is_clearance_above_the_highest_thing() {
        let mut job = sample::job();
        assert_eq!(Scene::new(&job).travel_height, 5.0);
        job.fixture.lid_rise = Length::from_mm(2.0);
        assert_eq!(Scene::new(&job).travel_height, 7.0);
        job.fixture.clamps.push(Clamp {
            name: "left".to_owned(),
            min: Point::from_mm(-20.0, 0.0),
            max: Point::from_mm(-5.0, 20.0),
            height: Length::from_mm(25.0),
        });
        assert_eq!(Scene::new(&job).travel_height, 30.0);
    }

    #[test]
    fn a_partial_run_may_cut_only_what_is_selected() {
        let mut job = sample::job();
        job.selection = Selection {
            part: Some(PartName::Lid),
            hinge: Some(2),
            step: Some(2),
        };
        let scene = Scene::new(&job);
        let counts: Vec<(usize, usize)> = scene
            .sites
            .iter()
            .map(|site| (site.allowed, site.already))
            .collect();
        assert_eq!(counts, [(0, 0), (0, 0), (0, 0), (2, 1)]);
        assert_eq!(scene.sites[3].required_steps().len(), 1);
    }

    /// On the lid, which begins at Y 6: along u from (20, 3) to (24, 3), and
    /// along v from (30, 3) to (30, 9), by a bit of 6 mm.
    fn ticked() -> Job {
        let mut job = sample::job();
        let tick = |from: [f64; 2], to: [f64; 2]| Tick {
            from: Point::from_mm(from[0], from[1]),
            to: Point::from_mm(to[0], to[1]),
            depth: Length::from_mm(0.5),
        };
        job.parts[1].ticks = vec![
            tick([20.0, 3.0], [24.0, 3.0]),
            tick([30.0, 9.0], [30.0, 3.0]),
        ];
        job
    }

    fn ticks(job: &Job) -> Vec<Site> {
        let mut sites = Scene::new(job).sites;
        sites.retain(|site| site.hinge() == 0);
        sites
    }

    #[test]
    fn a_tick_is_as_wide_as_the_bit_and_round_at_its_ends() {
        let outline = |x, y, half_x, half_y| RoundedRectangle {
            center: Point::from_mm(x, y),
            half_x,
            half_y,
            corner: 3.0,
        };
        let found = ticks(&ticked());
        assert_eq!(found[0].steps[0].outline, outline(22.0, 9.0, 5.0, 3.0));
        assert_eq!(found[1].steps[0].outline, outline(30.0, 12.0, 3.0, 6.0));
        assert_eq!(found[1].steps[0].depth, 0.5);
    }

    #[test]
    fn ticks_are_cut_with_the_whole_of_their_part() {
        let allowed = |part, hinge| {
            let mut job = ticked();
            (job.selection.part, job.selection.hinge) = (part, hinge);
            ticks(&job)[0].allowed
        };
        assert_eq!(allowed(None, None), 1);
        assert_eq!(allowed(Some(PartName::Lid), None), 1);
        assert_eq!(allowed(Some(PartName::Box), None), 0);
        assert_eq!(allowed(None, Some(1)), 0);
        assert_eq!(allowed(Some(PartName::Box), Some(1)), 0);
    }

    #[test]
    fn holes_are_drilled_with_all_steps_of_their_pocket() {
        let mut job = sample::job();
        job.parts[1].pockets[0].holes = vec![Hole {
            center: Point::from_mm(66.0, 8.5),
            diameter: Length::from_mm(2.5),
            from: Length::from_mm(4.7),
            tip: Length::from_mm(13.7),
            point_height: Length::from_mm(0.75),
        }];
        let mut site = |hinge, step| {
            job.selection = Selection {
                part: None,
                hinge,
                step,
            };
            Scene::new(&job).sites[2].clone()
        };
        let whole = site(None, None);
        assert_eq!(
            whole.holes,
            [Bore {
                center: [66.0, 14.5],
                radius: 1.25,
                tip: 13.7,
                point: 0.75
            }]
        );
        // Beyond the first step's end at 67.05.
        assert_eq!(whole.max[0], 67.25);
        assert_eq!(site(Some(2), None).holes.len(), 0);
        assert_eq!(site(None, Some(2)).holes.len(), 0);
        assert_eq!(site(Some(1), None).holes.len(), 1);
    }

    /// A step that a pocket does not have is none of it.
    #[test]
    fn a_step_beyond_the_last_allows_nothing() {
        let mut job = sample::job();
        let counts = |step| {
            job.selection.step = Some(step);
            let site = &Scene::new(&job).sites[0];
            (site.allowed, site.already)
        };
        let counts: Vec<_> = [1, 2, 3].map(counts).into();
        assert_eq!(counts, [(1, 0), (2, 1), (0, 0)]);
    }

    #[test]
    fn the_divider_stands_between_the_parts_and_the_fence_below_them() {
        let found = |layout, divider: f64| {
            let mut job = sample::job();
            job.fixture.layout = layout;
            job.fixture.divider = Length::from_mm(divider);
            job.fixture.divider_height = Length::from_mm(3.0);
            job.fixture.fence_height = Length::from_mm(4.0);
            let solids = Scene::new(&job).solids.into_iter();
            let box_of = |solid: Solid| (solid.name, solid.min, solid.max, solid.top);
            solids.map(box_of).collect::<Vec<_>>()
        };
        let (far, near) = (f64::INFINITY, f64::NEG_INFINITY);
        let fence = ("fence".to_owned(), [near, near], [far, 0.0], 4.0);
        assert_eq!(
            found(Layout::Book, 12.0),
            [("divider".to_owned(), [near, -6.0], [far, 6.0], 3.0)]
        );
        assert_eq!(found(Layout::Book, 0.0), []);
        assert_eq!(
            found(Layout::EndToEnd, 12.0),
            [
                fence.clone(),
                ("centre stop".to_owned(), [-6.0, near], [6.0, far], 3.0)
            ]
        );
        assert_eq!(found(Layout::EndToEnd, 0.0), [fence]);
        assert_eq!(found(Layout::Scrap, 12.0), []);
    }

    /// The lid lies from (0, 6) to (260, 186).
    #[test]
    fn distance_to_a_board_is_to_its_rectangle() {
        let scene = Scene::new(&sample::job());
        for (point, expected) in [
            ([-3.0, 2.0], 5.0),
            ([264.0, 189.0], 5.0),
            ([-3.0, 50.0], 3.0),
            ([100.0, 190.0], 4.0),
            ([2.0, 50.0], -2.0),
            ([255.0, 60.0], -5.0),
            ([100.0, 7.0], -1.0),
            ([100.0, 183.0], -3.0),
        ] {
            assert_eq!(scene.boards[1].signed_distance(point), expected);
        }
    }

    /// The lid of the sample: pockets of 44.1 × 10.1 mm about (45, 14.5) and (215, 14.5).
    fn scene() -> Scene {
        Scene::new(&sample::job())
    }

    #[test]
    fn distance_to_a_site_is_to_its_rectangle() {
        let scene = scene();
        let distance = |x: f64, y: f64| scene.sites[2].distance([x, y]);
        for (x, y, expected) in [
            (45.0, 14.5, 0.0),
            (22.95 - 3.0, 9.45 - 4.0, 5.0),
            (67.05 + 3.0, 19.55 + 4.0, 5.0),
            (67.05 + 3.0, 14.5, 3.0),
            (45.0, 9.45 - 2.0, 2.0),
        ] {
            assert!((distance(x, y) - expected).abs() < 1e-9, "{x} {y}");
        }
    }

    /// A second place 10 mm past the first.
    fn crowded() -> Job {
        let mut job = sample::job();
        job.parts[1].pockets[1].center.x = 45.0 + 44.1 + 10.0;
        job
    }

    #[test]
    fn a_move_belongs_to_the_place_it_is_in() {
        let scene = Scene::new(&crowded());
        let lid = &scene.boards[1];
        let of = |from: [f64; 2], to: [f64; 2]| {
            let segment = Segment::line([from[0], from[1], -1.0], [to[0], to[1], -1.0]);
            scene.site_of(lid, &segment)
        };
        assert_eq!(of([30.0, 14.5], [60.0, 14.5]), Some(2));
        assert_eq!(of([80.0, 14.5], [110.0, 14.5]), Some(3));
        // From one to the other it is in the one that holds its middle or more of it.
        assert_eq!(of([30.0, 14.5], [80.0, 14.5]), Some(2));
        assert_eq!(of([60.0, 14.5], [110.0, 14.5]), Some(3));
        // Between the two, beyond the last and beside both.
        assert_eq!(of([70.0, 14.5], [75.0, 14.5]), None);
        assert_eq!(of([130.0, 14.5], [140.0, 14.5]), None);
        assert_eq!(of([30.0, 9.0], [60.0, 8.0]), None);
        assert_eq!(of([30.0, 20.0], [60.0, 21.0]), None);
        assert_eq!(of([30.0, 9.0], [60.0, 9.5]), Some(2));
    }

    #[test]
    fn the_nearest_place_is_told_where_a_move_is_in_none() {
        let scene = Scene::new(&crowded());
        let lid = &scene.boards[1];
        let nearest = |x: f64| {
            let segment = Segment::line([x, 30.0, -1.0], [x + 2.0, 30.0, -1.0]);
            scene.nearest_site(lid, &segment)
        };
        assert_eq!(nearest(5.0), Some(2));
        assert_eq!(nearest(69.0), Some(2));
        assert_eq!(nearest(73.0), Some(3));
        assert_eq!(nearest(200.0), Some(3));
        // The box has its own.
        let segment = Segment::line([200.0, -30.0, -1.0], [200.0, -30.0, -1.0]);
        assert_eq!(scene.nearest_site(&scene.boards[0], &segment), Some(1));
    }

    /// The lid's first place from X 24 to 68 and Y 9.5 to 19.5, without
    /// rounding, and five more, each 2 mm after the one before.
    fn row_of_places() -> Scene {
        let mut job = sample::job();
        let lid = &mut job.parts[1];
        lid.pockets[0].center.x = 46.0;
        for step in &mut lid.pockets[0].steps {
            (step.length, step.width) = (Length::from_mm(44.0), Length::from_mm(10.0));
        }
        let first = lid.pockets[0].clone();
        lid.pockets = (0..6_u8)
            .map(|number| {
                let mut pocket = first.clone();
                pocket.hinge = usize::from(number) + 1;
                pocket.center.x += f64::from(number) * 46.0;
                pocket
            })
            .collect();
        Scene::new(&job)
    }

    #[test]
    fn a_move_that_touches_a_place_belongs_to_it() {
        let scene = row_of_places();
        let lid = &scene.boards[1];
        let first = lid.sites.start;
        let across = |low, high| scene.sites_across(lid, low, high).collect::<Vec<_>>();
        assert_eq!(across(68.0, 69.0), [first]);
        assert_eq!(across(68.5, 69.5), [0; 0]);
        assert_eq!(across(68.5, 70.0), [first + 1]);
        assert_eq!(across(68.0, 70.0), [first, first + 1]);
        let at = |y: f64| {
            let segment = Segment::line([30.0, y, -1.0], [40.0, y, -1.0]);
            scene.site_of(lid, &segment)
        };
        assert_eq!([at(9.5), at(19.5)], [Some(first); 2]);
        assert_eq!([at(9.25), at(19.75)], [None; 2]);
    }

    /// Wherever the move is, also at the ends of the row.
    #[test]
    fn the_nearest_of_many_places_is_told() {
        let scene = row_of_places();
        let lid = &scene.boards[1];
        for place in 0..6_u8 {
            let x = 46.0 + f64::from(place) * 46.0;
            for x in [x - 22.5, x - 5.0, x + 5.0, x + 22.5] {
                let segment = Segment::line([x, 40.0, -1.0], [x, 40.0, -1.0]);
                let expected = lid.sites.start + usize::from(place);
                assert_eq!(scene.nearest_site(lid, &segment), Some(expected), "{x}");
            }
        }
    }
}
