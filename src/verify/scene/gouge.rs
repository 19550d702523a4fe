//! How far a move cuts beyond the wanted shape.
//!
//! The end of a bit is taken as flat. At a point it intrudes, into the wall
//! or into the floor, by the lesser of the two over all steps:
//! `min over k of max(distance to outline k + radius, depth - depth of k)`,
//! the board's face being step 0, without an outline. Whether a move intrudes
//! by more than some figure is decided exactly: the distance to a rounded
//! rectangle is convex, so on a straight move it is greatest at an end of the
//! stretch that needs that outline, and on an arc at an end, in an axis
//! direction, or away from a corner's centre. Where a board's edge comes into
//! play the same figure is bounded by its slope, to [`EDGE_ERROR`].

use std::f64::consts::{FRAC_PI_2, PI};

use crate::geometry::{Point, RoundedRectangle, norm};
use crate::replay::segment::{Segment, Turn};
use crate::replay::tip::Tip;
use crate::verify::scene::board::Board;
use crate::verify::scene::site::{Bore, Depth, Site};

/// What is outside the wanted shape by no more than this is no gouge, in millimetres (contract).
pub(crate) const GOUGE: f64 = 0.02;

/// Largest error of the figure where a bit overhangs a board's edge, in millimetres.
const EDGE_ERROR: f64 = 2e-4;

/// Error of the figure found by halving, in millimetres.
const FIGURE_ERROR: f64 = 1e-5;

/// Whether `segment` takes wood of `board` more than `allowed` beyond what `site` may lose.
pub(crate) fn exceeds(
    segment: &Segment,
    tip: Tip,
    board: &Board,
    site: Option<&Site>,
    allowed: f64,
) -> bool {
    let Some((first, last)) = segment.between_heights(f64::NEG_INFINITY, board.top - allowed)
    else {
        return false;
    };
    let below = segment.part(first, last);
    if !reaches_edge(&below, tip.radius, board) {
        return leaves(&below, tip, board.top, site, allowed);
    }
    if site.is_some_and(|_| !leaves(&below, tip, board.top, site, allowed)) {
        return false;
    }
    exceeds_near_edge(&below, 0.0, 1.0, &|point| {
        intrusion_at(point, tip, board, site) - allowed
    })
}

