//! The modal interpreter: what one line does, in the standard's order of
//! execution (3.8).

use super::arc;
use super::block::{Block, Fault, Mark};
use super::code::{Code, Motion};
use super::event::{Event, Frames, Move, Path, Turning, Visitor};
use super::name::Group;
use super::problem::Problem;
use super::word::power_of_ten;
use crate::shop::machine::DwellUnit;
use crate::units::{Feed, Seconds, SpindleSpeed, Units};

const AXES: [u8; 3] = *b"XYZ";

/// The interpreter of one program.
#[derive(Debug)]
pub(super) struct State {
    frames: Frames,
    dwell: DwellUnit,
    modes: Modes,
    position: Position,
}

/// X, Y and Z, as far as they are known.
type Position = [Option<f64>; 3];

/// What a program has set so far.
#[derive(Clone, Copy, Debug)]
struct Modes {
    units: Units,
    /// The motion code in force; none at first and after G80.
    motion: Option<Motion>,
    /// The work offset in force, from 0 for G54.
    work: usize,
    /// The last F as written: a change of units does not convert it (3.5.7).
    feed: f64,
    tool: Option<u32>,
    /// The finest last digit of a coordinate so far, in millimetres.
    digit: f64,
}

/// Where a line's axis words lead.
struct Target {
    to: Position,
    named: [bool; 3],
}

/// What became of a line that was executed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Executed {
    /// M2 or M30.
    pub(super) ends: bool,
    /// A feed motion without a feed. It is refused, yet the visitor saw it, so
    /// that what it would do to the wood is judged too.
    pub(super) zero_feed: Option<Box<Fault>>,
}

impl State {
    /// Before the first line nothing is known but the units the machine wants.
    pub(super) fn new(units: Units, dwell: DwellUnit, frames: Frames) -> Self {
        let modes = Modes {
            units,
            motion: None,
            work: 0,
            feed: 0.0,
            tool: None,
            digit: f64::INFINITY,
        };
        Self {
            frames,
            dwell,
            modes,
            position: [None; 3],
        }
    }

    /// Executes one line, or refuses all of it.
    pub(super) fn execute<V: Visitor + ?Sized>(
        &mut self,
        line: u64,
        block: &Block,
        visitor: &mut V,
    ) -> Result<Executed, Box<Fault>> {
        let mut next = self.modes;
        next.settle(block);
        next.note_digits(block);
        next.check_parameters(block)?;
        let motion = next.motion(block, &self.frames, &self.position)?;
        let zero_feed = (motion.is_some() && next.lacks_feed())
            .then(|| Fault::boxed(motion_mark(block), Problem::ZeroFeed));
        next.tell_settings(line, block, self.dwell, visitor);
        if let Some(motion) = motion {
            self.position = motion.to;
            visitor.event(line, &Event::Move(motion));
        }
        self.modes = next;
        let mut ends = false;
        if let Some(code) = block.code(Group::Stop) {
            ends = code == Code::End;
            visitor.event(line, if ends { &Event::End } else { &Event::Pause });
        }
        Ok(Executed { ends, zero_feed })
    }
}

impl Modes {
    /// Takes over what the line sets, before anything moves.
    fn settle(&mut self, block: &Block) {
        self.feed = block.value(b'F').unwrap_or(self.feed);
        self.tool = block.value(b'T').map(count).or(self.tool);
        if !block.has_codes() {
            return;
        }
        for code in block.codes() {
            match code {
                Code::Motion(motion) => self.motion = Some(motion),
                Code::MotionOff => self.motion = None,
                Code::Units(units) => self.units = units,
                Code::WorkOffset(number) => self.work = usize::from(number - 54),
                Code::Dwell
                | Code::MachineFrame
                | Code::PlaneXy
                | Code::CompensationOff
                | Code::LengthOffset
                | Code::LengthOffsetOff
                | Code::AbsoluteDistance
                | Code::UnitsPerMinute
                | Code::ToolChange
                | Code::Spindle(_)
                | Code::Dust(_)
                | Code::Pause
                | Code::End => {}
            }
        }
    }

