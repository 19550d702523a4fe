//! What each F and S word governs: the moves that take wood, their kind and
//! the most they ask of the bit.

use std::collections::BTreeMap;

use crate::cutting::Limits;
use crate::job::Job;
use crate::replay::segment::Segment;
use crate::replay::tip::Tip;
use crate::report::CheckId;
use crate::retune::Objection;
use crate::rs274;
use crate::rs274::event::{Event, Move, Path, Refusal, Visitor};
use crate::shop::bit::Bit;
use crate::units::ruler::Ruler;
use crate::verify::material::allowance::Allowance;
use crate::verify::material::bite::Bite;
use crate::verify::material::pocket_stock::PocketStock;
use crate::verify::scene::{Board, Scene};

/// Wood lower than this is the rounding of coordinates, in millimetres.
const NO_WOOD: f64 = 0.005;
/// Straight down into more wood than this is a plunge, in millimetres.
const PLUNGE: f64 = 0.02;
/// A finishing pass may take this much floor, in millimetres.
const FINISH_FLOOR: f64 = 0.2;
/// A bite this much over the limit is the rounding of coordinates, in millimetres.
const ROUNDED: f64 = 0.01;
/// Path over which a section is averaged at least, in millimetres: less is
/// grain of the samples, not of the wood.
const AVERAGED: f64 = 1.0;

/// What kind of cut a move is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum PassKind {
    /// Straight down.
    Plunge,
    /// Downward along the path.
    Ramp,
    /// Level, in a slot or a wider pocket.
    Level,
    /// The wood at a wall, with little or no floor.
    Finishing,
}

impl PassKind {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Plunge => "straight plunges",
            Self::Ramp => "ramps",
            Self::Level => "level cuts",
            Self::Finishing => "finishing passes",
        }
    }
}

/// What one F word governs, of the moves by the bit in question.
#[derive(Clone, Debug, Default)]
pub(super) struct Group {
    /// The feed in force, mm a minute.
    pub(super) feed: f64,
    /// The S word in force.
    pub(super) speed_line: u64,
    pub(super) kinds: BTreeMap<PassKind, Demand>,
    /// The most that any of its moves may run at by the axes' limits, mm a minute.
    pub(super) axes: f64,
    /// Another bit's moves run under this word too.
    pub(super) shared: bool,
}

/// The most that moves of one kind ask of the bit, in millimetres.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Demand {
    /// Height of wood.
    pub(super) bite: f64,
    /// Height and width of the stretch with the greatest section.
    pub(super) section: [f64; 2],
    /// The first line that takes wood.
    pub(super) line: u64,
    /// The board it is in.
    pub(super) board: usize,
}

/// A program seen by what its F and S words govern.
pub(super) struct Survey {
    pub(super) bit: Bit,
    /// Whether other bits cut too, changed by M6.
    pub(super) changes_bits: bool,
    /// By the line of the F word.
    pub(super) groups: BTreeMap<u64, Group>,
    /// Speeds by the line of the S word.
    pub(super) speeds: BTreeMap<u64, f64>,
}

pub(super) fn of(
    program: &[u8],
    job: &Job,
    given: Option<&Bit>,
    wear: Option<f64>,
    scene: &Scene,
) -> Result<Survey, Vec<Objection>> {
    let dialect = &job.machine.dialect;
    let mut tools = Tools::default();
    rs274::read(program, dialect, scene.frames, &mut tools);
    let mut bit = tools.bit(job, given)?;
    bit.wear = wear.unwrap_or(bit.wear);
    let mut surveyor = Surveyor::new(job, given, scene, bit, tools.changes);
    rs274::read(program, dialect, scene.frames, &mut surveyor);
    surveyor.finish()
}

/// The T words of a program.
#[derive(Default)]
struct Tools {
    selected: Vec<(u64, u32)>,
    changes: bool,
}

impl Tools {
    /// The bit that the wear is meant for: the one given, the program's only
    /// one, or the job's own among several.
    fn bit(&self, job: &Job, given: Option<&Bit>) -> Result<Bit, Vec<Objection>> {
        if let Some(given) = given {
            return Ok(given.clone());
        }
        let mut named = Vec::new();
        for &(line, number) in &self.selected {
            named.push(in_rack(job, number).ok_or_else(|| {
                vec![Objection {
                    check: CheckId::Syntax,
                    line,
                    message: format!(
                        "T{number} is no bit of the rack; name the bit with `--bit`, or number it by `tool`"
                    ),
                }]
            })?);
        }
        match named.as_slice() {
            [only] => Ok((*only).clone()),
            [] => Ok(job.bit.clone()),
            several => Ok(several
                .iter()
                .find(|bit| bit.name == job.bit.name)
                .map_or_else(|| several[0].clone(), |bit| (*bit).clone())),
        }
    }
}

