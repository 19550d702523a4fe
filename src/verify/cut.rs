//! What a move does to wood and fixture: gouges, rapids, bites, ramps,
//! plunges, loads, contact.

use crate::cutting;
use crate::replay::leg::Leg;
use crate::replay::stock::Tip;
use crate::report::CheckId;
use crate::rs274::event::{Move, Path, Turning};
use crate::verify::court::Court;
use crate::verify::gouge;
use crate::verify::ground::Bite;
use crate::verify::layout::{Board, Scene, Site, SolidKind};
use crate::verify::load::{self, Taking};
use crate::verify::residual::BAND;
use crate::verify::run::{Contact, Obstacle, Run};
use crate::verify::solid::{self, TOUCH, Turned};
use crate::verify::tool::Tool;
use crate::verify::travel::last_digit;

/// Wood outside the wanted shape that is no gouge yet, in millimetres (contract).
const GOUGE: f64 = 0.02;

/// Straight down into more wood than this is a plunge, in millimetres (contract).
const PLUNGE: f64 = 0.02;

/// Wood lower than this is the rounding of coordinates, in millimetres.
const NO_WOOD: f64 = 0.005;

/// A bit may be this close to a wall without touching it, in millimetres.
const BESIDE: f64 = 0.02;

impl Court<'_> {
    /// Judges a move against the fixture and the wood, and takes the wood away.
    pub(crate) fn cut(&mut self, motion: &Move, leg: &Leg) {
        let (Some(shop), Some(tool)) = (&self.shop, self.run.tool.clone()) else {
            return;
        };
        let boards = shop.scene.boards.len();
        self.check_solids(leg, motion.path == Path::Rapid, &tool.turned);
        for index in 0..boards {
            self.cut_board(motion, leg, &tool, index);
        }
        if leg.to[2] > leg.from[2] {
            self.run.peck = 0.0;
        }
    }

    fn check_solids(&mut self, leg: &Leg, is_rapid: bool, turned: &[Turned]) {
        let Some(shop) = &self.shop else {
            return;
        };
        if leg.lowest() >= shop.scene.highest {
            return;
        }
        for solid in &shop.scene.solids {
            let touches = turned.iter().filter_map(|part| {
                let overlap = solid::overlap(leg, is_rapid, part, solid);
                (overlap > TOUCH).then_some((part.name, overlap))
            });
            let worst = touches.reduce(|worst, next| if next.1 > worst.1 { next } else { worst });
            let Some((part, overlap)) = worst else {
                continue;
            };
            let id = match solid.kind {
                SolidKind::Fixture => CheckId::NutClearance,
                SolidKind::Clamp => CheckId::ClampClearance,
            };
            let obstacle = Obstacle::Solid(solid.name.clone());
            self.run.touch(id, obstacle, part, overlap);
        }
    }

    /// Says once for each obstacle what ran into it.
    pub(crate) fn tell_contacts(&mut self) {
        let end = self.run.line;
        for contact in std::mem::take(&mut self.run.contacts) {
            let worst = self.ruler.both(contact.worst, 2);
            self.run.line = contact.first_line;
            self.fail(contact.id, || contact.words(&worst));
        }
        self.run.line = end;
    }

    fn cut_board(&mut self, motion: &Move, leg: &Leg, tool: &Tool, index: usize) {
        let tip = tool.tip;
        let Some(shop) = &self.shop else {
            return;
        };
        let board = &shop.scene.boards[index];
        if leg.lowest() >= board.top || !is_over(leg, tip.radius, board) {
            return;
        }
        let site = shop.scene.site_of(board, leg);
        if motion.path == Path::Rapid {
            self.check_rapid(leg, tip, index, site);
        }
        self.check_wood_above_edge(leg, index, site, &tool.turned);
        let gouged = self.check_gouge(leg, tip, index, site);
        let bite = self.take_wood(leg, tip, index, site, gouged);
        if motion.path == Path::Rapid {
            self.close_lap();
            return;
        }
        self.follow_lap(motion, leg, tip, site);
        if bite.whole > NO_WOOD {
            self.run.has_cut = true;
            self.judge_bite(motion, leg, tool, index, site, bite);
        }
    }

    /// A rapid with its whole bounding box: each axis at its own speed.
    fn check_rapid(&mut self, leg: &Leg, tip: Tip, index: usize, site: Option<usize>) {
        let Some(shop) = &mut self.shop else {
            return;
        };
        let top = shop.scene.boards[index].top;
        let depth = top - leg.lowest();
        if depth <= NO_WOOD || in_own_hole(shop, leg, tip, site, depth) {
            return;
        }
        let extent = leg.extent();
        let (min, max) = (
            [extent.min[0], extent.min[1]],
            [extent.max[0], extent.max[1]],
        );
        let reach = tip.radius - BESIDE;
        let board = &shop.scene.boards[index];
        if (0..2).any(|axis| {
            max[axis] + reach <= board.min[axis] || min[axis] - reach >= board.max[axis]
        }) {
            return;
        }
        let inside = site.filter(|&site| shop.scene.sites[site].holds(min, max, reach));
        let standing = inside.map_or(depth, |number| {
            shop.visit(number);
            let allowance = shop.allowance;
            let site = &shop.scene.sites[number];
            let stock = shop.grounds[number].stock(site, top, allowance);
            stock
                .highest_wood(min, max, reach)
                .map_or(0.0, |cut| depth - f64::from(cut))
        });
        if standing > NO_WOOD {
            let standing = self.ruler.both(standing, 3);
            self.fail(CheckId::RapidInWood, || {
                format!(
                    "a rapid meets wood that stands {standing} above the tip; \
                     lift first, or use G1"
                )
            });
        }
    }

    /// Shank, nut or nose against wood that still stands beside the bit.
    fn check_wood_above_edge(
        &mut self,
        leg: &Leg,
        index: usize,
        site: Option<usize>,
        turned: &[Turned],
    ) {
        for part in &turned[1..] {
            let Some(shop) = &mut self.shop else {
                return;
            };
            let board = &shop.scene.boards[index];
            let top = board.top;
            let depth = top - leg.lowest() - part.above_tip;
            if depth <= TOUCH || !is_over(leg, part.radius - BESIDE, board) {
                continue;
            }
            let reach = part.radius - BESIDE;
            let extent = leg.extent();
            let (min, max) = (
                [extent.min[0], extent.min[1]],
                [extent.max[0], extent.max[1]],
            );
            let inside = site.filter(|&site| shop.scene.sites[site].holds(min, max, reach));
            let standing = inside.map_or(depth, |number| {
                shop.visit(number);
                let allowance = shop.allowance;
                let site = &shop.scene.sites[number];
                let stock = shop.grounds[number].stock(site, top, allowance);
                stock
                    .highest_beside(leg, reach)
                    .map_or(0.0, |cut| depth - f64::from(cut))
            });
            if standing > BESIDE {
                let hinge = site.map(|number| shop.scene.sites[number].hinge);
                let obstacle = Obstacle::Wood(shop.scene.boards[index].name, hinge);
                self.run
                    .touch(CheckId::NutClearance, obstacle, part.name, standing);
            }
        }
    }

    /// `pocket-bounds`; tells whether wood beyond the wanted shape is taken.
    fn check_gouge(&mut self, leg: &Leg, tip: Tip, index: usize, site: Option<usize>) -> bool {
        let Some(shop) = &mut self.shop else {
            return false;
        };
        let board = &shop.scene.boards[index];
        let wanted = site.map(|number| &shop.scene.sites[number]);
        let booked = site.or_else(|| shop.scene.nearest_site(board, leg));
        let known = booked.map_or(0.0, |number| shop.grounds[number].gouge);
        let fails = gouge::exceeds(leg, tip, board, wanted, GOUGE);
        if !fails && !gouge::exceeds(leg, tip, board, wanted, known) {
            return false;
        }
        let deepest = gouge::deepest(leg, tip, board, wanted, if fails { GOUGE } else { known });
        if let Some(number) = booked {
            let ground = &mut shop.grounds[number];
            ground.gouge = ground.gouge.max(deepest);
        }
        if fails {
            let name = board.name;
            let what = match wanted {
                Some(site) if site.allowed == 0 => "in a pocket that this run does not cut",
                Some(_) => "beyond the wanted pocket",
                None => "away from every pocket",
            };
            let ruler = self.ruler;
            self.fail(CheckId::PocketBounds, || {
                format!(
                    "cuts {} into the {name} {what}, at most {}; correct the coordinates",
                    ruler.both(deepest, 3),
                    ruler.limit(GOUGE)
                )
            });
        }
        fails
    }

    fn take_wood(
        &mut self,
        leg: &Leg,
        tip: Tip,
        index: usize,
        site: Option<usize>,
        gouged: bool,
    ) -> Bite {
        let Some(shop) = &mut self.shop else {
            return Bite::default();
        };
        let top = shop.scene.boards[index].top;
        let Some(number) = site else {
            return if gouged {
                Bite::solid(top - leg.lowest())
            } else {
                Bite::default()
            };
        };
        shop.visit(number);
        let allowance = shop.allowance;
        let site = &shop.scene.sites[number];
        let ground = &mut shop.grounds[number];
        let mut bite = ground.cut(site, top, leg, tip, allowance);
        if gouged && bite.whole <= NO_WOOD {
            bite = Bite::solid(GOUGE);
        }
        if tip.point == 0.0 && bite.whole > NO_WOOD {
            self.run.cut_in.insert(number);
        }
        bite
    }

    fn judge_bite(
        &mut self,
        motion: &Move,
        leg: &Leg,
        tool: &Tool,
        index: usize,
        site: Option<usize>,
        bite: Bite,
    ) {
        let Some(shop) = &self.shop else {
            return;
        };
        let Tool { bit, limits, .. } = tool;
        let limits = &limits[index];
        let board = &shop.scene.boards[index];
        let began = self.wood_met_at(leg, board.top);
        let depth = board.top - leg.lowest();
        self.check_spindle(motion, began);
        if self.run.length_pending {
            self.fail(CheckId::Preamble, || {
                "a cut after M6 without G43; take the new tool's length first".to_owned()
            });
        }
        let ruler = self.ruler;
        let length = leg.level_length();
        let drop = leg.from[2] - leg.to[2];
        let is_plunge = length < 1e-6 && drop > 0.0;
        if is_plunge && bite.whole > PLUNGE && !bit.may_plunge() {
            self.fail(CheckId::Plunge, || {
                format!(
                    "straight down into {} of wood, and `{}` does not plunge; ramp in",
                    ruler.both(bite.whole, 3),
                    bit.name
                )
            });
        }
        let digit = last_digit(motion);
        if !(is_plunge && bit.may_plunge()) {
            self.seen.ramps += u64::from(drop > 0.0);
            let allowed = length * limits.ramp.as_radians().tan() + 1.5 * digit;
            if drop > allowed {
                let found = drop.atan2(length).to_degrees();
                self.fail(CheckId::RampAngle, || {
                    format!(
                        "down {} over {}, {found:.2} degrees, at most {:.2}; ramp more gently",
                        ruler.one(drop, 3),
                        ruler.one(length, 3),
                        limits.ramp.as_degrees()
                    )
                });
            }
        }
        self.check_stepdown(bit, limits, &bite, digit);
        self.check_reach(bit, depth, index, site);
        let taking = Taking {
            bit,
            board: index,
            limits,
            fresh: &tool.fresh[index],
            ruler,
            bite,
            length,
            feed: motion.feed.as_mm_per_minute(),
            speed: self.spindle_speed(),
        };
        self.check_load(&taking);
    }

    fn check_spindle(&mut self, motion: &Move, began: f64) {
        let speed = self.spindle_speed();
        let spindle = self.run.spindle;
        match spindle.turning {
            Turning::Stopped => self.fail(CheckId::SpindleOn, || {
                "wood is taken with the spindle off; start it with M3 before".to_owned()
            }),
            Turning::Clockwise if speed <= 0.0 => self.fail(CheckId::SpindleOn, || {
                "wood is taken with M3 but no speed set; give an S word".to_owned()
            }),
            Turning::Clockwise if began < spindle.ready_at - 1e-6 => {
                let early = spindle.ready_at - began;
                self.fail(CheckId::SpindleOn, || {
                    format!(
                        "wood is taken {early:.1} s before the spindle is up to speed; \
                         dwell (G4) after M3"
                    )
                });
            }
            Turning::Clockwise => {}
        }
        if motion.feed.as_mm_per_minute() <= 0.0 {
            self.fail(CheckId::SpindleOn, || {
                "wood is taken with no feed set; give an F word".to_owned()
            });
        }
    }

    /// When the bit comes below the board's face on this move, on the program's clock.
    fn wood_met_at(&self, leg: &Leg, top: f64) -> f64 {
        let below = leg.between_heights(f64::NEG_INFINITY, top);
        self.run.move_began + self.run.move_seconds * below.map_or(0.0, |(first, _)| first)
    }

    fn check_stepdown(
        &mut self,
        bit: &crate::bit::Bit,
        limits: &cutting::Limits,
        bite: &Bite,
        digit: f64,
    ) {
        let limit = limits.stepdown.as_mm();
        let slack = 1.5 * digit + 0.001;
        let is_drill = bit.kind == crate::bit::BitKind::Drill;
        let core = if is_drill {
            self.run.peck += bite.whole;
            self.run.peck
        } else {
            bite.core
        };
        self.seen.bite = self.seen.bite.max(core);
        if core > limit + slack {
            let what = if is_drill { "peck" } else { "bite" };
            let ruler = self.ruler;
            self.fail(CheckId::Stepdown, || {
                format!(
                    "a {what} of {}, at most {}; take it in more passes",
                    ruler.both(core, 3),
                    ruler.one(limit, 3)
                )
            });
        }
        let edge = bit.cutting_length.as_mm();
        if !is_drill && bite.wall > edge + slack {
            let ruler = self.ruler;
            self.fail(CheckId::Stepdown, || {
                format!(
                    "{} of wall in one pass, the cutting edge is {} long; finish in two passes",
                    ruler.both(bite.wall, 3),
                    ruler.one(edge, 3)
                )
            });
        }
    }

    fn check_reach(
        &mut self,
        bit: &crate::bit::Bit,
        depth: f64,
        index: usize,
        site: Option<usize>,
    ) {
        let (edge, shank) = (bit.cutting_length.as_mm(), bit.shank.as_mm());
        let number = site.unwrap_or(usize::MAX);
        if depth <= edge + TOUCH
            || shank < bit.cutting_diameter().as_mm()
            || self.run.short_in.contains(&number)
        {
            return;
        }
        self.run.short_in.push(number);
        let Some(shop) = &self.shop else {
            return;
        };
        let name = shop.scene.boards[index].name;
        let hinge = site.map_or(0, |number| shop.scene.sites[number].hinge);
        let ruler = self.ruler;
        self.fail(CheckId::FluteReach, || {
            format!(
                "{name} pocket {hinge} is cut {} deep with an edge of {} \
                 and a shank no thinner; take a longer bit or one with a thinner shank",
                ruler.both(depth, 2),
                ruler.one(edge, 2)
            )
        });
    }

    fn check_load(&mut self, taking: &Taking<'_>) {
        if taking.speed <= 0.0 || taking.feed <= 0.0 {
            return;
        }
        let power = self.machine.spindle.power_w;
        let Self {
            tally, run, shop, ..
        } = self;
        let Some(shop) = shop else {
            return;
        };
        let wood = &shop.scene.boards[taking.board].wood;
        let at = crate::verify::tally::At {
            file: &run.path,
            line: run.line,
        };
        load::check_chip(tally, at, taking);
        if taking.length > 1e-6 {
            run.window.add(tally, at, power, wood, taking);
        }
    }
}