    /// That every word has a code that uses it and every code its word.
    fn check_parameters(&self, block: &Block) -> Result<(), Box<Fault>> {
        if !block.has_codes() && !block.has(b"PHIJ") {
            return Ok(());
        }
        let needs = |group, code, letter, missing| match (
            block.code(group) == Some(code),
            block.has(&[letter]),
        ) {
            (true, false) => Err(at(block.code_mark(group), missing)),
            (false, true) => Err(at(block.mark(&[letter]), Problem::Unused(letter))),
            _ => Ok(()),
        };
        needs(Group::NonModal, Code::Dwell, b'P', Problem::DwellMissing)?;
        needs(
            Group::LengthOffset,
            Code::LengthOffset,
            b'H',
            Problem::LengthOffsetMissing,
        )?;
        let turns = block.has(&AXES) && self.is_arc();
        if block.has(b"IJ") && !turns {
            let letter = if block.has(b"I") { b'I' } else { b'J' };
            return Err(at(block.mark(b"IJ"), Problem::Unused(letter)));
        }
        Ok(())
    }

    fn is_arc(&self) -> bool {
        matches!(
            self.motion,
            Some(Motion::ArcClockwise | Motion::ArcCounterClockwise)
        )
    }

    fn lacks_feed(&self) -> bool {
        self.feed == 0.0 && self.motion != Some(Motion::Rapid)
    }

    /// The move that the line commands, the state being that after its settings.
    fn motion(
        &self,
        block: &Block,
        frames: &Frames,
        from: &Position,
    ) -> Result<Option<Move>, Box<Fault>> {
        let machine_frame = block.code(Group::NonModal) == Some(Code::MachineFrame);
        if machine_frame && !matches!(self.motion, Some(Motion::Rapid | Motion::Line)) {
            return Err(at(block.code_mark(Group::NonModal), Problem::MachineFrame));
        }
        if !block.has(&AXES) {
            return match block.code(Group::Motion) {
                Some(Code::Motion(_)) => Err(at(motion_mark(block), Problem::AxisMissing)),
                _ => Ok(None),
            };
        }
        let Some(motion) = self.motion else {
            let problem = match block.code(Group::Motion) {
                Some(_) => Problem::AxisWithMotionOff,
                None => Problem::AxisWithoutMotion,
            };
            return Err(at(block.mark(&AXES), problem));
        };
        let origin = match machine_frame {
            true => frames.machine,
            false => Some(frames.work[self.work]),
        };
        let Target { to, named } = self.target(block, origin, from);
        Ok(Some(Move {
            from: *from,
            to,
            named,
            path: self.path(motion, block, from, &to)?,
            feed: self.feed_in_force(),
            machine_frame,
            resolution: self.digit,
        }))
    }

    /// Zeros at the end of a number count for nothing, so one line alone does
    /// not tell how finely a program is printed.
    fn note_digits(&mut self, block: &Block) {
        let scale = self.units.one().as_mm();
        for number in AXES.iter().filter_map(|&axis| block.number(axis)) {
            self.digit = self.digit.min(scale / power_of_ten(number.decimals));
        }
    }

    /// Where the axis words lead, counted from `origin` where it is known.
    fn target(&self, block: &Block, origin: Option<[f64; 3]>, from: &Position) -> Target {
        let scale = self.units.one().as_mm();
        let (mut to, mut named) = (*from, [false; 3]);
        for axis in 0..3 {
            if let Some(number) = block.number(AXES[axis]) {
                to[axis] = origin.map(|origin| origin[axis] + number.value * scale);
                named[axis] = true;
            }
        }
        Target { to, named }
    }

    fn path(
        &self,
        motion: Motion,
        block: &Block,
        from: &Position,
        to: &Position,
    ) -> Result<Path, Box<Fault>> {
        let clockwise = match motion {
            Motion::Rapid => return Ok(Path::Rapid),
            Motion::Line => return Ok(Path::Line),
            Motion::ArcClockwise => true,
            Motion::ArcCounterClockwise => false,
        };
        self.arc(block, from, to, clockwise)
            .map(|(center, sweep)| Path::Arc { center, sweep })
            .map_err(|problem| at(motion_mark(block), problem))
    }

