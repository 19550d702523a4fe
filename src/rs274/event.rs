//! What a program does, as the interpreter tells it to a visitor.

use crate::geometry::Position;
use crate::units::{Feed, Length, Seconds, SpindleSpeed, Units};

/// Where the origins lie that a program may count from, in shared program
/// coordinates, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frames {
    /// Origins of G54 … G59.
    pub(crate) work: [[f64; 3]; 6],
    /// Origin of machine coordinates (G53), where known.
    pub(crate) machine: Option<[f64; 3]>,
}

impl Frames {
    /// Origins of G54 … G59, and of machine coordinates where known.
    pub fn new(work: [Position; 6], machine: Option<Position>) -> Self {
        let point = |Position { x, y, z }| [x, y, z];
        Self {
            work: work.map(point),
            machine: machine.map(point),
        }
    }
}

impl Default for Frames {
    /// Every work offset at the shared zero, the machine's zero unknown.
    fn default() -> Self {
        Self::new([Position::default(); 6], None)
    }
}

/// Receives a program line by line, in order of execution within each line.
pub trait Visitor {
    /// Something the program does. `line` counts from 1.
    fn event(&mut self, line: u64, event: &Event);

    /// A line that was refused; nothing of it is executed and reading goes on
    /// with the next. Only a feed move without a feed is both told and refused.
    fn refusal(&mut self, refusal: &Refusal);
}

/// One thing a program does.
#[derive(Clone, Debug, PartialEq)]
pub enum Event {
    /// G20 or G21.
    Units(Units),
    /// G17.
    PlaneXy,
    /// G90.
    AbsoluteDistance,
    /// G94.
    UnitsPerMinute,
    /// G40.
    CompensationOff,
    /// G80.
    MotionOff,
    /// G43 H (`Some`) or G49 (`None`).
    LengthOffset(Option<u32>),
    /// G54 … G59 as 54 … 59.
    WorkOffset(u8),
    /// F, in the units in force after this line. A later change of units does
    /// not convert it; each [`Move`] has the feed that applies to it.
    Feed(Feed),
    /// S.
    Speed(SpindleSpeed),
    /// T.
    SelectTool(u32),
    /// M6, to the tool last selected. The spindle stands afterwards, told as
    /// an event of its own.
    ToolChange(Option<u32>),
    /// M3, M5.
    Spindle(Turning),
    /// M7, M8 (`true`), M9 (`false`).
    Dust(bool),
    /// G4, in seconds by the dialect's dwell unit.
    Dwell(Seconds),
    /// G0, G1, G2, G3.
    Move(Move),
    /// M0.
    Pause,
    /// M2 or M30; nothing after it is executed.
    End,
    /// A line that stands after the end: anything but blanks and the closing `%`.
    AfterEnd,
}

/// How the spindle turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turning {
    /// M3.
    Clockwise,
    /// M5.
    Stopped,
}

/// One move, in shared program coordinates, in millimetres. An axis is `None`
/// until the program has said where it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move {
    pub(crate) from: [Option<f64>; 3],
    pub(crate) to: [Option<f64>; 3],
    /// Which axes had a word on this line.
    pub(crate) named: [bool; 3],
    /// What path it takes.
    pub(crate) path: Path,
    /// Feed in force; zero if none was set. Rapids do not use it.
    pub(crate) feed: Feed,
    /// Whether the line counted from machine coordinates (G53).
    pub(crate) machine_frame: bool,
    /// The value of the finest last digit that a coordinate of the program has
    /// had so far, zeros at the end left out, in millimetres.
    pub(crate) resolution: f64,
}

impl Move {
    /// Where it starts: X, Y, Z, each once the program has said.
    pub fn from(&self) -> [Option<Length>; 3] {
        self.from.map(|axis| axis.map(Length::from_mm))
    }

    /// Where it ends.
    pub fn to(&self) -> [Option<Length>; 3] {
        self.to.map(|axis| axis.map(Length::from_mm))
    }

    /// Which of X, Y, Z had a word on the line.
    pub fn named(&self) -> [bool; 3] {
        self.named
    }

    /// What path it takes.
    pub fn path(&self) -> Path {
        self.path
    }

    /// Feed in force; zero if none was set. Rapids do not use it.
    pub fn feed(&self) -> Feed {
        self.feed
    }

    /// The value of the finest last digit that a coordinate of the program has
    /// had so far, zeros at the end left out.
    pub fn resolution(&self) -> Length {
        Length::from_mm(self.resolution)
    }
}

/// What path a move takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Path {
    /// G0.
    Rapid,
    /// G1.
    Line,
    /// G2, G3: about `center`, through `sweep` radians, counter-clockwise
    /// positive; Z moves evenly with the angle.
    Arc {
        /// Centre in X and Y.
        center: [f64; 2],
        /// Signed angle; a full circle is two pi.
        sweep: f64,
    },
}

/// Why a line was refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// Line, from 1.
    pub line: u64,
    /// Column in bytes, from 1; 0 where the whole line or file is meant.
    pub column: u32,
    /// Bytes marked.
    pub length: u32,
    /// What was found and what is allowed; lower case, no final period.
    pub message: String,
    /// Section of the standard, or `subset`.
    pub rule: &'static str,
}
