//! What a move takes beyond the wanted shape, of pockets and of kerfs.
//!
//! Into or beside a pocket it is decided as `gouge` says. Out of a kerf, and
//! into a piece that another place lies near, it is the lesser of how deep the
//! bit is and how far its disc reaches; that figure changes by no more than the
//! bit moves, and its greatest is found to within 0.0005 mm (`greatest`).

use std::fmt;

use crate::replay::segment::Segment;
use crate::replay::tip::Tip;
use crate::verify::scene::board::Board;
use crate::verify::scene::gouge::{self, GOUGE};
use crate::verify::scene::greatest::greatest;
use crate::verify::scene::kerf::Kerf;
use crate::verify::scene::laid::Scene;
use crate::verify::scene::site::Site;

/// The furthest that a move takes wood beyond the wanted shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Beyond {
    pub(crate) figure: f64,
    pub(crate) what: What,
}

/// What it takes wood of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum What {
    OtherRun,
    Pocket,
    Nothing,
    Piece(usize),
    Waste(usize),
    Floor(usize),
}

impl fmt::Display for What {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OtherRun => formatter.write_str("in a pocket that this run does not cut"),
            Self::Pocket => formatter.write_str("beyond the wanted pocket"),
            Self::Nothing => formatter.write_str("away from every pocket"),
            Self::Piece(number) => write!(formatter, "where piece {number} is to stay whole"),
            Self::Waste(number) => write!(formatter, "beyond the kerf round piece {number}"),
            Self::Floor(number) => write!(formatter, "below the kerf round piece {number}"),
        }
    }
}

/// Whether the disc stays over what the site may lose.
pub(crate) fn is_over(segment: &Segment, radius: f64, site: &Site) -> bool {
    gouge::is_over(segment, radius, site)
        || site
            .allowed_kerf()
            .is_some_and(|kerf| kerf.holds(segment, radius, GOUGE))
}

/// What a move takes beyond the wanted shape where that is more than `known`,
/// or than what is no gouge.
pub(crate) fn beyond(
    segment: &Segment,
    tip: Tip,
    scene: &Scene,
    board: &Board,
    site: Option<usize>,
    known: f64,
) -> Option<Beyond> {
    let wanted = site.map(|number| &scene.sites[number]);
    let least = known.min(GOUGE);
    let kerf = wanted.and_then(Site::allowed_kerf);
    let spared = wanted.map_or(&[][..], |site| &site.spared);
    let spared: Vec<&Kerf> = spared
        .iter()
        .filter_map(|&number| scene.sites[number].kerf.as_ref())
        .collect();
    let in_pocket = match kerf {
        Some(_) => None,
        None => beyond_pocket(segment, tip, board, wanted, known),
    };
    if kerf.is_none() && spared.is_empty() {
        return in_pocket;
    }
    let about = About {
        tip,
        board,
        kerf,
        spared,
    };
    let of_pieces = about.deepest(segment, least);
    let figure = |beyond: &Option<Beyond>| beyond.map_or(0.0, |beyond| beyond.figure);
    if figure(&in_pocket) >= figure(&of_pieces) {
        in_pocket
    } else {
        of_pieces
    }
}

fn beyond_pocket(
    segment: &Segment,
    tip: Tip,
    board: &Board,
    wanted: Option<&Site>,
    known: f64,
) -> Option<Beyond> {
    let fails = gouge::exceeds(segment, tip, board, wanted, GOUGE);
    if !fails && !gouge::exceeds(segment, tip, board, wanted, known) {
        return None;
    }
    let known = if fails { GOUGE } else { known };
    Some(Beyond {
        figure: gouge::deepest(segment, tip, board, wanted, known),
        what: match wanted {
            Some(site) if site.allowed == 0 => What::OtherRun,
            Some(_) => What::Pocket,
            None => What::Nothing,
        },
    })
}

/// The kerf that a move is in, where it is in one, and the pieces it must spare.
struct About<'a> {
    tip: Tip,
    board: &'a Board,
    kerf: Option<&'a Kerf>,
    spared: Vec<&'a Kerf>,
}

