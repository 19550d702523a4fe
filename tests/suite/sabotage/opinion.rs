//! The second opinion: slow, plain, and independent of the judge. Points of
//! wood on a fine grid and along the walls, each asked of each move; the bit's
//! rim walked in small steps for gouges. What lies within its own error of a
//! limit it leaves open.

use std::collections::BTreeSet;
use std::f64::consts::PI;

use stepwell::cutting;
use stepwell::job::{Job, Layout, PartName, ZeroPoint};
use stepwell::shop::bit::{Bit, BitKind};
use stepwell::shop::machine::{
    ArcSupport, CommentStyle, DustRelay, DwellUnit, SpindleControl, ToolChange,
};
use stepwell::units::{Feed, Length, SpindleSpeed, Units};

use super::reader::{self, Act, Meaning, Step};

/// Distance between points of wood.
const GRID: f64 = 0.1;
/// Figures nearer than this to a limit of 0.02 mm are left open.
const DOUBT: f64 = 0.008;

/// What the second opinion holds.
#[derive(Clone, Debug, Default)]
pub(crate) struct Opinion {
    /// Checks that are surely broken.
    pub(crate) broken: BTreeSet<&'static str>,
    /// Checks too near a limit to tell.
    pub(crate) open: BTreeSet<&'static str>,
}

impl Opinion {
    fn above(&mut self, id: &'static str, value: f64, limit: f64, doubt: f64) {
        if value > limit + doubt {
            self.broken.insert(id);
        } else if value > limit - doubt {
            self.open.insert(id);
        }
    }
}

/// An obround or rounded rectangle: half sides and corner.
#[derive(Clone, Copy, Debug)]
struct Shape {
    center: [f64; 2],
    half: [f64; 2],
    corner: f64,
    depth: f64,
}

impl Shape {
    /// How far outside a point is; negative inside.
    fn outside(&self, point: [f64; 2]) -> f64 {
        let x = (point[0] - self.center[0]).abs() - self.half[0] + self.corner;
        let y = (point[1] - self.center[1]).abs() - self.half[1] + self.corner;
        let beyond = if x > 0.0 && y > 0.0 {
            x.hypot(y)
        } else {
            x.max(y)
        };
        beyond - self.corner
    }
}

/// A point of wood and how deep it is cut.
#[derive(Clone, Copy, Debug)]
struct Grain {
    at: [f64; 2],
    cut: f64,
    /// Wanted depth here, zero where it does not matter.
    wanted: f64,
    /// Layers for which it lies at the wall: their ceilings and floors.
    walls: [(f64, f64); 3],
    /// Counts for bites and rapids, not only for what is left.
    inner: bool,
}

#[derive(Clone, Debug)]
struct Pocket {
    top: f64,
    shapes: Vec<Shape>,
    holes: Vec<Shape>,
    hole_cut: Vec<f64>,
    min: [f64; 2],
    max: [f64; 2],
    grains: Vec<Grain>,
}

#[derive(Clone, Debug)]
struct Board {
    min: [f64; 2],
    max: [f64; 2],
    top: f64,
    part: usize,
}

struct Shop<'a> {
    job: &'a Job,
    height: f64,
    boards: Vec<Board>,
    pockets: Vec<Pocket>,
    /// Name of the check, rectangle, top.
    solids: Vec<(&'static str, [f64; 2], [f64; 2], f64)>,
    opinion: Opinion,
}

struct Program<'a> {
    bit: &'a Bit,
    moved: bool,
    turning: bool,
    speed: f64,
    ready: f64,
    clock: f64,
    at: [Option<f64>; 3],
    stated: BTreeSet<&'static str>,
    /// From 54.
    offset: usize,
    selected: Option<u32>,
    loaded: Option<u32>,
    /// A change by M6, and whether its length has been taken.
    changed: bool,
    length_due: bool,
    /// A person has had a pause to switch the spindle on by hand.
    switched_on: bool,
    /// What rapids have taken in steps too small to tell, in all.
    scraped: f64,
    cut: bool,
    peck: f64,
    low: [f64; 3],
    high: [f64; 3],
}

/// Judges `programs` in order, in the same wood.
pub(crate) fn of(job: &Job, programs: &[String]) -> Opinion {
    let mut shop = Shop::new(job);
    let mut low = [f64::INFINITY; 2];
    let mut high = [f64::NEG_INFINITY; 2];
    for text in programs {
        let mut program = Program {
            bit: &job.bit,
            moved: false,
            turning: false,
            speed: 0.0,
            ready: 0.0,
            clock: 0.0,
            at: [None; 3],
            stated: BTreeSet::new(),
            offset: 0,
            selected: None,
            loaded: None,
            changed: false,
            length_due: false,
            switched_on: false,
            scraped: 0.0,
            cut: false,
            peck: 0.0,
            low: [f64::INFINITY; 3],
            high: [f64::NEG_INFINITY; 3],
        };
        shop.dialect(text);
        for (_, act) in reader::read(text, shop.meaning()) {
            shop.act(&mut program, &act);
        }
        for axis in 0..2 {
            low[axis] = low[axis].min(program.low[axis]);
            high[axis] = high[axis].max(program.high[axis]);
        }
        let travel = job.machine.travel.map(Length::as_mm);
        shop.opinion
            .above("envelope", high[0] - low[0], travel[0], 0.02);
        shop.opinion
            .above("envelope", high[1] - low[1], travel[1], 0.02);
        shop.opinion.above(
            "envelope",
            program.high[2] - program.low[2],
            travel[2],
            0.02,
        );
        shop.daylight(&program);
    }
    shop.left();
    shop.opinion
}