impl Run {
    /// Notes that a part of the tool comes so far into an obstacle.
    fn touch(&mut self, id: CheckId, obstacle: Obstacle, part: &'static str, depth: f64) {
        let line = self.line;
        let same = |contact: &&mut Contact| contact.id == id && contact.obstacle == obstacle;
        let Some(contact) = self.contacts.iter_mut().find(same) else {
            self.contacts.push(Contact {
                id,
                obstacle,
                part,
                worst: depth,
                moves: 1,
                first_line: line,
                last_line: line,
            });
            return;
        };
        if contact.last_line != line {
            contact.moves += 1;
            contact.last_line = line;
        }
        if depth > contact.worst {
            (contact.worst, contact.part) = (depth, part);
        }
    }
}

impl Contact {
    fn words(&self, worst: &str) -> String {
        let Self {
            obstacle,
            part,
            moves,
            first_line,
            last_line,
            ..
        } = self;
        let often = match moves {
            1 => String::new(),
            _ => format!(", the worst of {moves} moves on lines {first_line} to {last_line}"),
        };
        match obstacle {
            Obstacle::Solid(name) => {
                format!("the {part} comes {worst} into the {name}{often}; move it or keep off")
            }
            Obstacle::Wood(board, hinge) => {
                let place = match hinge {
                    Some(hinge) if *hinge > 0 => format!("{board} pocket {hinge}"),
                    _ => format!("the {board}"),
                };
                format!(
                    "the {part} meets wood of {place} that stands {worst} above its lower end{often}; \
                     cut in shallower passes or chuck a longer bit"
                )
            }
        }
    }
}

