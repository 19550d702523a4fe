//! What a piece takes on the real machine, to weigh one way of cutting it against
//! another: acceleration, corners and curves as a small controller goes them. The
//! judge has a clock of its own.

use crate::cutting::Settings;
use crate::geometry::{Position, norm};
use crate::shop::machine::Machine;
use crate::units::Feed;

use super::motion::{Motion, Pace};

/// How far a corner may be rounded, in mm (common practice, no source).
const ROUNDED: f64 = 0.01;
/// Shorter moves are none.
const NOTHING: f64 = 1e-9;

/// One feed move.
struct Stretch {
    length: f64,
    /// The fastest along it, in mm/s, and into it by the corner before.
    speed: f64,
    entry: f64,
    /// Directions at its ends, one long.
    start: [f64; 3],
    end: [f64; 3],
}

/// Seconds for `motions` from one rest to the next, rapids among them.
pub(super) fn seconds(motions: &[Motion], settings: &Settings, machine: &Machine) -> f64 {
    let clock = Clock::new(settings, machine);
    let mut at = None;
    let mut row: Vec<Stretch> = Vec::new();
    let mut total = 0.0;
    for motion in motions {
        let to = match motion {
            Motion::Note(_) => continue,
            Motion::Rapid(to) | Motion::Line { to, .. } | Motion::Arc { to, .. } => *to,
        };
        if let Some(from) = at {
            if let Motion::Rapid(_) = motion {
                total += clock.row(&row) + clock.rapid(from, to);
                row.clear();
            } else if let Some(mut next) = clock.stretch(from, motion) {
                next.entry = row.last().map_or(0.0, |last| clock.corner(last, &next));
                row.push(next);
            }
        }
        at = Some(to);
    }
    total + clock.row(&row)
}

struct Clock {
    rough: f64,
    finish: f64,
    plunge: f64,
    fall: f64,
    rapid: f64,
    acceleration: f64,
}

impl Clock {
    fn new(settings: &Settings, machine: &Machine) -> Self {
        let least = |axes: [f64; 3]| axes.into_iter().fold(f64::INFINITY, f64::min);
        let [x, y, _] = machine.acceleration;
        Self {
            rough: per_second(settings.feed),
            finish: per_second(settings.finish_feed),
            plunge: per_second(settings.plunge_feed),
            fall: per_second(machine.feed_max[2]),
            rapid: least(machine.rapid.map(per_second)),
            acceleration: x.min(y),
        }
    }

    fn stretch(&self, from: Position, motion: &Motion) -> Option<Stretch> {
        let (to, pace, round) = match *motion {
            Motion::Line { to, pace } => (to, pace, None),
            Motion::Arc {
                to,
                center,
                turn,
                pace,
            } => (to, pace, Some((center, turn.sign()))),
            Motion::Note(_) | Motion::Rapid(_) => return None,
        };
        let fall = to.z - from.z;
        let (level, ends, curve) = match round {
            None => {
                let (x, y) = (to.x - from.x, to.y - from.y);
                let level = x.hypot(y);
                let way = [x, y].map(|part| part / level.max(NOTHING));
                (level, [way, way], f64::INFINITY)
            }
            Some((center, sign)) => {
                let radius = center.distance(from.plan()).as_mm();
                let angle = |of: Position| (of.y - center.y).atan2(of.x - center.x);
                let (start, end) = (angle(from), angle(to));
                let sweep = (sign * (end - start)).rem_euclid(2.0 * std::f64::consts::PI);
                let tangent = |at: f64| [-at.sin() * sign, at.cos() * sign];
                let curve = (self.acceleration * radius).sqrt();
                (radius * sweep, [tangent(start), tangent(end)], curve)
            }
        };
        let length = level.hypot(fall);
        if length < NOTHING {
            return None;
        }
        let along = |[x, y]: [f64; 2]| [x * level / length, y * level / length, fall / length];
        let feed = match pace {
            Pace::Rough => self.rough,
            Pace::Finish => self.finish,
            Pace::Plunge => self.plunge,
        };
        let steep = self.fall * length / fall.abs().max(NOTHING);
        Some(Stretch {
            length,
            speed: feed.min(curve).min(steep),
            entry: 0.0,
            start: along(ends[0]),
            end: along(ends[1]),
        })
    }