impl<'a> Shop<'a> {
    fn new(job: &'a Job) -> Self {
        let fixture = &job.fixture;
        let half = fixture.divider.as_mm() / 2.0;
        let mut boards = Vec::new();
        let mut pockets = Vec::new();
        let finish = job.fit.finish.as_mm();
        let band = 2.0_f64.sqrt() * finish + 0.05;
        for (index, part) in job.parts.iter().enumerate() {
            // The contract's table, in plain words.
            let place = |u: f64, v: f64| match (fixture.layout, part.name) {
                (Layout::Book, PartName::Box) => [u, -(half + v)],
                (Layout::Book, _) => [u, half + v],
                (Layout::EndToEnd, PartName::Box) => [-(half + u), v],
                (Layout::EndToEnd, _) => [half + u, v],
                (Layout::Scrap, _) => [u, v],
            };
            let top = if part.name == PartName::Lid {
                fixture.lid_rise.as_mm()
            } else {
                0.0
            };
            let (a, b) = (
                place(0.0, 0.0),
                place(part.length.as_mm(), part.across.as_mm()),
            );
            boards.push(Board {
                min: [a[0].min(b[0]), a[1].min(b[1])],
                max: [a[0].max(b[0]), a[1].max(b[1])],
                top,
                part: index,
            });
            for pocket in &part.pockets {
                let shapes: Vec<Shape> = pocket
                    .steps
                    .iter()
                    .map(|step| Shape {
                        center: place(
                            pocket.center.x().as_mm() + step.shift.as_mm(),
                            pocket.center.y().as_mm(),
                        ),
                        half: [step.length.as_mm() / 2.0, step.width.as_mm() / 2.0],
                        corner: step.corner.as_mm(),
                        depth: step.depth.as_mm(),
                    })
                    .collect();
                let holes: Vec<Shape> = pocket
                    .holes
                    .iter()
                    .map(|hole| Shape {
                        center: place(hole.center.x().as_mm(), hole.center.y().as_mm()),
                        half: [hole.diameter.as_mm() / 2.0; 2],
                        corner: hole.diameter.as_mm() / 2.0,
                        depth: hole.tip.as_mm(),
                    })
                    .collect();
                pockets.push(Pocket::new(top, shapes, holes, band));
            }
        }
        let mut solids = Vec::new();
        let all = f64::INFINITY;
        let stop = fixture.divider_height.as_mm();
        match fixture.layout {
            Layout::Book if half > 0.0 => {
                solids.push(("nut-clearance", [-all, -half], [all, half], stop));
            }
            Layout::EndToEnd => {
                let fence = fixture.fence_height.as_mm();
                solids.push(("nut-clearance", [-all, -all], [all, 0.0], fence));
                if half > 0.0 {
                    solids.push(("nut-clearance", [-half, -all], [half, all], stop));
                }
            }
            _ => {}
        }
        for clamp in &fixture.clamps {
            solids.push((
                "clamp-clearance",
                [clamp.min.x().as_mm(), clamp.min.y().as_mm()],
                [clamp.max.x().as_mm(), clamp.max.y().as_mm()],
                clamp.height.as_mm(),
            ));
        }
        let highest = boards
            .iter()
            .map(|board| board.top)
            .chain(solids.iter().map(|solid| solid.3))
            .fold(0.0, f64::max);
        Self {
            job,
            height: highest + job.machine.clearance.as_mm(),
            boards,
            pockets,
            solids,
            opinion: Opinion::default(),
        }
    }

    fn act(&mut self, program: &mut Program<'a>, act: &Act) {
        match act {
            Act::Bad(_) => {
                self.opinion.broken.insert("syntax");
            }
            Act::State(name) => {
                program.stated.insert(name);
                if *name == "length" {
                    program.length_due = program.changed;
                }
            }
            Act::Offset(number) => {
                let known = if self.job.fixture.zero == ZeroPoint::Each {
                    [54, 55].contains(number)
                } else {
                    *number == 54
                };
                if !known {
                    self.opinion.broken.insert("preamble");
                }
                let low = program.at[2].is_some_and(|z| z < self.height - 0.005);
                if program.moved && *number != program.offset && low {
                    self.opinion.broken.insert("travel-height");
                }
                program.offset = *number;
                program.stated.insert("offset");
            }
            Act::Length(number) => {
                program.stated.insert("length");
                program.length_due = false;
                if !program.changed || program.loaded != Some(*number) {
                    self.opinion.broken.insert("preamble");
                }
            }
            Act::Speed(speed) => self.speed(program, *speed),
            Act::Tool(number) => {
                program.selected = Some(*number);
                if self.bit(*number).is_none() {
                    self.opinion.broken.insert("syntax");
                }
                if !program.cut && !program.changed {
                    self.load(program, *number);
                }
            }
            Act::ToolChange => {
                if self.job.machine.dialect.effective_tool_change() != ToolChange::M6 {
                    self.opinion.broken.insert("dialect");
                }
                self.below_rim(program);
                self.hands_at_the_collet(program);
                program.turning = false;
                if let Some(number) = program.selected {
                    self.load(program, number);
                }
                program.changed = true;
                program.length_due = true;
            }
            Act::Spindle(on) => {
                if *on && !program.turning {
                    program.ready = program.clock + self.job.machine.spindle.spin_up.as_seconds();
                }
                if !*on && program.turning {
                    self.below_rim(program);
                }
                program.turning = *on;
            }
            Act::Dwell(seconds) => {
                if *seconds > 0.0 {
                    self.below_rim(program);
                }
                program.clock += seconds;
            }
            Act::Pause => {
                self.below_rim(program);
                program.ready = program.ready.min(program.clock);
                if self.job.machine.dialect.effective_tool_change() == ToolChange::Pause
                    && let Some(number) = program.selected
                    && program.selected != program.loaded
                {
                    self.hands_at_the_collet(program);
                    self.load(program, number);
                }
                let manual = self.job.machine.spindle.control == SpindleControl::Manual;
                program.switched_on = program.turning && manual;
            }
            Act::End => {
                let up = program.at[2].is_none_or(|z| z >= self.height - 0.005);
                if !up || program.turning {
                    self.opinion.broken.insert("program-end");
                }
                if program.switched_on && !program.turning {
                    self.opinion.broken.insert("spindle-on");
                }
            }
            Act::Move(step) => self.step(program, step),
        }
    }

