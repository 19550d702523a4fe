//! `fold-match`: the replayed lid folded onto the replayed box.
//!
//! What was really cut is measured from the moves: at each step's floor the
//! extent of everything the bit swept there, whose middle is where the leaf
//! or the body will sit.

use std::collections::BTreeMap;

use crate::geometry::Point;
use crate::job::{Closing, Job, Part, PartName, Pocket};
use crate::report::CheckId;
use crate::units::ruler::Ruler;
use crate::verify::checks::check::{Check, Place, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::job_context::JobContext;
use crate::verify::material::pocket_stock::PocketStock;
use crate::verify::material::residual::BAND;
use crate::verify::scene::{Board, Site};

/// How far the two may miss each other, in millimetres (contract).
const MISS: f64 = 0.02;

/// The record of moves is in single precision and good to this, in millimetres.
const ROUNDED: f64 = 1e-4;

/// The middle of what was cut at a step's floor, in the part's own (u, v).
fn cut_middle(ground: &PocketStock, board: &Board, depth: f64) -> Option<[f64; 2]> {
    let mut min = [f64::INFINITY; 2];
    let mut max = [f64::NEG_INFINITY; 2];
    let floor = board.top - depth + BAND;
    for cut in ground.cuts().filter(|cut| cut.tip.point == 0.0) {
        let Some((first, last)) = cut.segment.between_heights(f64::NEG_INFINITY, floor) else {
            continue;
        };
        let extent = cut.segment.part(first, last).extent();
        for axis in 0..2 {
            min[axis] = min[axis].min(extent.min[axis] - cut.tip.radius);
            max[axis] = max[axis].max(extent.max[axis] + cut.tip.radius);
        }
    }
    let middle = |axis: usize| f64::midpoint(min[axis], max[axis]);
    (min[0] <= max[0]).then(|| board.frame.to_part(middle(0), middle(1)))
}

/// One part's side of the fold.
struct Side<'a> {
    job: &'a Job,
    part: &'a Part,
    board: &'a Board,
    sites: &'a [Site],
    grounds: &'a [PocketStock],
    /// Where each hinge's site is in the list.
    numbers: BTreeMap<usize, usize>,
}

impl<'a> Side<'a> {
    fn of(shop: &'a JobContext<'_>, name: PartName) -> Option<Self> {
        let part = shop.job.part(name)?;
        let board = shop.scene.boards.iter().find(|board| board.name == name)?;
        let sites = &shop.scene.sites[board.sites.clone()];
        let numbers = sites.iter().enumerate();
        Some(Self {
            job: shop.job,
            part,
            board,
            sites,
            numbers: numbers
                .map(|(number, site)| (site.hinge(), number))
                .collect(),
            grounds: &shop.grounds[board.sites.clone()],
        })
    }

    /// Where step `index` of a pocket was cut, corrections and the step's own
    /// shift taken off.
    fn landed(&self, pocket: &Pocket, index: usize) -> Option<Point> {
        let number = *self.numbers.get(&pocket.hinge)?;
        let depth = self.sites[number].steps.get(index)?.depth;
        let [u, v] = cut_middle(&self.grounds[number], self.board, depth)?;
        Some(Point::from_mm(
            u - self.correction_u(pocket) - pocket.steps[index].shift.as_mm(),
            v - self.part.correction_v.as_mm(),
        ))
    }

    fn correction_u(&self, pocket: &Pocket) -> f64 {
        self.job.correction_u(self.part, pocket.hinge).as_mm()
    }

    fn wanted(&self, pocket: &Pocket) -> Point {
        Point::from_mm(
            pocket.center.x - self.correction_u(pocket),
            pocket.center.y - self.part.correction_v.as_mm(),
        )
    }
}

/// What was folded closed, over all positions: each step on the part's own
/// face, wherever the part lay when it was cut.
#[derive(Debug, Default)]
pub(crate) struct FoldMatch {
    steps: usize,
    worst: f64,
}

impl Check for FoldMatch {
    const ID: CheckId = CheckId::FoldMatch;

    fn place(&mut self, place: &Place<'_>, found: &mut Found<'_>) {
        self.fold(place.shop, found);
    }

