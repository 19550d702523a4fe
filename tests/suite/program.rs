//! Reads a program into lists, for tests that look at single lines.

use stepwell::rs274;
use stepwell::rs274::event::{Event, Frames, Move, Path, Refusal, Visitor};
use stepwell::shop::machine::{ArcSupport, Dialect, ToolChange};
use stepwell::units::Units;

pub(crate) fn dialect() -> Dialect {
    Dialect {
        arcs: ArcSupport::Helix,
        tool_change: ToolChange::M6,
        ..Dialect::default()
    }
}

/// Everything a program did, with line numbers from 1.
#[derive(Default)]
pub(crate) struct Log {
    pub(crate) events: Vec<(u64, Event)>,
    pub(crate) refusals: Vec<Refusal>,
}

impl Visitor for Log {
    fn event(&mut self, line: u64, event: &Event) {
        self.events.push((line, event.clone()));
    }

    fn refusal(&mut self, refusal: &Refusal) {
        self.refusals.push(refusal.clone());
    }
}

pub(crate) fn read(text: &str) -> Log {
    read_in(text, Frames::default())
}

pub(crate) fn read_in(text: &str, frames: Frames) -> Log {
    let mut log = Log::default();
    rs274::read(text.as_bytes(), &dialect(), frames, &mut log);
    log
}

impl Log {
    pub(crate) fn moves(&self) -> impl Iterator<Item = (u64, &Move)> {
        self.events.iter().filter_map(|(line, event)| match event {
            Event::Move(motion) => Some((*line, motion)),
            _ => None,
        })
    }

    /// The units that a line states.
    pub(crate) fn units_of(&self, line: u64) -> Option<Units> {
        self.events.iter().find_map(|(at, event)| match event {
            Event::Units(units) if *at == line => Some(*units),
            _ => None,
        })
    }

    /// Where the last move ended, in millimetres; NaN for an unknown axis.
    pub(crate) fn end(&self) -> [f64; 3] {
        let last = self.moves().last().expect("at least one move");
        millimetres(last.1.to())
    }

    /// Centre, radius, sweep in degrees, of the last move.
    pub(crate) fn last_arc(&self) -> ([f64; 2], f64, f64) {
        arc(self.moves().last().expect("at least one move").1)
    }
}

pub(crate) fn millimetres(point: [Option<stepwell::units::Length>; 3]) -> [f64; 3] {
    point.map(|axis| axis.map_or(f64::NAN, |length| length.as_mm()))
}

pub(crate) fn arc(motion: &Move) -> ([f64; 2], f64, f64) {
    let Path::Arc { center, sweep } = motion.path() else {
        panic!("{motion:?} is no arc");
    };
    let [x, y, _] = millimetres(motion.to());
    let radius = (x - center[0]).hypot(y - center[1]);
    (center, radius, sweep.to_degrees())
}

/// Length of the bit's path, helices included, in millimetres.
pub(crate) fn length(motion: &Move) -> f64 {
    let (from, to) = (millimetres(motion.from()), millimetres(motion.to()));
    let rise = to[2] - from[2];
    match motion.path() {
        Path::Rapid | Path::Line => (to[0] - from[0]).hypot(to[1] - from[1]).hypot(rise),
        Path::Arc { sweep, .. } => (arc(motion).1 * sweep).hypot(rise),
    }
}
