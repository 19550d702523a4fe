//! How much reachable wood is left in a step.
//!
//! Branch and bound: the outline, less a band of [`BAND`], is halved into
//! rectangles until each is either swept whole by one move, deep enough, or
//! no larger than [`LEAST`]. The figure is exact to [`PRECISION`]; a sliver
//! narrower than [`LEAST`] may be missed. Together that is below 0.005 mm.
//!
//! At a rounded corner a rectangle reaches beyond the outline, and would have
//! to be small before a move sweeps it whole. So only what lies inside the
//! corner's circle is asked for: that settles a whole corner at a time where
//! the bit goes round it.

use crate::geometry::{Point, RoundedRectangle};
use crate::replay::segment::Segment;
use crate::replay::tip::Tip;
use crate::verify::scene::Depth;

/// Wood nearer than this to the outline is the tolerance of the outline, in millimetres.
pub(crate) const BAND: f64 = 0.02;

/// Half the diagonal of the smallest rectangle looked at, in millimetres.
const LEAST: f64 = 0.0015;

/// Error of the figure, in millimetres.
const PRECISION: f64 = 0.001;

/// A bit this much wider than a pocket counts as equal to it (the contract's
/// 0.02 mm on the width, half of it on each side).
const EQUAL_RADIUS: f64 = 0.01;

/// Rectangles looked at for one step before what is unsettled counts as left.
const PATIENCE: u32 = 4_000_000;

/// One move that took wood here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct TakingMove {
    pub(crate) segment: Segment,
    pub(crate) tip: Tip,
}

/// The most wood left above the floor of `step` where a bit of `radius`
/// could have reached, measured down. `top` is the height of the board's face.
pub(crate) fn residual(cuts: &[TakingMove], top: f64, step: &Depth, radius: f64) -> f64 {
    let Some(region) = reachable(&step.outline, radius) else {
        return 0.0;
    };
    let floor = top - step.depth;
    // Where what went to the floor leaves next to nothing, the moves above it
    // cannot better it, and they are most of the moves.
    let deep = search(cuts, top, floor, &region, floor + BAND);
    if deep <= BAND {
        return deep;
    }
    search(cuts, top, floor, &region, top)
}

/// The most wood left by the moves that go down to `highest` or lower.
fn search(
    cuts: &[TakingMove],
    top: f64,
    floor: f64,
    region: &RoundedRectangle,
    highest: f64,
) -> f64 {
    let mut search = Search {
        cuts,
        floor,
        top,
        region: *region,
        most: 0.0,
        patience: PATIENCE,
    };
    // A drill's cone leaves no floor.
    let mut near: Vec<u32> = (0..u32::try_from(cuts.len()).unwrap_or(u32::MAX))
        .filter(|&index| {
            let TakingMove { segment, tip } = &cuts[index as usize];
            tip.point == 0.0 && segment.lowest() <= highest
        })
        .collect();
    near.sort_by(|&a, &b| {
        let lowest = |index: u32| cuts[index as usize].segment.lowest();
        lowest(a).total_cmp(&lowest(b))
    });
    for cell in cells(region) {
        search.visit(&cell, &search.nearby(&near, &cell));
    }
    search.most
}

/// What of an outline a bit reaches, less the band; `None` where it does not fit.
fn reachable(outline: &RoundedRectangle, radius: f64) -> Option<RoundedRectangle> {
    let smaller = outline.half_x.min(outline.half_y);
    if radius > smaller + EQUAL_RADIUS {
        return None;
    }
    let (half_x, half_y) = (outline.half_x - BAND, outline.half_y - BAND);
    let corner = outline.corner.max(radius.min(smaller)) - BAND;
    Some(RoundedRectangle {
        center: outline.center,
        half_x,
        half_y,
        corner: corner.clamp(0.0, half_x.min(half_y).max(0.0)),
    })
}

