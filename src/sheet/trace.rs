//! The moves as the text gives them, for pictures that move.

use crate::geometry::Point;
use crate::job::{Job, PartName, ZeroPoint};
use crate::rs274;
use crate::rs274::event::{Event, Frames, Move, Path, Refusal, Visitor};
use crate::shop::bit::Bit;
use crate::units::{Length, SpindleSpeed};

use super::frame::own_zero;

/// More moves than this are for the desk, not for a page; the rest is not kept.
pub(super) const MOST: usize = 120_000;

/// One move of one program, every axis known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Step {
    /// Which program, from 0.
    pub(super) program: usize,
    /// Line of it, from 1.
    pub(super) line: u64,
    /// Where it ends, in millimetres.
    pub(super) to: [f64; 3],
    pub(super) path: Path,
    /// Millimetres a minute; zero for rapids.
    pub(super) feed: f64,
    /// What the bit in the spindle cuts, in millimetres.
    pub(super) diameter: f64,
}

/// All moves of all programs, in the order they run.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Trace {
    pub(super) steps: Vec<Step>,
    /// The fastest spindle speed each program asks for.
    pub(super) speeds: Vec<SpindleSpeed>,
    /// Whether there were more than [`MOST`].
    pub(super) is_cut_short: bool,
}

impl Trace {
    /// Replays the texts; `bits` names the bit each starts with.
    pub(super) fn of(job: &Job, programs: &[(String, String)], bits: &[&str]) -> Self {
        let mut trace = Self::default();
        for (program, (_, text)) in programs.iter().enumerate() {
            trace.is_cut_short |= text.is_empty();
            let bit = bits.get(program).and_then(|name| bit_named(job, name));
            let mut watcher = Watcher {
                job,
                program,
                bit: bit.unwrap_or(&job.bit),
                selected: None,
                speed: SpindleSpeed::ZERO,
                steps: &mut trace.steps,
                is_cut_short: &mut trace.is_cut_short,
            };
            let dialect = &job.machine.dialect;
            rs274::read(text.as_bytes(), dialect, frames(job), &mut watcher);
            let speed = watcher.speed;
            trace.speeds.push(speed);
        }
        trace
    }
}

fn bit_named<'a>(job: &'a Job, name: &str) -> Option<&'a Bit> {
    let pilot = job.pilot.iter().map(|pilot| &pilot.bit);
    std::iter::once(&job.bit)
        .chain(pilot)
        .chain(&job.rack)
        .find(|bit| bit.name == name)
}

/// Origins of the work offsets, in shared coordinates.
fn frames(job: &Job) -> Frames {
    let fixture = &job.fixture;
    let origin = |part| {
        let Point { x, y } = own_zero(job, part);
        let z = match part {
            PartName::Lid => fixture.lid_rise.as_mm(),
            PartName::Box | PartName::Scrap | PartName::Plate => 0.0,
        };
        [x, y, z]
    };
    let mut frames = Frames {
        work: [[0.0; 3]; 6],
        machine: None,
    };
    if fixture.zero == ZeroPoint::Each {
        frames.work[0] = origin(PartName::Box);
        frames.work[1] = origin(PartName::Lid);
    }
    frames.machine = fixture.machine_zero.map(|zero| {
        let [x, y, z] = zero.map(Length::as_mm);
        let [first_x, first_y, first_z] = frames.work[0];
        [first_x - x, first_y - y, first_z - z]
    });
    frames
}

struct Watcher<'a> {
    job: &'a Job,
    program: usize,
    bit: &'a Bit,
    selected: Option<u32>,
    speed: SpindleSpeed,
    steps: &'a mut Vec<Step>,
    is_cut_short: &'a mut bool,
}

impl Watcher<'_> {
    fn change_bit(&mut self) {
        let pilot = self.job.pilot.iter().map(|pilot| &pilot.bit);
        let mut bits = std::iter::once(&self.job.bit)
            .chain(pilot)
            .chain(&self.job.rack);
        if let Some(bit) = bits.find(|bit| Some(bit.tool) == self.selected) {
            self.bit = bit;
        }
    }

    fn step(&mut self, line: u64, travel: &Move) {
        let [Some(x), Some(y), Some(z)] = travel.to else {
            return;
        };
        if self.steps.len() >= MOST {
            *self.is_cut_short = true;
            return;
        }
        let rapid = travel.path == Path::Rapid;
        self.steps.push(Step {
            program: self.program,
            line,
            to: [x, y, z],
            path: travel.path,
            feed: if rapid {
                0.0
            } else {
                travel.feed.as_mm_per_minute()
            },
            diameter: self.bit.cutting_diameter().as_mm(),
        });
    }
}

impl Visitor for Watcher<'_> {
    fn event(&mut self, line: u64, event: &Event) {
        match event {
            Event::Move(travel) => self.step(line, travel),
            Event::Speed(speed) => self.speed = self.speed.max(*speed),
            Event::SelectTool(tool) => self.selected = Some(*tool),
            Event::ToolChange(tool) => {
                self.selected = tool.or(self.selected);
                self.change_bit();
            }
            Event::Pause => self.change_bit(),
            Event::Units(_)
            | Event::PlaneXy
            | Event::AbsoluteDistance
            | Event::UnitsPerMinute
            | Event::CompensationOff
            | Event::MotionOff
            | Event::LengthOffset(_)
            | Event::WorkOffset(_)
            | Event::Feed(_)
            | Event::Spindle(_)
            | Event::Dust(_)
            | Event::Dwell(_)
            | Event::End
            | Event::AfterEnd => {}
        }
    }

    // Refused lines do nothing here; the judge's `syntax` check tells of them.
    fn refusal(&mut self, _: &Refusal) {}
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    const HEAD: &str = "G21\nG17\nG90\nG94\nG54\n";

    fn trace(job: &Job, body: &str) -> Trace {
        let programs = [("a.nc".to_owned(), format!("{HEAD}{body}"))];
        Trace::of(job, &programs, &["6 mm up-spiral"])
    }

    #[test]
    fn moves_come_with_their_line_once_every_axis_is_known() {
        let trace = trace(
            &sample::job(),
            "G0 Z10.\nG0 X5. Y6.\nS9000 M3\nG1 Z-1. F300.\nM30\n",
        );
        let lines: Vec<_> = trace
            .steps
            .iter()
            .map(|step| (step.line, step.to))
            .collect();
        assert_eq!(lines, [(7, [5.0, 6.0, 10.0]), (9, [5.0, 6.0, -1.0])]);
        assert_eq!(trace.steps[1].feed, 300.0);
        assert_eq!(trace.steps[0].diameter, 6.0);
        assert_eq!(trace.speeds, [SpindleSpeed::from_rpm(9000.0)]);
    }

    #[test]
    fn each_parts_zero_is_moved_to_shared_coordinates() {
        // Book, divider 12, lid 2 mm higher: G55 counts from X0 Y6 Z2 (hand computed).
        let mut job = sample::job();
        job.fixture.zero = ZeroPoint::Each;
        job.fixture.lid_rise = Length::from_mm(2.0);
        let trace = trace(&job, "G0 Z9.\nG0 X1. Y-2.\nG55\nG0 Z9.\nG0 X1. Y2.\nM30\n");
        let ends: Vec<_> = trace.steps.iter().map(|step| step.to).collect();
        assert_eq!(ends.first(), Some(&[1.0, -8.0, 9.0]));
        assert_eq!(ends.last(), Some(&[1.0, 8.0, 11.0]));
    }
}