    fn bit(&self, number: u32) -> Option<&'a Bit> {
        let job = self.job;
        let pilot = job.pilot.as_ref().map(|pilot| &pilot.bit);
        let rack = [Some(&job.bit), pilot]
            .into_iter()
            .flatten()
            .chain(&job.rack);
        rack.into_iter().find(|bit| bit.tool == number)
    }

    fn load(&self, program: &mut Program<'a>, number: u32) {
        program.loaded = Some(number);
        if let Some(bit) = self.bit(number) {
            program.bit = bit;
        }
    }

    fn hands_at_the_collet(&mut self, program: &Program<'_>) {
        if program.turning || program.switched_on {
            self.opinion.broken.insert("spindle-on");
        }
    }

    fn meaning(&self) -> Meaning {
        let (machine, fixture) = (&self.job.machine, &self.job.fixture);
        let mut offsets = [[0.0; 3]; 6];
        if fixture.zero == ZeroPoint::Each {
            let half = fixture.divider.as_mm() / 2.0;
            let (along, across) = match fixture.layout {
                Layout::Book => (0.0, half),
                _ => (half, 0.0),
            };
            offsets[0] = [-along, -across, 0.0];
            offsets[1] = [along, across, fixture.lid_rise.as_mm()];
        }
        Meaning {
            inches: machine.dialect.units == Units::Inch,
            milliseconds: machine.dialect.dwell == DwellUnit::Milliseconds,
            offsets,
            machine: fixture
                .machine_zero
                .map(|zero| [0, 1, 2].map(|axis| offsets[0][axis] - zero[axis].as_mm())),
        }
    }

    /// What the controller does not have, from the lines as they stand.
    fn dialect(&mut self, text: &str) {
        let dialect = &self.job.machine.dialect;
        let mut broken = dialect.percent && !text.lines().any(|line| line.trim() == "%");
        for line in text.lines() {
            broken |= line.len() > dialect.line_limit;
            broken |= line.trim() == "%" && !dialect.percent;
            let (code, comment) = match line.find(['(', ';']) {
                Some(place) => line.split_at(place),
                None => (line, ""),
            };
            broken |= match comment.chars().next() {
                Some('(') => dialect.comments != CommentStyle::Parentheses,
                Some(_) => dialect.comments != CommentStyle::Semicolon,
                None => false,
            };
            let inside = comment.trim_start_matches(['(', ';', ' ']).to_uppercase();
            let acts = [
                "MSG,",
                "LOG,",
                "LOGOPEN,",
                "PRINT,",
                "DEBUG,",
                "PROBEOPEN,",
                "ABORT,",
            ];
            broken |= acts.iter().any(|word| inside.starts_with(word));
            let words: Vec<&str> = code.split_whitespace().collect();
            let significant = |word: &&str| {
                word.split_once('.')
                    .map_or(0, |(_, digits)| digits.trim_end_matches('0').len())
            };
            let coordinates = words.iter().filter(|word| !word.starts_with('P'));
            broken |= coordinates
                .map(significant)
                .any(|count| count > usize::from(dialect.decimals));
            let arc = words.contains(&"G2") || words.contains(&"G3");
            broken |= arc && dialect.arcs == ArcSupport::None;
            let helix = arc && words.iter().any(|word| word.starts_with('Z'));
            if helix && dialect.arcs == ArcSupport::Flat {
                // Level after all, if Z says where it is.
                self.opinion.open.insert("dialect");
            }
            broken |= words.contains(&"M7") && dialect.dust != DustRelay::M7;
            broken |= words.contains(&"M8") && dialect.dust != DustRelay::M8;
        }
        if broken {
            self.opinion.broken.insert("dialect");
        }
    }

    fn speed(&mut self, program: &mut Program<'_>, speed: f64) {
        let spindle = &self.job.machine.spindle;
        if speed > 0.0 {
            let range = spindle.slowest.as_rpm() - 0.5..=spindle.fastest.as_rpm() + 0.5;
            if !range.contains(&speed) {
                self.opinion.broken.insert("spindle-limit");
            }
        }
        if program.turning && speed != program.speed {
            self.below_rim(program);
            self.opinion.open.insert("spindle-on");
        }
        program.speed = speed;
    }

    fn below_rim(&mut self, program: &Program<'_>) {
        let Some(z) = program.at[2] else {
            return;
        };
        let (Some(x), Some(y)) = (program.at[0], program.at[1]) else {
            if z < 0.0 {
                self.opinion.open.insert("spindle-on");
            }
            return;
        };
        let radius = program.bit.cutting_diameter().as_mm() / 2.0;
        for board in &self.boards {
            let reach = radius - apart(board.min, board.max, [x, y]);
            if reach > 0.02 && board.top - z > 0.001 {
                self.opinion.broken.insert("spindle-on");
            } else if reach > -0.02 && board.top - z > 0.0 {
                self.opinion.open.insert("spindle-on");
            }
        }
    }

    fn step(&mut self, program: &mut Program<'a>, step: &Step) {
        if !program.moved {
            for name in [
                "units",
                "plane",
                "distance",
                "feed mode",
                "compensation",
                "length",
            ] {
                if !program.stated.contains(name) {
                    self.opinion.broken.insert("preamble");
                }
            }
        }
        if !step.machine_frame && !program.stated.contains("offset") {
            self.opinion.broken.insert("preamble");
        }
        let unknown = (0..3).any(|axis| step.named[axis] && step.to[axis].is_none());
        if step.machine_frame && unknown {
            self.opinion.broken.insert("preamble");
        }
        self.travel(program, step);
        program.moved = true;
        program.at = step.to;
        let known = |point: [Option<f64>; 3]| Some([point[0]?, point[1]?, point[2]?]);
        let (Some(from), Some(to)) = (known(step.from), known(step.to)) else {
            return;
        };
        let path = Path::new(step, from, to);
        for point in path.points(0.2) {
            for (low, value) in program.low.iter_mut().zip(point) {
                *low = low.min(value);
            }
            for (high, value) in program.high.iter_mut().zip(point) {
                *high = high.max(value);
            }
        }
        let began = program.clock;
        program.clock += self.seconds(step, &path);
        self.feed(step, &path);
        self.solids(program, step, &path);
        for index in 0..self.boards.len() {
            self.board(program, step, &path, index, began);
        }
        if to[2] > from[2] {
            program.peck = 0.0;
        }
    }

    fn seconds(&self, step: &Step, path: &Path) -> f64 {
        if step.rapid {
            let rapid = self.job.machine.rapid.map(Feed::as_mm_per_minute);
            (0..3)
                .map(|axis| (path.to[axis] - path.from[axis]).abs() / rapid[axis] * 60.0)
                .fold(0.0, f64::max)
        } else {
            path.length / step.feed * 60.0
        }
    }

    fn travel(&mut self, program: &Program<'_>, step: &Step) {
        let height = self.height;
        if !program.moved {
            let up = step.to[2].is_some_and(|z| z >= height - 0.005);
            if step.named[0] || step.named[1] || !up {
                self.opinion.broken.insert("travel-height");
            }
            return;
        }
        let sideways = (0..2).any(|axis| match (step.from[axis], step.to[axis]) {
            (Some(a), Some(b)) => a != b,
            _ => step.named[axis],
        }) || step.arc.is_some();
        let lowest = match (step.from[2], step.to[2]) {
            (Some(a), Some(b)) => a.min(b),
            (None, None) => {
                self.opinion.broken.insert("travel-height");
                return;
            }
            (a, b) => a.or(b).unwrap(),
        };
        if lowest >= height - 0.005 {
            return;
        }
        let known = |point: [Option<f64>; 3]| Some([point[0]?, point[1]?]);
        let (Some(from), Some(to)) = (known(step.from), known(step.to)) else {
            self.opinion.broken.insert("travel-height");
            return;
        };
        if !sideways && step.from[2] < step.to[2] && step.from[2].is_some() {
            return;
        }
        // How far the bit's disc stands out of the pocket or hole that it is
        // least out of, where it is low.
        let at = |[x, y]: [f64; 2], z: Option<f64>| [x, y, z.unwrap_or(lowest)];
        let path = Path::new(step, at(from, step.from[2]), at(to, step.to[2]));
        let low: Vec<[f64; 3]> = path
            .points(0.1)
            .filter(|point| point[2] < height - 0.005)
            .collect();
        let radius = program.bit.cutting_diameter().as_mm() / 2.0;
        let out = self
            .pockets
            .iter()
            .flat_map(|pocket| pocket.shapes.first().into_iter().chain(&pocket.holes))
            .map(|shape| {
                low.iter()
                    .map(|point| shape.outside([point[0], point[1]]) + radius)
                    .fold(f64::NEG_INFINITY, f64::max)
            })
            .fold(f64::INFINITY, f64::min);
        if !low.is_empty() {
            self.opinion.above("travel-height", out, 0.02, 0.001);
        }
    }

    fn feed(&mut self, step: &Step, path: &Path) {
        if step.rapid || path.length == 0.0 {
            return;
        }
        let limit = self.job.machine.feed_max.map(Feed::as_mm_per_minute);
        let points: Vec<[f64; 3]> = path.points(path.length / 64.0).collect();
        for pair in points.windows(2) {
            for axis in 0..3 {
                let length = distance(pair[0], pair[1]);
                let share = (pair[1][axis] - pair[0][axis]).abs() / length.max(1e-12);
                let slack = 2.0 * step.digit / path.length + 0.003;
                let rate = step.feed * share;
                if rate > limit[axis] + step.feed * slack {
                    self.opinion.broken.insert("feed-limit");
                } else if rate > limit[axis] * 1.0005 {
                    self.opinion.open.insert("feed-limit");
                }
            }
        }
    }

    fn solids(&mut self, program: &Program<'_>, step: &Step, path: &Path) {
        let bit = program.bit;
        let machine = &self.job.machine;
        let stickout = bit.stickout.as_mm();
        let mut turned = vec![
            (bit.cutting_diameter().as_mm() / 2.0, 0.0),
            (bit.shank.as_mm() / 2.0, bit.cutting_length.as_mm()),
            (machine.nut.diameter.as_mm() / 2.0, stickout),
        ];
        if let Some(nose) = machine.nose_diameter {
            turned.push((nose.as_mm() / 2.0, stickout + machine.nut.length.as_mm()));
        }
        let lowest = path.from[2].min(path.to[2]);
        for (id, min, max, top) in &self.solids {
            for (radius, above) in &turned {
                if lowest + above >= *top {
                    continue;
                }
                let mut touch = f64::NEG_INFINITY;
                if step.rapid {
                    let low = [0, 1].map(|axis| path.from[axis].min(path.to[axis]));
                    let high = [0, 1].map(|axis| path.from[axis].max(path.to[axis]));
                    let gap =
                        |axis: usize| (min[axis] - high[axis]).max(low[axis] - max[axis]).max(0.0);
                    touch = (radius - gap(0).hypot(gap(1))).min(top - lowest - above);
                } else {
                    for point in path.points(0.2) {
                        let sunk = top - point[2] - above;
                        let beside = radius - apart(*min, *max, [point[0], point[1]]);
                        touch = touch.max(sunk.min(beside));
                    }
                }
                self.opinion.above(id, touch, 0.005, 0.01);
            }
        }
    }

    fn board(
        &mut self,
        program: &mut Program<'a>,
        step: &Step,
        path: &Path,
        index: usize,
        began: f64,
    ) {
        let board = self.boards[index].clone();
        let radius = program.bit.cutting_diameter().as_mm() / 2.0;
        let lowest = path.from[2].min(path.to[2]);
        let reaches = path
            .points(0.2)
            .any(|point| apart(board.min, board.max, [point[0], point[1]]) < radius);
        let wide = step.rapid && path.box_apart(board.min, board.max) < radius;
        if lowest >= board.top || !(reaches || wide) {
            return;
        }
        let depth = board.top - lowest;
        if depth > program.bit.cutting_length.as_mm() {
            self.opinion.open.insert("flute-reach");
            if depth > program.bit.cutting_length.as_mm() + 0.02
                && program.bit.shank >= program.bit.cutting_diameter()
            {
                self.opinion.broken.insert("flute-reach");
            }
        }
        if depth > program.bit.stickout.as_mm() - 0.05 {
            self.opinion.broken.insert("nut-clearance");
        }
        if step.rapid {
            self.rapid(program, path, &board, depth);
        }
        self.gouge(program, path, &board);
        self.bite(program, step, path, &board, began);
    }

    fn rapid(&mut self, program: &mut Program<'_>, path: &Path, board: &Board, depth: f64) {
        let radius = program.bit.cutting_diameter().as_mm() / 2.0;
        let is_drill = program.bit.kind == BitKind::Drill;
        let straight = path.level == 0.0;
        let low = [0, 1].map(|axis| path.from[axis].min(path.to[axis]));
        let high = [0, 1].map(|axis| path.from[axis].max(path.to[axis]));
        let mut met = f64::NEG_INFINITY;
        let mut inside = false;
        for pocket in self.pockets.iter().filter(|pocket| pocket.top == board.top) {
            let own_hole = pocket
                .holes
                .iter()
                .zip(&pocket.hole_cut)
                .find(|(hole, cut)| {
                    let away = (hole.center[0] - path.to[0]).hypot(hole.center[1] - path.to[1]);
                    is_drill && straight && away < 0.02 && depth <= **cut + 0.004
                });
            if let Some((_, cut)) = own_hole {
                program.scraped += (depth - cut).max(0.0);
                self.opinion
                    .above("rapid-in-wood", program.scraped, 0.03, 0.02);
                return;
            }
            inside |= (0..2).all(|axis| {
                low[axis] - radius + 0.02 >= pocket.min[axis]
                    && high[axis] + radius - 0.02 <= pocket.max[axis]
            });
            for grain in pocket.grains.iter().filter(|grain| grain.inner) {
                let away = apart(low, high, grain.at);
                if away < radius - 0.03 {
                    met = met.max(depth - grain.cut);
                } else if away < radius - 0.01 && depth > grain.cut + 0.002 {
                    self.opinion.open.insert("rapid-in-wood");
                }
            }
        }
        if !inside {
            met = met.max(depth);
        }
        program.scraped += met.max(0.0);
        self.opinion
            .above("rapid-in-wood", program.scraped, 0.03, 0.02);
        self.opinion.above("rapid-in-wood", met, 0.006, 0.004);
    }

    /// Walks the bit's rim.
    fn gouge(&mut self, program: &Program<'_>, path: &Path, board: &Board) {
        let radius = program.bit.cutting_diameter().as_mm() / 2.0;
        let cone = program.bit.point_height().as_mm();
        let mut worst = 0.0_f64;
        for point in path.points(0.05) {
            let depth = board.top - point[2];
            if depth <= 0.0 || apart(board.min, board.max, [point[0], point[1]]) >= radius {
                continue;
            }
            let plan = [point[0], point[1]];
            let clear = self.pockets.iter().any(|pocket| {
                pocket.top == board.top && pocket.outside(plan, depth) + radius <= 0.01
            });
            if clear {
                continue;
            }
            for rim in 0..64 {
                let angle = f64::from(rim) * PI / 32.0;
                let at = [
                    plan[0] + radius * angle.cos(),
                    plan[1] + radius * angle.sin(),
                ];
                worst = worst.max(self.intrusion(board, at, depth - cone));
            }
            worst = worst.max(self.intrusion(board, plan, depth));
            if worst > 0.1 {
                break;
            }
        }
        self.opinion.above("pocket-bounds", worst, 0.02, DOUBT);
    }

    fn intrusion(&self, board: &Board, at: [f64; 2], depth: f64) -> f64 {
        let inside = (0..2)
            .map(|axis| (at[axis] - board.min[axis]).min(board.max[axis] - at[axis]))
            .fold(f64::INFINITY, f64::min);
        let mut least = depth.min(inside);
        for pocket in self.pockets.iter().filter(|pocket| pocket.top == board.top) {
            for shape in pocket.shapes.iter().chain(&pocket.holes) {
                least = least.min(shape.outside(at).max(depth - shape.depth));
            }
        }
        least.max(0.0)
    }

    fn bite(
        &mut self,
        program: &mut Program<'a>,
        step: &Step,
        path: &Path,
        board: &Board,
        began: f64,
    ) {
        let bit = program.bit;
        let radius = bit.cutting_diameter().as_mm() / 2.0;
        let cone = bit.point_height().as_mm();
        let (mut whole, mut core, mut wall, mut volume) = (0.0_f64, 0.0_f64, 0.0_f64, 0.0);
        let chords: Vec<([f64; 3], [f64; 3])> = path.chords();
        for pocket in self
            .pockets
            .iter_mut()
            .filter(|pocket| pocket.top == board.top)
        {
            let reach = path.box_apart(pocket.min, pocket.max);
            if reach > radius {
                continue;
            }
            for (hole, cut) in pocket.holes.iter().zip(&mut pocket.hole_cut) {
                let away = (hole.center[0] - path.to[0]).hypot(hole.center[1] - path.to[1]);
                if away < 0.02 {
                    *cut = cut.max(board.top - path.to[2].min(path.from[2]));
                }
            }
            for (from, to) in &chords {
                let low = [0, 1].map(|axis| from[axis].min(to[axis]) - radius);
                let high = [0, 1].map(|axis| from[axis].max(to[axis]) + radius);
                let start = pocket.grains.partition_point(|grain| grain.at[0] < low[0]);
                for grain in &mut pocket.grains[start..] {
                    if grain.at[0] > high[0] {
                        break;
                    }
                    if grain.at[1] < low[1] || grain.at[1] > high[1] {
                        continue;
                    }
                    let Some((deep, away)) = covered(*from, *to, grain.at, radius, board.top, cone)
                    else {
                        continue;
                    };
                    if deep <= grain.cut {
                        continue;
                    }
                    if grain.inner && away < radius - 0.03 {
                        let taken = deep - grain.cut;
                        let at_walls: f64 = grain
                            .walls
                            .iter()
                            .map(|(ceiling, floor)| {
                                (deep.min(*floor) - grain.cut.max(*ceiling)).max(0.0)
                            })
                            .sum();
                        whole = whole.max(taken);
                        wall = wall.max(at_walls);
                        core = core.max(taken - at_walls);
                    }
                    if grain.inner {
                        volume += (deep - grain.cut) * GRID * GRID;
                    }
                    grain.cut = deep;
                }
            }
        }
        if step.rapid {
            return;
        }
        if whole <= 0.0 {
            // A gouge outside the pockets takes wood too; it is broken anyway.
            return;
        }
        program.cut |= whole > 0.02;
        if whole > 0.05 {
            self.ready_to_cut(program, board);
        }
        self.judge_bite(
            program,
            step,
            path,
            board,
            began,
            [whole, core, wall, volume],
        );
    }

    /// What must have happened before wood is taken.
    fn ready_to_cut(&mut self, program: &Program<'_>, board: &Board) {
        let machine = &self.job.machine;
        let by_word = machine.dialect.effective_tool_change() == ToolChange::M6;
        if program.length_due || (by_word && !program.changed) {
            self.opinion.broken.insert("preamble");
        }
        let own = if self.job.parts[board.part].name == PartName::Lid {
            55
        } else {
            54
        };
        if self.job.fixture.zero == ZeroPoint::Each && program.offset != own {
            self.opinion.broken.insert("preamble");
        }
        if machine.spindle.control == SpindleControl::Manual && !program.switched_on {
            self.opinion.broken.insert("spindle-on");
        }
    }

    fn judge_bite(
        &mut self,
        program: &mut Program<'a>,
        step: &Step,
        path: &Path,
        board: &Board,
        began: f64,
        [whole, core, wall, volume]: [f64; 4],
    ) {
        let bit = program.bit;
        let wood = &self.job.parts[board.part].wood;
        let limits = cutting::limits(bit, wood);
        let manual = self.job.machine.spindle.control == SpindleControl::Manual;
        let sure = whole > 0.05;
        let note = |opinion: &mut Opinion, id: &'static str, broken: bool| {
            if broken && sure {
                opinion.broken.insert(id);
            } else {
                opinion.open.insert(id);
            }
        };
        if !program.turning || (program.speed <= 0.0 && !manual) {
            note(&mut self.opinion, "spindle-on", true);
        } else if began < program.ready - 1e-6 {
            let meets =
                (path.from[2] - board.top).max(0.0) / (path.from[2] - path.to[2]).abs().max(1e-9);
            let met = began + meets.min(1.0) * path.length / step.feed * 60.0;
            note(&mut self.opinion, "spindle-on", met < program.ready - 0.1);
        }
        let drop = path.from[2] - path.to[2];
        let straight = path.level < 1e-6 && drop > 0.0;
        if straight && !bit.may_plunge() {
            self.opinion.above("plunge", whole, 0.02, 0.015);
        }
        if !(straight && bit.may_plunge()) {
            let allowed = path.level * limits.ramp.as_radians().tan() + 1.5 * step.digit;
            if drop > allowed + 1e-6 {
                note(&mut self.opinion, "ramp-angle", true);
            } else if drop > allowed * 0.99999 {
                self.opinion.open.insert("ramp-angle");
            }
        }
        let limit = limits.stepdown.as_mm();
        if bit.kind == BitKind::Drill {
            program.peck += whole;
            self.opinion.above("stepdown", program.peck, limit, 0.05);
        } else {
            self.opinion.above("stepdown", core, limit + 0.03, 0.05);
            self.opinion
                .above("stepdown", wall, bit.cutting_length.as_mm() + 0.03, 0.05);
        }
        let finishing = core <= 0.25 && wall > core;
        let rpm = if program.speed > 0.0 || !manual {
            program.speed
        } else {
            return;
        };
        let teeth = rpm * f64::from(bit.flutes);
        if teeth <= 0.0 {
            return;
        }
        let chip = step.feed / teeth;
        let (least, most) = (limits.chip_min.as_mm(), limits.chip_max.as_mm());
        if chip < least * 1.02 || chip > most * 0.98 {
            let clear = chip < least * 0.98 || chip > most * 1.02;
            note(
                &mut self.opinion,
                "chip-load",
                clear && !finishing && core > 0.3,
            );
        }
        if path.level > 1.0 {
            let height = if finishing { wall } else { core };
            let width =
                (volume / path.level / height.max(0.01)).min(bit.cutting_diameter().as_mm());
            let load = cutting::load(
                bit,
                wood,
                Length::from_mm(height),
                Length::from_mm(width),
                Feed::from_mm_per_minute(step.feed),
                SpindleSpeed::from_rpm(rpm),
            );
            let bends = if finishing { 0.02 } else { 0.05 };
            let bent = load.deflection.as_mm() / bends;
            self.opinion.above("deflection", bent, 1.15, 0.3);
            if let Some(power) = self.job.machine.spindle.power_w {
                self.opinion
                    .above("spindle-power", load.power_w / power, 1.15, 0.3);
            }
        }
    }

    fn daylight(&mut self, program: &Program<'_>) {
        let fixture = &self.job.fixture;
        let (Some(daylight), Some(base)) = (self.job.machine.daylight, fixture.box_base) else {
            return;
        };
        let bed = -self.job.parts[0].below.as_mm() - base.as_mm();
        let nut = program.high[2] + program.bit.stickout.as_mm() - bed;
        self.opinion.above("envelope", nut, daylight.as_mm(), 0.02);
    }

    fn left(&mut self) {
        // Holes that nobody has begun are another run's.
        let mut depths = self.pockets.iter().flat_map(|pocket| &pocket.hole_cut);
        let drilled = depths.any(|depth| *depth > 0.0);
        for pocket in &self.pockets {
            for grain in &pocket.grains {
                self.opinion
                    .above("pocket-complete", grain.wanted - grain.cut, 0.02, DOUBT);
            }
            for (hole, cut) in pocket.holes.iter().zip(&pocket.hole_cut) {
                if !drilled {
                    continue;
                }
                self.opinion
                    .above("pocket-complete", hole.depth - cut, 0.02, 0.002);
            }
        }
    }
}