impl About<'_> {
    fn deepest(&self, segment: &Segment, known: f64) -> Option<Beyond> {
        let top = self.board.top;
        let (first, last) = segment.between_heights(f64::NEG_INFINITY, top - known)?;
        let below = segment.part(first, last);
        let found = greatest(
            &below,
            (known, f64::INFINITY),
            &|point| self.figure(point).0,
            &|stretch| self.most(stretch),
        )?;
        Some(Beyond {
            figure: found.figure,
            what: self.figure(found.at).1,
        })
    }

    fn figure(&self, point: [f64; 3]) -> (f64, What) {
        let plan = [point[0], point[1]];
        let (radius, depth) = (self.tip.radius, self.board.top - point[2]);
        let mut most = (f64::NEG_INFINITY, What::Nothing);
        let mut add = |figure: f64, what| {
            if figure > most.0 {
                most = (figure, what);
            }
        };
        if let Some(kerf) = self.kerf {
            let out = kerf.piece.signed_distance(plan);
            add(radius - out, What::Piece(kerf.number));
            add(out + radius - kerf.width, What::Waste(kerf.number));
            add(depth - kerf.depth, What::Floor(kerf.number));
        }
        for other in &self.spared {
            let out = other.piece.signed_distance(plan);
            add(radius - out, What::Piece(other.number));
        }
        let in_wood = radius - self.board.signed_distance(plan);
        (most.0.min(depth).min(in_wood), most.1)
    }

    fn most(&self, stretch: &Segment) -> f64 {
        let (radius, depth) = (self.tip.radius, self.board.top - stretch.lowest());
        let own = self.kerf.map_or(f64::NEG_INFINITY, |kerf| {
            let aside = kerf.overshoot_on(stretch, radius);
            aside.max(depth - kerf.depth)
        });
        let others = self.spared.iter().map(|other| {
            let (least, _) = other.piece.distances(stretch);
            radius - least
        });
        others.fold(own, f64::max).min(depth)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use std::f64::consts::PI;

    const TIP: Tip = Tip {
        radius: 3.0,
        point: 0.0,
    };

    /// The end piece about (30, 30): outer end of 12.7 mm, horns at X 53.159, 11.5 mm deep.
    fn scene() -> Scene {
        Scene::new(&sample::plug_job())
    }

    fn found(scene: &Scene, segment: &Segment) -> Option<Beyond> {
        let board = &scene.boards[0];
        let site = scene.site_of(board, segment);
        beyond(segment, TIP, scene, board, site, 0.0)
    }

    #[track_caller]
    fn is(segment: &Segment, figure: f64, what: What) {
        let found = found(&scene(), segment).unwrap();
        assert!((found.figure - figure).abs() < 0.001, "{found:?}");
        assert_eq!(found.what, what);
    }

    #[test]
    fn into_the_piece_beside_the_kerf_and_below_it_are_what_they_are_by_hand() {
        let side = |y: f64, z: f64| Segment::line([32.0, y, z], [50.0, y, z]);
        assert_eq!(found(&scene(), &side(14.3, -11.5)), None);
        is(&side(14.4, -4.0), 0.1, What::Piece(1));
        is(&side(14.05, -4.0), 0.05, What::Waste(1));
        is(&side(14.3, -11.6), 0.1, What::Floor(1));
        // Straight across the piece, no deeper into it than it goes down.
        let across = Segment::line([35.0, 14.3, -0.4], [35.0, 45.7, -0.4]);
        is(&across, 0.4, What::Piece(1));
        // As deep as the piece is wide: 12.7 mm from both sides, and the bit's own radius.
        let across = Segment::line([35.0, 14.3, -30.0], [35.0, 45.7, -30.0]);
        is(&across, 18.5, What::Floor(1));
        // Round the outer end a tenth too near, and round the hollow one.
        let end = Segment::arc([30.0, 45.6, -4.0], [30.0, 14.4, -4.0], [30.0, 30.0], PI);
        is(&end, 0.1, What::Piece(1));
        let (sin, cos) = 0.8_f64.sin_cos();
        let to = [60.0 - 9.8 * cos, 30.0 - 9.8 * sin, -4.0];
        let hollow = Segment::arc([50.2, 30.0, -4.0], to, [60.0, 30.0], 0.8);
        is(&hollow, 0.1, What::Piece(1));
        // The chord of an end, 3 mm inside what it should go round.
        let chord = Segment::line([14.3, 30.0, -9.0], [30.0, 14.3, -9.0]);
        is(&chord, 15.7 - 15.7 / 2.0_f64.sqrt(), What::Piece(1));
    }

    /// The greatest of four thousand places of the path.
    #[test]
    fn the_furthest_is_that_at_some_place_of_the_path() {
        let scene = scene();
        let (board, kerf) = (&scene.boards[0], scene.sites[0].kerf.as_ref().unwrap());
        let line = Segment::line;
        for segment in [
            line([20.0, 14.0, -3.0], [56.0, 14.9, -12.0]),
            line([10.0, 30.0, 1.0], [70.0, 33.0, -6.0]),
            line([55.0, 18.0, -2.0], [56.0, 45.0, -2.2]),
            line([52.0, 30.0, -1.0], [90.0, 30.0, -8.0]),
            line([1.0, 30.0, -2.0], [-2.0, 33.0, -2.0]),
            Segment::arc(
                [50.0, 30.0, -5.0],
                [60.0, 20.0, -5.5],
                [60.0, 30.0],
                PI / 2.0,
            ),
            Segment::arc(
                [56.1, 17.3, -5.0],
                [53.1, 14.3, -5.0],
                [53.1, 17.3],
                -PI / 2.0,
            ),
            Segment::arc(
                [30.0, 45.0, -5.0],
                [30.0, 45.0, -5.5],
                [30.0, 30.0],
                2.0 * PI,
            ),
        ] {
            let at = |place: u32| {
                let [x, y, z] = segment.at(f64::from(place) / 4000.0);
                let out = kerf.piece.signed_distance([x, y]);
                let aside = (3.0 - out).max(out - 3.2).max(-z - 11.5);
                aside.min(-z).min(3.0 - board.signed_distance([x, y]))
            };
            let expected = (0..=4000).map(at).fold(0.0, f64::max);
            let figure = beyond(&segment, TIP, &scene, board, Some(0), 0.0)
                .map_or(0.0, |beyond| beyond.figure);
            assert!(
                (figure - expected).abs() < 0.01,
                "{segment:?}: {figure} is not {expected}"
            );
        }
    }

    #[test]
    fn the_bit_is_over_a_kerf_while_its_disc_is() {
        let scene = scene();
        let over = |from: [f64; 2], to: [f64; 2]| {
            let segment = Segment::line([from[0], from[1], 1.0], [to[0], to[1], 1.0]);
            is_over(&segment, 3.0, &scene.sites[0])
        };
        assert!(over([30.0, 14.3], [53.0, 14.3]) && over([30.0, 14.315], [53.0, 14.285]));
        assert!(!over([30.0, 14.33], [53.0, 14.3]) && !over([30.0, 14.3], [53.0, 14.07]));
        assert!(!over([30.0, 14.3], [30.0, 45.7]));
        assert!(!over([30.0, 14.3], [60.0, 14.3]));
    }
}
