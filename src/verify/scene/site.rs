//! The places of a board that are cut, and what this run may and must cut of each.

use crate::geometry::{Point, RoundedRectangle, norm};
use crate::job::position::Position;
use crate::job::{Job, Part, PartName, Pocket, Selection, Tick};
use crate::verify::scene::feature::Feature;
use crate::verify::scene::frame::PartFrame;
use crate::verify::scene::kerf::Kerf;
use crate::verify::scene::piece_walls::{self, Meeting};

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

pub(crate) fn part_sites(
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
    let finish = job.fit.finish.as_mm();
    let pieces = part.contours.iter().filter_map(|contour| {
        let kerf = Kerf::of(contour, width / 2.0, finish, |u, v| frame.to_program(u, v))?;
        Some(Site::round(kerf, board, usize::from(whole_part)))
    });
    pockets.chain(ticks).chain(pieces).collect()
}

/// Notes at each place whose pieces it lies near. What lies on a piece is part of it.
pub(crate) fn find_spared(sites: &mut [Site]) {
    let near = |site: &Site, other: &Site| {
        (0..2).all(|axis| site.min[axis] < other.max[axis] && site.max[axis] > other.min[axis])
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
            kerf.is_some_and(|kerf| near(site, place) && !site.is_on(kerf))
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

    pub(crate) fn distance(&self, point: [f64; 2]) -> f64 {
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
