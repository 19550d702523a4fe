//! `feed-limit`: no axis is asked to go faster than it can.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::replay::segment::Segment;
use crate::report::CheckId;
use crate::rs274::event::Path;
use crate::verify::checks::check::{Check, Heard, Now, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::rounding::last_digit;

/// Share of a feed limit that is the rounding of F and of the coordinates.
const FEED_ROUNDED: f64 = 1e-3;

#[derive(Debug, Default)]
pub(crate) struct FeedLimit {
    moves: u64,
}

impl Check for FeedLimit {
    const ID: CheckId = CheckId::FeedLimit;
    const WITHOUT_JOB: bool = true;

    fn event(&mut self, heard: &Heard<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let Some(motion) = heard.motion() else {
            return;
        };
        self.moves += 1;
        let Some(segment) = heard.segment.filter(|_| motion.path != Path::Rapid) else {
            return;
        };
        let length = segment.length();
        if length <= 0.0 {
            return;
        }
        let feed = motion.feed.as_mm_per_minute();
        let slack = 1.5 * last_digit(motion);
        let shares = axis_shares(segment, length, slack);
        for (axis, share) in shares.into_iter().enumerate() {
            let limit = now.machine.feed_max[axis].as_mm_per_minute();
            if feed * share > limit * (1.0 + FEED_ROUNDED) {
                let name = ["X", "Y", "Z"][axis];
                let ruler = now.ruler;
                found.fail(|| {
                    format!(
                        "a feed of {} asks {} of the {name} axis, at most {}; lower the feed",
                        ruler.feed(feed),
                        ruler.feed(feed * share),
                        ruler.feed(limit)
                    )
                });
            }
        }
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::Passes(format!("{} moves within each axis's feed", self.moves))
    }
}

/// The greatest share of the feed that falls on each axis.
fn axis_shares(segment: &Segment, length: f64, slack: f64) -> [f64; 3] {
    let rise = ((segment.to[2] - segment.from[2]).abs() - slack).max(0.0) / length;
    match &segment.turn {
        None => {
            let share = |axis: usize| {
                ((segment.to[axis] - segment.from[axis]).abs() - slack).max(0.0) / length
            };
            [share(0), share(1), rise]
        }
        Some(turn) => {
            let level = segment.level_length() / length;
            // Along X where the arc passes the Y direction from its centre, and the other way round.
            let along = |axis: usize| {
                let crests = if axis == 0 {
                    [FRAC_PI_2, -FRAC_PI_2]
                } else {
                    [0.0, PI]
                };
                if crests.iter().any(|&angle| turn.passes(angle)) {
                    return 1.0;
                }
                [turn.start, turn.start + turn.sweep]
                    .map(|angle| if axis == 0 { angle.sin() } else { angle.cos() }.abs())
                    .into_iter()
                    .fold(0.0, f64::max)
            };
            [along(0) * level, along(1) * level, rise]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn near(found: [f64; 3], expected: [f64; 3]) {
        let is_near = |axis: usize| (found[axis] - expected[axis]).abs() < 1e-9;
        assert!((0..3).all(is_near), "{found:?} is not {expected:?}");
    }

    /// 3, 4 and 12 along X, Y and Z are 13 along the path.
    #[test]
    fn a_line_shares_its_feed_by_its_direction_less_the_rounding() {
        let segment = Segment::line([10.0, 20.0, -5.0], [13.0, 16.0, -17.0]);
        near(
            axis_shares(&segment, 13.0, 0.0),
            [3.0 / 13.0, 4.0 / 13.0, 12.0 / 13.0],
        );
        near(
            axis_shares(&segment, 13.0, 0.5),
            [2.5 / 13.0, 3.5 / 13.0, 11.5 / 13.0],
        );
        near(axis_shares(&segment, 13.0, 20.0), [0.0; 3]);
    }

    /// About (4, -1), radius 5, three in five of the way down.
    #[test]
    fn an_arc_has_its_greatest_share_where_it_points_along_the_axis() {
        let shares = |from: f64, to: f64| {
            let at = |degrees: f64, z: f64| {
                let (sin, cos) = degrees.to_radians().sin_cos();
                [4.0 + 5.0 * cos, -1.0 + 5.0 * sin, z]
            };
            let sweep = (to - from).to_radians();
            let drop = 5.0 * sweep.abs() * 0.75;
            let segment = Segment::arc(at(from, 2.0), at(to, 2.0 - drop), [4.0, -1.0], sweep);
            axis_shares(&segment, segment.length(), 0.0)
        };
        let sin = |degrees: f64| 0.8 * degrees.to_radians().sin();
        near(shares(20.0, 60.0), [sin(60.0), sin(70.0), 0.6]);
        near(shares(60.0, 20.0), [sin(60.0), sin(70.0), 0.6]);
        near(shares(60.0, 100.0), [0.8, sin(30.0), 0.6]);
        near(shares(-10.0, 20.0), [sin(20.0), 0.8, 0.6]);
        near(shares(170.0, 190.0), [sin(10.0), 0.8, 0.6]);
        near(shares(250.0, 290.0), [0.8, sin(20.0), 0.6]);
        near(shares(200.0, 260.0), [sin(80.0), sin(70.0), 0.6]);
    }
}
