//! Hears a program event by event and passes each to the checks.

use std::mem::take;
use std::rc::Rc;

use crate::cutting::chip;
use crate::replay::segment::Segment;
use crate::report::{Bounds, ProgramReport};
use crate::rs274::event::{Event, Path, Refusal, Visitor};
use crate::shop::bit::{Bit, BitKind};
use crate::shop::machine::{CommentStyle, Machine};
use crate::units::ruler::Ruler;
use crate::units::{Feed, Length, Seconds, SpindleSpeed};
use crate::verify::checks::check::{End, Heard, Now};
use crate::verify::checks::list::Checks;
use crate::verify::findings::Tally;
use crate::verify::job_context::{JobContext, NOWHERE, Span};
use crate::verify::material::engagement::Stroke;
use crate::verify::material::load::PassKind;
use crate::verify::material::probe::NO_WOOD;
use crate::verify::program_state::{Given, ProgramState};
use crate::verify::tool::Tool;

/// A small controller reads some 400 lines a second at the very best (the
/// maintainer of a widely used one, in its issue tracker): half of that is warned about.
const MANY_BLOCKS: u64 = 200;

/// Everything the judge knows.
#[derive(Debug)]
pub(crate) struct Verifier<'a> {
    pub(crate) machine: &'a Machine,
    pub(crate) shop: Option<JobContext<'a>>,
    pub(crate) checks: Checks,
    pub(crate) tally: Tally,
    pub(crate) ruler: Ruler,
    pub(crate) run: ProgramState,
    pub(crate) programs: Vec<ProgramReport>,
    pub(crate) notes: Vec<String>,
    /// Extent of all programs of a position together, seen from above.
    pub(crate) span: Span,
    /// Of the move being judged; kept for its room.
    strokes: Vec<Stroke>,
}

impl<'a> Verifier<'a> {
    pub(crate) fn new(machine: &'a Machine, shop: Option<JobContext<'a>>) -> Self {
        let units = shop
            .as_ref()
            .map_or(machine.dialect.units, |shop| shop.job.units);
        Self {
            machine,
            shop,
            checks: Checks::default(),
            tally: Tally::new(),
            ruler: Ruler::new(units),
            run: ProgramState::new(machine, "", None, false),
            programs: Vec::new(),
            notes: Vec::new(),
            span: NOWHERE,
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
        self.checks.begin();
    }

    pub(crate) fn end(&mut self, lines: u64) {
        let mut script = take(&mut self.run.script);
        let percents = script.finish(|line, fault| {
            let (checks, now, tally) = self.told();
            checks.fault(line, &fault, now, tally);
        });
        self.close_lap();
        self.widen_span();
        let (checks, now, tally) = self.told();
        checks.end(End { lines, percents }, now, tally);
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

    /// X and Y over all programs of the position, with the one that ends now.
    pub(crate) fn widen_span(&mut self) {
        let extent = self.run.reach;
        for axis in 0..2 {
            let span = &mut self.span[axis];
            *span = (span.0.min(extent.min[axis]), span.1.max(extent.max[axis]));
            // Faces are touched to find zero, the bit on the work's side.
            if let Some(shop) = &self.shop
                && extent.min[axis] <= extent.max[axis]
            {
                let (face, radius) = (shop.scene.faces[axis], self.run.radius());
                *span = (span.0.min(face + radius), span.1.max(face - radius));
            }
        }
    }

    /// The checks, what they may look at, and where they put what they find.
    pub(crate) fn told(&mut self) -> (&mut Checks, Now<'_>, &mut Tally) {
        let now = Now {
            machine: self.machine,
            shop: self.shop.as_ref(),
            run: &self.run,
            ruler: self.ruler,
            span: self.span,
        };
        (&mut self.checks, now, &mut self.tally)
    }

    /// What the checks may look at.
    pub(crate) fn now(&self) -> Now<'_> {
        Now {
            machine: self.machine,
            shop: self.shop.as_ref(),
            run: &self.run,
            ruler: self.ruler,
            span: self.span,
        }
    }

    /// The next bytes of the program, as they stand.
    pub(crate) fn read_script(&mut self, bytes: &[u8]) {
        let mut script = take(&mut self.run.script);
        script.take(bytes, |line, fault| {
            let (checks, now, tally) = self.told();
            checks.fault(line, &fault, now, tally);
        });
        self.run.script = script;
    }

    fn hear(&mut self, line: u64, event: &Event, segment: Option<&Segment>, strokes: &[Stroke]) {
        self.run.line = line;
        self.run.watch.want(self.least_feed(event, strokes));
        self.run.watch.event(line, event);
        let (checks, now, tally) = self.told();
        checks.event(&Heard { event, segment }, now, tally);
        let given = Given {
            machine: self.machine,
            shop: self.shop.as_ref(),
        };
        self.run.follow(event, segment, given);
        if let Event::Move(motion) = event
            && let Some(tool) = self.run.tool.clone()
        {
            for stroke in strokes {
                self.judge_stroke(motion, &tool, stroke);
            }
        }
    }
}

impl Verifier<'_> {
    /// The least feed at which every tooth of a roughing move still cuts, in the board
    /// that asks for the most; zero for what takes no such wood or is slower by its F word.
    fn least_feed(&self, event: &Event, strokes: &[Stroke]) -> Feed {
        let (Event::Move(motion), Some(tool)) = (event, &self.run.tool) else {
            return Feed::ZERO;
        };
        let roughs = |stroke: &&Stroke| {
            stroke.bite.whole > NO_WOOD && PassKind::of(&stroke.bite) == PassKind::Roughing
        };
        let speed = SpindleSpeed::from_rpm(self.now().spindle_speed());
        let feeds = strokes
            .iter()
            .filter(roughs)
            .map(|stroke| chip::feed(tool.limits[stroke.board].chip_min, speed, tool.bit.flutes));
        let least = feeds.fold(Feed::ZERO, Feed::max);
        if least > motion.feed || tool.bit.kind == BitKind::Drill {
            return Feed::ZERO;
        }
        least
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
        let (checks, now, tally) = self.told();
        checks.refusal(refusal, now, tally);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Job, sample};
    use crate::settings;
    use crate::shop::machine::SpindleControl;

    /// By hand at a dial, the speed is that of the settings until the program
    /// gives one.
    #[test]
    fn a_spindle_set_by_hand_turns_as_the_settings_say() {
        let mut job = sample::job();
        let settings = settings::for_job(&job);
        let speed = |job: &Job, set: f64| {
            let mut verifier = Verifier::new(&job.machine, Some(JobContext::new(job, &settings)));
            verifier.run.spindle.speed = set;
            verifier.now().spindle_speed()
        };
        let chosen = settings.speed.as_rpm();
        assert!(chosen > 0.0 && chosen != 9000.0);
        assert_eq!([speed(&job, 0.0), speed(&job, 9000.0)], [0.0, 9000.0]);
        job.machine.spindle.control = SpindleControl::Manual;
        assert_eq!([speed(&job, 0.0), speed(&job, 9000.0)], [chosen, 9000.0]);
    }
}
