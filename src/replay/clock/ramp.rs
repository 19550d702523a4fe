//! One feed move and how long it takes between two speeds.

/// One feed move.
#[derive(Clone, Copy, Debug)]
pub(super) struct Segment {
    /// Millimetres.
    pub(super) length: f64,
    /// The fastest along it, in millimetres a second.
    pub(super) speed: f64,
    /// The feed asked for, in millimetres a second.
    pub(super) commanded: f64,
    /// The least feed that it wants, in millimetres a second; zero where none is wanted.
    pub(super) least: f64,
    /// The most along it, in millimetres a second squared.
    pub(super) acceleration: f64,
    /// The fastest into it, by the corner before it.
    pub(super) entry: f64,
    /// Directions at its ends, of length one.
    pub(super) start: [f64; 3],
    pub(super) end: [f64; 3],
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

/// Millimetres of `length` on which at least `wanted` is reached, from speed
/// `start` to speed `end`, in between as [`ramp_seconds`] goes.
pub(super) fn length_at(
    wanted: f64,
    (length, start, end): (f64, f64, f64),
    limit: f64,
    acceleration: f64,
) -> f64 {
    let peak = (acceleration * length + (start * start + end * end) / 2.0).sqrt();
    if peak.min(limit).max(start).max(end) < wanted {
        return 0.0;
    }
    let below = |speed: f64| ((wanted * wanted - speed * speed) / (2.0 * acceleration)).max(0.0);
    (length - below(start) - below(end)).max(0.0)
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

    // By hand: 45 of 50 mm/s are reached after 45² / 500 = 4.05 mm, from 30 after 2.25.
    #[test]
    fn a_speed_is_reached_between_its_ramps() {
        let at = |ends: (f64, f64), limit| length_at(45.0, (20.0, ends.0, ends.1), limit, 250.0);
        assert!((at((0.0, 0.0), 50.0) - 11.9).abs() < 1e-12);
        assert!((at((30.0, 50.0), 50.0) - 17.75).abs() < 1e-12);
        assert_eq!(at((0.0, 0.0), 40.0), 0.0);
        assert_eq!(length_at(45.0, (3.0, 0.0, 0.0), 50.0, 250.0), 0.0);
    }
}