impl Pocket {
    fn new(top: f64, shapes: Vec<Shape>, holes: Vec<Shape>, band: f64) -> Self {
        let mut min = [f64::INFINITY; 2];
        let mut max = [f64::NEG_INFINITY; 2];
        for shape in shapes.iter().chain(&holes) {
            for axis in 0..2 {
                min[axis] = min[axis].min(shape.center[axis] - shape.half[axis]);
                max[axis] = max[axis].max(shape.center[axis] + shape.half[axis]);
            }
        }
        let mut grains = Vec::new();
        let mut x = min[0] + 0.037;
        while x < max[0] {
            let mut y = min[1] + 0.041;
            while y < max[1] {
                grains.push(grain(&shapes, [x, y], band, 0.028, true));
                y += GRID;
            }
            x += GRID;
        }
        for shape in &shapes {
            // Points along the wall, 0.026 mm inside it: half of them to find
            // thin slivers that the grid misses.
            let inner = Shape {
                half: shape.half.map(|half| half - 0.026),
                corner: shape.corner - 0.026,
                ..*shape
            };
            for point in inner.around(0.15) {
                grains.push(grain(&shapes, point, band, 0.025, false));
            }
        }
        grains.sort_by(|a: &Grain, b| a.at[0].total_cmp(&b.at[0]));
        Self {
            top,
            hole_cut: vec![0.0; holes.len()],
            shapes,
            holes,
            min,
            max,
            grains,
        }
    }

