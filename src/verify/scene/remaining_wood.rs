//! `wall-left`, `floor-left` and `opening`: what the wanted shape leaves of the wood.

use std::collections::BTreeMap;

use crate::geometry::Point;
use crate::job::{Closing, Job, Part, PartName, Pocket, PocketKind};
use crate::report::{CheckId, Verdict, WoodLeft};
use crate::shop::wood::Family;
use crate::units::Length;
use crate::units::ruler::Ruler;
use crate::verify::findings::{At, Tally};
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

/// Lead hole as a share of the screw's root: softwood 70 %, hardwood 90 %
/// (Canadian Wood Council, read first-hand). Sheet goods are taken as hard.
const LEAD_SOFT: f64 = 0.7;
const LEAD_HARD: f64 = 0.9;

/// A lead hole this share of the root off is of the wrong size (common
/// practice, no source: drills come in steps of 0.5 mm and 1/64 in).
const LEAD_SLACK: f64 = 0.2;

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
    let places = Judgement::of(job, &Scene::new(job)).sorted();
    let remaining = places.into_iter().map(|place| Remaining {
        part: place.part,
        about: place.about,
        left: Length::from_mm(place.left),
        verdict: place.verdict(min_left),
        words: place.words(ruler, min_left),
    });
    remaining.collect()
}

/// Wood that is left, or that a cut goes through where it is less than none.
struct Place {
    part: PartName,
    about: About,
    left: f64,
    /// Ends `5 mm of wood left …`.
    where_it_is: String,
    /// Starts `… through by 5 mm`.
    breaks: String,
    /// What to do about too little.
    cure: &'static str,
}

impl Place {
    /// Fails under [`LEAST`], warns under the job's `min_left`.
    fn verdict(&self, min_left: f64) -> Verdict {
        if self.left < LEAST - ROUNDED {
            Verdict::Fail
        } else if self.left < min_left - ROUNDED {
            Verdict::Warn
        } else {
            Verdict::Pass
        }
    }