/// The bit of that tool number; the job's own as worn as the job says.
fn in_rack(job: &Job, number: u32) -> Option<&Bit> {
    if job.bit.tool == number {
        return Some(&job.bit);
    }
    job.rack.iter().find(|bit| bit.tool == number)
}

impl Visitor for Tools {
    fn event(&mut self, line: u64, event: &Event) {
        match event {
            Event::SelectTool(number) if self.selected.iter().all(|(_, other)| other != number) => {
                self.selected.push((line, *number));
            }
            Event::ToolChange(_) => self.changes = true,
            _ => {}
        }
    }

    fn refusal(&mut self, _refusal: &Refusal) {}
}

struct Surveyor<'a> {
    job: &'a Job,
    scene: &'a Scene,
    bit: Bit,
    tip: Tip,
    given: bool,
    /// Bits are changed by M6, not by the T word alone.
    by_change: bool,
    current: Option<Bit>,
    selected: Option<u32>,
    feed_line: u64,
    speed_line: u64,
    grounds: Vec<PocketStock>,
    limits: Vec<Limits>,
    /// Width of the wood at a wall that the finishing pass takes, in millimetres.
    allowance: Allowance,
    survey: Survey,
    deep: Option<TooDeep>,
}

impl<'a> Surveyor<'a> {
    fn new(job: &'a Job, given: Option<&Bit>, scene: &'a Scene, bit: Bit, by_change: bool) -> Self {
        let limits = scene
            .boards
            .iter()
            .map(|board| crate::cutting::limits(&bit, &board.wood))
            .collect();
        let mut survey = Survey {
            bit: bit.clone(),
            changes_bits: by_change && given.is_none(),
            groups: BTreeMap::new(),
            speeds: BTreeMap::new(),
        };
        survey.speeds.insert(0, 0.0);
        Self {
            job,
            scene,
            tip: tip(&bit),
            given: given.is_some(),
            by_change,
            current: given.cloned(),
            selected: None,
            feed_line: 0,
            speed_line: 0,
            grounds: scene.sites.iter().map(PocketStock::new).collect(),
            limits,
            allowance: Allowance::of(job),
            bit,
            survey,
            deep: None,
        }
    }

    fn finish(self) -> Result<Survey, Vec<Objection>> {
        match self.deep {
            None => Ok(self.survey),
            Some(deep) => Err(vec![deep.objection(&self.bit, Ruler::new(self.job.units))]),
        }
    }

    fn take_tool(&mut self, number: Option<u32>) {
        if !self.given {
            let bit = number.and_then(|number| in_rack(self.job, number));
            self.current = bit.cloned();
        }
        let bit = self.current.as_ref().unwrap_or(&self.bit);
        self.tip = tip(bit);
    }

    fn is_the_bit(&self) -> bool {
        self.current
            .as_ref()
            .is_none_or(|current| current.name == self.bit.name)
    }

    fn motion(&mut self, line: u64, motion: &Move) {
        let Some(segment) = Segment::of(motion) else {
            return;
        };
        let mut taken = None;
        for index in 0..self.scene.boards.len() {
            let board = &self.scene.boards[index];
            if segment.lowest() >= board.top - 1e-9 || !is_over(&segment, self.tip.radius, board) {
                continue;
            }
            let bite = self.take_wood(&segment, index);
            if bite.whole > NO_WOOD {
                taken = Some((index, bite));
            }
        }
        if let (Some((board, bite)), true) = (taken, motion.path != Path::Rapid) {
            self.note(line, motion, &segment, board, bite);
        }
    }

    /// Takes the wood at the pocket under the move; wood outside all pockets counts as solid.
    fn take_wood(&mut self, segment: &Segment, index: usize) -> Bite {
        let board = &self.scene.boards[index];
        let extent = segment.extent();
        let radius = self.tip.radius;
        let mut most: Option<Bite> = None;
        for number in board.sites.clone() {
            let site = &self.scene.sites[number];
            let over = (0..2).all(|axis| {
                extent.max[axis] + radius > site.min[axis]
                    && extent.min[axis] - radius < site.max[axis]
            });
            if !over {
                continue;
            }
            let bite = self.grounds[number].cut(site, board.top, segment, self.tip, self.allowance);
            if most.is_none_or(|most| bite.whole > most.whole) {
                most = Some(bite);
            }
        }
        most.unwrap_or_else(|| Bite::solid(board.top - segment.lowest()))
    }