    /// How far a point is outside what may be cut to `depth`.
    fn outside(&self, at: [f64; 2], depth: f64) -> f64 {
        self.shapes
            .iter()
            .chain(&self.holes)
            .filter(|shape| shape.depth >= depth)
            .map(|shape| shape.outside(at))
            .fold(f64::INFINITY, f64::min)
    }
}

fn grain(shapes: &[Shape], at: [f64; 2], band: f64, inside: f64, inner: bool) -> Grain {
    let mut wanted = 0.0;
    let mut ceiling = 0.0;
    let mut walls = [(0.0, 0.0); 3];
    for (layer, shape) in shapes.iter().enumerate() {
        let outside = shape.outside(at);
        if outside <= -inside + 0.001 {
            wanted = shape.depth;
        }
        if layer < 3 && (-band..=0.05).contains(&outside) {
            walls[layer] = (ceiling, shape.depth);
        }
        ceiling = shape.depth;
    }
    Grain {
        at,
        cut: 0.0,
        wanted,
        walls,
        inner,
    }
}

impl Shape {
    /// Points along the outline.
    fn around(&self, spacing: f64) -> Vec<[f64; 2]> {
        let mut points = Vec::new();
        let straight = [self.half[0] - self.corner, self.half[1] - self.corner];
        for axis in 0..2 {
            let count = (2.0 * straight[axis] / spacing).ceil().max(1.0) as i32;
            for index in 0..=count {
                let along = straight[axis] * (2.0 * f64::from(index) / f64::from(count) - 1.0);
                for side in [-1.0, 1.0] {
                    let mut point = self.center;
                    point[axis] += along;
                    point[1 - axis] += side * self.half[1 - axis];
                    points.push(point);
                }
            }
        }
        let count = (2.0 * PI * self.corner / spacing).ceil().max(4.0) as i32;
        for index in 0..count {
            let (sin, cos) = (2.0 * PI * f64::from(index) / f64::from(count)).sin_cos();
            points.push([
                self.center[0] + straight[0] * cos.signum() + self.corner * cos,
                self.center[1] + straight[1] * sin.signum() + self.corner * sin,
            ]);
        }
        points
    }
}