    /// The fastest from one move into the next, on a curve that leaves the corner by
    /// as much as it may be rounded.
    fn corner(&self, before: &Stretch, after: &Stretch) -> f64 {
        let pairs = before.end.into_iter().zip(after.start);
        let cosine: f64 = pairs.map(|(one, other)| one * other).sum();
        let half = ((1.0 + cosine).max(0.0) / 2.0).sqrt();
        let radius = ROUNDED * half / (1.0 - half).max(NOTHING);
        let speed = (self.acceleration * radius).sqrt();
        speed.min(before.speed).min(after.speed)
    }

    /// A row of feed moves from rest to rest.
    fn row(&self, row: &[Stretch]) -> f64 {
        let mut ends = vec![0.0; row.len()];
        let mut next: f64 = 0.0;
        for (stretch, end) in row.iter().zip(&mut ends).rev() {
            *end = next;
            next = stretch.entry.min(self.after(next, stretch.length));
        }
        let mut speed: f64 = 0.0;
        let mut total = 0.0;
        for (stretch, end) in row.iter().zip(ends) {
            let end = end.min(self.after(speed, stretch.length));
            total += self.ramps(stretch.length, [speed, end], stretch.speed);
            speed = end;
        }
        total
    }

    fn rapid(&self, from: Position, to: Position) -> f64 {
        let way = norm([to.x - from.x, to.y - from.y, to.z - from.z]);
        self.ramps(way, [0.0, 0.0], self.rapid)
    }

    fn after(&self, speed: f64, length: f64) -> f64 {
        (speed * speed + 2.0 * self.acceleration * length).sqrt()
    }

    /// Seconds over `length` between two speeds, as fast as `most` in between.
    fn ramps(&self, length: f64, [start, end]: [f64; 2], most: f64) -> f64 {
        let squares = start * start + end * end;
        let peak = (self.acceleration * length + squares / 2.0)
            .sqrt()
            .min(most);
        let peak = peak.max(start).max(end).max(NOTHING);
        let ramps = (2.0 * peak * peak - squares) / (2.0 * self.acceleration);
        (2.0 * peak - start - end) / self.acceleration + (length - ramps).max(0.0) / peak
    }
}

fn per_second(feed: Feed) -> f64 {
    feed.as_mm_per_minute() / 60.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::job::sample;
    use crate::plan::Turn;
    use crate::settings;

    /// By hand, 50 mm/s and 250 mm/s²: 100 mm are 0.4 s and 90 mm at 50 mm/s; half a turn
    /// about 2 mm between two such legs is gone at √500 = 22.36 mm/s, which a leg ends at
    /// after (2500 - 500) / 500 = 4 mm and 0.1106 s; a corner stops at 2.457 mm/s.
    #[test]
    fn legs_turns_and_corners_take_as_long_as_on_the_machine() {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let pace = Pace::Rough;
        let start = Motion::Rapid(Position::from_mm(0.0, 0.0, 0.0));
        let line = |x, y| Motion::Line {
            to: Position::from_mm(x, y, 0.0),
            pace,
        };
        let turn = Motion::Arc {
            to: Position::from_mm(100.0, 4.0, 0.0),
            center: Point::from_mm(100.0, 2.0),
            turn: Turn::CounterClockwise,
            pace,
        };
        let time = |moves: &[Motion]| {
            let moves = [std::slice::from_ref(&start), moves].concat();
            seconds(&moves, &settings, &job.machine)
        };
        assert!((time(&[line(100.0, 0.0)]) - 2.2).abs() < 1e-9);
        let slow = 500f64.sqrt();
        let leg = 0.2 + (100.0 - 5.0 - 4.0) / 50.0 + (50.0 - slow) / 250.0;
        let around = 2.0 * std::f64::consts::PI / slow;
        let both = time(&[line(100.0, 0.0), turn, line(0.0, 4.0)]);
        assert!((both - 2.0 * leg - around).abs() < 1e-6, "{both}");
        let corner = time(&[line(100.0, 0.0), line(100.0, 100.0)]);
        assert!((corner - 2.0 * (2.2 - 0.009_757)).abs() < 1e-3, "{corner}");
    }
}
