//! The clock: how long a program runs, by a model of the motion controller.
//!
//! Feed moves are joined: the bit slows for a corner as far as the corner
//! asks, not to a stop, and never faster than the moves ahead allow. Each axis
//! has its own acceleration and top speed; a curve is taken no faster than
//! v² / r = acceleration. Rapids start and end at rest, each axis at its own
//! speed. A wait for a person is listed, not counted.

mod look_ahead;
mod path;
mod ramp;

use look_ahead::LookAhead;
use path::AxisLimits;

use crate::rs274::event::{Event, Move, Path, Turning};
use crate::shop::machine::Machine;
use crate::units::{Feed, Seconds};

/// How many waits for a person are listed; all are counted.
const LISTED: usize = 100;

/// Adds up the time of a program, event by event, in flat memory.
#[derive(Clone, Debug)]
pub struct Clock {
    limits: AxisLimits,
    /// Feed moves not yet timed, for their successors decide how they end.
    look_ahead: LookAhead,
    /// What the moves that follow want at least, in millimetres a second.
    least: f64,
    turning: bool,
    /// Spin-up still to be waited for, in seconds.
    spinning_up: f64,
    rapids: f64,
    waiting: f64,
    steady_cutting: f64,
    steady_rapid: f64,
    pauses: u64,
    listed: Vec<u64>,
}

/// How long a program runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Times {
    /// Everything, with real acceleration, dwells and spin-up, without waits
    /// for a person.
    pub total: Seconds,
    /// Of these, moving.
    pub moving: Seconds,
    /// Feed moves alone, as if acceleration had no limit.
    pub cutting: Seconds,
    /// Rapids alone, as if acceleration had no limit.
    pub rapid: Seconds,
    /// Feed moves alone, with real acceleration.
    pub feed: Seconds,
    /// Share of their path on which the feed asked for is reached within 5 %.
    pub reached_feed: f64,
    /// The greatest count of feed moves that begin in one second.
    pub blocks_per_second: u64,
    /// How often the program waits for a person (M0, M6), for a time unknown.
    pub pauses: u64,
    /// Lines of the first hundred of them.
    pub pause_lines: Vec<u64>,
}

/// How long one move takes if acceleration has no limit; nothing for a feed
/// move without a feed, and for the way along an axis not known before.
pub fn steady(machine: &Machine, motion: &Move) -> Seconds {
    Seconds::from_seconds(AxisLimits::new(machine).steady(motion))
}

impl Clock {
    /// At rest, the spindle off.
    pub fn new(machine: &Machine) -> Self {
        Self {
            limits: AxisLimits::new(machine),
            look_ahead: LookAhead::default(),
            least: 0.0,
            turning: false,
            spinning_up: 0.0,
            rapids: 0.0,
            waiting: 0.0,
            steady_cutting: 0.0,
            steady_rapid: 0.0,
            pauses: 0,
            listed: Vec::new(),
        }
    }

    /// The least feed that the moves that follow want; zero where none is wanted.
    pub fn want(&mut self, least: Feed) {
        self.least = least.as_mm_per_minute() / 60.0;
    }

    /// Share of the path that wants a least feed on which it is not reached, up to
    /// the last rest; nothing where none of it wants one.
    pub fn under_least(&self) -> Option<f64> {
        self.look_ahead.under_least()
    }

    /// Takes the next event, of line `line`.
    pub fn event(&mut self, line: u64, event: &Event) {
        match event {
            Event::Move(motion) => self.advance(motion),
            Event::Spindle(turning) => self.turn(*turning),
            Event::Dwell(time) => self.dwell(time.as_seconds()),
            Event::Pause | Event::ToolChange(_) => self.pause(line),
            Event::Speed(_)
            | Event::SelectTool(_)
            | Event::LengthOffset(_)
            | Event::WorkOffset(_)
            | Event::Dust(_)
            | Event::End
            | Event::AfterEnd => self.look_ahead.stop(),
            // The controller reads these ahead, and the bit goes on.
            Event::Units(_)
            | Event::PlaneXy
            | Event::AbsoluteDistance
            | Event::UnitsPerMinute
            | Event::CompensationOff
            | Event::MotionOff
            | Event::Feed(_) => {}
        }
    }

