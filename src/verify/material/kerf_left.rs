//! How much wood is left beside a piece that is to be cut free.
//!
//! Asked of every point just outside the outline that the bit can reach: the
//! outline is halved until one move sweeps a stretch of it whole, deep enough, or it
//! is no longer than [`LEAST`].

use crate::verify::material::residual::{BAND, TakingMove};
use crate::verify::scene::Board;
use crate::verify::scene::kerf::Kerf;
use crate::verify::scene::outline::Place;

/// Half the shortest stretch looked at, in millimetres.
const LEAST: f64 = 0.0015;

/// Error of the figure, in millimetres.
const PRECISION: f64 = 0.001;

/// A bit's centre this much too near to another edge still counts as free, in millimetres.
const FREE: f64 = 0.001;

/// The most wood left above the kerf's floor along the piece, where a bit of
/// `radius` could have reached, measured down.
pub(crate) fn left(cuts: &[TakingMove], board: &Board, kerf: &Kerf, radius: f64) -> f64 {
    let floor = board.top - kerf.depth;
    let margin = kerf.width + BAND;
    let mut near: Vec<&TakingMove> = cuts
        .iter()
        .filter(|cut| {
            let extent = cut.segment.extent();
            let meets = |axis: usize| {
                extent.min[axis] - cut.tip.radius <= kerf.piece.max[axis] + margin
                    && extent.max[axis] + cut.tip.radius >= kerf.piece.min[axis] - margin
            };
            cut.tip.point == 0.0 && meets(0) && meets(1)
        })
        .collect();
    near.sort_by(|one, other| one.segment.lowest().total_cmp(&other.segment.lowest()));
    let mut search = Search {
        board,
        kerf,
        radius,
        floor,
        most: 0.0,
    };
    // What went to the floor settles most of it; the moves above cannot better that.
    let deep = near.partition_point(|cut| cut.segment.lowest() <= floor + BAND);
    search.all(&near[..deep]);
    if search.most > BAND {
        search.most = 0.0;
        search.all(&near);
    }
    search.most
}

struct Search<'a> {
    board: &'a Board,
    kerf: &'a Kerf,
    radius: f64,
    floor: f64,
    most: f64,
}

/// A stretch of one edge: its middle and its half, as shares of the edge.
#[derive(Clone, Copy)]
struct Stretch {
    edge: usize,
    middle: f64,
    half: f64,
    /// Half of it in millimetres.
    reach: f64,
}