    fn arc(
        &self,
        block: &Block,
        from: &Position,
        to: &Position,
        clockwise: bool,
    ) -> Result<([f64; 2], f64), Problem> {
        if !block.has(b"XY") {
            return Err(Problem::ArcAxisMissing);
        }
        if !block.has(b"IJ") {
            return Err(Problem::ArcOffsetMissing);
        }
        let ([Some(from_x), Some(from_y), _], [Some(to_x), Some(to_y), _]) = (*from, *to) else {
            return Err(Problem::ArcStart);
        };
        let scale = self.units.one().as_mm();
        let offset = [b'I', b'J'].map(|letter| block.value(letter).unwrap_or(0.0) * scale);
        arc::through(
            [from_x, from_y],
            [to_x, to_y],
            offset,
            clockwise,
            self.units,
        )
    }

    fn feed_in_force(&self) -> Feed {
        Feed::from_mm_per_minute(self.feed * self.units.one().as_mm())
    }

    /// Tells everything but the move and the stop, in the order of execution.
    fn tell_settings<V: Visitor + ?Sized>(
        &self,
        line: u64,
        block: &Block,
        dwell: DwellUnit,
        visitor: &mut V,
    ) {
        let mut tell = |event| visitor.event(line, &event);
        if block.code(Group::FeedMode).is_some() {
            tell(Event::UnitsPerMinute);
        }
        if block.has(b"F") {
            tell(Event::Feed(self.feed_in_force()));
        }
        if let Some(rpm) = block.value(b'S') {
            tell(Event::Speed(SpindleSpeed::from_rpm(rpm)));
        }
        if let Some(tool) = block.value(b'T') {
            tell(Event::SelectTool(count(tool)));
        }
        if !block.has_codes() {
            return;
        }
        for code in block.codes() {
            if let Some(event) = self.setting(code, block, dwell) {
                tell(event);
            }
            // The spindle stands after a tool change (3.6.3).
            if code == Code::ToolChange {
                tell(Event::Spindle(Turning::Stopped));
            }
        }
    }

    fn setting(&self, code: Code, block: &Block, unit: DwellUnit) -> Option<Event> {
        Some(match code {
            Code::ToolChange => Event::ToolChange(self.tool),
            Code::Spindle(turning) => Event::Spindle(turning),
            Code::Dust(on) => Event::Dust(on),
            Code::Dwell => Event::Dwell(dwell(block, unit)),
            Code::PlaneXy => Event::PlaneXy,
            Code::Units(units) => Event::Units(units),
            Code::CompensationOff => Event::CompensationOff,
            Code::LengthOffset => Event::LengthOffset(block.value(b'H').map(count)),
            Code::LengthOffsetOff => Event::LengthOffset(None),
            Code::WorkOffset(number) => Event::WorkOffset(number),
            Code::AbsoluteDistance => Event::AbsoluteDistance,
            Code::MotionOff => Event::MotionOff,
            // Told at their own place in the order.
            Code::UnitsPerMinute | Code::MachineFrame | Code::Motion(_) => return None,
            Code::Pause | Code::End => return None,
        })
    }
}

fn dwell(block: &Block, unit: DwellUnit) -> Seconds {
    let written = block.value(b'P').unwrap_or(0.0);
    Seconds::from_seconds(match unit {
        DwellUnit::Seconds => written,
        DwellUnit::Milliseconds => written / 1000.0,
    })
}

fn at(mark: Mark, problem: Problem) -> Box<Fault> {
    Fault::boxed(mark, problem)
}

/// The motion code, or the first axis word where the mode goes on.
fn motion_mark(block: &Block) -> Mark {
    match block.code(Group::Motion) {
        Some(_) => block.code_mark(Group::Motion),
        None => block.mark(&AXES),
    }
}