    fn answer(&mut self, whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        let parts = |job: &Job| [PartName::Box, PartName::Lid].map(|name| job.part(name).is_some());
        let Some(job) = whole
            .shop
            .map(|shop| shop.job)
            .filter(|job| parts(job) == [true; 2])
        else {
            let plate = whole.shop.and_then(|shop| shop.job.part(PartName::Plate));
            return Answer::DoesNotApply(match plate {
                Some(_) => "a plate has nothing to fold onto",
                None => "a scrap has nothing to fold onto",
            });
        };
        let Self { steps, worst } = *self;
        if job.selection.part.is_some() {
            return Answer::DoesNotApply("only one part is cut in this run");
        }
        if steps == 0 {
            return Answer::DoesNotApply("no step is cut to its floor in both parts");
        }
        Answer::Passes(format!(
            "{steps} step{} folded closed, the worst {} off, at most {}",
            if steps == 1 { "" } else { "s" },
            whole.ruler.one(worst, 3),
            whole.ruler.limit(MISS)
        ))
    }
}

impl FoldMatch {
    /// Folds the lid onto the box where the position's hinges are.
    fn fold(&mut self, shop: &JobContext<'_>, found: &mut Found<'_>) {
        let job = shop.job;
        let (Some(of_box), Some(of_lid)) =
            (Side::of(shop, PartName::Box), Side::of(shop, PartName::Lid))
        else {
            return;
        };
        if job.selection.part.is_some() {
            return;
        }
        let hinge = job.selection.hinge;
        for pocket in &of_box.part.pockets {
            let selected = hinge.is_none_or(|hinge| hinge == pocket.hinge)
                && shop
                    .position
                    .is_none_or(|position| position.holds(pocket.hinge));
            let (Some(lid_pocket), true) = (of_lid.part.pocket(pocket.hinge), selected) else {
                continue;
            };
            let steps = pocket.steps.len().min(lid_pocket.steps.len());
            for index in 0..steps {
                if job.selection.step.is_none_or(|step| step == index + 1) {
                    self.step((&of_box, pocket), (&of_lid, lid_pocket), index, found);
                }
            }
        }
    }