impl Search<'_> {
    fn all(&mut self, cuts: &[&TakingMove]) {
        for (edge, length) in self.kerf.piece.lengths().enumerate() {
            let whole = Stretch {
                edge,
                middle: 0.5,
                half: 0.5,
                reach: length / 2.0,
            };
            self.visit(whole, cuts);
        }
    }

    fn visit(&mut self, stretch: Stretch, cuts: &[&TakingMove]) {
        let Stretch {
            edge,
            middle,
            half,
            reach,
        } = stretch;
        // Nothing stands higher than the face.
        if self.floor + self.most + PRECISION >= self.board.top {
            return;
        }
        let Some(place) = self.kerf.piece.place(edge, middle) else {
            return;
        };
        let away = |by: f64| [0, 1].map(|axis| place.at[axis] + by * place.outward[axis]);
        let point = away(BAND);
        let widening = self.kerf.piece.widening(edge, BAND).max(1.0);
        let near: Vec<&TakingMove> = cuts
            .iter()
            .copied()
            .filter(|cut| cut.segment.distance(point) <= cut.tip.radius + reach * widening)
            .collect();
        let enough = self.floor + self.most + PRECISION;
        let is_swept = near.iter().any(|cut| {
            let inner = cut.tip.radius - reach * widening;
            let lowest = cut.segment.lowest_within(point, inner);
            lowest.is_some_and(|z| z <= enough)
        });
        if is_swept {
            return;
        }
        let beyond = self.obstructed(&place);
        if beyond > reach * self.kerf.piece.widening(edge, self.radius) {
            return;
        }
        if beyond <= 0.0 && self.board.signed_distance(point) < 0.0 {
            let heights = near
                .iter()
                .filter_map(|cut| cut.segment.lowest_within(point, cut.tip.radius));
            let left = heights.fold(self.board.top, f64::min) - self.floor;
            self.most = self.most.max(left);
        }
        if reach < LEAST {
            return;
        }
        for side in [-0.5, 0.5] {
            let part = Stretch {
                edge,
                middle: middle + side * half,
                half: half / 2.0,
                reach: reach / 2.0,
            };
            self.visit(part, &near);
        }
    }

    /// How far the piece reaches into a bit that touches it there; less than
    /// none where it is free.
    fn obstructed(&self, place: &Place) -> f64 {
        let center = [0, 1].map(|axis| place.at[axis] + self.radius * place.outward[axis]);
        self.radius - FREE - self.kerf.piece.signed_distance(center)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, RoundedRectangle};
    use crate::job::contour::{self, Contour, Edge};
    use crate::job::sample;
    use crate::replay::segment::Segment;
    use crate::replay::tip::Tip;
    use crate::units::Length;
    use crate::verify::scene::Scene;
    use std::f64::consts::FRAC_PI_2;

    const TIP: Tip = Tip {
        radius: 3.0,
        point: 0.0,
    };

    fn board() -> Board {
        Scene::new(&sample::plug_job()).boards[0].clone()
    }

    fn kerf(outline: Vec<Edge>) -> Kerf {
        let contour = Contour {
            number: 1,
            outline,
            depth: Length::from_mm(2.0),
        };
        Kerf::of(&contour, 3.0, 0.0, |u, v| [u, v]).unwrap()
    }

    /// From (20, 20) to (60, 40) with corners of 5 mm.
    fn rectangle() -> Kerf {
        kerf(contour::of_rectangle(&RoundedRectangle {
            center: Point::from_mm(40.0, 30.0),
            half_x: 20.0,
            half_y: 10.0,
            corner: 5.0,
        }))
    }

    /// The bit's centre once round it, so far out, on the floor.
    fn lap(out: f64) -> Vec<TakingMove> {
        let (low_x, high_x, low_y, high_y) = (20.0 - out, 60.0 + out, 20.0 - out, 40.0 + out);
        let z = -2.0;
        let line =
            |from: [f64; 2], to: [f64; 2]| Segment::line([from[0], from[1], z], [to[0], to[1], z]);
        let arc = |from: [f64; 2], to: [f64; 2], center| {
            Segment::arc([from[0], from[1], z], [to[0], to[1], z], center, FRAC_PI_2)
        };
        let segments = [
            line([25.0, low_y], [55.0, low_y]),
            arc([55.0, low_y], [high_x, 25.0], [55.0, 25.0]),
            line([high_x, 25.0], [high_x, 35.0]),
            arc([high_x, 35.0], [55.0, high_y], [55.0, 35.0]),
            line([55.0, high_y], [25.0, high_y]),
            arc([25.0, high_y], [low_x, 35.0], [25.0, 35.0]),
            line([low_x, 35.0], [low_x, 25.0]),
            arc([low_x, 25.0], [25.0, low_y], [25.0, 25.0]),
        ];
        let cut = |segment| TakingMove { segment, tip: TIP };
        segments.into_iter().map(cut).collect()
    }

    #[track_caller]
    fn near(cuts: &[TakingMove], kerf: &Kerf, expected: f64) {
        let found = left(cuts, &board(), kerf, 3.0);
        assert!(
            (found - expected).abs() < 0.002,
            "{found} is not {expected}"
        );
    }

    #[test]
    fn a_lap_that_touches_the_piece_leaves_nothing() {
        near(&lap(3.0), &rectangle(), 0.0);
        // Two hundredths too far out are the outline's tolerance.
        near(&lap(3.015), &rectangle(), 0.0);
        near(&lap(3.03), &rectangle(), 2.0);
        near(&[], &rectangle(), 2.0);
    }

    #[test]
    fn a_lap_with_a_gap_leaves_wood_there() {
        for missing in 0..8 {
            let mut cuts = lap(3.0);
            cuts.remove(missing);
            near(&cuts, &rectangle(), 2.0);
        }
        // A side that ends 0.03 mm short of the next, which begins as far after it: the
        // two discs leave only what is no wider than that, well within the band.
        let mut cuts = lap(3.0);
        cuts[0].segment.to[0] -= 0.03;
        near(&cuts, &rectangle(), 0.0);
        cuts[0].segment.to[0] -= 2.0;
        near(&cuts, &rectangle(), 2.0);
    }

    #[test]
    fn a_side_that_does_not_go_down_leaves_what_it_leaves() {
        let mut cuts = lap(3.0);
        (cuts[4].segment.from[2], cuts[4].segment.to[2]) = (-1.7, -1.7);
        near(&cuts, &rectangle(), 0.3);
    }

    /// 40 × 20 mm with a round notch in the middle of its upper side.
    fn notched(radius: f64) -> Kerf {
        let at = Point::from_mm;
        let line = |from, to| Edge::Line { from, to };
        kerf(vec![
            line(at(20.0, 20.0), at(60.0, 20.0)),
            line(at(60.0, 20.0), at(60.0, 40.0)),
            line(at(60.0, 40.0), at(40.0 + radius, 40.0)),
            Edge::Arc {
                from: at(40.0 + radius, 40.0),
                to: at(40.0 - radius, 40.0),
                center: at(40.0, 40.0),
                bulges: false,
            },
            line(at(40.0 - radius, 40.0), at(20.0, 40.0)),
            line(at(20.0, 40.0), at(20.0, 20.0)),
        ])
    }

    /// The bit does not get into a notch of 2 mm, and does into one of 4.
    #[test]
    fn a_hollow_sharper_than_the_bit_is_not_asked_for() {
        let mut cuts = lap(3.0);
        for (cut, [from, to]) in cuts.iter_mut().step_by(2).zip([
            [[20.0, 17.0], [60.0, 17.0]],
            [[63.0, 20.0], [63.0, 40.0]],
            [[60.0, 43.0], [20.0, 43.0]],
            [[17.0, 40.0], [17.0, 20.0]],
        ]) {
            cut.segment = Segment::line([from[0], from[1], -2.0], [to[0], to[1], -2.0]);
        }
        near(&cuts, &notched(2.0), 0.0);
        near(&cuts, &notched(4.0), 2.0);
    }
}
