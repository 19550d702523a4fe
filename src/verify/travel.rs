//! What a move does apart from the wood: `preamble`, `travel-height`,
//! `feed-limit`, the clock and the bounds.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::replay::clock;
use crate::replay::segment::{Extent, Segment};
use crate::report::CheckId;
use crate::rs274::event::{Move, Path};
use crate::verify::material::engagement::Stroke;
use crate::verify::rounding::{ROUNDED_HEIGHT, last_digit};
use crate::verify::scene::bounds;
use crate::verify::verifier::Verifier;

/// Share of a feed limit that is the rounding of F and of the coordinates.
const FEED_ROUNDED: f64 = 1e-3;

impl Verifier<'_> {
    pub(crate) fn motion(&mut self, motion: &Move, segment: Option<&Segment>, strokes: &[Stroke]) {
        if !self.run.moved {
            self.check_preamble();
            self.check_first_move(motion);
        }
        if let Some(shop) = &self.shop {
            let height = shop.scene.travel_height;
            if self.run.moved {
                self.check_travel(motion, segment, height);
            }
        }
        if !self.run.moved_in_work && !motion.machine_frame {
            self.check_offset_stated();
            self.run.moved_in_work = true;
        }
        self.check_machine_frame(motion);
        self.run.moved = true;
        self.count(motion, segment);
        if let Some(segment) = segment {
            self.check_feed_limit(motion, segment);
            if self.shop.is_some() {
                self.cut(motion, segment, strokes);
            }
        }
        self.run.position = motion.to;
        if motion.named[2] {
            self.run.at_machine_height = motion.machine_frame && motion.to[2].is_none();
        }
    }

    fn check_preamble(&mut self) {
        let stated = self.run.stated;
        let wanted = [
            (stated.units, "units (G20 or G21)"),
            (stated.plane, "the plane (G17)"),
            (stated.distance, "the distance mode (G90)"),
            (stated.feed_mode, "the feed mode (G94)"),
            (stated.compensation, "cutter compensation off (G40)"),
            (
                stated.length,
                "the length offset, off by G49 or taken by G43,",
            ),
        ];
        for (is_stated, name) in wanted {
            self.require_stated(is_stated, name);
        }
    }

    /// A move by G53 does not depend on the work offset.
    fn check_offset_stated(&mut self) {
        self.require_stated(self.run.stated.offset, "the work offset (G54)");
    }

    fn require_stated(&mut self, is_stated: bool, name: &str) {
        if !is_stated {
            self.fail(CheckId::Preamble, || {
                format!("{name} not stated before the first motion; state it in the head")
            });
        }
    }

    /// Where the machine's zero is unknown nobody can tell where G53 leads.
    fn check_machine_frame(&mut self, motion: &Move) {
        let unknown = (0..3).any(|axis| motion.named[axis] && motion.to[axis].is_none());
        if motion.machine_frame && unknown && self.shop.is_some() {
            self.fail(CheckId::Preamble, || {
                "G53 counts from the machine's zero, and the job does not say where that is; \
                 give `fixture.machine_zero`, or take G53 out"
                    .to_owned()
            });
        }
    }

    fn check_first_move(&mut self, motion: &Move) {
        let Some(shop) = &self.shop else {
            return;
        };
        let height = shop.scene.travel_height;
        let ruler = self.ruler;
        if motion.named[0] || motion.named[1] || !motion.named[2] {
            self.fail(CheckId::TravelHeight, || {
                format!(
                    "X or Y moves before Z; first lift the bit to {}",
                    ruler.one(height, 3)
                )
            });
            return;
        }
        // A machine height that the job does not know is above everything.
        if let Some(z) = motion.to[2].filter(|z| *z < height - ROUNDED_HEIGHT) {
            self.fail(CheckId::TravelHeight, || {
                format!(
                    "the first move goes to {}; it must go up to {}",
                    ruler.z(z),
                    ruler.one(height, 3)
                )
            });
        }
    }

    /// Sideways travel, and going down before X and Y are known.
    fn check_travel(&mut self, motion: &Move, segment: Option<&Segment>, height: f64) {
        let ruler = self.ruler;
        let moves = |axis: usize| match (motion.from[axis], motion.to[axis]) {
            (Some(from), Some(to)) => from != to,
            _ => motion.named[axis],
        };
        let is_arc = matches!(motion.path, Path::Arc { .. });
        let sideways = moves(0) || moves(1) || is_arc;
        let lowest = match (motion.from[2], motion.to[2]) {
            (Some(from), Some(to)) => Some(from.min(to)),
            (None, Some(to)) => Some(to),
            (Some(from), None) => Some(from),
            (None, None) => None,
        };
        let Some(lowest) = lowest else {
            if sideways && !self.run.at_machine_height {
                self.fail(CheckId::TravelHeight, || {
                    format!(
                        "sideways at an unknown height; first lift the bit to {}",
                        ruler.one(height, 3)
                    )
                });
            }
            return;
        };
        if lowest >= height - ROUNDED_HEIGHT {
            return;
        }
        // Where the bit should not be it is told when it gets there, not when it leaves.
        let rises = matches!((motion.from[2], motion.to[2]), (Some(a), Some(b)) if a < b);
        if rises && !sideways {
            return;
        }
        let plan = |point: [Option<f64>; 3]| Some([point[0]?, point[1]?]);
        let (Some(from), Some(to)) = (plan(motion.from), plan(motion.to)) else {
            self.fail(CheckId::TravelHeight, || {
                format!(
                    "down to {} before X and Y are known; go to X and Y first",
                    ruler.z(lowest)
                )
            });
            return;
        };
        let (start, end) = (
            motion.from[2].unwrap_or(lowest),
            motion.to[2].unwrap_or(lowest),
        );
        let way = segment
            .copied()
            .unwrap_or_else(|| Segment::line([from[0], from[1], start], [to[0], to[1], end]));
        let low = way
            .between_heights(f64::NEG_INFINITY, height - ROUNDED_HEIGHT)
            .map(|(first, last)| way.part(first, last));
        if low.is_some_and(|low| !self.is_over_asked_for(&low)) {
            self.fail(CheckId::TravelHeight, || {
                let what = if sideways { "sideways" } else { "down" };
                format!(
                    "{what} at {} beside the pockets that are asked for; stay at {} or higher there",
                    ruler.z(lowest),
                    ruler.one(height, 3)
                )
            });
        }
    }

    /// Whether the bit's whole disc stays over one pocket, hole or tick that this run cuts.
    fn is_over_asked_for(&self, low: &Segment) -> bool {
        let Some(shop) = &self.shop else {
            return true;
        };
        let radius = self.run.radius();
        let middle = low.at(0.5);
        shop.scene.boards.iter().any(|board| {
            shop.scene
                .sites_across(board, middle[board.frame.row()], middle[board.frame.row()])
                .any(|index| bounds::is_over(low, radius, &shop.scene.sites[index]))
        })
    }

    fn check_feed_limit(&mut self, motion: &Move, segment: &Segment) {
        if motion.path == Path::Rapid {
            return;
        }
        let length = segment.length();
        if length <= 0.0 {
            return;
        }
        let feed = motion.feed.as_mm_per_minute();
        let slack = 1.5 * last_digit(motion);
        let shares = axis_shares(segment, length, slack);
        for (axis, share) in shares.into_iter().enumerate() {
            let limit = self.machine.feed_max[axis].as_mm_per_minute();
            if feed * share > limit * (1.0 + FEED_ROUNDED) {
                let name = ["X", "Y", "Z"][axis];
                let ruler = self.ruler;
                self.fail(CheckId::FeedLimit, || {
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

    fn count(&mut self, motion: &Move, segment: Option<&Segment>) {
        self.seen.moves += 1;
        let reach = &mut self.run.reach;
        for (axis, value) in motion.to.into_iter().enumerate() {
            if let Some(value) = value {
                reach.min[axis] = reach.min[axis].min(value);
                reach.max[axis] = reach.max[axis].max(value);
            }
        }
        let Some(segment) = segment else {
            // The first point known in all axes is where the bounds begin.
            if let [Some(x), Some(y), Some(z)] = motion.to {
                let point = [x, y, z];
                self.run.extent.add(&Extent {
                    min: point,
                    max: point,
                });
            }
            return;
        };
        let extent = segment.extent();
        self.run.extent.add(&extent);
        self.run.reach.add(&extent);
        if motion.path == Path::Rapid {
            self.seen.rapids += 1;
            self.run.rapid_mm += segment.length();
        } else {
            self.run.cut_mm += segment.length();
        }
        let seconds = clock::steady(self.machine, motion).as_seconds();
        self.run.move_began = self.run.clock;
        self.run.move_seconds = seconds;
        self.run.clock += seconds;
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
