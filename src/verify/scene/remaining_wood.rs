//! What the wanted shape leaves of the wood, for `wall-left` and `floor-left`.

use std::collections::BTreeMap;

use crate::geometry::Point;
use crate::job::{Closing, Job, Part, PartName, Pocket, PocketKind};
use crate::report::{CheckId, Verdict, WoodLeft};
use crate::units::Length;
use crate::units::ruler::Ruler;
use crate::verify::scene::board::Board;
use crate::verify::scene::feature::Feature;
use crate::verify::scene::gouge::GOUGE;
use crate::verify::scene::laid::Scene;
use crate::verify::scene::piece_walls::{self, Meeting};
use crate::verify::scene::site::Site;

/// Less wood than this always fails, in millimetres (contract).
const LEAST: f64 = 1.0;

/// Rounding of figures that were given as decimals, in millimetres.
const ROUNDED: f64 = 1e-6;

/// What is left around a pocket, from its wanted shape.
pub fn wood_left(part: &Part, pocket: &Pocket) -> WoodLeft {
    let mut left = [f64::INFINITY; 4];
    let [outside, inside, below, end] = &mut left;
    for step in &pocket.steps {
        let (half_length, half_width) = (step.length.as_mm() / 2.0, step.width.as_mm() / 2.0);
        let u = pocket.center.x + step.shift.as_mm();
        *outside = outside.min(pocket.center.y - half_width);
        *inside = inside.min(part.across.as_mm() - pocket.center.y - half_width);
        *below = below.min(part.below.as_mm() - step.depth.as_mm());
        *end = end
            .min(u - half_length)
            .min(part.length.as_mm() - u - half_length);
    }
    let [outside, inside, below, end] = left.map(Length::from_mm);
    WoodLeft {
        outside,
        inside,
        below,
        end,
    }
}

/// What wood is left about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// From a pocket to the face against the fence.
    Fence,
    /// From a pocket to the opposite face.
    Far,
    /// From a pocket to the nearer end.
    End,
    /// Under a pocket.
    Floor,
    /// Under a screw hole.
    HoleTip,
    /// Under a screw's tip.
    ScrewTip,
    /// Between a pocket and the next.
    Neighbours,
    /// Beside a screw hole.
    Hole,
    /// Beside a screw.
    Screw,
}

impl About {
    const fn id(self) -> CheckId {
        match self {
            Self::Floor | Self::HoleTip | Self::ScrewTip => CheckId::FloorLeft,
            Self::Fence | Self::Far | Self::End | Self::Neighbours | Self::Hole | Self::Screw => {
                CheckId::WallLeft
            }
        }
    }
}

/// Wood left at one place of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Remaining {
    /// The part.
    pub part: PartName,
    /// Which place.
    pub about: About,
    /// How much; less than none where a cut comes through.
    pub left: Length,
    /// Fails or warns where it is too little, else passes.
    pub verdict: Verdict,
    /// What the check says of too little.
    pub words: String,
}

/// Wood left around all pockets of the job, their holes and screws, the least first.
pub fn remaining(job: &Job) -> Vec<Remaining> {
    let (ruler, min_left) = (Ruler::new(job.units), job.fit.min_left.as_mm());
    let remaining = places(job).into_iter().map(|place| Remaining {
        part: place.part,
        about: place.about,
        left: Length::from_mm(place.left),
        verdict: place.verdict(min_left),
        words: place.words(ruler, min_left),
    });
    remaining.collect()
}

/// All places at the pockets of this run, the least wood first.
pub(crate) fn places(job: &Job) -> Vec<Place> {
    Judgement::of(job, &Scene::new(job)).sorted()
}

/// Wood that is left, or that a cut goes through where it is less than none.
#[derive(Debug)]
pub(crate) struct Place {
    part: PartName,
    about: About,
    /// Millimetres.
    pub(crate) left: f64,
    /// Ends `5 mm of wood left …`.
    where_it_is: String,
    /// Starts `… through by 5 mm`.
    breaks: String,
    /// What to do about too little.
    cure: &'static str,
}

