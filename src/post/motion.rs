//! Moves as words: only what changes, at a feed every axis can follow.

use std::f64::consts::PI;

use crate::cutting::Settings;
use crate::geometry::{Point, Position};
use crate::plan::{Motion, Pace, Turn};
use crate::shop::machine::{ArcSupport, Machine};

use super::arc::{self, Wanted};
use super::block::Block;
use super::number::Grid;
use super::program_text::ProgramText;

/// Chords keep this close to their arc, in mm, rounding included.
const CHORD_ERROR: f64 = 0.005;

/// The same where a roughing move goes down an arc that the dialect would have
/// whole if it were level: the finishing pass takes what is left, and the
/// corners between the chords are still no sharper than the arc is bent, to
/// a controller that rounds them by as much.
const ROUGH_CHORD_ERROR: f64 = 0.01;

/// A shorter arc is written as a straight move, in mm: a coarse controller may
/// take start and end for the same point and run a full circle.
const SHORTEST_ARC: f64 = 0.05;
/// Greatest turn of a descending chord, in radians: the chord is then less than
/// two thousandths shorter than its arc, and no steeper than the ramp limit.
const SINKING_CHORD: f64 = 0.2;

/// Writes moves and knows what the controller knows.
pub(super) struct Mover<'a> {
    machine: &'a Machine,
    pub(super) grid: Grid,
    /// Printed position in last digits; unknown axes must be named.
    at: [Option<i64>; 3],
    /// The same place as planned.
    place: Position,
    /// The lowest that the tip has been.
    pub(super) lowest: f64,
    feed: Option<i64>,
}

impl<'a> Mover<'a> {
    pub(super) fn new(machine: &'a Machine) -> Self {
        Self {
            machine,
            grid: Grid::of(&machine.dialect),
            at: [None; 3],
            place: Position::default(),
            lowest: 0.0,
            feed: None,
        }
    }

    /// After a new origin or a new bit nothing is known.
    pub(super) fn forget(&mut self) {
        self.at = [None; 3];
    }

    /// Not so after a move to a height of the machine's own.
    pub(super) fn knows_height(&self) -> bool {
        self.at[2].is_some()
    }

    pub(super) fn up(&mut self, tape: &mut ProgramText, z: f64) {
        let z_digits = self.grid.round(z);
        let mut block = Block::new("G0");
        block.push(self.grid, 'Z', z_digits);
        tape.block(&block);
        self.at[2] = Some(z_digits);
        self.place.z = z;
    }

    /// Sideways at the present height.
    pub(super) fn aside(&mut self, tape: &mut ProgramText, x: f64, y: f64) {
        let digits = [self.grid.round(x), self.grid.round(y)];
        let mut block = Block::new("G0");
        block.push(self.grid, 'X', digits[0]);
        block.push(self.grid, 'Y', digits[1]);
        tape.block(&block);
        self.at[0] = Some(digits[0]);
        self.at[1] = Some(digits[1]);
    }

    pub(super) fn motion(&mut self, tape: &mut ProgramText, motion: &Motion, settings: &Settings) {
        match motion {
            Motion::Note(words) => tape.comment(words),
            Motion::Rapid(to) => {
                if !self.knows_height() {
                    self.over(tape, *to);
                }
                let block = self.axes("G0", *to, false);
                self.write(tape, block, None);
                self.arrive(*to);
            }
            Motion::Line { to, pace } => {
                let level = (to.x - self.place.x).hypot(to.y - self.place.y);
                let feed = self.feed(*pace, level, to.z - self.place.z, settings);
                self.line(tape, *to, feed);
            }
            Motion::Arc {
                to,
                center,
                turn,
                pace,
            } => self.arc(tape, *to, (*center, *turn), *pace, settings),
        }
    }

    fn line(&mut self, tape: &mut ProgramText, to: Position, feed: i64) {
        let block = self.axes("G1", to, false);
        self.write(tape, block, Some(feed));
        self.arrive(to);
    }

