//! What a move does to wood and fixture: gouges, rapids, bites, ramps,
//! plunges, loads, contact.

use crate::cutting;
use crate::cutting::chip::chip_load;
use crate::job::PartName;
use crate::replay::segment::Segment;
use crate::report::CheckId;
use crate::rs274::event::{Move, Path, Turning};
use crate::shop::machine::SpindleControl;
use crate::units::SpindleSpeed;
use crate::verify::bite::Bite;
use crate::verify::bounds::{self, Beyond};
use crate::verify::engagement::Stroke;
use crate::verify::feature::Feature;
use crate::verify::gouge::GOUGE;
use crate::verify::load::{self, Taking};
use crate::verify::probe::{BESIDE, NO_WOOD, Probe, Probed};
use crate::verify::program_state::{Contact, Obstacle, ProgramState};
use crate::verify::rounding::last_digit;
use crate::verify::scene::SolidKind;
use crate::verify::solid::{self, TOUCH, Turned};
use crate::verify::tool::Tool;
use crate::verify::verifier::Verifier;

/// Straight down into more wood than this is a plunge, in millimetres (contract).
const PLUNGE: f64 = 0.02;

/// A move that goes aside by less is straight down, in millimetres.
const STRAIGHT: f64 = 1e-6;

impl Verifier<'_> {
    /// Judges a move against the fixture and the wood.
    pub(crate) fn cut(&mut self, motion: &Move, segment: &Segment, strokes: &[Stroke]) {
        let Some(tool) = self.run.tool.clone() else {
            return;
        };
        self.check_solids(segment, motion.path == Path::Rapid, &tool.turned);
        for stroke in strokes {
            self.judge_stroke(motion, &tool, stroke);
        }
        if segment.to[2] > segment.from[2] {
            self.run.peck = 0.0;
        }
    }

    fn check_solids(&mut self, segment: &Segment, is_rapid: bool, turned: &[Turned]) {
        let Some(shop) = &self.shop else {
            return;
        };
        if segment.lowest() >= shop.scene.highest {
            return;
        }
        for solid in &shop.scene.solids {
            let touches = turned.iter().filter_map(|part| {
                let overlap = solid::overlap(segment, is_rapid, part, solid);
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

    fn judge_stroke(&mut self, motion: &Move, tool: &Tool, stroke: &Stroke) {
        let is_rapid = motion.path == Path::Rapid;
        for probe in &stroke.probes {
            self.judge_probe(probe, stroke, &tool.turned);
        }
        self.note_air(stroke);
        let gouged = self.check_gouge(stroke);
        let bite = self.bite(stroke, gouged);
        if is_rapid {
            self.close_lap();
            return;
        }
        self.follow_lap(motion, stroke);
        if bite.whole > 0.0 {
            self.check_descent(motion, tool, stroke, bite);
        }
        if let Some(bite) = self.add_up(stroke.site, bite) {
            self.run.has_cut = true;
            self.judge_bite(motion, tool, stroke, bite);
        }
    }

    fn judge_probe(&mut self, probe: &Probe, stroke: &Stroke, turned: &[Turned]) {
        let Some(shop) = &self.shop else {
            return;
        };
        match probe.what {
            Probed::Rapid if probe.standing > NO_WOOD => {
                let standing = self.ruler.both(probe.standing, 3);
                self.fail(CheckId::RapidInWood, || {
                    format!(
                        "a rapid meets wood that stands {standing} above the tip; \
                         lift first, or use G1"
                    )
                });
            }
            Probed::Rapid if probe.standing > 0.0 => self.scrape(stroke.site, probe.standing),
            Probed::Part(number) if probe.standing > BESIDE => {
                let place = stroke.site.map(|number| shop.scene.sites[number].feature);
                let obstacle = Obstacle::Wood(shop.scene.boards[stroke.board].name, place);
                let part = turned[number].name;
                self.run
                    .touch(CheckId::NutClearance, obstacle, part, probe.standing);
            }
            _ => {}
        }
    }

    /// Adds up what rapids scrape off in one place, however little each.
    fn scrape(&mut self, site: Option<usize>, standing: f64) {
        let scraped = self.run.scraped.entry(site).or_default();
        let before = *scraped;
        *scraped += standing;
        let sum = *scraped;
        if before <= PLUNGE && sum > PLUNGE {
            let sum = self.ruler.both(sum, 3);
            self.fail(CheckId::RapidInWood, || {
                format!("rapids scrape off {sum} of wood bit by bit; lift first, or use G1")
            });
        }
    }

    /// `pocket-bounds`; tells whether wood beyond the wanted shape is taken.
    fn check_gouge(&mut self, stroke: &Stroke) -> bool {
        let Some(shop) = &mut self.shop else {
            return false;
        };
        let (segment, site) = (&stroke.segment, stroke.site);
        let board = &shop.scene.boards[stroke.board];
        let near = site.or_else(|| shop.scene.nearest_site(board, segment));
        let known = near.map_or(0.0, |number| shop.gouges[number]);
        let beyond = bounds::beyond(segment, stroke.tip, &shop.scene, board, site, known);
        let Some(Beyond { figure, what }) = beyond else {
            return false;
        };
        if let Some(number) = near {
            let gouge = &mut shop.gouges[number];
            *gouge = gouge.max(figure);
        }
        let fails = figure > GOUGE;
        if fails {
            let name = board.name;
            let ruler = self.ruler;
            self.fail(CheckId::PocketBounds, || {
                format!(
                    "cuts {} into the {name} {what}, at most {}; correct the coordinates",
                    ruler.both(figure, 3),
                    ruler.limit(GOUGE)
                )
            });
        }
        fails
    }

    /// What a stroke takes; beyond the wanted shape the wood is solid.
    fn bite(&mut self, stroke: &Stroke, gouged: bool) -> Bite {
        let mut bite = stroke.bite;
        match (stroke.site, &self.shop) {
            (None, Some(shop)) if gouged => {
                bite = Bite::solid(shop.scene.boards[stroke.board].top - stroke.segment.lowest());
            }
            (Some(_), _) if gouged && bite.whole <= NO_WOOD => bite = Bite::solid(GOUGE),
            _ => {}
        }
        if let Some(number) = stroke.site
            && stroke.tip.point == 0.0
            && bite.whole > NO_WOOD
        {
            self.run.cut_in.entry(number).or_insert(stroke.tip.radius);
        }
        bite
    }

    /// What is to be judged: a bite, or those too small to be told from
    /// rounding as soon as they are more than that together.
    fn add_up(&mut self, site: Option<usize>, bite: Bite) -> Option<Bite> {
        if bite.whole > NO_WOOD {
            self.run.shaved.remove(&site);
            return Some(bite);
        }
        if bite.whole <= 0.0 {
            return None;
        }
        let shaved = self.run.shaved.entry(site).or_default();
        shaved.whole += bite.whole;
        shaved.core += bite.core;
        shaved.wall += bite.wall;
        shaved.volume += bite.volume;
        if shaved.whole <= NO_WOOD {
            return None;
        }
        self.run.shaved.remove(&site)
    }

    fn judge_bite(&mut self, motion: &Move, tool: &Tool, stroke: &Stroke, bite: Bite) {
        let Some(shop) = &self.shop else {
            return;
        };
        let (segment, index, site) = (&stroke.segment, stroke.board, stroke.site);
        let Tool { bit, limits, .. } = tool;
        let limits = &limits[index];
        let board = &shop.scene.boards[index];
        let speed = SpindleSpeed::from_rpm(self.spindle_speed());
        let chip = chip_load(motion.feed, speed, bit.flutes);
        let share = cutting::stepdown_share_at(bit, &board.wood, chip);
        let began = self.wood_met_at(segment, board.top);
        let depth = board.top - segment.lowest();
        self.check_spindle(motion, began);
        self.check_bit_before_wood();
        self.check_own_offset(index);
        let ruler = self.ruler;
        let length = segment.level_length();
        let digit = last_digit(motion);
        self.check_stepdown(bit, limits.stepdown.as_mm() * share, &bite, digit);
        self.check_reach(bit, depth, index, site);
        self.check_bit_condition(bit, site, depth);
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

    /// `plunge` and `ramp-angle`, for a move and for the descent it belongs to:
    /// what the moves of a descent go down more steeply than the limit adds up,
    /// and going on gently wears it off again.
    fn check_descent(&mut self, motion: &Move, tool: &Tool, stroke: &Stroke, bite: Bite) {
        let bit = &tool.bit;
        let ramp = tool.limits[stroke.board].ramp;
        let length = stroke.segment.level_length();
        let drop = stroke.segment.from[2] - stroke.segment.to[2];
        let is_straight = length < STRAIGHT && drop > 0.0;
        if is_straight && bit.may_plunge() {
            self.run.sunk = 0.0;
            return;
        }
        let ruler = self.ruler;
        if is_straight && bite.whole > PLUNGE {
            self.fail(CheckId::Plunge, || {
                format!(
                    "straight down into {} of wood, and `{}` does not plunge; ramp in",
                    ruler.both(bite.whole, 3),
                    bit.name
                )
            });
        }
        let slack = 1.5 * last_digit(motion);
        let gentle = length * ramp.as_radians().tan();
        let is_judged = bite.whole > NO_WOOD;
        self.seen.ramps += u64::from(is_judged && drop > 0.0);
        if is_judged && drop > gentle + slack {
            let found = drop.atan2(length).to_degrees();
            self.fail(CheckId::RampAngle, || {
                format!(
                    "down {} over {}, {found:.2} degrees, at most {:.2}; ramp more gently",
                    ruler.one(drop, 3),
                    ruler.one(length, 3),
                    ramp.as_degrees()
                )
            });
            self.run.sunk = 0.0;
            return;
        }
        self.run.sunk = (self.run.sunk + drop.min(bite.whole) - gentle).max(0.0);
        if self.run.sunk > slack.max(PLUNGE) {
            let sunk = ruler.both(self.run.sunk, 3);
            self.fail(CheckId::Plunge, || {
                format!(
                    "steeper than the ramp limit in small steps, {sunk} in all, \
                     and `{}` does not plunge; ramp more gently",
                    bit.name
                )
            });
            self.run.sunk = 0.0;
        }
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
            Turning::Clockwise
                if self.machine.spindle.control == SpindleControl::Manual
                    && !spindle.switched_on =>
            {
                self.fail(CheckId::SpindleOn, || {
                    "wood is taken before anybody could switch the spindle on by hand; \
                     add M0 after M3"
                        .to_owned()
                });
            }
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

    /// Where each part has a zero of its own, its wood is cut by that zero
    /// alone: the two may fall on one place, and a damaged G54 would go unseen.
    fn check_own_offset(&mut self, board: usize) {
        let Some(shop) = self
            .shop
            .as_ref()
            .filter(|shop| shop.scene.offsets.len() > 1)
        else {
            return;
        };
        let name = shop.scene.boards[board].name;
        let own = match name {
            PartName::Lid => 55,
            _ => 54,
        };
        let found = self.run.offset;
        if found != own {
            self.fail(CheckId::Preamble, || {
                format!("the {name} is cut by G{found}, its own zero is G{own}")
            });
        }
    }

    /// When the bit comes below the board's face on this move, on the program's clock.
    fn wood_met_at(&self, segment: &Segment, top: f64) -> f64 {
        let below = segment.between_heights(f64::NEG_INFINITY, top);
        self.run.move_began + self.run.move_seconds * below.map_or(0.0, |(first, _)| first)
    }

    fn check_stepdown(&mut self, bit: &crate::shop::bit::Bit, limit: f64, bite: &Bite, digit: f64) {
        let slack = 1.5 * digit + 0.001;
        let is_drill = bit.kind == crate::shop::bit::BitKind::Drill;
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
        bit: &crate::shop::bit::Bit,
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
        let feature = site.map_or(Feature::Tick, |number| shop.scene.sites[number].feature);
        let name = feature.name(name);
        let ruler = self.ruler;
        self.fail(CheckId::FluteReach, || {
            format!(
                "{name} is cut {} deep with an edge of {} \
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
        let machine = self.machine;
        let Self {
            tally, run, shop, ..
        } = self;
        let Some(shop) = shop else {
            return;
        };
        let wood = &shop.scene.boards[taking.board].wood;
        let at = crate::verify::findings::At {
            file: &run.path,
            line: run.line,
        };
        load::check_chip(tally, at, taking);
        if taking.length > 1e-6 {
            run.window.add(tally, at, machine, wood, taking);
        }
    }
}

impl ProgramState {
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
            Obstacle::Wood(board, place) => {
                let place = match place {
                    None | Some(Feature::Tick) => format!("the {board}"),
                    Some(place) => place.name(*board),
                };
                format!(
                    "the {part} meets wood of {place} that stands {worst} above its lower end{often}; \
                     cut in shallower passes or chuck a longer bit"
                )
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{PocketKind, sample};
    use crate::settings;
    use crate::shop::bit::BitKind;
    use crate::units::Length;
    use crate::verify::verifier::JobContext;

    /// How often `stepdown` fails for bites in turn, the edge being 4.7 mm
    /// long, the stepdown 3 mm and the last digit a thousandth.
    fn refused(kind: BitKind, bites: &[Bite]) -> u64 {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let mut verifier = Verifier::new(&job.machine, Some(JobContext::new(&job, &settings)));
        let mut bit = sample::bit(kind, 6.0);
        bit.cutting_length = Length::from_mm(4.7);
        for bite in bites {
            verifier.check_stepdown(&bit, 3.0, bite, 0.001);
        }
        verifier.tally.into_checks(&[CheckId::Stepdown])[0].count
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

    /// A stroke of the lid 2 mm deep, in its first pocket or away from it.
    fn bitten(in_pocket: bool, whole: f64, gouged: bool) -> (Bite, bool) {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let mut verifier = Verifier::new(&job.machine, Some(JobContext::new(&job, &settings)));
        let scene = crate::verify::scene::Scene::new(&job);
        let tool = Tool::new(&job.bit, &job.machine, &scene);
        let y = if in_pocket { 14.5 } else { 60.0 };
        let top = scene.boards[1].top;
        let segment = Segment::line([40.0, y, top - 2.0], [50.0, y, top - 2.0]);
        let mut stroke = Stroke::of(&scene, 1, &segment, false, &tool).unwrap();
        assert_eq!(stroke.site, in_pocket.then_some(2));
        stroke.bite = bite(whole, 0.0);
        let found = verifier.bite(&stroke, gouged);
        (found, verifier.run.cut_in.contains_key(&2))
    }

    #[test]
    fn beyond_the_wanted_shape_wood_is_solid() {
        assert_eq!(bitten(false, 0.0, true), (Bite::solid(2.0), false));
        assert_eq!(bitten(false, 0.0, false), (bite(0.0, 0.0), false));
        assert_eq!(bitten(true, 0.005, true), (Bite::solid(GOUGE), true));
        assert_eq!(bitten(true, 1.5, true), (bite(1.5, 0.0), true));
        assert_eq!(bitten(true, 0.005, false), (bite(0.005, 0.0), false));
        assert_eq!(bitten(true, 0.006, false), (bite(0.006, 0.0), true));
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
            let mut verifier = Verifier::new(&job.machine, Some(JobContext::new(&job, &settings)));
            let segment = Segment::line([21.0, 10.0, z], [21.0, 30.0, z]);
            verifier.check_solids(&segment, false, parts);
            let contact = &verifier.run.contacts[0];
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
        let mut run = ProgramState::new(&machine, "a.nc", None, false);
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
        let wood = |place| words(Obstacle::Wood(PartName::Lid, place), 1);
        let pocket = Feature::Pocket(PocketKind::Pocket, 2);
        assert!(
            wood(Some(pocket))
                .starts_with("the nut meets wood of lid pocket 2 that stands 1.00 mm")
        );
        // A tick has no number.
        for place in [Some(Feature::Tick), None] {
            assert!(wood(place).starts_with("the nut meets wood of the lid that stands"));
        }
    }

    /// At speed from 2 s on.
    #[test]
    fn wood_is_met_once_the_spindle_is_up_to_speed() {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let fails = |began: f64| {
            let mut verifier = Verifier::new(&job.machine, Some(JobContext::new(&job, &settings)));
            verifier.run.spindle = crate::verify::program_state::SpindleState {
                turning: Turning::Clockwise,
                speed: 12_000.0,
                ready_at: 2.0,
                switched_on: false,
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
            verifier.check_spindle(&motion, began);
            verifier.tally.into_checks(&[CheckId::SpindleOn])[0].count
        };
        assert_eq!(fails(2.0), 0);
        assert_eq!(fails(1.999_99), 1);
    }
}