    fn words(&self, ruler: Ruler, min_left: f64) -> String {
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

    fn least(&self, id: CheckId) -> f64 {
        let places = self.places.iter().filter(|place| place.about.id() == id);
        places.map(|place| place.left).fold(f64::INFINITY, f64::min)
    }

    fn sorted(mut self) -> Vec<Place> {
        self.places
            .sort_by(|one, other| one.left.total_cmp(&other.left));
        self.places
    }

    fn tell(self, tally: &mut Tally, ruler: Ruler, min_left: f64) {
        for place in self.sorted() {
            let words = || place.words(ruler, min_left);
            match place.verdict(min_left) {
                Verdict::Fail => tally.fail(place.about.id(), At::JOB, words),
                Verdict::Warn => tally.warn(place.about.id(), At::JOB, words),
                Verdict::Pass | Verdict::None => {}
            }
        }
    }
}

/// `wall-left` and `floor-left` for all pockets of this run.
pub(crate) fn check(tally: &mut Tally, job: &Job, scene: &Scene) {
    let ruler = Ruler::new(job.units);
    let min_left = job.fit.min_left.as_mm();
    let judgement = Judgement::of(job, scene);
    for (part, board) in job.parts.iter().zip(&scene.boards) {
        let sites = scene.sites[board.sites.clone()].iter();
        let of_this_run = sites.filter(|site| site.allowed > 0);
        let pockets = of_this_run.filter_map(|site| part.pocket(site.hinge()));
        let wrong = pockets.flat_map(|pocket| wrong_lead_holes(part, pocket));
        tell_lead_holes(tally, ruler, part, wrong.collect());
    }
    for (id, side) in [(CheckId::WallLeft, "beside"), (CheckId::FloorLeft, "under")] {
        let least = judgement.least(id);
        let wanted = ruler.limit(min_left);
        tally.say(
            id,
            if least.is_finite() {
                let least = ruler.one(least, 2);
                format!("at least {least} of wood {side} every pocket, wanted {wanted}")
            } else {
                format!("nothing is cut that wants wood left {side} it")
            },
        );
    }
    judgement.tell(tally, ruler, min_left);
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

/// A drilled hole that is no lead hole for the screw that goes into it.
#[derive(Clone, Copy, PartialEq)]
struct WrongLeadHole {
    diameter_mm: f64,
    root_mm: f64,
    wanted_mm: f64,
}

fn wrong_lead_holes(part: &Part, pocket: &Pocket) -> impl Iterator<Item = WrongLeadHole> {
    let share = match part.wood.family {
        Family::Softwood => LEAD_SOFT,
        Family::Hardwood | Family::Plywood | Family::Fibreboard => LEAD_HARD,
    };
    pocket.holes.iter().filter_map(move |hole| {
        let mut screws = pocket.screws.iter();
        let screw = screws.find(|screw| screw.center.distance(hole.center).as_mm() < 0.01)?;
        let found = WrongLeadHole {
            diameter_mm: hole.diameter.as_mm(),
            root_mm: screw.root.as_mm(),
            wanted_mm: share * screw.root.as_mm(),
        };
        let off = (found.diameter_mm - found.wanted_mm).abs();
        (off > LEAD_SLACK * found.root_mm).then_some(found)
    })
}

/// One finding for all holes of a part that are alike.
fn tell_lead_holes(tally: &mut Tally, ruler: Ruler, part: &Part, mut wrong: Vec<WrongLeadHole>) {
    while let Some(&first) = wrong.first() {
        let before = wrong.len();
        wrong.retain(|other| *other != first);
        let holes = before - wrong.len();
        tally.warn(CheckId::WallLeft, At::JOB, || {
            format!(
                "lead hole of {} in the {}, {holes} times: a screw with a root of {} wants {}",
                ruler.both(first.diameter_mm, 2),
                part.name,
                ruler.one(first.root_mm, 2),
                ruler.one(first.wanted_mm, 2)
            )
        });
    }
}

/// How far apart the leaves stand when the lid lies open, and may stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// Near side to near side of the leaves: twice the setback, and overhang or drop.
    pub apart: Length,
    /// What the hinge allows when it is open flat.
    pub flat: Length,
}

impl Opening {
    /// Whether the lid opens flat.
    pub fn is_flat(self) -> bool {
        self.apart.as_mm() <= self.flat.as_mm() + ROUNDED
    }
}

/// The opening of a job's hinge; nothing where its `open_gap` is not known.
pub fn opening(job: &Job) -> Option<Opening> {
    let hinge = &job.hinge;
    Some(Opening {
        apart: hinge.setback * 2.0 + hinge.overhang_or_drop,
        flat: hinge.open_gap?,
    })
}

/// `opening`: the leaves' reach past the hinge line against the room it has.
pub(crate) fn check_opening(tally: &mut Tally, job: &Job) {
    let Some(opening) = opening(job) else {
        tally.none(CheckId::Opening, "the hinge has no `open_gap`");
        return;
    };
    let (needed, gap) = (opening.apart.as_mm(), opening.flat.as_mm());
    let ruler = Ruler::new(job.units);
    if !opening.is_flat() {
        tally.warn(CheckId::Opening, At::JOB, || {
            format!(
                "the leaves stand {} apart, the hinge opens flat up to {}: \
                 the lid will not open flat; lessen {}",
                ruler.both(needed, 2),
                ruler.one(gap, 2),
                match (
                    job.hinge.overhang_or_drop.as_mm() > ROUNDED,
                    job.closing == Closing::Inset
                ) {
                    (false, _) => "`hinge.setback`",
                    (true, false) => "`lid.overhang` or `hinge.setback`",
                    (true, true) => "`lid.drop` or `hinge.setback`",
                }
            )
        });
    }
    tally.say(
        CheckId::Opening,
        format!(
            "the leaves stand {} apart of {} that open flat",
            ruler.one(needed, 2),
            ruler.one(gap, 2)
        ),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Hole, PartName, ScrewInWood, sample};
    use crate::report::Verdict;

    fn mm(value: f64) -> Length {
        Length::from_mm(value)
    }

    fn verdict(job: &Job, id: CheckId) -> Verdict {
        let mut tally = Tally::new();
        check(&mut tally, job, &Scene::new(job));
        check_opening(&mut tally, job);
        tally.into_checks(&[id])[0].verdict
    }

    /// Source: handbook row W52, setback 4, width 9.5, part 19.05 mm: 5.55 mm inside.
    #[test]
    fn wood_left_is_what_the_handbook_says() {
        let mut job = sample::job();
        let part = &mut job.parts[0];
        part.across = mm(19.05);
        let pocket = &mut part.pockets[0];
        pocket.center = Point::from_mm(45.0, 4.0 + 9.5 / 2.0);
        for step in &mut pocket.steps {
            step.width = mm(9.5);
        }
        let left = wood_left(&job.parts[0], &job.parts[0].pockets[0]);
        assert!((left.outside.as_mm() - 4.0).abs() < 1e-9);
        assert!((left.inside.as_mm() - 5.55).abs() < 1e-9);
        assert!((left.below.as_mm() - (90.0 - 12.4)).abs() < 1e-9);
        assert!((left.end.as_mm() - (45.0 - 22.05)).abs() < 1e-9);
    }

    #[test]
    fn thin_walls_warn_and_thinner_ones_fail() {
        let mut job = sample::job();
        assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
        job.parts[0].across = mm(3.45 + 10.1 + 2.0);
        assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Warn);
        job.parts[0].across = mm(3.45 + 10.1 + 0.9);
        assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Fail);
    }

    #[test]
    fn thin_floors_warn_and_thinner_ones_fail() {
        let mut job = sample::job();
        assert_eq!(verdict(&job, CheckId::FloorLeft), Verdict::Pass);
        job.parts[1].below = mm(14.0);
        assert_eq!(verdict(&job, CheckId::FloorLeft), Verdict::Warn);
        job.parts[1].below = mm(12.0);
        assert_eq!(verdict(&job, CheckId::FloorLeft), Verdict::Fail);
    }

    /// A plate 12.1 mm thick over a board that may be cut 0.5 mm deep.
    fn plate(depth: f64) -> Job {
        let mut job = sample::job();
        let mut part = job.parts.remove(1);
        part.name = PartName::Plate;
        part.below = mm(12.1);
        part.board_below = Some(mm(0.5));
        part.pockets.truncate(1);
        part.pockets[0].kind = PocketKind::Opening;
        part.pockets[0].steps.truncate(1);
        part.pockets[0].steps[0].depth = mm(depth);
        job.fixture.layout = crate::job::Layout::Scrap;
        job.parts = vec![part];
        job
    }

    #[test]
    fn what_is_cut_through_on_purpose_ends_in_the_board_below() {
        let found = |depth| findings(&plate(depth), CheckId::FloorLeft)[0].clone();
        for depth in [12.11, 12.6] {
            assert_eq!(found(depth), "nothing is cut that wants wood left under it");
        }
        assert_eq!(
            found(12.8),
            "plate opening 1 goes deeper into the board below than it may by 0.20 mm; cut it less deep"
        );
        // A groove keeps its floor as everywhere.
        assert_eq!(
            found(11.6),
            "0.50 mm of wood left under plate opening 1, at least 1 mm; \
             take a thicker plate or cut it less deep"
        );
        let mut job = plate(12.6);
        job.parts[0].board_below = None;
        finds(
            &job,
            CheckId::FloorLeft,
            "plate opening 1 cuts through the plate by 0.50 mm",
        );
    }

    /// An opening of 44.1 mm about 45 ends at 67.05.
    #[test]
    fn a_plates_lines_run_to_its_sight_holes_and_openings_keep_apart() {
        let mut job = plate(12.6);
        let mut hole = job.parts[0].pockets[0].clone();
        hole.hinge = 2;
        hole.kind = PocketKind::SightHole;
        hole.center.x = 67.05 + 3.0 + 0.4;
        (hole.steps[0].length, hole.steps[0].width) = (mm(6.0), mm(6.0));
        job.parts[0].pockets.push(hole);
        finds(
            &job,
            CheckId::WallLeft,
            "0.40 mm of wood left between neighbouring cuts of the plate at opening 1, \
             at least 1 mm; take a larger plate",
        );
        job.parts[0].pockets[1].center.x = 75.0;
        let line = crate::job::Tick {
            from: Point::from_mm(75.0, 8.5),
            to: Point::from_mm(90.0, 8.5),
            depth: mm(0.5),
        };
        job.parts[0].ticks.push(line);
        assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
    }

    /// The end piece reaches from X 17.3 to 53.16 and Y 17.3 to 42.7, in scrap of 100 × 60 × 12.
    #[test]
    fn a_piece_keeps_whole_and_the_waste_beside_it_does_not_matter() {
        let job = sample::plug_job();
        for id in [CheckId::WallLeft, CheckId::FloorLeft] {
            assert_eq!(verdict(&job, id), Verdict::Pass);
        }
        let with = |change: &dyn Fn(&mut Part)| {
            let mut job = job.clone();
            change(&mut job.parts[0]);
            job
        };
        let deep = with(&|part| part.contours[0].depth = mm(12.2));
        let words = "the kerf round scrap piece 1 is cut too deep by 0.20 mm";
        finds(&deep, CheckId::FloorLeft, words);
        let edge = with(&|part| part.across = mm(42.2));
        let words = "scrap piece 1 reaches past the edge of the scrap by 0.50 mm";
        finds(&edge, CheckId::WallLeft, words);
        let beside = |apart: f64| {
            with(&|part| {
                let mut other = part.contours[0].clone();
                other.number = 2;
                other.outline = sample::end_piece(30.0, 30.0 + 25.4 + apart);
                part.contours.push(other);
                part.across = mm(90.0);
            })
        };
        assert_eq!(verdict(&beside(6.2), CheckId::WallLeft), Verdict::Pass);
        let words = "the kerf round scrap piece 1 comes into piece 2 by 0.70 mm";
        finds(&beside(5.5), CheckId::WallLeft, words);
        // A pocket 6 mm wide on the piece, its end 1.4 mm from the outer end.
        let pocket = |u: f64| {
            let mut job = job.clone();
            let mut pocket = sample::job().parts[1].pockets[0].clone();
            pocket.center = Point::from_mm(u, 30.0);
            pocket.steps.truncate(1);
            let step = &mut pocket.steps[0];
            (step.length, step.width, step.corner) = (mm(10.0), mm(6.0), mm(3.0));
            job.parts[0].pockets.push(pocket);
            job
        };
        assert_eq!(verdict(&pocket(30.0), CheckId::WallLeft), Verdict::Pass);
        let words = "mm of wood left between pocket 1 and the outside of scrap piece 1";
        finds(&pocket(22.8), CheckId::WallLeft, words);
        let words = "pocket 1 comes into scrap piece 1 by";
        finds(&pocket(15.0), CheckId::WallLeft, words);
    }

    #[test]
    fn neighbours_too_close_fail() {
        let mut job = sample::job();
        for part in &mut job.parts {
            part.pockets[1].center.x = 45.0 + 44.1 + 0.5;
        }
        assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Fail);
    }

    fn screw(u: f64, v: f64) -> ScrewInWood {
        ScrewInWood {
            center: Point::from_mm(u, v),
            diameter: mm(3.17),
            root: mm(2.1),
            length: mm(12.0),
            from: mm(4.7),
            tip: mm(12.2),
        }
    }

    #[test]
    fn a_screw_through_the_face_or_into_the_deep_step_fails() {
        let mut job = sample::job();
        // 20 mm along: 20 - 13.55 - 1.585 = 4.9 mm from the deep step.
        job.parts[1].pockets[0].screws = vec![screw(65.0, 8.5)];
        assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
        // 15.5 mm along: 0.37 mm.
        job.parts[1].pockets[0].screws = vec![screw(60.5, 8.5)];
        assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Fail);
        job.parts[1].pockets[0].screws = vec![screw(65.0, 8.5)];
        job.parts[1].below = mm(13.0);
        assert_eq!(verdict(&job, CheckId::FloorLeft), Verdict::Fail);
    }

    /// Hardwood: 90 % of a root of 2.1 mm is 1.9 mm.
    #[test]
    fn a_lead_hole_of_the_wrong_size_only_warns() {
        let mut job = sample::job();
        let hole = |diameter: f64| Hole {
            center: Point::from_mm(65.0, 8.5),
            diameter: mm(diameter),
            from: mm(4.7),
            tip: mm(13.7),
            point_height: mm(0.6),
        };
        job.parts[1].pockets[0].screws = vec![screw(65.0, 8.5)];
        job.parts[1].pockets[0].holes = vec![hole(2.0)];
        assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
        job.parts[1].pockets[0].holes = vec![hole(3.0)];
        assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Warn);
    }

    #[test]
    fn leaves_too_far_apart_warn() {
        let mut job = sample::job();
        assert_eq!(verdict(&job, CheckId::Opening), Verdict::None);
        job.hinge.open_gap = Some(mm(7.0));
        assert_eq!(verdict(&job, CheckId::Opening), Verdict::Pass);
        job.hinge.overhang_or_drop = mm(0.5);
        assert_eq!(verdict(&job, CheckId::Opening), Verdict::Warn);
    }

    #[test]
    fn a_partial_run_judges_only_what_it_cuts() {
        let mut job = sample::job();
        job.parts[1].below = mm(12.0);
        job.selection.part = Some(PartName::Box);
        assert_eq!(verdict(&job, CheckId::FloorLeft), Verdict::Pass);
    }

    fn findings(job: &Job, id: CheckId) -> Vec<String> {
        let mut tally = Tally::new();
        check(&mut tally, job, &Scene::new(job));
        check_opening(&mut tally, job);
        let check = tally.into_checks(&[id]).remove(0);
        if check.findings.is_empty() {
            return vec![check.message];
        }
        check
            .findings
            .into_iter()
            .map(|found| found.message)
            .collect()
    }

    #[track_caller]
    fn finds(job: &Job, id: CheckId, words: &str) {
        let found = findings(job, id);
        assert!(
            found.iter().any(|message| message.contains(words)),
            "{found:?}"
        );
    }

    #[test]
    fn what_passes_says_the_least_wood_there_is() {
        let job = sample::job();
        assert_eq!(
            findings(&job, CheckId::WallLeft),
            ["at least 3.45 mm of wood beside every pocket, wanted 3 mm"]
        );
        assert_eq!(
            findings(&job, CheckId::FloorLeft),
            ["at least 5.60 mm of wood under every pocket, wanted 3 mm"]
        );
    }

    #[test]
    fn as_much_wood_as_wanted_is_enough() {
        let mut job = sample::job();
        for (inside, expected) in [
            (3.0, Verdict::Pass),
            (2.999, Verdict::Warn),
            (1.0, Verdict::Warn),
            (0.999, Verdict::Fail),
        ] {
            job.parts[0].across = mm(3.45 + 10.1 + inside);
            assert_eq!(verdict(&job, CheckId::WallLeft), expected, "{inside}");
        }
        finds(
            &job,
            CheckId::WallLeft,
            "1.00 mm of wood left to the inside face at box pocket 1",
        );
    }

    /// Half of a screw's 3.17 mm and 1.5 mm of wood are 3.085 mm.
    #[test]
    fn screws_and_holes_keep_from_faces_ends_and_floors() {
        let mut job = sample::job();
        for (u, v) in [
            (65.0, 3.085),
            (65.0, 180.0 - 3.085),
            (3.085, 40.0),
            (260.0 - 3.085, 40.0),
        ] {
            job.parts[1].pockets[0].screws = vec![screw(u, v)];
            finds(
                &job,
                CheckId::WallLeft,
                "1.50 mm of wood left beside a screw of lid pocket 1",
            );
        }
        job.parts[1].pockets[0].screws = vec![screw(60.5, 8.5)];
        finds(
            &job,
            CheckId::WallLeft,
            "0.37 mm of wood left between a screw and the deeper step of lid pocket 1",
        );
        job.parts[1].pockets[0].screws = vec![screw(65.0, 8.5)];
        job.parts[1].below = mm(14.0);
        finds(
            &job,
            CheckId::FloorLeft,
            "1.80 mm of wood left under a screw tip of lid pocket 1",
        );
        job.parts[1].pockets[0].holes = vec![hole(2.0)];
        finds(
            &job,
            CheckId::FloorLeft,
            "0.30 mm of wood left under a screw hole of lid pocket 1",
        );
    }

    fn hole(diameter: f64) -> Hole {
        Hole {
            center: Point::from_mm(65.0, 8.5),
            diameter: mm(diameter),
            from: mm(4.7),
            tip: mm(13.7),
            point_height: mm(0.6),
        }
    }

    /// A root of 2.1 mm wants 1.47 mm in softwood and 1.89 mm in all else, 0.42 mm more or less.
    #[test]
    fn lead_holes_follow_the_root_and_the_wood() {
        let mut job = sample::job();
        for (family, least, most) in [
            (Family::Softwood, 1.05, 1.89),
            (Family::Hardwood, 1.47, 2.31),
            (Family::Plywood, 1.47, 2.31),
            (Family::Fibreboard, 1.47, 2.31),
        ] {
            job.parts[1].wood.family = family;
            job.parts[1].pockets[0].screws = vec![screw(65.0, 8.5)];
            for (diameter, expected) in [
                (least - 0.01, Verdict::Warn),
                (least + 0.01, Verdict::Pass),
                (most - 0.01, Verdict::Pass),
                (most + 0.01, Verdict::Warn),
            ] {
                job.parts[1].pockets[0].holes = vec![hole(diameter)];
                assert_eq!(verdict(&job, CheckId::WallLeft), expected, "{diameter}");
            }
        }
        // A hole elsewhere is no lead hole of this screw.
        job.parts[1].pockets[0].holes[0].center.y += 0.02;
        assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
    }

    #[test]
    fn neighbours_are_measured_rectangle_to_rectangle() {
        let mut job = sample::job();
        for part in &mut job.parts {
            part.pockets[1].center.x = 45.0 + 44.1 + 1.5;
        }
        let words = "1.50 mm of wood left between neighbouring cuts of the lid at hinge 1";
        finds(&job, CheckId::WallLeft, words);
        // 1.2 mm along and 1.6 mm across.
        for part in &mut job.parts {
            part.pockets[1].center.x = 45.0 + 44.1 + 1.2;
            part.pockets[1].center.y = 8.5 + 10.1 + 1.6;
        }
        let words = "2.00 mm of wood left between neighbouring cuts of the lid at hinge 1";
        finds(&job, CheckId::WallLeft, words);
    }

    #[test]
    fn the_opening_is_twice_the_setback_and_the_overhang() {
        let mut job = sample::job();
        job.hinge.overhang_or_drop = mm(0.5);
        job.hinge.open_gap = Some(mm(7.5));
        assert_eq!(
            findings(&job, CheckId::Opening),
            ["the leaves stand 7.50 mm apart of 7.50 mm that open flat"]
        );
        job.hinge.open_gap = Some(mm(7.49));
        finds(&job, CheckId::Opening, "the leaves stand 7.50 mm apart");
        assert_eq!(verdict(&job, CheckId::Opening), Verdict::Warn);
    }

    /// The far end at 260 is the nearer: 260 - 225 - 2 - 22.05; at the near
    /// one a shift of -2 counts: 45 - 2 - 22.05.
    #[test]
    fn wood_at_the_end_is_from_the_shifted_step_to_the_nearer_end() {
        let mut job = sample::job();
        let pocket = &mut job.parts[0].pockets[1];
        pocket.center.x = 225.0;
        pocket.steps[0].shift = mm(2.0);
        let left = wood_left(&job.parts[0], &job.parts[0].pockets[1]);
        assert!((left.end.as_mm() - 10.95).abs() < 1e-9);
        job.parts[0].pockets[0].steps[0].shift = mm(-2.0);
        let left = wood_left(&job.parts[0], &job.parts[0].pockets[0]);
        assert!((left.end.as_mm() - 20.95).abs() < 1e-9);
    }

    #[test]
    fn no_wood_at_all_is_not_yet_a_way_through() {
        let mut job = sample::job();
        job.parts[1].below = mm(12.4);
        finds(
            &job,
            CheckId::FloorLeft,
            "0.00 mm of wood left under lid pocket 1, at least 1 mm",
        );
        job.parts[1].below = mm(12.39);
        finds(
            &job,
            CheckId::FloorLeft,
            "lid pocket 1 cuts through the lid by 0.01 mm",
        );
    }

    /// Half of a drill's 3 mm and 1.5 mm of wood are 3 mm; the deeper step,
    /// shifted by 2 mm, ends at 45 + 2 + 13.55 = 60.55.
    #[test]
    fn a_hole_without_a_screw_keeps_from_faces_and_the_deeper_step_too() {
        let mut job = sample::job();
        job.parts[1].pockets[0].steps[1].shift = mm(2.0);
        let mut at = |u: f64, v: f64, words: &str| {
            job.parts[1].pockets[0].holes = vec![Hole {
                center: Point::from_mm(u, v),
                ..hole(3.0)
            }];
            finds(&job, CheckId::WallLeft, words);
        };
        let beside = "1.50 mm of wood left beside a screw hole of lid pocket 1";
        at(66.0, 3.0, beside);
        at(3.0, 40.0, beside);
        let between = "0.95 mm of wood left between a screw hole and the deeper step";
        at(63.0, 8.5, between);
    }

    /// A hole that starts on the deeper step's floor has no deeper step beside it.
    #[test]
    fn a_hole_in_the_deepest_step_has_no_wall_to_it() {
        let mut job = sample::job();
        job.parts[1].pockets[0].holes = vec![Hole {
            center: Point::from_mm(45.0, 8.5),
            from: mm(12.4),
            tip: mm(14.0),
            ..hole(3.0)
        }];
        assert_eq!(verdict(&job, CheckId::WallLeft), Verdict::Pass);
    }

    /// Near the zero of X, where the one end is many times the other.
    #[test]
    fn neighbours_are_told_by_their_distance_wherever_they_lie() {
        let scene = Scene::new(&sample::job());
        let gap = |end: f64, begin: f64| {
            let mut sites = [scene.sites[2].clone(), scene.sites[3].clone()];
            (sites[0].min[0], sites[0].max[0]) = (end - 40.0, end);
            (sites[1].min[0], sites[1].max[0]) = (begin, begin + 40.0);
            let mut judgement = Judgement::default();
            neighbours(
                &mut judgement,
                3.0,
                &scene.boards[1],
                &sites[0],
                &sites[1..],
            );
            judgement.least(CheckId::WallLeft)
        };
        assert_eq!(gap(0.5, 2.0), 1.5);
        assert_eq!(gap(-2.0, -0.5), 1.5);
        // As much as is wanted is not looked at.
        assert_eq!(gap(0.5, 3.5), f64::INFINITY);
        assert_eq!(gap(60.0, 63.25), f64::INFINITY);
    }
}