/// How deep a straight move cuts at a point, and how near its middle line is.
fn covered(
    from: [f64; 3],
    to: [f64; 3],
    at: [f64; 2],
    radius: f64,
    top: f64,
    cone: f64,
) -> Option<(f64, f64)> {
    let run = [to[0] - from[0], to[1] - from[1]];
    let square = run[0] * run[0] + run[1] * run[1];
    let toward = [at[0] - from[0], at[1] - from[1]];
    if square == 0.0 {
        let away = length(toward);
        let depth = top - from[2].min(to[2]) - cone * away / radius;
        return (away <= radius).then_some((depth, away));
    }
    let middle = (toward[0] * run[0] + toward[1] * run[1]) / square;
    let nearest = middle.clamp(0.0, 1.0);
    let away = length([0, 1].map(|axis| toward[axis] - nearest * run[axis]));
    if away > radius {
        return None;
    }
    let beside = length([0, 1].map(|axis| toward[axis] - middle * run[axis]));
    let half = (radius * radius - beside * beside).max(0.0).sqrt() / square.sqrt();
    let (first, last) = (
        (middle - half).clamp(0.0, 1.0),
        (middle + half).clamp(0.0, 1.0),
    );
    let z = |t: f64| from[2] + (to[2] - from[2]) * t;
    Some((top - z(first).min(z(last)), away))
}