    /// Comes to rest and reads the clock.
    pub fn finish(mut self) -> Times {
        self.look_ahead.stop();
        let moving = self.rapids + self.look_ahead.seconds();
        Times {
            total: Seconds::from_seconds(moving + self.waiting),
            moving: Seconds::from_seconds(moving),
            cutting: Seconds::from_seconds(self.steady_cutting),
            rapid: Seconds::from_seconds(self.steady_rapid),
            feed: Seconds::from_seconds(self.look_ahead.seconds()),
            reached_feed: self.look_ahead.reached_feed(),
            blocks_per_second: self.look_ahead.blocks_per_second(),
            pauses: self.pauses,
            pause_lines: self.listed,
        }
    }

    fn advance(&mut self, motion: &Move) {
        self.waiting += std::mem::take(&mut self.spinning_up);
        let steady = self.limits.steady(motion);
        if motion.path == Path::Rapid {
            self.look_ahead.stop();
            self.steady_rapid += steady;
            self.rapids += self.limits.rapid(motion);
        } else {
            self.steady_cutting += steady;
            if let Some(mut segment) = self.limits.segment(motion) {
                segment.least = self.least;
                self.look_ahead.push(segment, &self.limits);
            }
        }
    }

    fn turn(&mut self, turning: Turning) {
        self.look_ahead.stop();
        let on = turning != Turning::Stopped;
        self.spinning_up = match (self.turning, on) {
            (false, true) => self.limits.spin_up(),
            (true, true) => self.spinning_up,
            (_, false) => 0.0,
        };
        self.turning = on;
    }

    /// A dwell after a start is time to spin up.
    fn dwell(&mut self, time: f64) {
        self.look_ahead.stop();
        self.waiting += time;
        self.spinning_up = (self.spinning_up - time).max(0.0);
    }

    /// A person takes longer than the spindle.
    fn pause(&mut self, line: u64) {
        self.look_ahead.stop();
        self.spinning_up = 0.0;
        self.pauses += 1;
        if self.listed.len() < LISTED {
            self.listed.push(line);
        }
    }
}

