//! Hears a program event by event and passes each to the checks.

use std::collections::VecDeque;
use std::mem::{swap, take};
use std::rc::Rc;

use crate::cutting::Settings;
use crate::job::Job;
use crate::job::position::Position;
use crate::replay::segment::Segment;
use crate::report::{Bounds, CheckId, ProgramReport};
use crate::rs274::event::{Event, Path, Refusal, Turning, Visitor};
use crate::shop::bit::Bit;
use crate::shop::machine::{CommentStyle, Machine, SpindleControl};
use crate::units::ruler::Ruler;
use crate::units::{Length, Seconds};
use crate::verify::findings::{At, Tally};
use crate::verify::material::allowance::Allowance;
use crate::verify::material::engagement::Stroke;
use crate::verify::material::pocket_stock::PocketStock;
use crate::verify::program_state::ProgramState;
use crate::verify::rounding::ROUNDED_HEIGHT;
use crate::verify::scene::Scene;
use crate::verify::template::moves::PlateMoves;
use crate::verify::tool::Tool;

/// A small controller reads some 400 lines a second at the very best (the
/// maintainer of a widely used one, in its issue tracker): half of that is warned about.
const MANY_BLOCKS: u64 = 200;

/// How many pockets have their samples unpacked at a time.
const RECENT: usize = 64;

/// Everything the judge knows.
#[derive(Debug)]
pub(crate) struct Verifier<'a> {
    pub(crate) machine: &'a Machine,
    pub(crate) shop: Option<JobContext<'a>>,
    pub(crate) tally: Tally,
    pub(crate) ruler: Ruler,
    pub(crate) run: ProgramState,
    pub(crate) programs: Vec<ProgramReport>,
    pub(crate) notes: Vec<String>,
    /// Extent of all programs of a position together, seen from above.
    pub(crate) span: Span,
    /// For the messages of checks that pass.
    pub(crate) seen: Extremes,
    /// Of the move being judged; kept for its room.
    strokes: Vec<Stroke>,
}

/// Least and greatest X, and Y.
type Span = [(f64, f64); 2];

const NOWHERE: Span = [(f64::INFINITY, f64::NEG_INFINITY); 2];

/// What there is to judge with a job.
#[derive(Debug)]
pub(crate) struct JobContext<'a> {
    pub(crate) job: &'a Job,
    pub(crate) settings: &'a Settings,
    /// The position that the parts lie in, where the job has positions.
    pub(crate) position: Option<&'a Position>,
    pub(crate) scene: Scene,
    pub(crate) grounds: Vec<PocketStock>,
    /// How far each site is cut beyond the wanted shape, in millimetres.
    pub(crate) gouges: Vec<f64>,
    pub(crate) allowance: Allowance,
    /// Where the job is that of a template's plate: what has cut it so far.
    pub(crate) plate: Option<PlateMoves>,
    /// Sites whose samples are unpacked, the latest last.
    recent: Vec<usize>,
    /// Whether a program was heard in this position.
    is_used: bool,
    /// Whether every pocket counts as cut before the first program.
    after_pockets: bool,
    /// The other positions that programs were heard in.
    resting: VecDeque<Place<'a>>,
}

/// A position that others follow, with the wood as its programs left it.
#[derive(Debug)]
struct Place<'a> {
    position: Option<&'a Position>,
    scene: Scene,
    grounds: Vec<PocketStock>,
    gouges: Vec<f64>,
    span: Span,
}

/// The greatest of each, for the messages of checks that pass.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Extremes {
    pub(crate) bite: f64,
    pub(crate) moves: u64,
    pub(crate) rapids: u64,
    pub(crate) ramps: u64,
}

impl<'a> JobContext<'a> {
    pub(crate) fn new(job: &'a Job, settings: &'a Settings) -> Self {
        let position = job.positions().into_iter().next().flatten();
        let Place {
            position,
            scene,
            grounds,
            gouges,
            ..
        } = Place::new(job, position);
        Self {
            job,
            settings,
            position,
            scene,
            grounds,
            gouges,
            allowance: Allowance::of(job),
            plate: job.plate.as_ref().map(|_| PlateMoves::default()),
            recent: Vec::new(),
            is_used: false,
            after_pockets: false,
            resting: VecDeque::new(),
        }
    }

