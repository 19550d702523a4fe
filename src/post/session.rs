//! A whole program: start, operations, bit changes, end.

use crate::cutting::Settings;
use crate::job::Job;
use crate::job::position::Position;
use crate::plan::{self, Frame, Operation};
use crate::shop::bit::Bit;
use crate::shop::machine::{DustRelay, DwellUnit, EndWord, SafeZ, SpindleControl, ToolChange};
use crate::units::Units;

use super::head;
use super::motion::Mover;
use super::number::plain;
use super::program_text::ProgramText;

/// A machine start height this far below the top of the travel.
const BELOW_TOP: f64 = 1.0;

/// The tip stays this far under what it can rise to.
const UNDER_HEADROOM: f64 = 2.0;

pub(super) struct Session<'a> {
    job: &'a Job,
    tape: ProgramText,
    mover: Mover<'a>,
    frame: Frame,
    /// Safe height in that frame.
    safe: f64,
    bit_stickout: f64,
}

impl<'a> Session<'a> {
    pub(super) fn new(job: &'a Job, first: &Operation) -> Self {
        let piece = first.pieces.first();
        Self {
            job,
            tape: ProgramText::new(&job.machine.dialect),
            mover: Mover::new(&job.machine),
            frame: piece.map_or(Frame::G54, |piece| piece.frame),
            safe: piece.map_or(job.machine.clearance.as_mm(), |piece| piece.safe),
            bit_stickout: first.bit.stickout.as_mm(),
        }
    }

    pub(super) fn begin(
        &mut self,
        operation: &Operation,
        position: Option<&Position>,
        settings: &Settings,
        marks: &[String],
    ) {
        let dialect = &self.job.machine.dialect;
        if dialect.percent {
            self.tape.raw("%");
        }
        let lie = head::Lie {
            operation,
            position,
        };
        head::write(&mut self.tape, self.job, &lie, settings, marks);
        let units = match dialect.units {
            Units::Millimetre => "G21",
            Units::Inch => "G20",
        };
        let frame = frame_word(self.frame);
        self.tape
            .words(&["G17", units, "G40", "G49", "G80", "G90", "G94", frame]);
        self.retract_in_machine();
        self.load(&operation.bit);
        self.rise_to_safe();
        self.spin(settings);
    }

    pub(super) fn cut(&mut self, operation: &Operation, settings: &Settings) {
        for piece in &operation.pieces {
            if piece.frame != self.frame {
                self.frame = piece.frame;
                self.safe = piece.safe;
                self.tape.words(&[frame_word(piece.frame)]);
                if self.mover.knows_height() {
                    // Up in the old frame already; the same height in the new one.
                    self.mover.forget();
                    self.mover.up(&mut self.tape, self.safe);
                }
            }
            for motion in &piece.motions {
                self.mover.motion(&mut self.tape, motion, settings);
            }
        }
    }

    /// The next bit, in the same program.
    pub(super) fn change(&mut self, operation: &Operation, settings: &Settings) {
        let bit = &operation.bit;
        self.make_room();
        self.bit_stickout = bit.stickout.as_mm();
        self.stop();
        self.tape
            .comment(&format!("change to {}, tool {}", bit.name, bit.tool));
        match self.job.machine.dialect.effective_tool_change() {
            ToolChange::M6 => self.load(bit),
            ToolChange::Pause | ToolChange::Split => {
                self.load(bit);
                self.tape.comment("zero Z again with the new bit");
                self.tape.words(&["M0"]);
            }
        }
        self.mover.forget();
        self.rise_to_safe();
        self.spin(settings);
    }

    pub(super) fn end(mut self) -> String {
        self.make_room();
        self.stop();
        self.tape.words(&[match self.job.machine.dialect.end {
            EndWord::M30 => "M30",
            EndWord::M2 => "M2",
        }]);
        if self.job.machine.dialect.percent {
            self.tape.raw("%");
        }
        self.tape.text()
    }