impl Place {
    /// The check that it belongs to.
    pub(crate) fn id(&self) -> CheckId {
        self.about.id()
    }

    /// Fails under [`LEAST`], warns under the job's `min_left`.
    pub(crate) fn verdict(&self, min_left: f64) -> Verdict {
        if self.left < LEAST - ROUNDED {
            Verdict::Fail
        } else if self.left < min_left - ROUNDED {
            Verdict::Warn
        } else {
            Verdict::Pass
        }
    }

    pub(crate) fn words(&self, ruler: Ruler, min_left: f64) -> String {
        let Self {
            left,
            where_it_is,
            breaks,
            cure,
            ..
        } = self;
        if *left < -ROUNDED {
            return format!("{breaks} by {}; {cure}", ruler.both(-left, 2));
        }
        let left = ruler.both(*left, 2);
        match self.verdict(min_left) {
            Verdict::Fail => {
                let least = ruler.limit(LEAST);
                format!("{left} of wood left {where_it_is}, at least {least}; {cure}")
            }
            Verdict::Warn | Verdict::Pass | Verdict::None => {
                let wanted = ruler.limit(min_left);
                format!("{left} of wood left {where_it_is}, wanted {wanted}")
            }
        }
    }
}

/// Gathers the places, the least of each; told the worst first.
#[derive(Default)]
struct Judgement {
    places: Vec<Place>,
    /// Where each place of a check is in the list.
    index: BTreeMap<(usize, String), usize>,
}

impl Judgement {
    /// All places at the pockets of this run.
    fn of(job: &Job, scene: &Scene) -> Self {
        let min_left = job.fit.min_left.as_mm();
        let mut judgement = Self::default();
        for (part, board) in job.parts.iter().zip(&scene.boards) {
            let sites = &scene.sites[board.sites.clone()];
            for (index, site) in sites.iter().enumerate() {
                let (Some(pocket), true) = (part.pocket(site.hinge()), site.allowed > 0) else {
                    continue;
                };
                sides(&mut judgement, job.closing, part, pocket);
                neighbours(&mut judgement, min_left, board, site, &sites[index + 1..]);
                floors(&mut judgement, part, pocket);
                bores(&mut judgement, part, pocket);
            }
            pieces(&mut judgement, part, board, sites);
        }
        judgement
    }

    fn left(&mut self, place: Place) {
        let key = (place.about.id() as usize, place.where_it_is.clone());
        let known = *self.index.entry(key).or_insert(self.places.len());
        match self.places.get_mut(known) {
            Some(known) => known.left = known.left.min(place.left),
            None => self.places.push(place),
        }
    }

    fn sorted(mut self) -> Vec<Place> {
        self.places
            .sort_by(|one, other| one.left.total_cmp(&other.left));
        self.places
    }
}

fn name_of(part: &Part, pocket: &Pocket) -> String {
    Feature::Pocket(pocket.kind, pocket.hinge).name(part.name)
}

/// Wood between a pocket and the faces and ends of its board.
fn sides(judgement: &mut Judgement, closing: Closing, part: &Part, pocket: &Pocket) {
    let name = name_of(part, pocket);
    let left = wood_left(part, pocket);
    let faces = closing.faces(part.name);
    let [to_fence, to_far, to_end] = match part.name {
        PartName::Plate => ["take a larger plate"; 3],
        PartName::Box | PartName::Lid | PartName::Scrap => [
            "raise `hinge.setback` or take a narrower hinge",
            "lessen `hinge.setback`, or take a thicker board or a narrower hinge",
            "move the hinge by `placement` or take a shorter one",
        ],
    };
    let sides = [
        (About::Fence, left.outside, faces.fence, to_fence),
        (About::Far, left.inside, faces.far, to_far),
        (About::End, left.end, "end", to_end),
    ];
    for (about, wood, side, cure) in sides {
        judgement.left(Place {
            part: part.name,
            about,
            left: wood.as_mm(),
            where_it_is: format!("to the {side} at {name}"),
            breaks: format!("{name} cuts through the {side} of the {}", part.name),
            cure,
        });
    }
}

