//! What a check is, and what it hears.

use crate::cutting::Limits;
use crate::replay::segment::Segment;
use crate::report::{CheckId, Verdict};
use crate::rs274::event::{Event, Move, Refusal};
use crate::shop::machine::{Machine, SpindleControl};
use crate::units::ruler::Ruler;
use crate::verify::findings::{Answer, Found};
use crate::verify::job_context::{JobContext, Span};
use crate::verify::material::bite::Bite;
use crate::verify::material::descent::Descended;
use crate::verify::material::engagement::Stroke;
use crate::verify::material::load::MeanLoad;
use crate::verify::program_state::ProgramState;
use crate::verify::scene::bounds::Beyond;
use crate::verify::scene::remaining_wood::Place as WoodPlace;
use crate::verify::script::Fault;
use crate::verify::tool::Tool;

/// One check: hears the programs, tells what it finds, and answers at the end.
///
/// What is told without a line is told of the line being heard.
pub(crate) trait Check {
    /// What its findings and its answer stand under.
    const ID: CheckId;

    /// Whether there is anything to judge without a job.
    const WITHOUT_JOB: bool = false;

    /// A program begins: what was kept of the one before is of no use any more.
    fn begin(&mut self) {}

    /// Characters that not every controller takes.
    fn fault(&mut self, _line: u64, _fault: &Fault, _now: Now<'_>, _found: &mut Found<'_>) {}

    /// A line that is not executed.
    fn refusal(&mut self, _refusal: &Refusal, _found: &mut Found<'_>) {}

    /// Something that the program asks for, while all is as before it.
    fn event(&mut self, _heard: &Heard<'_>, _now: Now<'_>, _found: &mut Found<'_>) {}

    /// A move below the face of a board.
    fn stroke(&mut self, _struck: &Struck<'_>, _now: Now<'_>, _found: &mut Found<'_>) {}

    /// Wood that a move takes.
    fn bite(&mut self, _taking: &Taking<'_>, _now: Now<'_>, _found: &mut Found<'_>) {}

    /// The program has been heard.
    fn end(&mut self, _end: End, _now: Now<'_>, _found: &mut Found<'_>) {}

    /// The wood of a position as its programs have left it, once all have been heard.
    fn place(&mut self, _place: &Place<'_>, _found: &mut Found<'_>) {}

    /// All has been heard: what to say where nothing was found.
    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer;
}

/// What a check may look at while a program runs.
#[derive(Clone, Copy)]
pub(crate) struct Now<'a> {
    pub(crate) machine: &'a Machine,
    pub(crate) shop: Option<&'a JobContext<'a>>,
    pub(crate) run: &'a ProgramState,
    pub(crate) ruler: Ruler,
    /// Extent of all programs of the position that have ended, seen from above.
    pub(crate) span: Span,
}

/// An event, and the way of it where it is a move between known points.
pub(crate) struct Heard<'a> {
    pub(crate) event: &'a Event,
    pub(crate) segment: Option<&'a Segment>,
}

/// What a move does in one board, whether it takes wood or not.
pub(crate) struct Struck<'a> {
    pub(crate) tool: &'a Tool,
    pub(crate) stroke: &'a Stroke,
    /// The furthest that it goes beyond the wanted shape.
    pub(crate) beyond: Option<Beyond>,
    /// How steeply it goes down into wood; nothing of what takes none.
    pub(crate) descended: Option<Descended>,
}

/// A move that takes wood.
pub(crate) struct Taking<'a> {
    pub(crate) motion: &'a Move,
    pub(crate) tool: &'a Tool,
    pub(crate) board: usize,
    pub(crate) site: Option<usize>,
    pub(crate) limits: &'a Limits,
    /// The limits that the bit had when it was fresh.
    pub(crate) fresh: &'a Limits,
    pub(crate) bite: Bite,
    /// When the bit comes below the board's face, on the program's clock.
    pub(crate) began: f64,
    /// Seen from above, in millimetres.
    pub(crate) length: f64,
    /// Of the tip below the board's face, in millimetres.
    pub(crate) depth: f64,
    /// Millimetres and revolutions a minute.
    pub(crate) feed: f64,
    pub(crate) speed: f64,
    /// What the bit has borne since it was last told.
    pub(crate) load: Option<MeanLoad>,
}

/// The end of a program's text.
#[derive(Clone, Copy)]
pub(crate) struct End {
    pub(crate) lines: u64,
    /// Percent signs that stand alone on their lines.
    pub(crate) percents: u64,
}

/// The wood of a position, as it is in the end.
pub(crate) struct Place<'a> {
    pub(crate) ruler: Ruler,
    pub(crate) shop: &'a JobContext<'a>,
    /// Wood left in each site that could have been reached, in millimetres.
    pub(crate) left: &'a [f64],
}

/// All that was heard.
pub(crate) struct Whole<'a> {
    pub(crate) machine: &'a Machine,
    pub(crate) ruler: Ruler,
    /// How many programs.
    pub(crate) programs: usize,
    pub(crate) shop: Option<&'a JobContext<'a>>,
    /// Wood that the wanted shape leaves, the least first; nothing without a job.
    pub(crate) remaining: &'a [WoodPlace],
}

impl Heard<'_> {
    /// The move, where it is one.
    pub(crate) fn motion(&self) -> Option<&Move> {
        match self.event {
            Event::Move(motion) => Some(motion),
            _ => None,
        }
    }
}

impl Now<'_> {
    /// What the spindle turns at, in revolutions a minute: set by hand it is
    /// what the settings say until the program gives one.
    pub(crate) fn spindle_speed(self) -> f64 {
        let set = self.run.spindle.speed;
        match (self.shop, self.machine.spindle.control) {
            (Some(shop), SpindleControl::Manual) if set == 0.0 => shop.settings.speed.as_rpm(),
            _ => set,
        }
    }

    /// How high sideways travel is safe, where a job tells.
    pub(crate) fn travel_height(self) -> Option<f64> {
        self.shop.map(|shop| shop.scene.travel_height)
    }

    /// How deep the tip stands below the face of the board under it; `None`
    /// where it is above every face or beside the boards.
    pub(crate) fn depth_below_rim(self) -> Option<f64> {
        let shop = self.shop?;
        let z = self.run.position[2]?;
        let (Some(x), Some(y)) = (self.run.position[0], self.run.position[1]) else {
            return (z < 0.0).then_some(-z);
        };
        let radius = self.run.radius();
        let boards = shop.scene.boards.iter();
        boards
            .filter(|board| board.signed_distance([x, y]) < radius)
            .map(|board| board.top - z)
            .filter(|depth| *depth > 0.0)
            .reduce(f64::max)
    }
}

impl Whole<'_> {
    /// Tells of too little wood in the places of a check; the least of them all
    /// and what is wanted, where there are any.
    pub(crate) fn tell_wood(&self, id: CheckId, found: &mut Found<'_>) -> Option<[String; 2]> {
        let (ruler, min_left) = (self.ruler, self.shop?.job.fit.min_left.as_mm());
        let places = || self.remaining.iter().filter(|place| place.id() == id);
        for place in places() {
            let words = || place.words(ruler, min_left);
            match place.verdict(min_left) {
                Verdict::Fail => found.fail(words),
                Verdict::Warn => found.warn(words),
                Verdict::Pass | Verdict::None => {}
            }
        }
        let least = places().map(|place| place.left).next();
        let least = least.filter(|least| least.is_finite())?;
        Some([ruler.one(least, 2), ruler.limit(min_left)])
    }
}