/// Whether the disc comes over the board at all.
fn is_over(leg: &Leg, radius: f64, board: &Board) -> bool {
    let extent = leg.extent();
    (0..2).all(|axis| {
        extent.max[axis] + radius > board.min[axis] && extent.min[axis] - radius < board.max[axis]
    })
}

/// Whether a drill goes straight up or down in a hole it has drilled.
fn in_own_hole(
    shop: &crate::verify::court::Shop<'_>,
    leg: &Leg,
    tip: Tip,
    site: Option<usize>,
    depth: f64,
) -> bool {
    let Some(number) = site.filter(|_| tip.point > 0.0 && leg.level_length() < 1e-6) else {
        return false;
    };
    let holes = &shop.scene.sites[number].holes;
    holes
        .iter()
        .zip(&shop.grounds[number].drilled)
        .any(|(hole, &drilled)| leg.distance(hole.center) <= BAND && depth <= drilled + NO_WOOD)
}

impl Site {
    /// Whether the rectangle, grown by `reach`, lies in the site's own.
    fn holds(&self, min: [f64; 2], max: [f64; 2], reach: f64) -> bool {
        (0..2).all(|axis| {
            min[axis] - reach >= self.min[axis] - 1e-9 && max[axis] + reach <= self.max[axis] + 1e-9
        })
    }