/// Not by `hypot`: its care for overflow takes a third of the whole time.
fn length([x, y]: [f64; 2]) -> f64 {
    (x * x + y * y).sqrt()
}

struct Path {
    from: [f64; 3],
    to: [f64; 3],
    arc: Option<([f64; 2], f64)>,
    length: f64,
    level: f64,
}

impl Path {
    fn new(step: &Step, from: [f64; 3], to: [f64; 3]) -> Self {
        let level = match step.arc {
            Some((center, sweep)) => (from[0] - center[0]).hypot(from[1] - center[1]) * sweep.abs(),
            None => (to[0] - from[0]).hypot(to[1] - from[1]),
        };
        Self {
            from,
            to,
            arc: step.arc,
            length: level.hypot(to[2] - from[2]),
            level,
        }
    }

    fn at(&self, t: f64) -> [f64; 3] {
        let z = self.from[2] + (self.to[2] - self.from[2]) * t;
        match self.arc {
            None => [
                self.from[0] + (self.to[0] - self.from[0]) * t,
                self.from[1] + (self.to[1] - self.from[1]) * t,
                z,
            ],
            Some((center, sweep)) => {
                let (sin, cos) = (sweep * t).sin_cos();
                let arm = [self.from[0] - center[0], self.from[1] - center[1]];
                [
                    center[0] + arm[0] * cos - arm[1] * sin,
                    center[1] + arm[0] * sin + arm[1] * cos,
                    z,
                ]
            }
        }
    }