#[cfg(test)]
mod integration;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::rs274::event::{Frames, Refusal, Visitor};
    use crate::rs274::read;

    impl Visitor for Clock {
        fn event(&mut self, line: u64, event: &Event) {
            Clock::event(self, line, event);
        }

        fn refusal(&mut self, refusal: &Refusal) {
            panic!("{refusal:?}");
        }
    }

    /// Feeds 50, 50, 20 mm/s; rapids 66.67, 66.67, 25 mm/s; acceleration 250,
    /// 250, 150 mm/s²; three seconds to spin up.
    pub(super) fn times(program: &str) -> Times {
        let machine = sample::machine();
        let mut clock = Clock::new(&machine);
        let text = format!("G21 G0 X0 Y0 Z0\n{program}\nM30\n");
        read(
            text.as_bytes(),
            &machine.dialect,
            Frames::default(),
            &mut clock,
        );
        clock.finish()
    }

    #[track_caller]
    fn near(found: Seconds, expected: f64) {
        let found = found.as_seconds();
        assert!((found - expected).abs() < 1e-4, "{found} s, not {expected}");
    }

    // By hand: 0.2 s and 5 mm up to 50 mm/s, 90 mm at that, 0.2 s down.
    #[test]
    fn a_long_cut_is_a_trapezoid() {
        let times = times("G1 X100 F3000");
        near(times.total, 0.2 + 90.0 / 50.0 + 0.2);
        near(times.moving, 2.2);
        near(times.cutting, 2.0);
        near(times.rapid, 0.0);
    }

    // By hand: 20 mm/s are reached 20² / 500 = 0.8 mm after a rest and lost as far before
    // the next; of 10 mm that want them 8.4 have them, those without a want count for nothing.
    #[test]
    fn the_way_under_a_wanted_feed_is_told_as_a_share() {
        let machine = sample::machine();
        let mut clock = Clock::new(&machine);
        let mut wants = Wanting(&mut clock, 1200.0);
        let text = "G21 G0 X0 Y0 Z0\nG1 X10 F3000\nM0\nG1 X60 F2999\nM30\n";
        read(
            text.as_bytes(),
            &machine.dialect,
            Frames::default(),
            &mut wants,
        );
        let share = clock.under_least().unwrap();
        assert!((share - 0.16).abs() < 1e-9, "{share}");
        assert_eq!(Clock::new(&machine).under_least(), None);
    }

    /// Wants that feed of moves at 3000 mm/min alone.
    struct Wanting<'c>(&'c mut Clock, f64);

    impl Visitor for Wanting<'_> {
        fn event(&mut self, line: u64, event: &Event) {
            if let Event::Move(motion) = event {
                let is_wanted = motion.feed.as_mm_per_minute() == 3000.0;
                let least = if is_wanted { self.1 } else { 0.0 };
                self.0.want(Feed::from_mm_per_minute(least));
            }
            self.0.event(line, event);
        }

        fn refusal(&mut self, refusal: &Refusal) {
            panic!("{refusal:?}");
        }
    }

    // By hand: 45 of 50 mm/s are reached after 45² / 500 = 4.05 mm: 91.9 of 100 mm at
    // 0.95; of 4 mm none.
    #[test]
    fn the_feed_is_reached_between_the_ramps() {
        let long = times("G1 X100 F3000");
        let ramp = 47.5_f64.powi(2) / 500.0;
        assert!((long.reached_feed - (100.0 - 2.0 * ramp) / 100.0).abs() < 1e-9);
        near(long.feed, 2.2);
        assert_eq!(times("G1 X4 F3000").reached_feed, 0.0);
        // A tenth of a millimetre at 600 mm/min, which is 10 mm/s: a hundred a second.
        let fine: String = (1..=400)
            .map(|step| format!("G1 X{:.1} F600\n", f64::from(step) / 10.0))
            .collect();
        let found = times(&fine).blocks_per_second;
        assert!((90..=112).contains(&found), "{found}");
    }

    // By hand: half of 4 mm to reach the peak, 2 × √(4 / 250) s.
    #[test]
    fn a_short_cut_is_a_triangle() {
        near(times("G1 X4 F3000").total, 2.0 * (4.0f64 / 250.0).sqrt());
    }

    // By hand: on the diagonal of a 3-4-5 triangle Y is the busy axis; it
    // allows 50 / 0.8 = 62.5 mm/s, but the feed is 40 mm/s; it allows 250 / 0.8
    // = 312.5 mm/s². 40² / 625 = 2.56 mm and 0.128 s at each end.
    #[test]
    fn the_busiest_axis_limits_a_slanting_cut() {
        near(
            times("G1 X30 Y40 F2400").total,
            0.256 + (50.0 - 5.12) / 40.0,
        );
    }

    // By hand: Z allows 20 mm/s and 150 mm/s²: 0.1333 s and 1.3333 mm a ramp.
    #[test]
    fn an_axis_goes_no_faster_than_its_own_feed() {
        let times = times("G1 Z-10 F3000");
        near(
            times.total,
            2.0 * 20.0 / 150.0 + (10.0 - 400.0 / 150.0) / 20.0,
        );
        near(times.cutting, 0.5);
    }

    // By hand: X needs 100 / 66.667 + 66.667 / 250 = 1.76667 s, Z needs
    // 20 / 25 + 25 / 150 = 0.96667 s. The slower one counts.
    #[test]
    fn a_rapid_takes_as_long_as_its_slowest_axis() {
        let both = times("G0 X100 Z20");
        near(both.total, 1.766_667);
        near(both.rapid, 1.5);
        near(times("G0 Z20").total, 0.966_667);
    }

    // By hand: a straight joint is no corner at all.
    #[test]
    fn collinear_cuts_run_through() {
        let straight = times("G1 X25 F3000\nX50\nX75\nX100");
        near(straight.total, 2.2);
        let aslant = times("G1 X2 Y3 Z-6 F600\nX4 Y6 Z-12");
        near(aslant.total, times("G1 X4 Y6 Z-12 F600").total.as_seconds());
        // A cut that goes nowhere is no corner either.
        near(times("G1 X50 F3000\nX50\nX100").total, 2.2);
    }

    // By hand: a right angle leaves √½ for the half angle, a curve of 0.01 ×
    // 0.70711 / 0.29289 = 0.024142 mm, where 250 mm/s² allow 2.45673 mm/s.
    // From 50 down to that: 0.190173 s, 4.98793 mm.
    #[test]
    fn a_corner_is_taken_slowly() {
        let side = 0.2 + 0.190_173 + (100.0 - 5.0 - 4.987_93) / 50.0;
        near(times("G1 X100 F3000\nY100").total, 2.0 * side);
    }

    #[test]
    fn turning_back_stops() {
        near(times("G1 X100 F3000\nX0").total, 4.4);
    }

    // By hand: r = 1 mm allows √250 = 15.8114 mm/s, reached in 0.0632456 s
    // and 0.5 mm, of a circle of 2 π mm.
    #[test]
    fn a_curve_is_no_faster_than_its_radius_allows() {
        let around = 2.0 * std::f64::consts::PI;
        let times = times("G3 X0 I1 F3000");
        near(times.total, 2.0 * 0.063_245_6 + (around - 1.0) / 15.811_4);
        near(times.cutting, around / 50.0);
    }

    // By hand: a helix of one turn about r = 10, 62.8319 mm around and 20
    // down: 65.9383 mm; Z has 0.303314 of the speed and limits it to 65.94
    // mm/s; the feed of 20 mm/s rules. Acceleration along: 150 / 0.303314 =
    // 494.5 for Z, 250 / 0.952890 = 262.36 for X and Y.
    #[test]
    fn a_helix_counts_its_fall() {
        let length = 62.831_853f64.hypot(20.0);
        let ramp = 20.0 / (250.0 * length / 62.831_853);
        let times = times("G3 X0 Z-20 I10 F1200");
        near(times.cutting, length / 20.0);
        near(times.total, length / 20.0 + ramp);
    }

    // By hand: a turn about r = 1 while falling 3 mm: 6.96264 mm long, 0.902414
    // of it level, so √250 / 0.902414 = 17.5212 mm/s and 250 / 0.902414 = 277.035.
    #[test]
    fn a_steep_curve_is_faster_along_than_around() {
        near(times("G3 X0 Z-3 I1 F3000").total, 0.460_629);
    }

    #[test]
    fn spin_up_is_waited_for_once_unless_the_program_dwells() {
        near(times("M3 S9000\nM3 S9000").total, 0.0);
        near(times("M3 S9000\nG1 X4 F3000").total, 3.0 + 0.252_982);
        near(times("M3 S9000\nG4 P5\nG1 X4 F3000").total, 5.252_982);
        near(times("M3 S9000\nG4 P1\nG1 X4 F3000").total, 3.252_982);
        near(times("M3\nM3\nG1 X4 F3000\nM3\nX0").total, 3.505_964);
        near(times("M3\nG1 X4 F3000\nM5\nM3\nX0").total, 6.505_964);
        near(times("M3\nM5\nG1 X4 F3000").total, 0.252_982);
    }

    #[test]
    fn waits_for_a_person_are_listed_and_not_counted() {
        let few = times("M3\nM0\nG1 X4 F3000\nT2 M6\nX0");
        near(few.total, 0.505_964);
        assert_eq!((few.pauses, few.pause_lines), (2, vec![3, 5]));
        let many = times(&"M0\n".repeat(300));
        assert_eq!((many.pauses, many.pause_lines.len()), (300, 100));
    }

    #[test]
    fn what_stops_the_controller_ends_a_row_of_cuts() {
        let through = times("G1 X50 F3000\nG90\nF3000\nX100");
        near(through.total, 2.2);
        for stop in [
            "S9000", "M8", "G55", "G4 P0", "M0", "G0 Y0", "G49", "M5", "T1",
        ] {
            let times = times(&format!("G1 X50 F3000\n{stop}\nG1 X100"));
            near(times.total, 2.4);
        }
    }

    #[test]
    fn unknown_ways_and_missing_feeds_take_no_time() {
        let machine = sample::machine();
        let mut clock = Clock::new(&machine);
        let text = b"G21 G0 X5\nG1 Y9 F3000\nX55\nM30\n";
        read(text, &machine.dialect, Frames::default(), &mut clock);
        near(clock.finish().total, 1.2);
        near(times("F0 G0 X0 Y0").total, 0.0);
    }

    #[test]
    fn one_move_alone_is_timed_at_steady_speed() {
        let machine = sample::machine();
        let motion = |path, to: [f64; 3], feed| Move {
            from: [Some(0.0); 3],
            to: to.map(Some),
            named: [true; 3],
            path,
            feed: Feed::from_mm_per_minute(feed),
            machine_frame: false,
            resolution: 0.001,
        };
        near(
            steady(&machine, &motion(Path::Line, [30.0, 40.0, 0.0], 1200.0)),
            2.5,
        );
        near(
            steady(&machine, &motion(Path::Line, [30.0, 40.0, 0.0], 0.0)),
            0.0,
        );
        near(
            steady(&machine, &motion(Path::Rapid, [30.0, 40.0, 5.0], 0.0)),
            0.6,
        );
        near(steady(&machine, &motion(Path::Line, [0.0; 3], 1200.0)), 0.0);
    }

    // Longer than the look-ahead: a row of 2,000 short cuts is one cut.
    #[test]
    fn a_row_longer_than_the_look_ahead_runs_through() {
        let mut text = String::new();
        for step in 1..=2000 {
            text += &format!("G1 X{} F3000\n", f64::from(step) / 10.0);
        }
        near(times(&text).total, 0.4 + 190.0 / 50.0);
    }
}