/// The deepest intrusion of `segment`, at least `known`; to [`EDGE_ERROR`].
pub(crate) fn deepest(
    segment: &Segment,
    tip: Tip,
    board: &Board,
    site: Option<&Site>,
    known: f64,
) -> f64 {
    if !exceeds(segment, tip, board, site, known) {
        return known;
    }
    let (mut low, mut high) = (known, (board.top - segment.lowest()).max(known));
    while high - low > FIGURE_ERROR {
        let middle = f64::midpoint(low, high);
        if exceeds(segment, tip, board, site, middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// Whether the disc comes to the board's rectangle from outside, or leaves it.
fn reaches_edge(segment: &Segment, radius: f64, board: &Board) -> bool {
    let extent = segment.extent();
    (0..2).any(|axis| {
        extent.min[axis] - radius < board.min[axis] || extent.max[axis] + radius > board.max[axis]
    })
}

/// Whether a segment that is below the face all along leaves the wanted shape.
fn leaves(segment: &Segment, tip: Tip, top: f64, site: Option<&Site>, allowed: f64) -> bool {
    let Some(site) = site else {
        return true;
    };
    if !leaves_steps(segment, tip.radius, top, site.allowed_steps(), allowed) {
        return false;
    }
    !site
        .holes
        .iter()
        .any(|hole| keeps_to_hole(segment, tip, top, hole, allowed))
}

/// Whether the disc stays over the widest outline, or over a hole, that the site may lose.
pub(crate) fn is_over(segment: &Segment, radius: f64, site: &Site) -> bool {
    let widest = site.allowed_steps().first();
    widest.is_some_and(|step| greatest_distance(segment, &step.outline) + radius <= GOUGE)
        || site
            .holes
            .iter()
            .any(|hole| segment.farthest(hole.center) + radius - hole.radius <= GOUGE)
}

fn leaves_steps(segment: &Segment, radius: f64, top: f64, steps: &[Depth], allowed: f64) -> bool {
    let mut above = f64::INFINITY;
    for Depth { outline, depth } in steps {
        let floor = top - depth - allowed;
        // The stretch for which this step is the shallowest that is deep enough.
        if let Some((first, last)) = segment.between_heights(floor, above)
            && greatest_distance(&segment.part(first, last), outline) + radius > allowed
        {
            return true;
        }
        above = floor;
    }
    segment.lowest() < above
}

/// The greatest signed distance from the path to the outline.
pub(crate) fn greatest_distance(segment: &Segment, outline: &RoundedRectangle) -> f64 {
    let distance = |[x, y]: [f64; 2]| outline.signed_distance_mm(Point::from_mm(x, y));
    let ends =
        distance([segment.from[0], segment.from[1]]).max(distance([segment.to[0], segment.to[1]]));
    let Some(turn) = &segment.turn else {
        return ends;
    };
    // On either side the middle of the corner's circle.
    let middles = |center: f64, half: f64| {
        let straight = half - outline.corner;
        [center - straight, center + straight]
    };
    let along = middles(outline.center.x, outline.half_x);
    let across = middles(outline.center.y, outline.half_y);
    let corners = along.into_iter().flat_map(|x| across.map(|y| [x, y]));
    let away_from = corners.map(|[x, y]| (turn.center[1] - y).atan2(turn.center[0] - x));
    let angles = [0.0, FRAC_PI_2, PI, -FRAC_PI_2].into_iter();
    greatest_on(turn, angles.chain(away_from), distance).max(ends)
}

fn greatest_on(
    turn: &Turn,
    angles: impl IntoIterator<Item = f64>,
    distance: impl Fn([f64; 2]) -> f64,
) -> f64 {
    angles
        .into_iter()
        .filter(|&angle| turn.passes(angle))
        .map(|angle| distance(turn.toward(angle)))
        .fold(f64::NEG_INFINITY, f64::max)
}

fn keeps_to_hole(segment: &Segment, tip: Tip, top: f64, hole: &Bore, allowed: f64) -> bool {
    segment.farthest(hole.center) + tip.radius - hole.radius <= allowed
        && top - segment.lowest() - hole_depth(hole, tip) <= allowed
}

/// How deep this tip may go in the hole: a flat end only as far as its full diameter.
fn hole_depth(hole: &Bore, tip: Tip) -> f64 {
    hole.tip - (hole.point - tip.point).max(0.0)
}

/// The intrusion at one point; it changes by no more than the point moves.
fn intrusion_at(point: [f64; 3], tip: Tip, board: &Board, site: Option<&Site>) -> f64 {
    let plan = [point[0], point[1]];
    let depth = board.top - point[2];
    let in_wood = tip.radius - board.signed_distance(plan);
    let mut least = depth.min(in_wood);
    for step in site.map_or(&[][..], Site::allowed_steps) {
        let beside = step
            .outline
            .signed_distance_mm(Point::from_mm(plan[0], plan[1]))
            + tip.radius;
        least = least.min(beside.max(depth - step.depth));
    }
    for hole in site.map_or(&[][..], |site| &site.holes) {
        let away = norm([plan[0] - hole.center[0], plan[1] - hole.center[1]]);
        let beside = away + tip.radius - hole.radius;
        least = least.min(beside.max(depth - hole_depth(hole, tip)));
    }
    least
}

fn exceeds_near_edge(
    segment: &Segment,
    first: f64,
    last: f64,
    excess: &dyn Fn([f64; 3]) -> f64,
) -> bool {
    let middle = f64::midpoint(first, last);
    let here = excess(segment.at(middle));
    if here > 0.0 {
        return true;
    }
    let reach = segment.length() * (last - first) / 2.0;
    if here + reach <= 0.0 || reach < EDGE_ERROR {
        return false;
    }
    exceeds_near_edge(segment, first, middle, excess)
        || exceeds_near_edge(segment, middle, last, excess)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::verify::scene::Scene;

    /// The lid's pocket 1 of the sample: centre (45, 14.5), steps 44.1 × 10.1 × 4.7
    /// and 27.1 × 10.1 × 12.4, corner 5.05, face at 0.
    struct Case {
        scene: Scene,
        tip: Tip,
    }

    impl Case {
        fn new() -> Self {
            Self {
                scene: Scene::new(&sample::job()),
                tip: Tip {
                    radius: 3.0,
                    point: 0.0,
                },
            }
        }

        fn deepest(&self, segment: &Segment) -> f64 {
            let (board, site) = (&self.scene.boards[1], &self.scene.sites[2]);
            assert_eq!(site.hinge(), 1);
            deepest(segment, self.tip, board, Some(site), 0.0)
        }
    }

    #[track_caller]
    fn near(found: f64, expected: f64) {
        assert!((found - expected).abs() < 3e-4, "{found} is not {expected}");
    }

    #[test]
    fn a_move_inside_the_outline_does_not_intrude() {
        // 2.05 mm off the middle line leaves the 5.05 mm half width exactly to the bit.
        let segment = Segment::line([35.0, 16.55, -4.7], [55.0, 16.55, -4.7]);
        near(Case::new().deepest(&segment), 0.0);
    }

    #[test]
    fn sideways_and_downward_intrusion_are_what_they_are_by_hand() {
        let case = Case::new();
        let side = Segment::line([35.0, 16.65, -4.7], [55.0, 16.65, -4.7]);
        near(case.deepest(&side), 0.1);
        let floor = Segment::line([25.9, 14.5, -4.75], [30.0, 14.5, -4.75]);
        near(case.deepest(&floor), 0.05);
        let air = Segment::line([0.0, 100.0, 0.5], [200.0, 100.0, 0.5]);
        near(case.deepest(&air), 0.0);
    }

    /// The lesser of wall and floor, at the point where they are equal: going
    /// down 1 in 1 from the first floor at 3 mm outside the second step, the
    /// depth below the floor and the way still to go meet halfway.
    #[test]
    fn a_slanting_move_intrudes_most_where_wall_and_floor_are_equal() {
        let case = Case::new();
        // Inside the second step from x = 45 - 13.55 + 3 = 34.45.
        let segment = Segment::line([31.45, 14.5, -4.7], [34.45, 14.5, -7.7]);
        near(case.deepest(&segment), 1.5);
    }

    #[test]
    fn a_cut_far_from_every_pocket_counts_to_its_full_depth() {
        let case = Case::new();
        let segment = Segment::line([130.0, 60.0, -1.25], [135.0, 60.0, -1.25]);
        near(
            deepest(&segment, case.tip, &case.scene.boards[1], None, 0.0),
            1.25,
        );
    }

    #[test]
    fn only_what_touches_the_board_counts() {
        let case = Case::new();
        // The lid begins at y = 6: a bit of 3 mm at y = 2.9 misses it by 0.1.
        let board = &case.scene.boards[1];
        let beside = Segment::line([0.0, 2.9, -9.0], [200.0, 2.9, -9.0]);
        near(deepest(&beside, case.tip, board, None, 0.0), 0.0);
        let grazing = Segment::line([0.0, 3.25, -9.0], [200.0, 3.25, -9.0]);
        near(deepest(&grazing, case.tip, board, None, 0.0), 0.25);
        // It ends at x = 260 and y = 186.
        let grazing = Segment::line([50.0, 188.75, -9.0], [60.0, 188.75, -9.0]);
        near(deepest(&grazing, case.tip, board, None, 0.0), 0.25);
        let grazing = Segment::line([262.75, 20.0, -9.0], [262.75, 30.0, -9.0]);
        near(deepest(&grazing, case.tip, board, None, 0.0), 0.25);
        let grazing = Segment::line([-2.75, 20.0, -9.0], [-2.75, 30.0, -9.0]);
        near(deepest(&grazing, case.tip, board, None, 0.0), 0.25);
    }

    /// A bit of 6 mm in the round end of radius 5.05: centre circle 2.05.
    #[test]
    fn an_arc_is_judged_at_its_extreme_points() {
        let case = Case::new();
        let x = 45.0 + 17.0;
        let end = |radius: f64| {
            Segment::arc(
                [x, 14.5 - radius, -4.7],
                [x, 14.5 + radius, -4.7],
                [x, 14.5],
                PI,
            )
        };
        near(case.deepest(&end(2.05)), 0.0);
        near(case.deepest(&end(2.15)), 0.1);
        // Its far end is (2.05, 0.95) from the corner centre (62, 14.5).
        let bulge = Segment::arc(
            [x - 0.95, 14.5 - 2.05, -4.7],
            [x + 2.05, 14.5 + 0.95, -4.7],
            [x - 0.95, 14.5 + 0.95],
            FRAC_PI_2,
        );
        near(case.deepest(&bulge), 2.05_f64.hypot(0.95) - 2.05);
        let wide = Segment::arc(
            [x + 1.0, 14.5 - 2.3, -4.7],
            [x + 2.3, 14.5 - 1.0, -4.7],
            [x + 1.0, 14.5 - 1.0],
            FRAC_PI_2,
        );
        // The farthest from the corner centre lies along (1, -1) / √2:
        // √2 + 1.3 = 2.7142, which is 0.6642 past 2.05.
        near(case.deepest(&wide), 2.0_f64.sqrt() + 1.3 - 2.05);
    }

    #[test]
    fn a_hole_may_be_drilled_to_its_tip_and_no_deeper() {
        let mut case = Case::new();
        case.tip = Tip {
            radius: 1.25,
            point: 0.75,
        };
        case.scene.sites[2].holes.push(Bore {
            center: [62.5, 14.5],
            radius: 1.25,
            tip: 13.7,
            point: 0.75,
        });
        let hole = |x: f64, z: f64| Segment::line([x, 14.5, 5.0], [x, 14.5, z]);
        near(case.deepest(&hole(62.5, -13.7)), 0.0);
        near(case.deepest(&hole(62.5, -13.8)), 0.1);
        near(case.deepest(&hole(62.6, -13.7)), 0.1);
        // A flat end may go only as deep as the full diameter.
        case.tip.point = 0.0;
        near(case.deepest(&hole(62.5, -13.7)), 0.75);
    }

    /// The intrusion as the head of this file defines it, at four thousand
    /// places of the path.
    fn by_places(segment: &Segment, tip: Tip, board: &Board, site: Option<&Site>) -> f64 {
        let places = || (0..=4000_u32).map(|place| segment.at(f64::from(place) / 4000.0));
        let past_edge = |[x, y, _]: [f64; 3]| {
            let past =
                |axis: usize, value: f64| (board.min[axis] - value).max(value - board.max[axis]);
            let (past_x, past_y) = (past(0, x), past(1, y));
            if past_x > 0.0 && past_y > 0.0 {
                past_x.hypot(past_y)
            } else {
                past_x.max(past_y)
            }
        };
        // A bit that stays within the board cannot be drawn out over its edge.
        let within = places().all(|place| past_edge(place) <= -tip.radius);
        let intrusion = |[x, y, z]: [f64; 3]| {
            let depth = board.top - z;
            let mut least = if within {
                depth
            } else {
                depth.min(tip.radius - past_edge([x, y, z]))
            };
            for step in site.map_or(&[][..], |site| &site.steps[..site.allowed]) {
                let wall = step.outline.signed_distance_mm(Point::from_mm(x, y)) + tip.radius;
                least = least.min(wall.max(depth - step.depth));
            }
            for hole in site.map_or(&[][..], |site| &site.holes) {
                let wall =
                    (x - hole.center[0]).hypot(y - hole.center[1]) + tip.radius - hole.radius;
                let blunt = (hole.point - tip.point).max(0.0);
                least = least.min(wall.max(depth - (hole.tip - blunt)));
            }
            least
        };
        places().map(intrusion).fold(0.0, f64::max)
    }

    #[test]
    fn the_deepest_intrusion_is_that_at_some_place_of_the_path() {
        let mut case = Case::new();
        case.scene.boards[1].top = 1.5;
        case.scene.sites[2].holes.push(Bore {
            center: [70.0, 14.5],
            radius: 3.2,
            tip: 9.0,
            point: 0.4,
        });
        let line = Segment::line;
        let segments = [
            line([30.0, 14.5, 1.0], [62.3, 14.5, -3.2]),
            line([30.0, 16.4, -3.2], [60.0, 17.1, -3.0]),
            line([34.5, 14.0, -10.9], [55.9, 15.0, -9.0]),
            line([25.0, 14.5, 3.0], [45.0, 14.5, -9.0]),
            line([40.0, 12.5, -2.0], [52.0, 20.0, -11.3]),
            line([60.0, 16.0, -3.0], [66.0, 21.0, 0.5]),
            line([45.0, 14.5, 3.0], [45.0, 14.5, -11.1]),
            // The hole, and a way out of it.
            line([70.0, 14.5, 3.0], [70.1, 14.4, -7.6]),
            line([70.0, 14.5, -7.0], [72.0, 14.5, -1.0]),
            // At and over the edges of the board, which are at X 0 and Y 6.
            line([-8.0, 40.0, -4.0], [-1.0, 40.0, 0.5]),
            line([-2.9, 60.0, -4.0], [-2.6, 50.0, -4.0]),
            line([-1.5, 4.6, -4.0], [-6.0, 9.0, -4.0]),
            line([45.0, 9.0, -2.0], [45.0, 2.0, -2.0]),
            line([45.0, 12.0, -3.3], [49.0, 2.0, -3.3]),
            line([258.0, 90.0, 1.0], [264.0, 95.0, -2.0]),
            line([200.0, 184.0, 1.0], [190.0, 190.0, -2.0]),
            Segment::arc([62.0, 12.3, -3.2], [62.0, 16.7, -3.3], [62.0, 14.5], PI),
            Segment::arc([40.0, 12.5, 1.0], [40.0, 17.5, -3.5], [40.0, 15.0], -PI),
            Segment::arc([44.0, 14.5, -10.0], [48.0, 14.5, -11.2], [46.0, 14.5], PI),
            Segment::arc([73.0, 14.5, -2.0], [67.0, 14.5, -2.0], [70.0, 14.5], PI),
            Segment::arc([70.4, 14.5, -2.0], [69.6, 14.5, -2.0], [70.0, 14.5], -PI),
            Segment::arc([-3.0, 80.0, -2.0], [-3.0, 84.0, -1.0], [-3.0, 82.0], PI),
            Segment::arc([50.0, 5.0, -2.0], [54.0, 5.0, -2.5], [52.0, 5.0], PI),
        ];
        let (board, pocket) = (&case.scene.boards[1], &case.scene.sites[2]);
        let none = Site {
            allowed: 0,
            holes: Vec::new(),
            ..pocket.clone()
        };
        let shallow = Site {
            allowed: 1,
            ..pocket.clone()
        };
        for segment in &segments {
            for site in [Some(pocket), Some(&shallow), Some(&none), None] {
                for point in [0.0, 0.4] {
                    let tip = Tip { radius: 3.0, point };
                    let expected = by_places(segment, tip, board, site);
                    let found = deepest(segment, tip, board, site, 0.0);
                    assert!(
                        (found - expected).abs() < 0.012,
                        "{segment:?} {point}: {found} is not {expected}"
                    );
                    // What is known is not lessened, and nothing beyond it is missed.
                    let known = deepest(segment, tip, board, site, 0.8);
                    assert!(
                        (known - expected.max(0.8)).abs() < 0.012,
                        "{segment:?}: {known}"
                    );
                    for allowed in [expected - 0.02, expected + 0.02] {
                        if allowed > 0.0 {
                            let exceeds = exceeds(segment, tip, board, site, allowed);
                            assert_eq!(exceeds, allowed < expected, "{segment:?} {allowed}");
                        }
                    }
                }
            }
        }
    }

    /// About (45, 14.5), 20 × 12 mm with corners of 2 mm.
    fn block() -> RoundedRectangle {
        RoundedRectangle {
            center: Point::from_mm(45.0, 14.5),
            half_x: 10.0,
            half_y: 6.0,
            corner: 2.0,
        }
    }

    #[test]
    fn an_arc_is_farthest_out_where_it_points_at_a_side_or_away_from_a_corner() {
        // Half a turn of radius 1 that bulges a quarter past each side.
        for (x, y, angle) in [
            (54.25, 14.5, 0.0),
            (45.0, 19.75, FRAC_PI_2),
            (35.75, 14.5, PI),
            (45.0, 9.25, -FRAC_PI_2),
        ] {
            let end = |angle: f64| [x + angle.cos(), y + angle.sin(), 0.0];
            let (from, to) = (end(angle - FRAC_PI_2), end(angle + FRAC_PI_2));
            let found = greatest_distance(&Segment::arc(from, to, [x, y], PI), &block());
            assert!((found - 0.25).abs() < 1e-9, "{angle}: {found}");
        }
        // A quarter about a point that lies (1.2, 0.5) out of a corner's centre:
        // 1.3 and its own radius away, less the corner's.
        for (along, across) in [(1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)] {
            let center = [45.0 + along * 9.2, 14.5 + across * 4.5];
            let (from, to) = (
                [center[0] + along, center[1], 0.0],
                [center[0], center[1] + across, 0.0],
            );
            let segment = Segment::arc(from, to, center, along * across * FRAC_PI_2);
            let found = greatest_distance(&segment, &block());
            assert!((found - 0.3).abs() < 1e-9, "{along} {across}: {found}");
        }
    }

    const HOLE: Bore = Bore {
        center: [62.5, 14.5],
        radius: 3.25,
        tip: 9.0,
        point: 0.75,
    };

    /// A quarter of radius 1 about a point (0.3, 0.4) off the hole's middle is
    /// 1.5 from it at most; a bit of radius 2 then comes 0.25 into the wall.
    #[test]
    fn an_arc_in_a_hole_is_judged_at_its_farthest_point() {
        let (x, y) = (62.8, 14.9);
        let segment = Segment::arc([x + 1.0, y, -3.0], [x, y + 1.0, -3.0], [x, y], FRAC_PI_2);
        let tip = Tip {
            radius: 2.0,
            point: 0.75,
        };
        assert!(keeps_to_hole(&segment, tip, 0.0, &HOLE, 0.251));
        assert!(!keeps_to_hole(&segment, tip, 0.0, &HOLE, 0.249));
        // Half a millimetre deeper than the tip and no more.
        let low = |top| keeps_to_hole(&segment, tip, top, &HOLE, 0.5);
        assert!(low(6.5) && !low(6.75));
    }

    #[test]
    fn intrusion_at_a_point_is_into_the_wall_or_below_the_tip_of_a_hole() {
        let mut case = Case::new();
        let site = Site {
            allowed: 0,
            holes: vec![HOLE],
            ..case.scene.sites[2].clone()
        };
        case.tip = Tip {
            radius: 2.0,
            point: 0.75,
        };
        let at = |x: f64, y: f64, z: f64| {
            intrusion_at([x, y, z], case.tip, &case.scene.boards[1], Some(&site))
        };
        // (0.9, 1.2) off: 1.5 and 2 less 3.25.
        near(at(63.4, 15.7, -3.0), 0.25);
        near(at(61.6, 13.3, -3.0), 0.25);
        near(at(62.5, 14.5, -9.5), 0.5);
        near(at(62.5, 14.5, -9.0), 0.0);
        // Where the board ends, at X 0, no more than what overhangs into it.
        near(at(-1.5, 14.5, -9.0), 0.5);
        near(at(50.0, 30.0, -1.25), 1.25);
        // In the pocket itself, 0.6 below its floor of 12.4.
        let (board, pocket) = (&case.scene.boards[1], &case.scene.sites[2]);
        near(
            intrusion_at([45.0, 14.5, -13.0], case.tip, board, Some(pocket)),
            0.6,
        );
    }

    /// What is allowed is not exceeded: figures that have no rounding.
    #[test]
    fn as_much_as_is_allowed_does_not_exceed_it() {
        let case = Case::new();
        let board = &case.scene.boards[1];
        let mut site = case.scene.sites[2].clone();
        for (step, half_x, depth) in [(0, 16.0, 4.0), (1, 8.0, 12.0)] {
            site.steps[step] = Depth {
                outline: RoundedRectangle {
                    center: Point::from_mm(45.0, 14.5),
                    half_x,
                    half_y: 5.0,
                    corner: 4.0,
                },
                depth,
            };
        }
        let exceeds = |y: f64, z: f64, allowed: f64| {
            let segment = Segment::line([42.0, y, z], [48.0, y, z]);
            exceeds(&segment, case.tip, board, Some(&site), allowed)
        };
        // 2 mm off the middle line the bit touches the wall.
        assert!(!exceeds(16.75, -4.0, 0.25) && exceeds(16.875, -4.0, 0.25));
        assert!(!exceeds(14.5, -12.25, 0.25) && exceeds(14.5, -12.375, 0.25));
        // Over the edge of the board at Y 6.
        assert!(!exceeds(3.25, -4.0, 0.25) && exceeds(3.375, -4.0, 0.25));
        assert!(!exceeds(5.0, -0.25, 0.25) && exceeds(5.0, -0.375, 0.25));
    }
}