/// Nine rectangles that make up the outline's: its middle, sides and corners.
fn cells(region: &RoundedRectangle) -> impl Iterator<Item = Cell> {
    let stretches = |center: f64, half: f64| {
        let straight = half - region.corner;
        let [low, first, last, high] = [-half, -straight, straight, half].map(|end| center + end);
        // Of a corner's four sides two face the middle.
        [
            (low, first, Some(first)),
            (first, last, None),
            (last, high, Some(last)),
        ]
    };
    let across = stretches(region.center.y, region.half_y);
    let along = stretches(region.center.x, region.half_x);
    let pairs = along.into_iter().flat_map(move |x| across.map(|y| (x, y)));
    let corner = region.corner;
    pairs
        .filter(|(x, y)| x.1 > x.0 && y.1 > y.0)
        .map(move |(x, y)| Cell {
            min: [x.0, y.0],
            max: [x.1, y.1],
            round: x.2.zip(y.2).map(|(x, y)| Circle {
                center: [x, y],
                radius: corner,
            }),
        })
}

struct Search<'a> {
    cuts: &'a [TakingMove],
    floor: f64,
    top: f64,
    region: RoundedRectangle,
    most: f64,
    patience: u32,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Cell {
    min: [f64; 2],
    max: [f64; 2],
    /// At a rounded corner the circle that bounds the outline there.
    round: Option<Circle>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Circle {
    center: [f64; 2],
    radius: f64,
}

fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    let (x, y) = (a[0] - b[0], a[1] - b[1]);
    (x * x + y * y).sqrt()
}

impl Cell {
    fn center(&self) -> [f64; 2] {
        [0, 1].map(|axis| f64::midpoint(self.min[axis], self.max[axis]))
    }

    fn reach(&self) -> f64 {
        distance(self.min, self.max) / 2.0
    }

    fn corners(&self) -> [[f64; 2]; 4] {
        [
            self.min,
            self.max,
            [self.min[0], self.max[1]],
            [self.max[0], self.min[1]],
        ]
    }

    /// The greatest distance from `point` to what the cell has of the outline.
    fn farthest(&self, point: [f64; 2]) -> f64 {
        let corners = self.corners().map(|corner| distance(corner, point));
        let farthest = corners.into_iter().fold(0.0, f64::max);
        self.round.map_or(farthest, |round| {
            farthest.min(distance(round.center, point) + round.radius)
        })
    }

    /// The least distance from `point` to the cell.
    fn nearest(&self, point: [f64; 2]) -> f64 {
        let beside = |axis: usize| point[axis].clamp(self.min[axis], self.max[axis]);
        distance([beside(0), beside(1)], point)
    }

    fn halves(&self) -> [Self; 2] {
        let axis = usize::from(self.max[1] - self.min[1] > self.max[0] - self.min[0]);
        let middle = f64::midpoint(self.min[axis], self.max[axis]);
        let (mut low, mut high) = (*self, *self);
        low.max[axis] = middle;
        high.min[axis] = middle;
        [low, high]
    }
}

impl Search<'_> {
    fn nearby(&self, near: &[u32], cell: &Cell) -> Vec<u32> {
        let (center, reach) = (cell.center(), cell.reach());
        near.iter()
            .copied()
            .filter(|&index| {
                let TakingMove { segment, tip } = &self.cuts[index as usize];
                segment.distance(center) <= tip.radius + reach
            })
            .collect()
    }

    fn visit(&mut self, cell: &Cell, near: &[u32]) {
        let (center, reach) = (cell.center(), cell.reach());
        let beyond = self
            .region
            .signed_distance_mm(Point::from_mm(center[0], center[1]));
        // Nothing stands higher than the face.
        let settled = self.floor + self.most + PRECISION >= self.top;
        if settled || beyond >= reach || self.is_swept(cell, near) {
            return;
        }
        if beyond <= 0.0 {
            let left = self.lowest_at(center, near) - self.floor;
            self.most = self.most.max(left);
        }
        self.patience = self.patience.saturating_sub(1);
        if reach < LEAST {
            return;
        }
        if self.patience == 0 {
            self.most = self.most.max(self.top - self.floor);
            return;
        }
        for half in cell.halves() {
            self.visit(&half, &self.nearby(near, &half));
        }
    }

    /// Whether one move sweeps the whole cell, deep enough not to matter.
    fn is_swept(&self, cell: &Cell, near: &[u32]) -> bool {
        let enough = self.floor + self.most + PRECISION;
        near.iter()
            .map(|&index| &self.cuts[index as usize])
            .take_while(|cut| cut.segment.lowest() <= enough)
            .any(|cut| sweeps(cut, cell, enough))
    }

    /// `near` is sorted, the lowest first.
    fn lowest_at(&self, point: [f64; 2], near: &[u32]) -> f64 {
        let mut lowest = self.top;
        for &index in near {
            let TakingMove { segment, tip } = &self.cuts[index as usize];
            if segment.lowest() >= lowest {
                break;
            }
            if let Some(z) = segment.lowest_within(point, tip.radius) {
                lowest = lowest.min(z);
            }
        }
        lowest
    }
}