    fn note(&mut self, line: u64, motion: &Move, segment: &Segment, board: usize, bite: Bite) {
        let is_the_bit = self.is_the_bit();
        let group = self.survey.groups.entry(self.feed_line).or_default();
        if !is_the_bit {
            group.shared = true;
            return;
        }
        group.feed = motion.feed.as_mm_per_minute();
        group.speed_line = self.speed_line;
        let axes = axes(
            segment,
            &self
                .job
                .machine
                .feed_max
                .map(|feed| feed.as_mm_per_minute()),
        );
        group.axes = if group.kinds.is_empty() {
            axes
        } else {
            group.axes.min(axes)
        };
        let kind = kind(segment, &bite);
        let demand = group.kinds.entry(kind).or_insert(Demand {
            line,
            board,
            ..Demand::default()
        });
        let height = match kind {
            PassKind::Finishing => bite.wall,
            PassKind::Plunge | PassKind::Ramp | PassKind::Level => bite.core,
        };
        let section = bite.volume / segment.level_length().max(AVERAGED);
        if height > 0.0 && section > demand.section[0] * demand.section[1] {
            demand.section = [height, section / height];
        }
        demand.bite = demand.bite.max(height);
        self.check_bite(line, board, kind, height);
    }

    fn check_bite(&mut self, line: u64, board: usize, kind: PassKind, height: f64) {
        let most = self.limits[board].stepdown.as_mm();
        let judged = match kind {
            PassKind::Plunge if self.bit.may_plunge() => self.tip.point == 0.0,
            PassKind::Finishing => false,
            PassKind::Plunge | PassKind::Ramp | PassKind::Level => true,
        };
        if judged && height > most + ROUNDED {
            let deep = self.deep.get_or_insert(TooDeep {
                line,
                height,
                most,
                count: 0,
            });
            deep.count += 1;
            if height > deep.height {
                *deep = TooDeep {
                    line,
                    height,
                    most,
                    count: deep.count,
                };
            }
        }
    }
}

/// The deepest of the bites that the worn bit may not take.
struct TooDeep {
    line: u64,
    height: f64,
    most: f64,
    count: u64,
}

impl TooDeep {
    fn objection(&self, bit: &Bit, ruler: Ruler) -> Objection {
        let more = match self.count {
            1 => String::new(),
            count => format!(" (the deepest of {count})"),
        };
        Objection {
            check: CheckId::Stepdown,
            line: self.line,
            message: format!(
                "takes {} in one bite{more}; worn {:.2}, `{}` may take {}: plan it anew",
                ruler.both(self.height, 2),
                bit.wear,
                bit.name,
                ruler.one(self.most, 2)
            ),
        }
    }
}

fn tip(bit: &Bit) -> Tip {
    Tip {
        radius: bit.cutting_diameter().as_mm() / 2.0,
        point: bit.point_height().as_mm(),
    }
}

fn is_over(segment: &Segment, radius: f64, board: &Board) -> bool {
    let extent = segment.extent();
    (0..2).all(|axis| {
        extent.max[axis] + radius > board.min[axis] && extent.min[axis] - radius < board.max[axis]
    })
}

fn kind(segment: &Segment, bite: &Bite) -> PassKind {
    let drop = segment.from[2] - segment.to[2];
    if segment.level_length() < 1e-6 && bite.whole > PLUNGE {
        PassKind::Plunge
    } else if bite.core <= FINISH_FLOOR && bite.wall > bite.core {
        PassKind::Finishing
    } else if drop > 1e-6 {
        PassKind::Ramp
    } else {
        PassKind::Level
    }
}

/// The fastest that the axes let a bit run along the path, mm a minute.
fn axes(segment: &Segment, feed_max: &[f64; 3]) -> f64 {
    let length = segment.length();
    if length <= 0.0 {
        return f64::INFINITY;
    }
    let down = (segment.to[2] - segment.from[2]).abs() / length;
    let level = if segment.turn.is_some() {
        // An arc may point along either axis.
        feed_max[0].min(feed_max[1])
    } else {
        let along = |axis: usize| {
            let share = (segment.to[axis] - segment.from[axis]).abs() / length;
            feed_max[axis] / share.max(1e-12)
        };
        along(0).min(along(1))
    };
    level.min(feed_max[2] / down.max(1e-12))
}

impl Visitor for Surveyor<'_> {
    fn event(&mut self, line: u64, event: &Event) {
        match event {
            Event::Feed(_) => self.feed_line = line,
            Event::Speed(speed) => {
                self.speed_line = line;
                self.survey.speeds.insert(line, speed.as_rpm());
            }
            Event::SelectTool(number) => {
                self.selected = Some(*number);
                if !self.by_change {
                    self.take_tool(self.selected);
                }
            }
            Event::ToolChange(_) => self.take_tool(self.selected),
            Event::Move(motion) => self.motion(line, motion),
            _ => {}
        }
    }

    fn refusal(&mut self, _refusal: &Refusal) {}
}