    fn arc(
        &mut self,
        tape: &mut ProgramText,
        to: Position,
        (center, turn): (Point, Turn),
        pace: Pace,
        settings: &Settings,
    ) {
        let from = self.place;
        let radius = from.plan().distance(center).as_mm();
        let start = (from.y - center.y).atan2(from.x - center.x);
        let end = (to.y - center.y).atan2(to.x - center.x);
        let sweep = (turn.sign() * (end - start)).rem_euclid(2.0 * PI);
        let feed = self.feed(pace, radius * sweep, to.z - from.z, settings);
        let code = match turn {
            Turn::Clockwise => "G2",
            Turn::CounterClockwise => "G3",
        };
        let offsets = if radius * sweep < SHORTEST_ARC {
            None
        } else {
            self.as_arc(to, center, turn.sign() * sweep)
        };
        if let Some([i, j]) = offsets {
            let mut block = self.axes(code, to, true);
            block.push(self.grid, 'I', i);
            block.push(self.grid, 'J', j);
            if tape.fits(&block) {
                self.write(tape, block, Some(feed));
                self.arrive(to);
                return;
            }
        }
        let sinks = to.z < from.z;
        let is_whole = self.machine.dialect.arcs != ArcSupport::None;
        let error = if sinks && is_whole && pace == Pace::Rough {
            ROUGH_CHORD_ERROR
        } else {
            CHORD_ERROR
        };
        let sagitta = error - 0.75 * self.grid.step();
        let mut count = arc::chords(radius, sweep, sagitta);
        if sinks {
            count = count.max((sweep / SINKING_CHORD).ceil() as u32);
        }
        for chord in 1..count {
            let share = f64::from(chord) / f64::from(count);
            let angle = start + turn.sign() * sweep * share;
            let between = Position::from_mm(
                center.x + radius * angle.cos(),
                center.y + radius * angle.sin(),
                from.z + (to.z - from.z) * share,
            );
            self.line(tape, between, feed);
        }
        self.line(tape, to, feed);
    }

    /// I and J where the dialect can have this arc as one.
    fn as_arc(&self, to: Position, center: Point, sweep: f64) -> Option<[i64; 2]> {
        let [Some(x), Some(y), Some(z)] = self.at else {
            return None;
        };
        let sinks = self.grid.round(to.z) != z;
        match self.machine.dialect.arcs {
            ArcSupport::Flat if sinks => return None,
            ArcSupport::None => return None,
            ArcSupport::Flat | ArcSupport::Helix => (),
        }
        let wanted = Wanted {
            from: [x, y],
            to: [self.grid.round(to.x), self.grid.round(to.y)],
            center: [center.x, center.y].map(|value| value / self.grid.step()),
            sweep,
        };
        arc::offsets(&wanted, self.grid)
    }

    /// A motion with the axes that change; X and Y in any case where `both`.
    fn axes(&self, motion: &str, to: Position, both: bool) -> Block {
        let axes = [('X', to.x, both), ('Y', to.y, both), ('Z', to.z, false)];
        let mut block = Block::new(motion);
        for (index, (letter, value, always)) in axes.into_iter().enumerate() {
            let digits = self.grid.round(value);
            if always || self.at[index] != Some(digits) {
                block.push(self.grid, letter, digits);
            }
        }
        block
    }

    /// Sideways alone, where the bit stands at a height of the machine's own.
    fn over(&mut self, tape: &mut ProgramText, to: Position) {
        let mut block = Block::new("G0");
        for (axis, (letter, value)) in [('X', to.x), ('Y', to.y)].into_iter().enumerate() {
            let digits = self.grid.round(value);
            block.push(self.grid, letter, digits);
            self.at[axis] = Some(digits);
        }
        tape.block(&block);
    }

    /// One block, if anything moves at all.
    fn write(&mut self, tape: &mut ProgramText, mut block: Block, feed: Option<i64>) {
        if block.is_bare() {
            return;
        }
        if let Some(feed) = feed
            && self.feed != Some(feed)
        {
            block.push_feed(self.grid, feed);
            self.feed = Some(feed);
        }
        tape.block(&block);
    }