    pub(crate) fn take_pockets_as_cut(&mut self) {
        self.after_pockets = true;
        take_as_cut(&mut self.scene);
    }

    /// Lays the parts as in the position of that number, the wood as it was left
    /// there; `span` is how far its programs reached.
    fn lay(&mut self, number: usize, span: &mut Span) {
        let is_it = |position: Option<&Position>| {
            position.is_some_and(|position| position.number == number)
        };
        if is_it(self.position) {
            return;
        }
        let known = self.resting.iter().position(|place| is_it(place.position));
        let next = match known.and_then(|index| self.resting.remove(index)) {
            Some(place) => place,
            None => {
                let mut place = Place::new(self.job, self.job.fixture.position(number));
                if self.after_pockets {
                    take_as_cut(&mut place.scene);
                }
                place
            }
        };
        let is_used = known.is_some();
        let last = self.take_place(next, span);
        if self.is_used {
            self.resting.push_back(last);
        }
        self.is_used = is_used;
    }

    /// Puts another position in the place of this one, which comes back.
    fn take_place(&mut self, mut other: Place<'a>, span: &mut Span) -> Place<'a> {
        self.recent.clear();
        swap(&mut self.position, &mut other.position);
        swap(&mut self.scene, &mut other.scene);
        swap(&mut self.grounds, &mut other.grounds);
        swap(&mut self.gouges, &mut other.gouges);
        swap(span, &mut other.span);
        other
    }

    /// How many positions programs were heard in; one where there are none.
    pub(crate) fn places(&self) -> usize {
        self.resting.len() + 1
    }

    /// Goes on to the next of them, round and round.
    pub(crate) fn go_on(&mut self) {
        if let Some(next) = self.resting.pop_front() {
            let last = self.take_place(next, &mut { NOWHERE });
            self.resting.push_back(last);
        }
    }

    /// What a move does in every board: meets and takes its wood.
    fn work(&mut self, segment: &Segment, is_rapid: bool, tool: &Tool, strokes: &mut Vec<Stroke>) {
        if let Some(plate) = &mut self.plate {
            plate.add(segment, tool.tip);
        }
        for number in 0..self.scene.boards.len() {
            let Some(mut stroke) = Stroke::of(&self.scene, number, segment, is_rapid, tool) else {
                continue;
            };
            if let Some(index) = stroke.site {
                let (site, top) = (&self.scene.sites[index], self.scene.boards[number].top);
                self.grounds[index].work(&mut stroke, site, top, self.allowance);
                self.visit(index);
                self.sweep_beside(index, &stroke, top);
            }
            strokes.push(stroke);
        }
    }

    /// Where kerfs run together their wood is one, whichever a move belongs to.
    fn sweep_beside(&mut self, index: usize, stroke: &Stroke, top: f64) {
        for place in 0..self.scene.sites[index].spared.len() {
            let other = self.scene.sites[index].spared[place];
            let site = &self.scene.sites[other];
            self.grounds[other].sweep(site, top, stroke, self.allowance);
            self.visit(other);
        }
    }

    /// Notes that a site is at work, and packs another's samples away for it.
    fn visit(&mut self, site: usize) {
        if self.recent.last() == Some(&site) {
            return;
        }
        self.recent.retain(|&other| other != site);
        self.recent.push(site);
        if self.recent.len() > RECENT {
            let oldest = self.recent.remove(0);
            self.grounds[oldest].pack();
        }
    }

    /// The bit of a tool number.
    pub(crate) fn tool(&self, number: u32) -> Option<&'a Bit> {
        let job = self.job;
        let own = [Some(&job.bit), job.pilot.as_ref().map(|pilot| &pilot.bit)];
        own.into_iter()
            .flatten()
            .chain(&job.rack)
            .find(|bit| bit.tool == number)
    }
}

fn take_as_cut(scene: &mut Scene) {
    for site in &mut scene.sites {
        site.take_as_cut();
    }
}

impl<'a> Place<'a> {
    fn new(job: &Job, position: Option<&'a Position>) -> Self {
        let scene = Scene::of(job, position);
        Self {
            position,
            grounds: scene.sites.iter().map(PocketStock::new).collect(),
            gouges: vec![0.0; scene.sites.len()],
            scene,
            span: NOWHERE,
        }
    }
}

