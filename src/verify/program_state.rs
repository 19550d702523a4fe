//! One program while it runs: its modes, its clock, where the bit is.

use std::collections::BTreeMap;
use std::rc::Rc;

use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};

use crate::job::PartName;
use crate::replay::clock::Clock;
use crate::replay::segment::Extent;
use crate::report::CheckId;
use crate::rs274::event::Turning;
use crate::shop::machine::Machine;
use crate::verify::bite::Bite;
use crate::verify::feature::Feature;
use crate::verify::load::Window;
use crate::verify::provenance::Head;
use crate::verify::script::Script;
use crate::verify::told::Told;
use crate::verify::tool::Tool;

/// What a program has stated of its modes.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Stated {
    pub(crate) units: bool,
    pub(crate) plane: bool,
    pub(crate) distance: bool,
    pub(crate) feed_mode: bool,
    pub(crate) offset: bool,
    /// G40.
    pub(crate) compensation: bool,
    /// G49 or G43.
    pub(crate) length: bool,
}

/// The spindle as the program has set it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SpindleState {
    pub(crate) turning: Turning,
    /// S word in force, in revolutions a minute.
    pub(crate) speed: f64,
    /// When it is up to speed, on the program's clock.
    pub(crate) ready_at: f64,
    /// A person has had a pause to switch it on by hand, and none yet to switch it off.
    pub(crate) switched_on: bool,
}

/// The state of one program.
#[derive(Debug)]
pub(crate) struct ProgramState {
    pub(crate) path: String,
    pub(crate) line: u64,
    pub(crate) bytes: u64,
    digest: Sha256,
    pub(crate) head: Head,
    /// Its characters, as they stand.
    pub(crate) script: Script,
    /// What is in the spindle; nothing where there is no job.
    pub(crate) tool: Option<Rc<Tool>>,
    /// The bit was named outside the program.
    pub(crate) bit_is_given: bool,
    pub(crate) selected_tool: Option<u32>,
    /// The tool that is in the spindle, where the program has said.
    pub(crate) loaded_tool: Option<u32>,
    pub(crate) stated: Stated,
    pub(crate) offset: u8,
    /// A move by the work offset has been made.
    pub(crate) moved_in_work: bool,
    /// A move has been made.
    pub(crate) moved: bool,
    /// Wood has been taken.
    pub(crate) has_cut: bool,
    /// A change of bit whose length offset has not come yet.
    pub(crate) length_pending: bool,
    pub(crate) changed_tool: bool,
    pub(crate) spindle: SpindleState,
    /// Seconds since the start, as the judge needs them for the spindle.
    pub(crate) clock: f64,
    /// When the present move began, and how long it takes.
    pub(crate) move_began: f64,
    pub(crate) move_seconds: f64,
    pub(crate) position: [Option<f64>; 3],
    /// The last Z was a machine height that this job does not know.
    pub(crate) at_machine_height: bool,
    pub(crate) ended: bool,
    pub(crate) extent: Extent,
    /// The same of each axis by itself, from the first word it had.
    pub(crate) reach: Extent,
    pub(crate) cut_mm: f64,
    pub(crate) rapid_mm: f64,
    /// The honest clock, for the report.
    pub(crate) watch: Clock,
    pub(crate) scoring_seconds: f64,
    pub(crate) lap: Lap,
    pub(crate) window: Window,
    /// Wood a drill has taken since it last rose.
    pub(crate) peck: f64,
    /// How far a descent has gone down more steeply than it may, in millimetres.
    pub(crate) sunk: f64,
    /// What rapids have scraped off each place, in millimetres.
    pub(crate) scraped: BTreeMap<Option<usize>, f64>,
    /// Bites of each place that are too small to be judged one by one.
    pub(crate) shaved: BTreeMap<Option<usize>, Bite>,
    /// What bit, shank or nut ran into so far, and how far.
    pub(crate) contacts: Vec<Contact>,
    /// What has been told of its bits.
    pub(crate) told: Told,
    /// Sites whose reach has been found wanting.
    pub(crate) short_in: Vec<usize>,
    /// Sites a flat bit of this program cut in, and that bit's radius.
    pub(crate) cut_in: BTreeMap<usize, f64>,
}

/// Moves that run into the same thing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Contact {
    pub(crate) id: CheckId,
    /// What is in the way.
    pub(crate) obstacle: Obstacle,
    /// Which part of the tool comes furthest into it.
    pub(crate) part: &'static str,
    /// How far, in millimetres.
    pub(crate) worst: f64,
    pub(crate) moves: u64,
    pub(crate) first_line: u64,
    pub(crate) last_line: u64,
}

/// What a tool may run into.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Obstacle {
    /// Divider, fence, stop or clamp, by name.
    Solid(String),
    /// Wood still standing in or about a pocket of a board.
    Wood(PartName, Option<Feature>),
}

/// A lap that may turn out to be the scoring of a rim.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Lap {
    pub(crate) site: Option<usize>,
    pub(crate) seconds: f64,
    pub(crate) length: f64,
}

impl ProgramState {
    pub(crate) fn new(
        machine: &Machine,
        path: &str,
        tool: Option<Rc<Tool>>,
        bit_is_given: bool,
    ) -> Self {
        Self {
            path: path.to_owned(),
            line: 0,
            bytes: 0,
            digest: Sha256::new(),
            head: Head::default(),
            script: Script::default(),
            tool,
            bit_is_given,
            selected_tool: None,
            loaded_tool: None,
            stated: Stated::default(),
            offset: 0,
            moved_in_work: false,
            moved: false,
            has_cut: false,
            length_pending: false,
            changed_tool: false,
            spindle: SpindleState {
                turning: Turning::Stopped,
                speed: 0.0,
                ready_at: 0.0,
                switched_on: false,
            },
            clock: 0.0,
            move_began: 0.0,
            move_seconds: 0.0,
            position: [None; 3],
            at_machine_height: false,
            ended: false,
            extent: Extent::nothing(),
            reach: Extent::nothing(),
            cut_mm: 0.0,
            rapid_mm: 0.0,
            watch: Clock::new(machine),
            scoring_seconds: 0.0,
            lap: Lap::default(),
            window: Window::default(),
            peck: 0.0,
            sunk: 0.0,
            scraped: BTreeMap::new(),
            shaved: BTreeMap::new(),
            contacts: Vec::new(),
            told: Told::default(),
            short_in: Vec::new(),
            cut_in: BTreeMap::new(),
        }
    }

    pub(crate) fn take(&mut self, bytes: &[u8]) {
        self.digest.update(bytes);
        self.head.take(bytes);
        self.bytes += bytes.len() as u64;
    }

    /// SHA-256 of all bytes so far, hexadecimal.
    pub(crate) fn sha256(&self) -> String {
        HEXLOWER.encode(&self.digest.clone().finalize())
    }

    /// Radius of what the bit cuts; zero without one.
    pub(crate) fn radius(&self) -> f64 {
        self.tool.as_ref().map_or(0.0, |tool| tool.tip.radius)
    }

    pub(crate) fn is_turning(&self) -> bool {
        self.spindle.turning != Turning::Stopped
    }
}
