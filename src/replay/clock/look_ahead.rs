//! Feed moves in a row: how fast each begins and ends, given those ahead.

use super::path::AxisLimits;

/// How many moves are looked at together; half of them are timed at once.
const LOOK_AHEAD: usize = 256;

/// One feed move.
#[derive(Clone, Copy, Debug)]
pub(super) struct Segment {
    /// Millimetres.
    pub(super) length: f64,
    /// The fastest along it, in millimetres a second.
    pub(super) speed: f64,
    /// The most along it, in millimetres a second squared.
    pub(super) acceleration: f64,
    /// The fastest into it, by the corner before it.
    pub(super) entry: f64,
    /// Directions at its ends, of length one.
    pub(super) start: [f64; 3],
    pub(super) end: [f64; 3],
}

/// Segments from one rest to the next, the oldest timed as new ones come.
#[derive(Clone, Debug, Default)]
pub(super) struct LookAhead {
    waiting: Vec<Segment>,
    /// Speed at the start of the first waiting segment.
    speed: f64,
    seconds: f64,
}

impl LookAhead {
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

/// Seconds over `length` from speed `start` to speed `end`, in between as fast
/// as `acceleration` and the speed limit allow.
pub(super) fn ramp_seconds(
    length: f64,
    start: f64,
    end: f64,
    limit: f64,
    acceleration: f64,
) -> f64 {
    if length <= 0.0 {
        return 0.0;
    }
    let peak = (acceleration * length + (start * start + end * end) / 2.0).sqrt();
    let peak = peak.min(limit).max(start).max(end);
    let ramps = (2.0 * peak * peak - start * start - end * end) / (2.0 * acceleration);
    (2.0 * peak - start - end) / acceleration + (length - ramps).max(0.0) / peak
}

#[cfg(test)]
mod tests {
    use super::*;

    // By hand: from 30 up to √(250 × 5 + (900 + 1600) / 2) = 50 and down to 40
    // is 20 and 10 mm/s at 250 mm/s²; with a limit of 40 it is 0.04 s and
    // 1.4 mm up, and 3.6 mm at 40.
    #[test]
    fn a_ramp_goes_up_and_down_between_its_ends() {
        let seconds = |limit| ramp_seconds(5.0, 30.0, 40.0, limit, 250.0);
        assert!((seconds(100.0) - 0.12).abs() < 1e-12);
        assert!((seconds(40.0) - 0.13).abs() < 1e-12);
        assert_eq!(ramp_seconds(0.0, 0.0, 0.0, 50.0, 250.0), 0.0);
    }
}