impl<'a> Verifier<'a> {
    pub(crate) fn new(machine: &'a Machine, shop: Option<JobContext<'a>>) -> Self {
        let units = shop
            .as_ref()
            .map_or(machine.dialect.units, |shop| shop.job.units);
        Self {
            machine,
            shop,
            tally: Tally::new(),
            ruler: Ruler::new(units),
            run: ProgramState::new(machine, "", None, false),
            programs: Vec::new(),
            notes: Vec::new(),
            span: NOWHERE,
            seen: Extremes::default(),
            strokes: Vec::new(),
        }
    }

    /// Lays the parts for the programs that follow.
    pub(crate) fn lay(&mut self, position: usize) {
        if let Some(shop) = &mut self.shop {
            shop.lay(position, &mut self.span);
        }
    }

    pub(crate) fn begin(&mut self, path: &str, bit: Option<&Bit>) {
        if let Some(shop) = &mut self.shop {
            shop.is_used = true;
        }
        let tool = self.shop.as_ref().map(|shop| {
            let bit = bit.unwrap_or(&shop.job.bit);
            Rc::new(Tool::new(bit, self.machine, &shop.scene))
        });
        self.run = ProgramState::new(self.machine, path, tool, bit.is_some());
    }

    pub(crate) fn end(&mut self, lines: u64) {
        self.end_script();
        self.close_lap();
        self.tell_contacts();
        self.tell_chip_room();
        self.tell_air();
        self.check_envelope();
        if !self.run.ended {
            self.run.line = lines;
            self.fail(CheckId::ProgramEnd, || {
                "the program does not end with M2 or M30; add it".to_owned()
            });
        }
        let run = &self.run;
        let comments = self.machine.dialect.comments != CommentStyle::None;
        if let Some(shop) = self.shop.as_ref().filter(|_| comments) {
            self.notes
                .extend(run.head.note(&run.path, &shop.job.digest));
        }
        let seconds = Seconds::from_seconds;
        let corner = |point: [f64; 3]| {
            point.map(|value| Length::from_mm(if value.is_finite() { value } else { 0.0 }))
        };
        let times = run.watch.clone().finish();
        let scoring = seconds(run.scoring_seconds);
        if times.blocks_per_second > MANY_BLOCKS {
            self.notes.push(format!(
                "{}: {} moves begin within one second; small controllers stutter past {MANY_BLOCKS} \
                 or so",
                run.path, times.blocks_per_second
            ));
        }
        let position = self.shop.as_ref().and_then(|shop| shop.position);
        self.programs.push(ProgramReport {
            path: run.path.clone(),
            position: position.map(|position| position.number),
            sha256: run.sha256(),
            bytes: run.bytes,
            lines,
            bit: run
                .tool
                .as_ref()
                .map_or_else(String::new, |tool| tool.bit.name.clone()),
            seconds: times.total,
            cutting_seconds: (times.cutting - scoring).max(Seconds::ZERO),
            scoring_seconds: scoring,
            rapid_seconds: times.rapid,
            feed_seconds: times.feed,
            reached_feed: times.reached_feed,
            blocks_per_second: times.blocks_per_second,
            bound_seconds: seconds(self.bound_seconds()),
            cut_mm: Length::from_mm(run.cut_mm),
            rapid_mm: Length::from_mm(run.rapid_mm),
            bounds: Bounds {
                min: corner(run.extent.min),
                max: corner(run.extent.max),
            },
        });
    }

    /// Something refused at the line being judged.
    pub(crate) fn fail(&mut self, id: CheckId, message: impl FnOnce() -> String) {
        let at = At {
            file: &self.run.path,
            line: self.run.line,
        };
        self.tally.fail(id, at, message);
    }

    /// Something refused at a line that is not being judged.
    pub(crate) fn fail_at(&mut self, line: u64, id: CheckId, message: impl FnOnce() -> String) {
        let file = &self.run.path;
        self.tally.fail(id, At { file, line }, message);
    }

    /// Something worth a look at the line being judged.
    pub(crate) fn warn(&mut self, id: CheckId, message: impl FnOnce() -> String) {
        let at = At {
            file: &self.run.path,
            line: self.run.line,
        };
        self.tally.warn(id, at, message);
    }