    fn arrive(&mut self, to: Position) {
        self.place = to;
        self.lowest = self.lowest.min(to.z);
        self.at = [to.x, to.y, to.z].map(|value| Some(self.grid.round(value)));
    }

    /// The feed along a path `level` long seen from above that rises by
    /// `rise`: no axis past its own limit.
    fn feed(&self, pace: Pace, level: f64, rise: f64, settings: &Settings) -> i64 {
        let wanted = match pace {
            Pace::Rough => settings.feed,
            Pace::Finish => settings.finish_feed,
            Pace::Plunge => settings.plunge_feed,
        };
        let [x, y, z] = self.machine.feed_max.map(|feed| feed.as_mm_per_minute());
        let length = level.hypot(rise);
        let mut feed = wanted.as_mm_per_minute();
        if level > 0.0 {
            feed = feed.min(x.min(y) * length / level);
        }
        if rise.abs() > 0.0 {
            feed = feed.min(z * length / rise.abs());
        }
        self.grid.feed(feed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::settings;

    /// Half a circle of 1.85 mm about (20, 10), from its right end down by
    /// `drop`: how many chords, and how far they leave the circle.
    fn half_circle(arcs: ArcSupport, pace: Pace, drop: f64) -> (usize, f64) {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let mut machine = job.machine.clone();
        machine.dialect.arcs = arcs;
        let mut tape = ProgramText::new(&machine.dialect);
        let mut mover = Mover::new(&machine);
        let (radius, center) = (1.85, Point::from_mm(20.0, 10.0));
        let start = Position::from_mm(center.x + radius, center.y, -1.0);
        mover.motion(&mut tape, &Motion::Rapid(start), &settings);
        let arc = Motion::Arc {
            to: Position::from_mm(center.x - radius, center.y, -1.0 - drop),
            center,
            turn: Turn::CounterClockwise,
            pace,
        };
        mover.motion(&mut tape, &arc, &settings);
        let text = tape.text();
        let mut at = [start.x, start.y];
        let mut worst = 0.0_f64;
        let chords = text.lines().filter(|line| line.starts_with("G1"));
        let count = chords.clone().count();
        for line in chords {
            let before = at;
            for word in line.split(' ') {
                match word.split_at(1) {
                    ("X", value) => at[0] = value.parse().unwrap(),
                    ("Y", value) => at[1] = value.parse().unwrap(),
                    _ => {}
                }
            }
            let middle = [0, 1].map(|axis| f64::midpoint(before[axis], at[axis]));
            let away = (middle[0] - center.x).hypot(middle[1] - center.y);
            worst = worst.max((away - radius).abs());
        }
        (count, worst)
    }

    /// By hand: chords of 1.85 mm that stay within 0.01 mm turn by 0.2 radians,
    /// those within 0.005 mm by 0.147; some of it is for the rounding.
    #[test]
    fn chords_are_as_close_as_their_pace_asks() {
        for (arcs, pace, drop, counts, error) in [
            (ArcSupport::Flat, Pace::Rough, 0.3, 16..=17, 0.01),
            (ArcSupport::Flat, Pace::Finish, 0.3, 22..=24, 0.005),
            (ArcSupport::None, Pace::Rough, 0.3, 22..=24, 0.005),
            (ArcSupport::None, Pace::Rough, 0.0, 22..=24, 0.005),
            (ArcSupport::Flat, Pace::Rough, 0.0, 0..=0, 0.0),
            (ArcSupport::Helix, Pace::Rough, 0.3, 0..=0, 0.0),
        ] {
            let (count, worst) = half_circle(arcs, pace, drop);
            assert!(counts.contains(&count), "{arcs:?} {pace:?} {drop}: {count}");
            assert!(worst <= error, "{arcs:?} {pace:?} {drop}: {worst}");
        }
    }
}