    fn distance(&self, point: [f64; 2]) -> f64 {
        let apart = |axis: usize| {
            (self.min[axis] - point[axis])
                .max(point[axis] - self.max[axis])
                .max(0.0)
        };
        apart(0).hypot(apart(1))
    }
}

impl Scene {
    /// Sites of a board whose rectangle meets the stretch of X.
    pub(crate) fn sites_across<'a>(
        &'a self,
        board: &Board,
        low: f64,
        high: f64,
    ) -> impl Iterator<Item = usize> + 'a {
        let range = board.sites.clone();
        let sites = &self.sites[range.clone()];
        let end = sites.partition_point(|site| site.min[0] <= high);
        let start = sites.partition_point(|site| site.min[0] < low - board.widest);
        let first = range.start;
        (start..end)
            .map(move |index| first + index)
            .filter(move |&index| self.sites[index].max[0] >= low)
    }

    /// The site that a move is in: the one about its middle, or else about an end.
    fn site_of(&self, board: &Board, leg: &Leg) -> Option<usize> {
        let extent = leg.extent();
        let points = [leg.at(0.5), leg.from, leg.to].map(|point| [point[0], point[1]]);
        let met = |&index: &usize| {
            let site = &self.sites[index];
            site.min[1] <= extent.max[1] && site.max[1] >= extent.min[1]
        };
        let distance = |index: usize| -> f64 {
            let site = &self.sites[index];
            points.iter().map(|&point| site.distance(point)).sum()
        };
        self.sites_across(board, extent.min[0], extent.max[0])
            .filter(met)
            .map(|index| (distance(index), index))
            .min_by(|one, other| one.0.total_cmp(&other.0))
            .map(|(_, index)| index)
    }

    /// A site near the middle of a move, for the report.
    fn nearest_site(&self, board: &Board, leg: &Leg) -> Option<usize> {
        let middle = leg.at(0.5);
        let range = board.sites.clone();
        let after = self.sites[range.clone()].partition_point(|site| site.min[0] <= middle[0]);
        let first = range.start + after.saturating_sub(2);
        let last = (range.start + after + 2).min(range.end);
        (first..last).min_by(|&a, &b| {
            let distance = |index: usize| self.sites[index].distance([middle[0], middle[1]]);
            distance(a).total_cmp(&distance(b))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bit::BitKind;
    use crate::job::{Job, sample};
    use crate::settings;
    use crate::units::Length;
    use crate::verify::court::Shop;

    /// How often `stepdown` fails for bites in turn, the edge being 4.7 mm
    /// long, the stepdown 3 mm and the last digit a thousandth.
    fn refused(kind: BitKind, bites: &[Bite]) -> u64 {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let mut court = Court::new(&job.machine, Some(Shop::new(&job, &settings)));
        let mut bit = sample::bit(kind, 6.0);
        bit.cutting_length = Length::from_mm(4.7);
        let limits = cutting::Limits {
            stepdown: Length::from_mm(3.0),
            ..cutting::limits(&bit, &sample::walnut())
        };
        for bite in bites {
            court.check_stepdown(&bit, &limits, bite, 0.001);
        }
        court.tally.into_checks(&[CheckId::Stepdown])[0].count
    }

    fn bite(core: f64, wall: f64) -> Bite {
        Bite {
            whole: core.max(wall),
            core,
            wall,
            volume: 0.0,
        }
    }

    #[test]
    fn walls_are_as_high_as_the_edge_and_bites_no_deeper_than_the_stepdown() {
        let mill = |core, wall| refused(BitKind::UpSpiral, &[bite(core, wall)]);
        assert_eq!(mill(3.002, 0.0), 0);
        assert_eq!(mill(3.003, 0.0), 1);
        assert_eq!(mill(0.0, 4.702), 0);
        assert_eq!(mill(0.0, 4.703), 1);
        assert_eq!(mill(3.1, 4.8), 2);
    }

    #[test]
    fn a_drills_bites_add_up_to_its_peck() {
        let drill = |bites: &[Bite]| refused(BitKind::Drill, bites);
        assert_eq!(drill(&[bite(1.5, 0.0), bite(1.5, 0.0)]), 0);
        assert_eq!(drill(&[bite(1.5, 0.0), bite(1.6, 0.0)]), 1);
        assert_eq!(drill(&[bite(0.0, 2.9)]), 0);
    }

    /// The lid of the sample: pockets of 44.1 × 10.1 mm about (45, 14.5) and (215, 14.5).
    fn scene() -> Scene {
        Scene::new(&sample::job())
    }

    #[test]
    fn a_site_holds_what_lies_in_its_rectangle() {
        let scene = scene();
        let site = &scene.sites[2];
        let holds = |min, max| site.holds(min, max, 3.0);
        // 22.95 … 67.05 and 9.45 … 19.55.
        assert!(holds([25.95, 12.45], [64.05, 16.55]));
        assert!(!holds([25.94, 12.45], [64.05, 16.55]));
        assert!(!holds([25.95, 12.44], [64.05, 16.55]));
        assert!(!holds([25.95, 12.45], [64.06, 16.55]));
        assert!(!holds([25.95, 12.45], [64.05, 16.56]));
    }

    #[test]
    fn distance_to_a_site_is_to_its_rectangle() {
        let scene = scene();
        let distance = |x: f64, y: f64| scene.sites[2].distance([x, y]);
        for (x, y, expected) in [
            (45.0, 14.5, 0.0),
            (22.95 - 3.0, 9.45 - 4.0, 5.0),
            (67.05 + 3.0, 19.55 + 4.0, 5.0),
            (67.05 + 3.0, 14.5, 3.0),
            (45.0, 9.45 - 2.0, 2.0),
        ] {
            assert!((distance(x, y) - expected).abs() < 1e-9, "{x} {y}");
        }
    }

    /// A second place 10 mm past the first.
    fn crowded() -> Job {
        let mut job = sample::job();
        job.parts[1].pockets[1].center.x = 45.0 + 44.1 + 10.0;
        job
    }

    #[test]
    fn a_move_belongs_to_the_place_it_is_in() {
        let scene = Scene::new(&crowded());
        let lid = &scene.boards[1];
        let of = |from: [f64; 2], to: [f64; 2]| {
            let leg = Leg::line([from[0], from[1], -1.0], [to[0], to[1], -1.0]);
            scene.site_of(lid, &leg)
        };
        assert_eq!(of([30.0, 14.5], [60.0, 14.5]), Some(2));
        assert_eq!(of([80.0, 14.5], [110.0, 14.5]), Some(3));
        // From one to the other it is in the one that holds its middle or more of it.
        assert_eq!(of([30.0, 14.5], [80.0, 14.5]), Some(2));
        assert_eq!(of([60.0, 14.5], [110.0, 14.5]), Some(3));
        // Between the two, beyond the last and beside both.
        assert_eq!(of([70.0, 14.5], [75.0, 14.5]), None);
        assert_eq!(of([130.0, 14.5], [140.0, 14.5]), None);
        assert_eq!(of([30.0, 9.0], [60.0, 8.0]), None);
        assert_eq!(of([30.0, 20.0], [60.0, 21.0]), None);
        assert_eq!(of([30.0, 9.0], [60.0, 9.5]), Some(2));
    }

    #[test]
    fn the_nearest_place_is_told_where_a_move_is_in_none() {
        let scene = Scene::new(&crowded());
        let lid = &scene.boards[1];
        let nearest = |x: f64| {
            let leg = Leg::line([x, 30.0, -1.0], [x + 2.0, 30.0, -1.0]);
            scene.nearest_site(lid, &leg)
        };
        assert_eq!(nearest(5.0), Some(2));
        assert_eq!(nearest(69.0), Some(2));
        assert_eq!(nearest(73.0), Some(3));
        assert_eq!(nearest(200.0), Some(3));
        // The box has its own.
        let leg = Leg::line([200.0, -30.0, -1.0], [200.0, -30.0, -1.0]);
        assert_eq!(scene.nearest_site(&scene.boards[0], &leg), Some(1));
    }

    #[test]
    fn a_bit_is_over_a_board_once_its_side_is() {
        let scene = scene();
        let lid = &scene.boards[1];
        // The lid lies from X 0 to 260 and Y 6 to 186.
        let over = |x: f64, y: f64| is_over(&Leg::line([x, y, 0.0], [x, y, -1.0]), 3.0, lid);
        assert!(over(-2.9, 50.0) && !over(-3.1, 50.0));
        assert!(over(262.9, 50.0) && !over(263.1, 50.0));
        assert!(over(50.0, 3.1) && !over(50.0, 2.9));
        assert!(over(50.0, 188.9) && !over(50.0, 189.1));
        for (x, y) in [(-3.0, 50.0), (263.0, 50.0), (50.0, 3.0), (50.0, 189.0)] {
            assert!(!over(x, y), "{x} {y}");
        }
    }

    /// The lid's first place from X 24 to 68 and Y 9.5 to 19.5, without
    /// rounding, and five more, each 2 mm after the one before.
    fn row_of_places() -> Scene {
        let mut job = sample::job();
        let lid = &mut job.parts[1];
        lid.pockets[0].center.x = 46.0;
        for step in &mut lid.pockets[0].steps {
            (step.length, step.width) = (Length::from_mm(44.0), Length::from_mm(10.0));
        }
        let first = lid.pockets[0].clone();
        lid.pockets = (0..6_u8)
            .map(|number| {
                let mut pocket = first.clone();
                pocket.hinge = usize::from(number) + 1;
                pocket.center.x += f64::from(number) * 46.0;
                pocket
            })
            .collect();
        Scene::new(&job)
    }

    #[test]
    fn a_move_that_touches_a_place_belongs_to_it() {
        let scene = row_of_places();
        let lid = &scene.boards[1];
        let first = lid.sites.start;
        let across = |low, high| scene.sites_across(lid, low, high).collect::<Vec<_>>();
        assert_eq!(across(68.0, 69.0), [first]);
        assert_eq!(across(68.5, 69.5), [0; 0]);
        assert_eq!(across(68.5, 70.0), [first + 1]);
        assert_eq!(across(68.0, 70.0), [first, first + 1]);
        let at = |y: f64| {
            let leg = Leg::line([30.0, y, -1.0], [40.0, y, -1.0]);
            scene.site_of(lid, &leg)
        };
        assert_eq!([at(9.5), at(19.5)], [Some(first); 2]);
        assert_eq!([at(9.25), at(19.75)], [None; 2]);
    }

    /// Wherever the move is, also at the ends of the row.
    #[test]
    fn the_nearest_of_many_places_is_told() {
        let scene = row_of_places();
        let lid = &scene.boards[1];
        for place in 0..6_u8 {
            let x = 46.0 + f64::from(place) * 46.0;
            for x in [x - 22.5, x - 5.0, x + 5.0, x + 22.5] {
                let leg = Leg::line([x, 40.0, -1.0], [x, 40.0, -1.0]);
                let expected = lid.sites.start + usize::from(place);
                assert_eq!(scene.nearest_site(lid, &leg), Some(expected), "{x}");
            }
        }
    }

    /// A clamp from 0 to 20 and 0 to 40, 25 mm high: the bit is 2 mm in
    /// sideways, the nut as far as its lower face lies under the top.
    #[test]
    fn of_all_parts_that_run_into_a_clamp_the_worst_is_told() {
        let mut job = sample::job();
        job.fixture.clamps = vec![crate::job::Clamp {
            name: "left clamp".to_owned(),
            min: crate::geometry::Point::from_mm(0.0, 0.0),
            max: crate::geometry::Point::from_mm(20.0, 40.0),
            height: Length::from_mm(25.0),
        }];
        let settings = settings::for_job(&job);
        let part = |name, radius, above_tip| Turned {
            name,
            radius,
            above_tip,
        };
        let worst = |z: f64, parts: &[Turned]| {
            let mut court = Court::new(&job.machine, Some(Shop::new(&job, &settings)));
            let leg = Leg::line([21.0, 10.0, z], [21.0, 30.0, z]);
            court.check_solids(&leg, false, parts);
            let contact = &court.run.contacts[0];
            (contact.part, (contact.worst * 1e6).round() / 1e6)
        };
        let parts = [part("bit", 3.0, 0.0), part("nut", 10.0, 30.0)];
        assert_eq!(worst(-10.0, &parts), ("nut", 5.0));
        assert_eq!(worst(-6.0, &parts), ("bit", 2.0));
        let alike = [part("bit", 3.0, 0.0), part("shank", 3.0, 10.0)];
        assert_eq!(worst(-6.0, &alike), ("bit", 2.0));
    }

    #[test]
    fn contacts_count_moves_by_line_and_keep_the_worst() {
        let machine = sample::machine();
        let mut run = Run::new(&machine, "a.nc", None, false);
        let mut touch = |line, part, depth| {
            run.line = line;
            let obstacle = Obstacle::Solid("fence".to_owned());
            run.touch(CheckId::NutClearance, obstacle, part, depth);
            let contact = &run.contacts[0];
            (
                contact.part,
                contact.worst,
                contact.moves,
                contact.last_line,
            )
        };
        assert_eq!(touch(4, "shank", 1.0), ("shank", 1.0, 1, 4));
        assert_eq!(touch(4, "nut", 1.0), ("shank", 1.0, 1, 4));
        assert_eq!(touch(7, "bit", 0.5), ("shank", 1.0, 2, 7));
        assert_eq!(touch(8, "nut", 1.5), ("nut", 1.5, 3, 8));
    }

    #[test]
    fn a_contact_is_told_with_its_place_and_how_often() {
        let words = |obstacle, moves| {
            let contact = Contact {
                id: CheckId::NutClearance,
                obstacle,
                part: "nut",
                worst: 1.0,
                moves,
                first_line: 4,
                last_line: 9,
            };
            contact.words("1.00 mm")
        };
        let fence = || Obstacle::Solid("fence".to_owned());
        assert_eq!(
            words(fence(), 1),
            "the nut comes 1.00 mm into the fence; move it or keep off"
        );
        assert_eq!(
            words(fence(), 2),
            "the nut comes 1.00 mm into the fence, the worst of 2 moves on lines 4 to 9; \
             move it or keep off"
        );
        let wood = |hinge| words(Obstacle::Wood(crate::job::PartName::Lid, hinge), 1);
        assert!(
            wood(Some(2)).starts_with("the nut meets wood of lid pocket 2 that stands 1.00 mm")
        );
        // A tick has no number.
        for hinge in [Some(0), None] {
            assert!(wood(hinge).starts_with("the nut meets wood of the lid that stands"));
        }
    }

    /// A hole at (63, 14.5) of the lid, drilled 9 mm deep.
    #[test]
    fn only_a_drill_goes_straight_down_the_hole_it_has_drilled() {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let mut shop = Shop::new(&job, &settings);
        shop.scene.sites[2].holes.push(crate::verify::layout::Bore {
            center: [63.0, 14.5],
            radius: 1.25,
            tip: 13.7,
            point: 0.75,
        });
        shop.grounds[2].drilled = vec![9.0];
        let own = |from: [f64; 2], to: [f64; 2], point: f64, depth: f64| {
            let leg = Leg::line([from[0], from[1], 5.0], [to[0], to[1], -depth]);
            let tip = Tip {
                radius: 1.25,
                point,
            };
            in_own_hole(&shop, &leg, tip, Some(2), depth)
        };
        let at = |x: f64| [x, 14.5];
        assert!(own(at(63.0), at(63.0), 0.75, 9.004));
        assert!(!own(at(63.0), at(63.0), 0.75, 9.006));
        assert!(!own(at(63.0), at(63.0), 0.0, 9.0));
        assert!(own(at(63.019), at(63.019), 0.75, 9.0));
        assert!(!own(at(63.021), at(63.021), 0.75, 9.0));
        assert!(!own(at(63.0), at(63.01), 0.75, 9.0));
        let leg = Leg::line([63.0, 14.5, 5.0], [63.0, 14.5, -9.0]);
        let tip = Tip {
            radius: 1.25,
            point: 0.75,
        };
        assert!(!in_own_hole(&shop, &leg, tip, None, 9.0));
    }

    /// At speed from 2 s on.
    #[test]
    fn wood_is_met_once_the_spindle_is_up_to_speed() {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let fails = |began: f64| {
            let mut court = Court::new(&job.machine, Some(Shop::new(&job, &settings)));
            court.run.spindle = crate::verify::run::SpindleState {
                turning: Turning::Clockwise,
                speed: 12_000.0,
                ready_at: 2.0,
            };
            let motion = Move {
                from: [Some(0.0); 3],
                to: [Some(0.0); 3],
                named: [false; 3],
                path: Path::Line,
                feed: crate::units::Feed::from_mm_per_minute(600.0),
                machine_frame: false,
                resolution: 0.001,
            };
            court.check_spindle(&motion, began);
            court.tally.into_checks(&[CheckId::SpindleOn])[0].count
        };
        assert_eq!(fails(2.0), 0);
        assert_eq!(fails(1.999_99), 1);
    }
}
