//! One program while it runs: its modes, its clock, where the bit is.

use std::collections::BTreeMap;
use std::rc::Rc;

use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};

use crate::replay::clock::{self, Clock};
use crate::replay::segment::{Extent, Segment};
use crate::rs274::event::{Event, Move, Path, Turning};
use crate::shop::machine::{Machine, SpindleControl, ToolChange};
use crate::verify::job_context::JobContext;
use crate::verify::material::bite::Bite;
use crate::verify::material::descent::Descent;
use crate::verify::material::load::Window;
use crate::verify::provenance::Head;
use crate::verify::script::Script;
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
    pub(crate) descent: Descent,
    /// Bites of each place that are too small to be judged one by one.
    pub(crate) shaved: BTreeMap<Option<usize>, Bite>,
    /// Sites a flat bit of this program cut in, and that bit's radius.
    pub(crate) cut_in: BTreeMap<usize, f64>,
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
            descent: Descent::default(),
            shaved: BTreeMap::new(),
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

/// What follows from the machine and the job.
#[derive(Clone, Copy)]
pub(crate) struct Given<'a> {
    pub(crate) machine: &'a Machine,
    pub(crate) shop: Option<&'a JobContext<'a>>,
}

impl ProgramState {
    /// Does what an event asks for.
    pub(crate) fn follow(&mut self, event: &Event, segment: Option<&Segment>, given: Given<'_>) {
        match event {
            Event::Units(_) => self.stated.units = true,
            Event::PlaneXy => self.stated.plane = true,
            Event::AbsoluteDistance => self.stated.distance = true,
            Event::UnitsPerMinute => self.stated.feed_mode = true,
            Event::CompensationOff => self.stated.compensation = true,
            Event::MotionOff | Event::Feed(_) | Event::Dust(_) | Event::AfterEnd => {}
            Event::LengthOffset(number) => {
                self.stated.length = true;
                self.length_pending = number.is_none() && self.changed_tool;
            }
            Event::WorkOffset(number) => {
                self.stated.offset = true;
                self.offset = *number;
            }
            Event::Speed(speed) => self.set_speed(speed.as_rpm(), given.machine),
            Event::SelectTool(number) => {
                self.selected_tool = Some(*number);
                // A T word without M6 tells which bit the program is for.
                if !self.has_cut && !self.changed_tool {
                    self.take_tool(*number, given);
                }
            }
            Event::ToolChange(number) => {
                self.spindle.turning = Turning::Stopped;
                if let Some(number) = number {
                    self.take_tool(*number, given);
                }
                self.changed_tool = true;
                self.length_pending = true;
            }
            Event::Spindle(turning) => self.set_spindle(*turning, given.machine),
            Event::Dwell(time) => self.clock += time.as_seconds(),
            Event::Move(motion) => self.go(motion, segment, given.machine),
            Event::Pause => self.pause(given),
            Event::End => self.ended = true,
        }
    }

    fn set_spindle(&mut self, turning: Turning, machine: &Machine) {
        if self.spindle.turning != turning && turning == Turning::Clockwise {
            self.spindle.ready_at = self.clock + machine.spindle.spin_up.as_seconds();
        }
        self.spindle.turning = turning;
    }

    fn set_speed(&mut self, speed: f64, machine: &Machine) {
        let before = self.spindle.speed;
        if self.is_turning() && speed != before {
            let fastest = machine.spindle.fastest.as_rpm();
            let share = ((speed - before).abs() / fastest.max(1.0)).min(1.0);
            let wait = machine.spindle.spin_up.as_seconds() * share;
            self.spindle.ready_at = self.spindle.ready_at.max(self.clock + wait);
        }
        self.spindle.speed = speed;
    }

    /// Puts a tool into the spindle. A bit named on the command line stands
    /// for the first tool whatever its number.
    fn take_tool(&mut self, number: u32, given: Given<'_>) {
        self.loaded_tool = Some(number);
        if self.bit_is_given {
            if !self.has_cut {
                return;
            }
            self.bit_is_given = false;
        }
        if let Some(shop) = given.shop
            && let Some(bit) = shop.tool(number)
        {
            self.tool = Some(Rc::new(Tool::new(bit, given.machine, &shop.scene)));
        }
    }

    /// The tool that a pause is there to change to by hand.
    pub(crate) fn changed_at_pause(&self, machine: &Machine) -> Option<u32> {
        let by_pause = machine.dialect.effective_tool_change() == ToolChange::Pause;
        let selected = self.selected_tool;
        selected.filter(|_| by_pause && selected != self.loaded_tool)
    }

    fn pause(&mut self, given: Given<'_>) {
        // Whoever stands there waits until the spindle sounds right.
        self.spindle.ready_at = self.spindle.ready_at.min(self.clock);
        if let Some(number) = self.changed_at_pause(given.machine) {
            self.take_tool(number, given);
        }
        self.spindle.switched_on =
            self.is_turning() && given.machine.spindle.control == SpindleControl::Manual;
    }

    fn go(&mut self, motion: &Move, segment: Option<&Segment>, machine: &Machine) {
        self.moved_in_work |= !motion.machine_frame;
        self.moved = true;
        self.count(motion, segment, machine);
        self.position = motion.to;
        if motion.named[2] {
            self.at_machine_height = motion.machine_frame && motion.to[2].is_none();
        }
    }

    fn count(&mut self, motion: &Move, segment: Option<&Segment>, machine: &Machine) {
        let reach = &mut self.reach;
        for (axis, value) in motion.to.into_iter().enumerate() {
            if let Some(value) = value {
                reach.min[axis] = reach.min[axis].min(value);
                reach.max[axis] = reach.max[axis].max(value);
            }
        }
        let Some(segment) = segment else {
            // The first point known in all axes is where the bounds begin.
            if let [Some(x), Some(y), Some(z)] = motion.to {
                let point = [x, y, z];
                self.extent.add(&Extent {
                    min: point,
                    max: point,
                });
            }
            return;
        };
        let extent = segment.extent();
        self.extent.add(&extent);
        self.reach.add(&extent);
        if motion.path == Path::Rapid {
            self.rapid_mm += segment.length();
        } else {
            self.cut_mm += segment.length();
        }
        let seconds = clock::steady(machine, motion).as_seconds();
        self.move_began = self.clock;
        self.move_seconds = seconds;
        self.clock += seconds;
    }

    /// When the bit comes below a board's face on the present move, on the program's clock.
    pub(crate) fn wood_met_at(&self, segment: &Segment, top: f64) -> f64 {
        let below = segment.between_heights(f64::NEG_INFINITY, top);
        self.move_began + self.move_seconds * below.map_or(0.0, |(first, _)| first)
    }
}