/// Wood under a pocket, its holes and its screws.
fn floors(judgement: &mut Judgement, part: &Part, pocket: &Pocket) {
    let name = name_of(part, pocket);
    let through = |what: &str| format!("{what} goes through the {}", part.name);
    let below = wood_left(part, pocket).below.as_mm();
    let into_board = part.board_below.map(Length::as_mm);
    match into_board.filter(|_| below < -ROUNDED) {
        // Through on purpose, and no deeper than the board below bears.
        Some(board) if below >= -board - ROUNDED => {}
        Some(board) => judgement.left(Place {
            part: part.name,
            about: About::Floor,
            left: below + board,
            where_it_is: format!("under {name}"),
            breaks: format!("{name} goes deeper into the board below than it may"),
            cure: "cut it less deep",
        }),
        None => judgement.left(Place {
            part: part.name,
            about: About::Floor,
            left: below,
            where_it_is: format!("under {name}"),
            breaks: format!("{name} cuts through the {}", part.name),
            cure: match part.name {
                PartName::Plate => "take a thicker plate or cut it less deep",
                PartName::Box | PartName::Lid | PartName::Scrap => {
                    "take a thicker board or a hinge less deep, or give the other part more of the recess by `fit.box_share`"
                }
            },
        }),
    }
    for hole in &pocket.holes {
        let what = format!("a screw hole of {name}");
        judgement.left(Place {
            part: part.name,
            about: About::HoleTip,
            left: (part.below - hole.tip).as_mm(),
            where_it_is: format!("under {what}"),
            breaks: through(&what),
            cure: "lessen `pilot.depth`",
        });
    }
    for screw in &pocket.screws {
        judgement.left(Place {
            part: part.name,
            about: About::ScrewTip,
            left: (part.below - screw.tip).as_mm(),
            where_it_is: format!("under a screw tip of {name}"),
            breaks: through(&format!("a screw of {name}")),
            cure: "take shorter screws",
        });
    }
}

/// Wood between a pocket and the next ones along the board.
fn neighbours(judgement: &mut Judgement, min_left: f64, board: &Board, site: &Site, next: &[Site]) {
    let reach = LEAST.max(min_left);
    for other in next {
        if other.min[0] - site.max[0] >= reach {
            break;
        }
        if !is_neighbour(site.feature, other.feature) {
            continue;
        }
        let apart =
            |axis: usize| (other.min[axis] - site.max[axis]).max(site.min[axis] - other.max[axis]);
        let gap = apart(0).max(0.0).hypot(apart(1).max(0.0));
        let place = match site.feature {
            Feature::Pocket(PocketKind::Pocket, hinge) => format!("hinge {hinge}"),
            other => other.to_string(),
        };
        let cuts = format!("neighbouring cuts of the {} at {place}", board.name);
        judgement.left(Place {
            part: board.name,
            about: About::Neighbours,
            left: gap,
            where_it_is: format!("between {cuts}"),
            breaks: format!("{cuts} run into each other"),
            cure: match board.name {
                PartName::Plate => "take a larger plate",
                PartName::Box | PartName::Lid | PartName::Scrap => {
                    "set the hinges further apart or take shorter ones"
                }
            },
        });
    }
}

