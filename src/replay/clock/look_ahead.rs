//! Feed moves in a row: how fast each begins and ends, given those ahead.

use super::path::AxisLimits;
use super::ramp::{Segment, length_at, ramp_seconds};

/// How many moves are looked at together; half of them are timed at once.
const LOOK_AHEAD: usize = 256;

/// Segments from one rest to the next, the oldest timed as new ones come.
#[derive(Clone, Debug, Default)]
pub(super) struct LookAhead {
    waiting: Vec<Segment>,
    /// Speed at the start of the first waiting segment.
    speed: f64,
    seconds: f64,
    /// Millimetres timed so far, and those at the feed asked for.
    length: f64,
    at_feed: f64,
    /// Of the path that wants a least feed: millimetres, and those under it.
    wanting: f64,
    under: f64,
    blocks: Blocks,
}

/// A feed counts as reached from this share of it on.
const REACHED: f64 = 0.95;

/// The greatest count of blocks in a second, by tenths of a second.
#[derive(Clone, Debug, Default)]
struct Blocks {
    tenth: u64,
    counts: [u64; 10],
    most: u64,
}

impl Blocks {
    fn add(&mut self, seconds: f64) {
        let tenth = (seconds * 10.0) as u64;
        for passed in (self.tenth + 1..=tenth).take(self.counts.len()) {
            self.counts[(passed % 10) as usize] = 0;
        }
        self.tenth = tenth;
        self.counts[(tenth % 10) as usize] += 1;
        self.most = self.most.max(self.counts.iter().sum());
    }
}

impl LookAhead {
    /// Share of the path timed so far on which the feed asked for is reached.
    pub(super) fn reached_feed(&self) -> f64 {
        if self.length > 0.0 {
            self.at_feed / self.length
        } else {
            1.0
        }
    }

    /// Share of the path timed so far that lies under the least feed it wants;
    /// nothing where none of it wants one.
    pub(super) fn under_least(&self) -> Option<f64> {
        (self.wanting > 0.0).then(|| self.under / self.wanting)
    }

    /// The greatest count of blocks in a second.
    pub(super) fn blocks_per_second(&self) -> u64 {
        self.blocks.most
    }

    /// Time of all segments timed so far.
    pub(super) fn seconds(&self) -> f64 {
        self.seconds
    }

    /// Adds a segment to the row.
    pub(super) fn push(&mut self, mut segment: Segment, limits: &AxisLimits) {
        if self.waiting.len() == LOOK_AHEAD {
            self.settle(LOOK_AHEAD / 2);
        }
        segment.entry = self.waiting.last().map_or(0.0, |before| {
            limits
                .corner(before.end, segment.start)
                .min(before.speed)
                .min(segment.speed)
        });
        self.waiting.push(segment);
    }

    /// Ends the row at rest.
    pub(super) fn stop(&mut self) {
        if !self.waiting.is_empty() {
            self.settle(self.waiting.len());
            self.speed = 0.0;
        }
    }

    /// Times the first `count` segments, as if the row ended at rest.
    fn settle(&mut self, count: usize) {
        let mut ends = [0.0; LOOK_AHEAD];
        let mut fastest: f64 = 0.0;
        for (segment, end) in self.waiting.iter().zip(&mut ends).rev() {
            *end = fastest;
            fastest = segment.entry.min(reached(fastest, segment));
        }
        for (segment, end) in self.waiting.drain(..count).zip(ends) {
            let end = end.min(reached(self.speed, &segment));
            self.blocks.add(self.seconds);
            self.length += segment.length;
            let reaching = |wanted: f64| {
                let way = (segment.length, self.speed, end);
                length_at(wanted, way, segment.speed, segment.acceleration)
            };
            self.at_feed += reaching(segment.commanded * REACHED);
            if segment.least > 0.0 {
                self.wanting += segment.length;
                self.under += segment.length - reaching(segment.least);
            }
            self.seconds += ramp_seconds(
                segment.length,
                self.speed,
                end,
                segment.speed,
                segment.acceleration,
            );
            self.speed = end;
        }
    }
}

/// The speed after a segment's full length of acceleration.
fn reached(speed: f64, segment: &Segment) -> f64 {
    (speed * speed + 2.0 * segment.acceleration * segment.length).sqrt()
}