/// A tool or offset number, proven whole and within limits when it was read.
fn count(value: f64) -> u32 {
    value.round() as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rs274::event::Refusal;
    use crate::rs274::line;
    use crate::shop::machine::CommentStyle;

    #[derive(Default)]
    struct Log(Vec<Event>);

    impl Visitor for Log {
        fn event(&mut self, _: u64, event: &Event) {
            self.0.push(event.clone());
        }

        fn refusal(&mut self, _: &Refusal) {}
    }

    struct Session {
        state: State,
        block: Block,
        log: Log,
    }

    impl Session {
        fn new(dwell: DwellUnit) -> Self {
            Self {
                state: State::new(Units::Millimetre, dwell, Frames::default()),
                block: Block::default(),
                log: Log::default(),
            }
        }

        fn run(&mut self, text: &str) -> Result<Executed, Box<Fault>> {
            self.log.0.clear();
            line::read(text.as_bytes(), CommentStyle::Parentheses, &mut self.block)?;
            self.state.execute(1, &self.block, &mut self.log)
        }

        #[track_caller]
        fn refuses(&mut self, text: &str, problem: Problem, at: usize) {
            let fault = self.run(text).unwrap_err();
            assert_eq!((fault.problem, fault.mark.at), (problem, at), "{text}");
            assert_eq!(self.log.0, [], "{text}");
        }

        fn last_move(&self) -> Move {
            match self.log.0.last() {
                Some(Event::Move(motion)) => *motion,
                other => panic!("no move but {other:?}"),
            }
        }
    }

    #[test]
    fn nothing_is_known_before_the_first_words() {
        let mut session = Session::new(DwellUnit::Seconds);
        session.refuses("X1", Problem::AxisWithoutMotion, 0);
        session.run("G0 Z5").unwrap();
        let motion = session.last_move();
        assert_eq!(motion.from, [None; 3]);
        assert_eq!(motion.to, [None, None, Some(5.0)]);
        assert_eq!(motion.named, [false, false, true]);
        assert!(!motion.machine_frame);
        session.run("F10").unwrap();
        session.refuses("G2 X1 I1", Problem::ArcStart, 0);
        session.run("G0 X1").unwrap();
        session.refuses("G3 X1 I1", Problem::ArcStart, 0);
        session.run("Y1").unwrap();
        session.run("G3 X1 I1").unwrap();
        assert_eq!(session.last_move().from, [Some(1.0), Some(1.0), Some(5.0)]);
    }

    // NISTIR 6556, 3.5.7 and 4.3.3.3: a stored feed is not converted.
    #[test]
    fn a_change_of_units_keeps_the_written_feed() {
        let mut session = Session::new(DwellUnit::Seconds);
        session.run("G1 X1 F100").unwrap();
        session.run("G20 X1").unwrap();
        assert_eq!(session.last_move().feed.as_mm_per_minute(), 2540.0);
        assert_eq!(session.last_move().to[0], Some(25.4));
        session.run("G21 F50").unwrap();
        let feed = Event::Feed(Feed::from_mm_per_minute(50.0));
        assert_eq!(session.log.0, [feed, Event::Units(Units::Millimetre)]);
    }

    #[test]
    fn resolution_is_the_finest_digit_so_far() {
        let mut session = Session::new(DwellUnit::Seconds);
        session.run("G1 X1.5 Y1.12500 F1.5").unwrap();
        assert_eq!(session.last_move().resolution, 0.001);
        session.run("Z-1.1234").unwrap();
        assert_eq!(session.last_move().resolution, 0.0001);
        session.run("X1 Z-1").unwrap();
        assert_eq!(session.last_move().resolution, 0.0001);
        let mut session = Session::new(DwellUnit::Seconds);
        session.run("G20 G1 X0.1 Z-0.10 F9").unwrap();
        assert!((session.last_move().resolution - 2.54).abs() < 1e-12);
    }

    #[test]
    fn a_dwell_counts_in_the_dialects_unit() {
        for (unit, seconds) in [(DwellUnit::Seconds, 1500.0), (DwellUnit::Milliseconds, 1.5)] {
            let mut session = Session::new(unit);
            session.run("G4 P1500").unwrap();
            assert_eq!(
                session.log.0,
                [Event::Dwell(Seconds::from_seconds(seconds))]
            );
        }
        let mut session = Session::new(DwellUnit::Seconds);
        session.run("G4 P0").unwrap();
        assert_eq!(session.log.0, [Event::Dwell(Seconds::ZERO)]);
        session.refuses("P1", Problem::Unused(b'P'), 0);
        session.refuses("G4", Problem::DwellMissing, 0);
    }

    #[test]
    fn a_tool_change_takes_the_tool_last_selected_and_stops_the_spindle() {
        let mut session = Session::new(DwellUnit::Seconds);
        session.run("M6").unwrap();
        let stopped = Event::Spindle(Turning::Stopped);
        assert_eq!(session.log.0, [Event::ToolChange(None), stopped.clone()]);
        session.run("T3").unwrap();
        session.run("M6").unwrap();
        assert_eq!(session.log.0, [Event::ToolChange(Some(3)), stopped]);
        session.refuses("T1.5", Problem::NotInteger(b'T', 1.5), 0);
    }

    #[test]
    fn length_offsets_need_their_number() {
        let mut session = Session::new(DwellUnit::Seconds);
        session.run("G43 H2").unwrap();
        assert_eq!(session.log.0, [Event::LengthOffset(Some(2))]);
        session.run("G49").unwrap();
        assert_eq!(session.log.0, [Event::LengthOffset(None)]);
        session.refuses("G90 G43", Problem::LengthOffsetMissing, 4);
        session.refuses("G49 H1", Problem::Unused(b'H'), 4);
        session.refuses("G43 H0.5", Problem::NotInteger(b'H', 0.5), 4);
        session.refuses("G43 H-1", Problem::Negative(b'H', -1.0), 4);
    }

    #[test]
    fn machine_coordinates_are_for_straight_moves() {
        let mut session = Session::new(DwellUnit::Seconds);
        session.refuses("G53 Z1", Problem::MachineFrame, 0);
        session.refuses("G53 G80", Problem::MachineFrame, 0);
        session.run("G0 X0 Y0").unwrap();
        session.run("G53 Z-1").unwrap();
        assert!(session.last_move().machine_frame);
        session.run("F9 G1 G53 Z-1").unwrap();
        session.refuses("G53 G2 X1 I1", Problem::MachineFrame, 0);
    }

    #[test]
    fn arcs_turn_by_their_code_and_count_in_their_units() {
        let quarter = std::f64::consts::FRAC_PI_2;
        let mut session = Session::new(DwellUnit::Seconds);
        session.run("G20 G0 X1 Y0").unwrap();
        session.run("G3 X0 Y1 I-1 F9").unwrap();
        session.run("G2 X1 Y0 J-1").unwrap();
        let Path::Arc { center, sweep } = session.last_move().path else {
            panic!("an arc");
        };
        assert_eq!(center, [0.0, 0.0]);
        assert!((sweep + quarter).abs() < 1e-12);
    }

    #[test]
    fn each_work_offset_counts_from_its_own_origin() {
        let mut session = Session::new(DwellUnit::Seconds);
        for (index, origin) in session.state.frames.work.iter_mut().enumerate() {
            origin[0] = 100.0 * index as f64;
        }
        for (code, x) in [(54, 1.0), (55, 101.0), (59, 501.0)] {
            session.run(&format!("G{code} G0 X1")).unwrap();
            assert_eq!(session.last_move().to[0], Some(x), "G{code}");
        }
    }

    #[test]
    fn motion_goes_on_until_it_is_off() {
        let mut session = Session::new(DwellUnit::Seconds);
        session.run("G1 X1 F9").unwrap();
        session.run("Y1").unwrap();
        assert_eq!(session.last_move().path, Path::Line);
        session.refuses("G80 Y2", Problem::AxisWithMotionOff, 4);
        session.run("G80").unwrap();
        assert_eq!(session.log.0, [Event::MotionOff]);
        session.refuses("Y2", Problem::AxisWithoutMotion, 0);
        session.refuses("J2 G1 X1", Problem::Unused(b'J'), 0);
        session.refuses("F9 G1", Problem::AxisMissing, 3);
    }

    #[test]
    fn a_feed_move_without_a_feed_marks_its_code_or_first_axis() {
        let mut session = Session::new(DwellUnit::Seconds);
        let marked = |executed: Executed| executed.zero_feed.map(|fault| fault.mark.at);
        assert_eq!(session.run("G0 X0 Y0").map(marked), Ok(None));
        assert_eq!(session.run("X1 G1").map(marked), Ok(Some(3)));
        assert_eq!(session.run("N10 Y2 Z1").map(marked), Ok(Some(4)));
        assert_eq!(session.run("F1").map(marked), Ok(None));
        assert_eq!(session.run("Y2 Z1").map(marked), Ok(None));
    }

    #[test]
    fn pause_and_end_come_after_the_move() {
        let mut session = Session::new(DwellUnit::Seconds);
        assert!(!session.run("M0 G0 X1").unwrap().ends);
        assert_eq!(session.log.0.last(), Some(&Event::Pause));
        assert!(session.run("M30 G0 X2").unwrap().ends);
        assert_eq!(session.log.0.last(), Some(&Event::End));
        assert_eq!(session.log.0.len(), 2);
    }
}