/// Pieces that are cut free: whole, and not cut through. What lies beside
/// their kerfs is waste and may be as thin as it likes.
fn pieces(judgement: &mut Judgement, part: &Part, board: &Board, sites: &[Site]) {
    let mut place = |about, left, where_it_is, breaks, cure| {
        judgement.left(Place {
            part: part.name,
            about,
            left,
            where_it_is,
            breaks,
            cure,
        });
    };
    for (index, site) in sites.iter().enumerate() {
        let Some(kerf) = site.allowed_kerf() else {
            continue;
        };
        let name = format!("{} {}", part.name, site.feature);
        let through = part.board_below.map_or(0.0, Length::as_mm) + part.below.as_mm() - kerf.depth;
        if through < -ROUNDED {
            place(
                About::Floor,
                through,
                format!("under {}", site.feature.name(part.name)),
                format!("{} is cut too deep", site.feature.name(part.name)),
                "leave a skin that holds the piece",
            );
        }
        let inside = |axis: usize| {
            (kerf.piece.min[axis] - board.min[axis]).min(board.max[axis] - kerf.piece.max[axis])
        };
        let inside = inside(0).min(inside(1));
        if inside < -ROUNDED {
            place(
                About::End,
                inside,
                format!("beside {name}"),
                format!("{name} reaches past the edge of the {}", part.name),
                "take a larger board",
            );
        }
        for other in &sites[index + 1..] {
            let Some(beside) = &other.kerf else {
                continue;
            };
            let left = piece_walls::gap(kerf, beside) - kerf.width.max(beside.width);
            if left < -GOUGE {
                place(
                    About::Neighbours,
                    left,
                    format!("between {name} and {}", other.feature),
                    format!("the kerf round {name} comes into {}", other.feature),
                    "lay the pieces further apart",
                );
            }
        }
        for other in sites {
            let (Feature::Pocket(..), Some(widest)) = (other.feature, other.steps.first()) else {
                continue;
            };
            let left = match piece_walls::meeting(kerf, &widest.outline) {
                Meeting::Apart => continue,
                Meeting::On(wall) => wall,
                Meeting::Into(far) => -far,
            };
            place(
                About::Neighbours,
                left,
                format!("between {} and the outside of {name}", other.feature),
                format!("{} comes into {name}", other.feature),
                "lay the two further apart",
            );
        }
    }
}

/// Whether wood is wanted between the two. A plate's lines run to its sight
/// holes, and what lies beside a kerf is waste.
fn is_neighbour(of: Feature, other: Feature) -> bool {
    match other {
        Feature::Pocket(..) => true,
        Feature::Tick => matches!(of, Feature::Pocket(PocketKind::Pocket, _)),
        Feature::Piece(_) => false,
    }
}

/// Wood beside holes and screws: to the faces, and to deeper steps of the same pocket.
fn bores(judgement: &mut Judgement, part: &Part, pocket: &Pocket) {
    let name = || name_of(part, pocket);
    let holes = pocket.holes.iter().map(|hole| {
        let from = hole.from.as_mm();
        (
            About::Hole,
            hole.center,
            hole.diameter.as_mm() / 2.0,
            from,
            "a screw hole",
        )
    });
    let screws = pocket.screws.iter().map(|screw| {
        let from = screw.from.as_mm();
        (
            About::Screw,
            screw.center,
            screw.diameter.as_mm() / 2.0,
            from,
            "a screw",
        )
    });
    for (about, center, radius, from, what) in holes.chain(screws) {
        let faces = center.y.min(part.across.as_mm() - center.y) - radius;
        let ends = center.x.min(part.length.as_mm() - center.x) - radius;
        judgement.left(Place {
            part: part.name,
            about,
            left: faces.min(ends),
            where_it_is: format!("beside {what} of {}", name()),
            breaks: format!(
                "{what} of {} comes through the side of the {}",
                name(),
                part.name
            ),
            cure: "correct `along` and `across` of the screw, or move the hinge",
        });
        for step in pocket.steps.iter().filter(|step| step.depth.as_mm() > from) {
            let outline = crate::geometry::RoundedRectangle::new(
                Point::from_mm(pocket.center.x + step.shift.as_mm(), pocket.center.y),
                step.length,
                step.width,
                step.corner,
            );
            let gap = outline.signed_distance_mm(center) - radius;
            judgement.left(Place {
                part: part.name,
                about,
                left: gap,
                where_it_is: format!("between {what} and the deeper step of {}", name()),
                breaks: format!("{what} of {} comes into its deeper step", name()),
                cure: "correct `along` and `across` of the screw",
            });
        }
    }
}

#[cfg(test)]
mod tests;