    fn points(&self, spacing: f64) -> impl Iterator<Item = [f64; 3]> + '_ {
        let count = (self.length / spacing.max(1e-6))
            .ceil()
            .clamp(1.0, 20_000.0) as u32;
        (0..=count).map(move |index| self.at(f64::from(index) / f64::from(count)))
    }

    fn chords(&self) -> Vec<([f64; 3], [f64; 3])> {
        let count = match self.arc {
            None => 1,
            Some((_, sweep)) => (sweep.abs() / 0.09).ceil().max(1.0) as u32,
        };
        (0..count)
            .map(|index| {
                let t = |index: u32| f64::from(index) / f64::from(count);
                (self.at(t(index)), self.at(t(index + 1)))
            })
            .collect()
    }

    fn box_apart(&self, min: [f64; 2], max: [f64; 2]) -> f64 {
        let points: Vec<[f64; 3]> = self.chords().iter().flat_map(|(a, b)| [*a, *b]).collect();
        let gap = |axis: usize| {
            let low = points
                .iter()
                .map(|point| point[axis])
                .fold(f64::INFINITY, f64::min);
            let high = points
                .iter()
                .map(|point| point[axis])
                .fold(f64::NEG_INFINITY, f64::max);
            (min[axis] - high).max(low - max[axis]).max(0.0)
        };
        gap(0).hypot(gap(1))
    }
}

/// Distance of a point from a rectangle, zero inside.
fn apart(min: [f64; 2], max: [f64; 2], at: [f64; 2]) -> f64 {
    let gap = |axis: usize| (min[axis] - at[axis]).max(at[axis] - max[axis]).max(0.0);
    gap(0).hypot(gap(1))
}

fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1]).hypot(a[2] - b[2])
}