/// Whether a move sweeps all that the cell has of the outline while it is no
/// higher than `enough`.
fn sweeps(TakingMove { segment, tip }: &TakingMove, cell: &Cell, enough: f64) -> bool {
    let under = |center: [f64; 2], radius: f64| {
        segment
            .lowest_within(center, tip.radius - radius)
            .is_some_and(|z| z <= enough)
    };
    if under(cell.center(), cell.reach())
        || cell
            .round
            .is_some_and(|round| under(round.center, round.radius))
    {
        return true;
    }
    if segment.from[2].max(segment.to[2]) > enough {
        return false;
    }
    match &segment.turn {
        // What a straight move sweeps is convex.
        None => cell
            .corners()
            .iter()
            .all(|&corner| segment.distance(corner) <= tip.radius),
        // Between the arc's two ends it is a ring.
        Some(turn) => {
            let (least, most) = (
                turn.radius.min(turn.end_radius),
                turn.radius.max(turn.end_radius),
            );
            cell.nearest(turn.center) >= most - tip.radius
                && cell.farthest(turn.center) <= least + tip.radius
                && turn.passes_all(cell.corners())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    const TIP: Tip = Tip {
        radius: 3.0,
        point: 0.0,
    };

    /// An obround of 20 × 6 mm about the origin, 2 mm deep, cut by a bit of 6 mm.
    fn slot() -> Depth {
        Depth {
            outline: RoundedRectangle {
                center: Point::from_mm(0.0, 0.0),
                half_x: 10.0,
                half_y: 3.0,
                corner: 3.0,
            },
            depth: 2.0,
        }
    }

    fn cut(from: [f64; 3], to: [f64; 3]) -> TakingMove {
        TakingMove {
            segment: Segment::line(from, to),
            tip: TIP,
        }
    }

    #[track_caller]
    fn near(found: f64, expected: f64) {
        assert!(
            (found - expected).abs() < 0.005,
            "{found} is not {expected}"
        );
    }

    #[test]
    fn one_pass_at_full_depth_leaves_nothing_in_a_slot() {
        let pass = cut([-7.0, 0.0, -2.0], [7.0, 0.0, -2.0]);
        near(residual(&[pass], 0.0, &slot(), 3.0), 0.0);
    }

    #[test]
    fn an_uncut_slot_leaves_its_depth() {
        near(residual(&[], 0.0, &slot(), 3.0), 2.0);
        near(residual(&[], 5.0, &slot(), 3.0), 2.0);
    }

    /// A ramp down 1 mm over 14 mm and no way back: at the start of the slot
    /// wood is left. The point at the tolerance band, x = -9.98, leaves the bit
    /// when its centre is at x = -6.98, 0.02 / 14 mm below the start.
    #[test]
    fn a_ramp_without_a_level_pass_leaves_a_wedge() {
        let ramp = cut([-7.0, 0.0, -1.0], [7.0, 0.0, -2.0]);
        near(residual(&[ramp], 0.0, &slot(), 3.0), 1.0 - 0.02 / 14.0);
    }

    /// A pass that ends 0.5 mm short leaves its whole depth at the end; one
    /// that ends 0.015 mm short is within the band.
    #[test]
    fn a_short_pass_leaves_the_end() {
        let short = cut([-7.0, 0.0, -2.0], [6.5, 0.0, -2.0]);
        near(residual(&[short], 0.0, &slot(), 3.0), 2.0);
        let nearly = cut([-7.0, 0.0, -2.0], [6.985, 0.0, -2.0]);
        near(residual(&[nearly], 0.0, &slot(), 3.0), 0.0);
    }

    /// A crescent of 0.03 mm beyond the band, at one end only.
    #[test]
    fn a_thin_crescent_is_found() {
        let short = cut([-7.0, 0.0, -2.0], [6.95, 0.0, -2.0]);
        near(residual(&[short], 0.0, &slot(), 3.0), 2.0);
    }

    /// Two passes 5 mm apart with a bit of 6 mm cover a pocket of 11 × 20;
    /// 6.2 mm apart they leave a rib 0.2 mm wide.
    #[test]
    fn a_rib_between_two_passes_is_found() {
        let wanted = |half_y| Depth {
            outline: RoundedRectangle {
                center: Point::from_mm(0.0, 0.0),
                half_x: 10.0,
                half_y,
                corner: 3.0,
            },
            depth: 2.0,
        };
        let passes = |y: f64| {
            [
                cut([-7.0, y, -2.0], [7.0, y, -2.0]),
                cut([-7.0, -y, -2.0], [7.0, -y, -2.0]),
                cut([-7.0, -y, -2.0], [-7.0, y, -2.0]),
                cut([7.0, -y, -2.0], [7.0, y, -2.0]),
            ]
        };
        near(residual(&passes(2.5), 0.0, &wanted(5.5), 3.0), 0.0);
        near(residual(&passes(3.1), 0.0, &wanted(6.1), 3.0), 2.0);
    }

    /// The corners of a pocket that are sharper than the bit do not count,
    /// and a pocket narrower than the bit is not reached at all.
    #[test]
    fn what_the_bit_cannot_reach_does_not_count() {
        let mut sharp = slot();
        sharp.outline.corner = 1.0;
        let pass = cut([-7.0, 0.0, -2.0], [7.0, 0.0, -2.0]);
        near(residual(&[pass], 0.0, &sharp, 3.0), 0.0);
        near(residual(&[], 0.0, &slot(), 3.1), 0.0);
        near(residual(&[], 0.0, &slot(), 3.009), 2.0);
    }

    /// A loop whose ends are half circles about (±7, 0), radius 2, in an
    /// obround of 24 × 10; the loop's inside stays within a radius of the path.
    #[test]
    fn arcs_sweep_round_ends() {
        let wanted = Depth {
            outline: RoundedRectangle {
                center: Point::from_mm(0.0, 0.0),
                half_x: 12.0,
                half_y: 5.0,
                corner: 5.0,
            },
            depth: 2.0,
        };
        let round = |segment| TakingMove { segment, tip: TIP };
        let mut cuts = vec![
            cut([-7.0, -2.0, -2.0], [7.0, -2.0, -2.0]),
            round(Segment::arc(
                [7.0, -2.0, -2.0],
                [7.0, 2.0, -2.0],
                [7.0, 0.0],
                PI,
            )),
            cut([7.0, 2.0, -2.0], [-7.0, 2.0, -2.0]),
            round(Segment::arc(
                [-7.0, 2.0, -2.0],
                [-7.0, -2.0, -2.0],
                [-7.0, 0.0],
                PI,
            )),
        ];
        near(residual(&cuts, 0.0, &wanted, 3.0), 0.0);
        cuts.pop();
        near(residual(&cuts, 0.0, &wanted, 3.0), 2.0);
    }

    /// Away from the origin, 20 × 10 mm.
    fn block(corner: f64) -> RoundedRectangle {
        RoundedRectangle {
            center: Point::from_mm(40.0, 25.0),
            half_x: 10.0,
            half_y: 5.0,
            corner,
        }
    }

    #[test]
    fn an_outline_is_its_middle_its_sides_and_its_corners() {
        let found: Vec<Cell> = cells(&block(2.0)).collect();
        let cell = |min, max, center: Option<[f64; 2]>| Cell {
            min,
            max,
            round: center.map(|center| Circle {
                center,
                radius: 2.0,
            }),
        };
        assert_eq!(
            found,
            [
                cell([30.0, 20.0], [32.0, 22.0], Some([32.0, 22.0])),
                cell([30.0, 22.0], [32.0, 28.0], None),
                cell([30.0, 28.0], [32.0, 30.0], Some([32.0, 28.0])),
                cell([32.0, 20.0], [48.0, 22.0], None),
                cell([32.0, 22.0], [48.0, 28.0], None),
                cell([32.0, 28.0], [48.0, 30.0], None),
                cell([48.0, 20.0], [50.0, 22.0], Some([48.0, 22.0])),
                cell([48.0, 22.0], [50.0, 28.0], None),
                cell([48.0, 28.0], [50.0, 30.0], Some([48.0, 28.0])),
            ]
        );
        // Round ends leave no straight between them, sharp corners nothing beside it.
        assert_eq!(cells(&block(5.0)).count(), 6);
        assert_eq!(cells(&block(0.0)).count(), 1);
    }

    #[test]
    fn what_a_bit_reaches_is_the_outline_less_the_band_and_its_own_radius_in_the_corners() {
        let found = |corner, radius| {
            let region = reachable(&block(corner), radius)?;
            Some([region.half_x, region.half_y, region.corner])
        };
        let near = |found: Option<[f64; 3]>, expected: [f64; 3]| {
            let found = found.unwrap();
            assert!((0..3).all(|place| (found[place] - expected[place]).abs() < 1e-9));
        };
        near(found(2.0, 3.0), [9.98, 4.98, 2.98]);
        near(found(4.0, 3.0), [9.98, 4.98, 3.98]);
        near(found(2.0, 5.009), [9.98, 4.98, 4.98]);
        assert_eq!(found(2.0, 5.011), None);
    }

    #[test]
    fn distances_to_a_cell_are_to_what_it_has_of_the_outline() {
        let mut cell = Cell {
            min: [1.0, 2.0],
            max: [4.0, 6.0],
            round: None,
        };
        assert_eq!(cell.reach(), 2.5);
        assert_eq!(cell.nearest([2.0, 3.0]), 0.0);
        assert_eq!(cell.nearest([-2.0, -2.0]), 5.0);
        assert_eq!(cell.nearest([4.5, 6.0]), 0.5);
        assert_eq!(cell.farthest([1.0, 2.0]), 5.0);
        assert_eq!(cell.farthest([4.0, 14.0]), 153.0_f64.sqrt());
        // About (3, 3) no farther than 1.
        cell.round = Some(Circle {
            center: [3.0, 3.0],
            radius: 1.0,
        });
        assert_eq!(cell.farthest([0.0, -1.0]), 6.0);
        // A circle as wide as the cell is no bound.
        cell.round = Some(Circle {
            center: [3.0, 3.0],
            radius: 9.0,
        });
        assert_eq!(cell.farthest([1.0, 2.0]), 5.0);
    }

    #[test]
    fn a_cell_is_halved_across_its_longer_side() {
        let halves = |min: [f64; 2], max: [f64; 2]| {
            let [low, high] = Cell {
                min,
                max,
                round: None,
            }
            .halves();
            [low.min, low.max, high.min, high.max]
        };
        assert_eq!(
            halves([1.0, 2.0], [5.0, 3.0]),
            [[1.0, 2.0], [3.0, 3.0], [3.0, 2.0], [5.0, 3.0]]
        );
        assert_eq!(
            halves([3.0, 2.0], [4.0, 6.0]),
            [[3.0, 2.0], [4.0, 4.0], [3.0, 4.0], [4.0, 6.0]]
        );
    }

    fn swept(segment: Segment, min: [f64; 2], max: [f64; 2], enough: f64) -> bool {
        let round = None;
        sweeps(
            &TakingMove { segment, tip: TIP },
            &Cell { min, max, round },
            enough,
        )
    }

    /// Cells too long for one disc of the bit.
    #[test]
    fn a_straight_move_sweeps_what_lies_between_its_sides_once_all_of_it_is_deep() {
        let segment = Segment::line([-7.0, 0.0, -2.0], [7.0, 0.0, -1.0]);
        let beside = |side: f64, enough| swept(segment, [-5.0, -1.0], [5.0, side], enough);
        assert!(beside(3.0, -1.0));
        assert!(!beside(3.1, -1.0));
        assert!(!beside(3.0, -1.5));
    }

    /// Half a turn of radius 10 about (20, 30), by a bit of radius 3: a ring
    /// from 7 to 13.
    #[test]
    fn an_arc_sweeps_what_lies_in_its_ring() {
        let arc = |from: f64, sweep: f64| {
            let end = |angle: f64| [20.0 + 10.0 * angle.cos(), 30.0 + 10.0 * angle.sin(), -2.0];
            Segment::arc(end(from), end(from + sweep), [20.0, 30.0], sweep)
        };
        let ring = |segment, low: f64, high: f64| {
            swept(segment, [16.0, 30.0 + low], [24.0, 30.0 + high], -2.0)
        };
        // The far corners lie at √(12² + 4²) = 12.65 and √(12.5² + 4²) = 13.12.
        let half = arc(0.0, PI);
        assert!(ring(half, 7.1, 12.0));
        assert!(!ring(half, 6.9, 12.0));
        assert!(!ring(half, 7.1, 12.5));
        // It does not come round to them.
        assert!(!ring(arc(0.0, PI / 2.0), 7.1, 12.0));
    }

    /// The radius at either end may be the lesser: 7.1 … 12.9 is swept all the way.
    #[test]
    fn an_arc_that_widens_sweeps_the_ring_that_both_ends_have() {
        for (first, last) in [(9.9, 10.1), (10.1, 9.9)] {
            let segment = Segment::arc(
                [20.0 + first, 30.0, -2.0],
                [20.0 - last, 30.0, -2.0],
                [20.0, 30.0],
                PI,
            );
            let ring =
                |low: f64, high: f64| swept(segment, [16.0, 30.0 + low], [24.0, 30.0 + high], -2.0);
            assert!(ring(7.15, 12.2));
            // √(12.3² + 4²) = 12.93.
            assert!(!ring(7.05, 12.2) && !ring(7.15, 12.3));
        }
    }

    #[test]
    fn a_drill_leaves_no_floor() {
        let mut pass = cut([-7.0, 0.0, -2.0], [7.0, 0.0, -2.0]);
        pass.tip.point = 0.5;
        near(residual(&[pass], 0.0, &slot(), 3.0), 2.0);
    }

    /// A millimetre above the floor all along, and to the floor in the middle
    /// only: a millimetre is left at the ends, not the whole two.
    #[test]
    fn moves_above_the_floor_count_where_those_on_it_leave_wood() {
        for top in [0.0, 5.0] {
            let pass = |half: f64, z: f64| cut([-half, 0.0, top - z], [half, 0.0, top - z]);
            let cuts = [pass(7.0, 1.0), pass(3.0, 2.0)];
            near(residual(&cuts, top, &slot(), 3.0), 1.0);
        }
    }

    /// After one look too many all that is not settled counts as wood.
    #[test]
    fn what_patience_does_not_settle_counts_as_left() {
        let cuts = [cut([-7.0, 0.0, 3.0], [7.0, 0.0, 3.0])];
        let mut search = Search {
            cuts: &cuts,
            floor: 3.0,
            top: 5.0,
            region: slot().outline,
            most: 0.0,
            patience: 1,
        };
        let cell = Cell {
            min: [-10.0, -3.0],
            max: [10.0, 3.0],
            round: None,
        };
        search.visit(&cell, &[0]);
        assert_eq!(search.most, 2.0);
    }
}