    /// How deep the tip stands below the face of the board under it; `None`
    /// where it is above every face or beside the boards.
    fn depth_below_rim(&self) -> Option<f64> {
        let shop = self.shop.as_ref()?;
        let z = self.run.position[2]?;
        let (Some(x), Some(y)) = (self.run.position[0], self.run.position[1]) else {
            return (z < 0.0).then_some(-z);
        };
        let radius = self.run.radius();
        shop.scene
            .boards
            .iter()
            .filter(|board| board.signed_distance([x, y]) < radius)
            .map(|board| board.top - z)
            .filter(|depth| *depth > 0.0)
            .reduce(f64::max)
    }

    pub(crate) fn refuse_below_rim(&mut self, what: &str) {
        if let Some(depth) = self.depth_below_rim() {
            let depth = self.ruler.one(depth, 3);
            self.fail(CheckId::SpindleOn, || {
                format!("{what} while the tip is {depth} below the rim; lift the bit first")
            });
        }
    }

    fn set_spindle(&mut self, turning: Turning) {
        if self.run.spindle.turning == turning {
            return;
        }
        match turning {
            Turning::Stopped => self.refuse_below_rim("the spindle stops"),
            Turning::Clockwise => {
                self.run.spindle.ready_at =
                    self.run.clock + self.machine.spindle.spin_up.as_seconds();
            }
        }
        self.run.spindle.turning = turning;
    }

    fn set_speed(&mut self, speed: f64) {
        let spindle = &self.machine.spindle;
        let (slowest, fastest) = (spindle.slowest.as_rpm(), spindle.fastest.as_rpm());
        if speed > 0.0 && !(slowest - 0.5..=fastest + 0.5).contains(&speed) {
            self.fail(CheckId::SpindleLimit, || {
                format!("S{speed:.0}, the spindle turns {slowest:.0} to {fastest:.0} rpm")
            });
        }
        let before = self.run.spindle.speed;
        if self.run.is_turning() && speed != before {
            self.refuse_below_rim("the speed changes");
            let share = ((speed - before).abs() / fastest.max(1.0)).min(1.0);
            let wait = spindle.spin_up.as_seconds() * share;
            self.run.spindle.ready_at = self.run.spindle.ready_at.max(self.run.clock + wait);
        }
        self.run.spindle.speed = speed;
    }

    fn set_work_offset(&mut self, number: u8) {
        self.run.stated.offset = true;
        if let Some(shop) = &self.shop {
            let offsets = shop.scene.offsets;
            let height = shop.scene.travel_height;
            if !offsets.contains(&number) {
                let wanted = match offsets {
                    [54] => "`fixture.zero` is \"shared\", so G54 is the only zero",
                    _ => "`fixture.zero` is \"each\": G54 at the box and G55 at the lid",
                };
                self.fail(CheckId::Preamble, || format!("G{number}: {wanted}"));
            }
            let low = self.run.position[2].filter(|z| *z < height - ROUNDED_HEIGHT);
            if self.run.offset != number
                && self.run.moved
                && !self.run.at_machine_height
                && let Some(z) = low
            {
                let ruler = self.ruler;
                self.fail(CheckId::TravelHeight, || {
                    format!(
                        "the work offset changes at {}; go up to {} first",
                        ruler.z(z),
                        ruler.one(height, 3)
                    )
                });
            }
        }
        self.run.offset = number;
    }

    fn program_end(&mut self) {
        self.run.ended = true;
        let height = self
            .shop
            .as_ref()
            .map_or(0.0, |shop| shop.scene.travel_height);
        let z = self.run.position[2];
        let up = self.run.at_machine_height
            || z.is_some_and(|z| z >= height - ROUNDED_HEIGHT)
            || !self.run.moved;
        if !up {
            let ruler = self.ruler;
            self.fail(CheckId::ProgramEnd, || match z {
                Some(z) => format!(
                    "the bit stands at {} at the end; lift it to {}",
                    ruler.z(z),
                    ruler.z(height)
                ),
                None => format!(
                    "the bit is never lifted; lift it to {} at the end",
                    ruler.z(height)
                ),
            });
        }
        if self.run.is_turning() {
            self.fail(CheckId::ProgramEnd, || {
                "the spindle still turns at the end; add M5 before it".to_owned()
            });
        } else if self.run.spindle.switched_on {
            self.fail(CheckId::SpindleOn, || {
                "no pause to switch the spindle off by hand; add M0 after M5".to_owned()
            });
        }
    }