    fn step(
        &mut self,
        (of_box, box_pocket): (&Side<'_>, &Pocket),
        (of_lid, lid_pocket): (&Side<'_>, &Pocket),
        index: usize,
        found: &mut Found<'_>,
    ) {
        let landed = of_box
            .landed(box_pocket, index)
            .zip(of_lid.landed(lid_pocket, index));
        let Some((on_box, on_lid)) = landed else {
            return;
        };
        let job = of_lid.job;
        let ruler = Ruler::new(job.units);
        self.steps += 1;
        let miss = missed(job, of_lid, on_box, on_lid);
        let most = miss.x.abs().max(miss.y.abs());
        self.worst = self.worst.max(most);
        if most > MISS + ROUNDED {
            let hinge = box_pocket.hinge;
            found.fail(|| {
                format!(
                    "hinge {hinge}, step {}: folded closed the lid's pocket lies {} along \
                     and {} across from the box's, at most {}; correct the zero or the coordinates",
                    index + 1,
                    ruler.signed(miss.x, 3),
                    ruler.signed(miss.y, 3),
                    ruler.limit(MISS)
                )
            });
        }
    }
}

/// How far the lid's pocket lies from the box's when closed, along and across.
///
/// Along: both parts count u from the same physical end, the lid from its own.
/// Across: an overlay lid's outside face lies `overhang` past the box's, an
/// inset lid's show face `drop` below the rim.
fn missed(job: &Job, of_lid: &Side<'_>, on_box: Point, on_lid: Point) -> Point {
    let inset = end_inset(job, of_lid);
    let offset = job.hinge.overhang_or_drop.as_mm();
    let across = match job.closing {
        Closing::Overlay => (on_lid.y - offset) - on_box.y,
        Closing::Inset => on_lid.y - (on_box.y - offset),
    };
    Point::from_mm(on_lid.x + inset - on_box.x, across)
}

/// From the box's stop end to the lid's.
fn end_inset(job: &Job, of_lid: &Side<'_>) -> f64 {
    of_lid
        .part
        .pockets
        .iter()
        .find_map(|pocket| {
            let center = job.hinge.centers.get(pocket.hinge.checked_sub(1)?)?;
            Some(center.as_mm() - of_lid.wanted(pocket).x)
        })
        .unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::settings;
    use crate::units::Length;

    /// The lid's stop end lies 2 mm past the box's, and the lid is moved by
    /// 0.3 mm along and 0.1 mm across by its corrections.
    #[test]
    fn the_lid_is_folded_by_its_own_end_and_face() {
        let mm = Length::from_mm;
        let mut job = sample::job();
        for pocket in &mut job.parts[1].pockets {
            pocket.center.x += 0.3 - 2.0;
            pocket.center.y += 0.1;
        }
        job.parts[1].correction_u = mm(0.3);
        job.parts[1].correction_v = mm(0.1);
        let settings = settings::for_job(&job);
        let shop = JobContext::new(&job, &settings);
        let lid = Side::of(&shop, PartName::Lid).unwrap();
        assert!((end_inset(&job, &lid) - 2.0).abs() < 1e-9);
        let wanted = lid.wanted(&job.parts[1].pockets[1]);
        assert!((wanted.x - 213.0).abs() < 1e-9 && (wanted.y - 8.5).abs() < 1e-9);
        let missed = |closing, on_box: [f64; 2], on_lid: [f64; 2]| {
            let mut job = job.clone();
            job.closing = closing;
            job.hinge.overhang_or_drop = mm(0.5);
            let [on_box, on_lid] = [on_box, on_lid].map(|[u, v]| Point::from_mm(u, v));
            let miss = missed(&job, &lid, on_box, on_lid);
            [miss.x, miss.y].map(|miss| (miss * 1e6).round() / 1e6)
        };
        // An overlay lid hangs 0.5 mm over; an inset lid lies 0.5 mm down in the box.
        assert_eq!(
            missed(Closing::Overlay, [45.0, 8.5], [43.0, 9.0]),
            [0.0, 0.0]
        );
        assert_eq!(missed(Closing::Inset, [45.0, 9.0], [43.0, 8.5]), [0.0, 0.0]);
        assert_eq!(
            missed(Closing::Overlay, [45.0, 8.5], [43.2, 9.1]),
            [0.2, 0.1]
        );
        assert_eq!(
            missed(Closing::Inset, [45.0, 9.0], [42.9, 8.7]),
            [-0.1, 0.2]
        );
    }

    /// Slots of a bit of 6 mm in the lid: to 4.7 mm from X 28 to 62, to
    /// 12.4 mm from X 40 to `end`, along Y 14.6.
    fn slotted(job: &Job, settings: &crate::cutting::Settings, end: f64, depth: f64) -> [f64; 2] {
        let mut shop = JobContext::new(job, settings);
        let tip = crate::replay::tip::Tip {
            radius: 3.0,
            point: 0.0,
        };
        for (from, to, depth) in [(28.0, 62.0, 4.7), (40.0, end, depth)] {
            let segment =
                crate::replay::segment::Segment::line([from, 14.6, -depth], [to, 14.6, -depth]);
            shop.grounds[2].cut(&shop.scene.sites[2], 0.0, &segment, tip, shop.allowance);
        }
        let lid = Side::of(&shop, PartName::Lid).unwrap();
        let landed = lid.landed(&job.parts[1].pockets[0], 1);
        landed.map_or([f64::NAN; 2], |point| [point.x, point.y])
    }

    /// Its middle, less the corrections of 0.3 and 0.1 mm and the step's own
    /// shift of 2 mm; the shallow slot has no part in it.
    #[test]
    fn a_step_has_landed_where_the_middle_of_its_floor_is() {
        let mm = Length::from_mm;
        let mut job = sample::job();
        job.parts[1].correction_u = mm(0.3);
        job.parts[1].correction_v = mm(0.1);
        job.parts[1].pockets[0].steps[1].shift = mm(2.0);
        let settings = settings::for_job(&job);
        let landed = |end, depth| slotted(&job, &settings, end, depth);
        for (end, depth) in [(54.6, 12.4), (54.6, 12.385)] {
            let [u, v] = landed(end, depth);
            assert!((u - 45.0).abs() < 1e-5 && (v - 8.5).abs() < 1e-5, "{u} {v}");
        }
        assert!((landed(54.8, 12.4)[0] - 45.1).abs() < 1e-5);
        // 0.03 mm above the floor is not on it.
        assert!(landed(54.6, 12.37)[0].is_nan());
    }
}