    /// Up and aside, so that hands find room.
    fn make_room(&mut self) {
        let fixture = &self.job.fixture;
        if self.is_at_machine_height() {
            self.retract_in_machine();
        } else if let Some(headroom) = fixture.headroom {
            // Another bit stands out more or less than the job's.
            let own = self.job.bit.stickout.as_mm() - self.bit_stickout;
            let floor = self.mover.lowest - fixture.lid_rise.as_mm().abs();
            let reach = floor + self.job.machine.travel[2].as_mm();
            let top = (headroom.as_mm() + own - UNDER_HEADROOM).min(reach) - self.rise();
            if top > self.safe {
                self.mover.up(&mut self.tape, top);
            }
        }
        if let Some(park) = fixture.park {
            let [x, y] = self.in_frame([park.x, park.y]);
            self.mover.aside(&mut self.tape, x, y);
        }
    }

    /// Shared coordinates as the present offset counts them.
    fn in_frame(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let zero = plan::origin(self.job, self.frame);
        [x - zero.x, y - zero.y]
    }

    fn retract_in_machine(&mut self) {
        let dialect = &self.job.machine.dialect;
        let (SafeZ::Machine, Some([_, _, zero])) = (dialect.safe_z, self.job.fixture.machine_zero)
        else {
            return;
        };
        let shared = self.safe + self.rise();
        let top = self.job.machine.limits[2].1.as_mm();
        let height = (zero.as_mm() + shared).clamp(top - BELOW_TOP, top);
        let grid = self.mover.grid;
        let word = grid.word('Z', grid.round(height));
        self.tape.words(&["G53", "G0", &word]);
        self.mover.forget();
    }

    /// With a known machine height the bit stays at the top until it is over
    /// the first pocket: nobody knows what stands under the place where it is.
    fn rise_to_safe(&mut self) {
        if self.is_at_machine_height() {
            return;
        }
        self.mover.up(&mut self.tape, self.safe);
    }

    fn is_at_machine_height(&self) -> bool {
        self.job.machine.dialect.safe_z == SafeZ::Machine && self.job.fixture.machine_zero.is_some()
    }

    /// How far the frame's Z0 lies above the shared one.
    fn rise(&self) -> f64 {
        match self.frame {
            Frame::G54 => 0.0,
            Frame::G55 => self.job.fixture.lid_rise.as_mm(),
        }
    }

    fn load(&mut self, bit: &Bit) {
        let tool = format!("T{}", bit.tool);
        match self.job.machine.dialect.effective_tool_change() {
            ToolChange::M6 => {
                self.tape.words(&[&tool, "M6"]);
                self.tape.words(&["G43", &format!("H{}", bit.tool)]);
            }
            ToolChange::Split | ToolChange::Pause => self.tape.words(&[&tool]),
        }
    }

    fn spin(&mut self, settings: &Settings) {
        let machine = &self.job.machine;
        let speed = format!("S{:.0}", settings.speed.as_rpm().max(0.0));
        self.tape.words(&[&speed, "M3"]);
        match machine.dialect.dust {
            DustRelay::None => (),
            DustRelay::M7 => self.tape.words(&["M7"]),
            DustRelay::M8 => self.tape.words(&["M8"]),
        }
        if machine.spindle.control == SpindleControl::Manual {
            let mark = machine.spindle.mark(settings.speed);
            let mark = mark.map_or(String::new(), |mark| format!("dial at {mark}, "));
            self.tape.comment(&format!(
                "switch the spindle on by hand, {mark}{:.0} rpm",
                settings.speed.as_rpm()
            ));
            self.tape.words(&["M0"]);
        }
        let seconds = machine.spindle.spin_up.as_seconds();
        if seconds > 0.0 {
            let dwell = match machine.dialect.dwell {
                DwellUnit::Seconds => seconds,
                DwellUnit::Milliseconds => seconds * 1000.0,
            };
            self.tape.words(&["G4", &plain('P', dwell)]);
        }
    }

    fn stop(&mut self) {
        let machine = &self.job.machine;
        self.tape.words(&["M5"]);
        if machine.dialect.dust != DustRelay::None {
            self.tape.words(&["M9"]);
        }
        if machine.spindle.control == SpindleControl::Manual {
            self.tape.comment("switch the spindle off by hand");
            self.tape.words(&["M0"]);
        }
    }
}

fn frame_word(frame: Frame) -> &'static str {
    match frame {
        Frame::G54 => "G54",
        Frame::G55 => "G55",
    }
}