    pub(crate) fn spindle_speed(&self) -> f64 {
        let set = self.run.spindle.speed;
        match (&self.shop, self.machine.spindle.control) {
            (Some(shop), SpindleControl::Manual) if set == 0.0 => shop.settings.speed.as_rpm(),
            _ => set,
        }
    }

    fn hear(&mut self, line: u64, event: &Event, segment: Option<&Segment>, strokes: &[Stroke]) {
        self.run.line = line;
        self.run.watch.event(line, event);
        self.check_dialect(event);
        match event {
            Event::Units(_) => self.run.stated.units = true,
            Event::PlaneXy => self.run.stated.plane = true,
            Event::AbsoluteDistance => self.run.stated.distance = true,
            Event::UnitsPerMinute => self.run.stated.feed_mode = true,
            Event::CompensationOff => self.run.stated.compensation = true,
            Event::MotionOff | Event::Feed(_) | Event::Dust(_) => {}
            Event::LengthOffset(number) => self.set_length_offset(*number),
            Event::WorkOffset(number) => self.set_work_offset(*number),
            Event::Speed(speed) => self.set_speed(speed.as_rpm()),
            Event::SelectTool(number) => self.select_tool(*number),
            Event::ToolChange(number) => self.change_tool(*number),
            Event::Spindle(turning) => self.set_spindle(*turning),
            Event::Dwell(time) => {
                if time.as_seconds() > 0.0 {
                    self.refuse_below_rim("a dwell");
                }
                self.run.clock += time.as_seconds();
            }
            Event::Move(motion) => self.motion(motion, segment, strokes),
            Event::Pause => self.pause(),
            Event::End => self.program_end(),
            Event::AfterEnd => self.fail(CheckId::ProgramEnd, || {
                "stands after the end of the program, and some senders go on sending; take it out"
                    .to_owned()
            }),
        }
    }
}

impl Visitor for Verifier<'_> {
    fn event(&mut self, line: u64, event: &Event) {
        let mut strokes = take(&mut self.strokes);
        let mut segment = None;
        if let Event::Move(motion) = event {
            segment = Segment::of(motion);
            if let (Some(shop), Some(tool), Some(segment)) =
                (&mut self.shop, &self.run.tool, &segment)
            {
                shop.work(segment, motion.path == Path::Rapid, tool, &mut strokes);
            }
        }
        self.hear(line, event, segment.as_ref(), &strokes);
        strokes.clear();
        self.strokes = strokes;
    }

    fn refusal(&mut self, refusal: &Refusal) {
        self.run.line = refusal.line;
        self.fail(CheckId::Syntax, || match refusal.column {
            0 => format!("{} ({})", refusal.message, refusal.rule),
            column => format!("column {column}: {} ({})", refusal.message, refusal.rule),
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::settings;

    #[test]
    fn the_samples_of_the_latest_places_are_at_hand() {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let mut shop = JobContext::new(&job, &settings);
        for site in [0, 1, 0, 0, 2, 1] {
            shop.visit(site);
        }
        assert_eq!(shop.recent, [0, 2, 1]);
        for site in 3..=RECENT {
            shop.grounds.push(PocketStock::default());
            shop.visit(site);
        }
        assert_eq!(shop.recent[..3], [2, 1, 3]);
        assert_eq!(shop.recent.len(), RECENT);
    }

    /// By hand at a dial, the speed is that of the settings until the program
    /// gives one.
    #[test]
    fn a_spindle_set_by_hand_turns_as_the_settings_say() {
        let mut job = sample::job();
        let settings = settings::for_job(&job);
        let speed = |job: &Job, set: f64| {
            let mut verifier = Verifier::new(&job.machine, Some(JobContext::new(job, &settings)));
            verifier.run.spindle.speed = set;
            verifier.spindle_speed()
        };
        let chosen = settings.speed.as_rpm();
        assert!(chosen > 0.0 && chosen != 9000.0);
        assert_eq!([speed(&job, 0.0), speed(&job, 9000.0)], [0.0, 9000.0]);
        job.machine.spindle.control = SpindleControl::Manual;
        assert_eq!([speed(&job, 0.0), speed(&job, 9000.0)], [chosen, 9000.0]);
    }
}
