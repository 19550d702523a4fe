//! A bit at one wear, in its woods, on its machine: what chip, speed, feed
//! and depth they allow together.

use crate::cutting::chip::{chip_load, mean_chip};
use crate::cutting::constants::{
    DEFLECTION_FINISHING, DEFLECTION_ROUGHING, DENSE_GRAVITY, LEAST_STEPDOWN, PLUNGE_SHARE, ROOM,
    ROOM_ABOVE_RUBBING,
};
use crate::cutting::limits::gentlest;
use crate::cutting::{Limits, Load, Settings, Task, edge, limits, load, stepdown_share_at};
use crate::shop::bit::{Bit, BitKind};
use crate::shop::machine::Machine;
use crate::shop::wood::{Family, Grain, TABLE_MOISTURE, Wood};
use crate::units::{Angle, Feed, Length, SpindleSpeed, Units, text};

/// How many chip loads are tried across the window.
const TRIES: u32 = 48;
/// Removal rates closer than this share are alike.
const ALIKE: f64 = 1e-3;
/// Spindle speeds are chosen in steps that a dial or a display shows.
const RPM_STEP: f64 = 100.0;

/// A dense hardwood, for a job that names none.
pub(super) fn unknown_wood() -> Wood {
    Wood {
        name: "unknown wood".to_owned(),
        family: Family::Hardwood,
        gravity: DENSE_GRAVITY.value,
        moisture: TABLE_MOISTURE,
        grain: Grain::Along,
    }
}

/// A chip load and the speed and feed that make it, in mm, rpm and mm/min.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pace {
    chip: f64,
    speed: f64,
    feed: f64,
}

/// What holds the stepdown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Depth {
    Stepdown,
    Power,
    Deflection,
}

/// A bit at one wear in its woods on its machine.
#[derive(Clone, Copy)]
pub(super) struct Bench<'a> {
    bit: &'a Bit,
    woods: &'a [&'a Wood],
    machine: &'a Machine,
    limits: Limits,
    flutes: f64,
    feed_max: f64,
    slowest: f64,
    fastest: f64,
}

impl<'a> Bench<'a> {
    pub(super) fn new(bit: &'a Bit, woods: &'a [&'a Wood], machine: &'a Machine) -> Self {
        let [x, y, z] = machine.feed_max.map(Feed::as_mm_per_minute);
        let mut slowest = machine.spindle.slowest.as_rpm();
        if let Some((_, mark)) = machine.spindle.dial.first() {
            slowest = mark.as_rpm();
        }
        let fastest = match bit.rpm_max {
            // Nobody has said how fast it may turn, and wood wants it slow.
            None if bit.kind == BitKind::Drill => slowest,
            _ => edge::fastest(bit, machine.spindle.fastest.min(bit.rated_speed())).as_rpm(),
        };
        let tightest = woods
            .iter()
            .map(|wood| limits(bit, wood))
            .reduce(Limits::and)
            .unwrap_or_else(|| limits(bit, &unknown_wood()));
        Self {
            bit,
            woods,
            machine,
            limits: tightest,
            flutes: f64::from(bit.flutes.max(1)),
            feed_max: if bit.kind == BitKind::Drill {
                z
            } else {
                x.min(y)
            },
            slowest,
            fastest: fastest.max(slowest),
        }
    }

    fn chip_min(&self) -> f64 {
        self.limits.chip_min.as_mm()
    }

    fn chip_max(&self) -> f64 {
        self.limits.chip_max.as_mm()
    }

    /// Chip loads that the bit, the spindle and the axes allow, as far as they do.
    fn window(&self) -> (f64, f64) {
        let slowest_chip = self.feed_max / (self.flutes * self.slowest);
        let room = (self.chip_max() * ROOM.value).max(self.chip_min());
        let upper = room.min(self.chip_max()).min(slowest_chip);
        let fastest_chip = self.feed_max / (self.flutes * self.fastest);
        let lower = (self.chip_min() * ROOM_ABOVE_RUBBING.value).max(fastest_chip);
        (lower.min(upper), upper)
    }

    /// The pace of a chip load: the axes' feed limit where the spindle reaches
    /// it, else the fastest speed. Rounding the speed down thickens the chip.
    fn pace(&self, chip: f64) -> Pace {
        let (_, upper) = self.window();
        let full = self.feed_max / (self.flutes * chip);
        let speed = full.clamp(self.slowest, self.fastest);
        let speed = self.settable(speed);
        let thickest = if full <= self.fastest * (1.0 + 1e-9) {
            upper.max(chip)
        } else {
            chip
        };
        let feed = (speed * self.flutes * thickest).min(self.feed_max);
        Pace {
            chip: feed / (speed * self.flutes),
            speed,
            feed,
        }
    }

    /// The fastest speed up to `speed` that a person or a program sets.
    fn settable(&self, speed: f64) -> f64 {
        let marks = &self.machine.spindle.dial;
        if marks.is_empty() {
            let stepped = (speed / RPM_STEP + 1e-9).floor() * RPM_STEP;
            return stepped.max(self.slowest);
        }
        let speeds = marks.iter().map(|(_, rpm)| rpm.as_rpm());
        let below = speeds.filter(|mark| *mark <= speed * (1.0 + 1e-9));
        below.fold(self.slowest, f64::max)
    }

    /// The chip load of the greatest removal rate; of those alike the one
    /// nearest the middle of the window, away from rubbing and from breaking.
    pub(super) fn best(&self) -> Pace {
        let (lower, upper) = self.window();
        let middle = (self.chip_min() * self.chip_max()).sqrt();
        let mut best = (0.0, f64::INFINITY, self.pace(middle.clamp(lower, upper)));
        for step in 0..=TRIES {
            let share = f64::from(step) / f64::from(TRIES);
            let chip = lower * (upper / lower).powf(share);
            let pace = self.pace(chip);
            let rate = self.depth(pace, self.watts_each_mm(pace)).0 * pace.feed;
            let off = (chip / middle).ln().abs();
            let better = rate > best.0 * (1.0 + ALIKE);
            let alike = rate > best.0 * (1.0 - ALIKE) && off < best.1;
            if better || alike {
                best = (rate, off, pace);
            }
        }
        best.2
    }

    /// The fresh bit's chip load, or the thicker one that this wear asks for.
    pub(super) fn worn(&self, fresh: Pace) -> Pace {
        let (lower, upper) = self.window();
        self.pace(fresh.chip.max(lower).min(upper.max(fresh.chip)))
    }

    /// `pace`, or one with a slower spindle where the feed that is reached would
    /// rub. The chip grows thicker for it where the feed is kept; past `thickest`,
    /// or its own if that is more, the feed gives way.
    pub(super) fn reaching(&self, pace: Pace, task: Task, thickest: f64) -> Pace {
        let Some(reached) = task.reached.filter(|_| self.bit.kind != BitKind::Drill) else {
            return pace;
        };
        let chip = self.chip_min().max(self.thinned_least(task));
        let most = reached.as_mm_per_minute() / (self.flutes * chip);
        if most >= pace.speed {
            return pace;
        }
        let speed = self.settable(most.max(self.slowest));
        let (_, upper) = self.window();
        let thickest = upper.min(thickest).max(pace.chip);
        let feed = (speed * self.flutes * thickest).min(pace.feed);
        Pace {
            chip: feed / (speed * self.flutes),
            speed,
            feed,
        }
    }

    /// The chip load that a finishing pass, whose wall thins it, needs to cut.
    fn thinned_least(&self, task: Task) -> f64 {
        let share = task.finish / self.bit.cutting_diameter();
        let mean = mean_chip(Length::from_mm(1.0), share).as_mm();
        let least = edge::least_thinned(self.bit).as_mm();
        if mean > 0.0 { least / mean } else { 0.0 }
    }

    /// The thickest chip at which the bit still takes a bite of use.
    pub(super) fn thickest(&self, watts_each_mm: f64) -> f64 {
        let depth = |chip| {
            let pace = Pace {
                chip,
                speed: self.slowest,
                feed: chip * self.slowest * self.flutes,
            };
            self.depth(pace, watts_each_mm).0
        };
        let serves = |chip| depth(chip) >= self.least_depth();
        if serves(self.chip_max()) {
            self.chip_max()
        } else {
            bisect(0.0, self.chip_max(), serves)
        }
    }

    /// The deepest bite at this pace in a full slot, in mm, and what holds it
    /// there. For a worn bit `watts_each_mm` is reckoned at the fresh bit's
    /// pace, where the chip is thinner and the feed no less, so that power
    /// never lets a duller bit cut deeper.
    fn depth(&self, pace: Pace, watts_each_mm: f64) -> (f64, Depth) {
        let by_kind = self.limits.stepdown.as_mm() * self.share_at(pace);
        let by_power = self.depth_by_power(watts_each_mm);
        let by_bending = self
            .woods
            .iter()
            .map(|wood| self.depth_by_bending(wood, pace, by_kind))
            .fold(f64::INFINITY, f64::min);
        if by_kind <= by_power && by_kind <= by_bending {
            (by_kind, Depth::Stepdown)
        } else if by_power <= by_bending {
            (by_power, Depth::Power)
        } else {
            (by_bending, Depth::Deflection)
        }
    }

    /// The share of its stepdown that wear leaves the bit at this pace, so that
    /// printed digits stay inside.
    fn share_at(&self, pace: Pace) -> f64 {
        let chip = Length::from_mm(pace.chip);
        let woods = self.woods.iter();
        let share = woods
            .map(|wood| stepdown_share_at(self.bit, wood, chip))
            .fold(1.0, f64::min);
        if share < 1.0 {
            share * ROOM.value
        } else {
            share
        }
    }

    /// Power for each millimetre of bite in the heaviest wood; for a drill, at any peck.
    pub(super) fn watts_each_mm(&self, pace: Pace) -> f64 {
        self.woods
            .iter()
            .map(|wood| self.load(wood, 1.0, pace).power_w)
            .fold(0.0, f64::max)
    }

    fn load(&self, wood: &Wood, bite: f64, pace: Pace) -> Load {
        let load = load(
            self.bit,
            wood,
            Length::from_mm(bite),
            self.bit.cutting_diameter(),
            Feed::from_mm_per_minute(pace.feed),
            SpindleSpeed::from_rpm(pace.speed),
        );
        load.on(self.machine)
    }

    fn depth_by_power(&self, watts_each_mm: f64) -> f64 {
        let Some(power) = self.machine.spindle.power_w else {
            return f64::INFINITY;
        };
        let most = power * ROOM.value / watts_each_mm;
        match self.bit.kind {
            // A drill's power does not depend on the peck: it serves or it does not.
            BitKind::Drill if most < 1.0 => 0.0,
            BitKind::Drill => f64::INFINITY,
            _ => most,
        }
    }

    /// Deflection rises with the bite as long as the bite is short against the stick-out.
    fn depth_by_bending(&self, wood: &Wood, pace: Pace, most: f64) -> f64 {
        let limit = DEFLECTION_ROUGHING.value * ROOM.value;
        let bends = |bite| self.load(wood, bite, pace).deflection.as_mm();
        if bends(most) <= limit {
            return f64::INFINITY;
        }
        bisect(0.0, most, |bite| bends(bite) <= limit)
    }

    pub(super) fn settings(
        &self,
        pace: Pace,
        watts: f64,
        serves_fresh: bool,
        task: Task,
    ) -> Settings {
        let (possible, held) = self.depth(pace, watts);
        let depth = possible.max(self.least_depth());
        let worst = self
            .woods
            .iter()
            .map(|wood| self.load(wood, depth, pace))
            .reduce(heavier)
            .unwrap_or_else(|| self.load(&unknown_wood(), depth, pace));
        let speed = SpindleSpeed::from_rpm(pace.speed);
        let feed = Feed::from_mm_per_minute(pace.feed);
        let (finish_feed, finish_deflection) = self.finishing(pace, task);
        let limits = Limits {
            stepdown: Length::from_mm(depth),
            ramp: self.ramp(feed, depth),
            ..self.limits
        };
        Settings {
            speed,
            feed,
            finish_feed,
            plunge_feed: self.plunge(pace),
            limits,
            chip_load: chip_load(feed, speed, self.bit.flutes),
            force_n: worst.force_n,
            power_w: worst.power_w,
            deflection: worst.deflection,
            finish_deflection,
            binding: self.binding(pace, held),
            refusal: self.refusal(pace, possible, held, serves_fresh),
        }
    }

    /// The ramp limit, or the steepest at which the Z axis follows the cutting
    /// feed: a ramp slowed down would rub. Without a figure of the rack's own
    /// no steeper than is of use at this stepdown.
    fn ramp(&self, feed: Feed, depth: f64) -> Angle {
        if self.bit.kind == BitKind::Drill {
            return self.limits.ramp;
        }
        let z = self.machine.feed_max[2] * ROOM.value;
        let steepest = Angle::from_radians((z / feed).min(1.0).asin());
        let ramp = self.limits.ramp.min(steepest);
        match self.bit.ramp {
            Some(_) => ramp,
            None => ramp.min(gentlest(self.bit, Length::from_mm(depth))),
        }
    }

    /// The fastest finishing feed, at the roughing speed and up to the
    /// roughing feed, that keeps the wall within the finishing limit; at the
    /// rubbing limit where none does.
    fn finishing(&self, pace: Pace, task: Task) -> (Feed, Length) {
        if self.bit.kind == BitKind::Drill {
            return (Feed::from_mm_per_minute(pace.feed), Length::ZERO);
        }
        let wall = task.wall.min(self.bit.cutting_length);
        let speed = SpindleSpeed::from_rpm(pace.speed);
        let at = |feed: f64| {
            let feed = Feed::from_mm_per_minute(feed);
            self.woods
                .iter()
                .map(|wood| load(self.bit, wood, wall, task.finish_width(), feed, speed))
                .map(|load| load.on(self.machine))
                .reduce(heavier)
        };
        let serves = |feed: f64| {
            at(feed).is_none_or(|load| {
                load.deflection.as_mm() <= DEFLECTION_FINISHING.value * ROOM.value
                    && self.within_power(load.power_w)
            })
        };
        let least = (self.chip_min() * 1.02 * pace.speed * self.flutes).min(pace.feed);
        let feed = if serves(pace.feed) {
            pace.feed
        } else if serves(least) {
            bisect(least, pace.feed, serves)
        } else {
            least
        };
        let bends = at(feed).map_or(Length::ZERO, |load| load.deflection);
        (Feed::from_mm_per_minute(feed), bends)
    }

    fn within_power(&self, watts: f64) -> bool {
        let limit = self.machine.spindle.power_w;
        limit.is_none_or(|power| watts <= power * ROOM.value)
    }

    fn plunge(&self, pace: Pace) -> Feed {
        let z = self.machine.feed_max[2].as_mm_per_minute();
        if self.bit.kind == BitKind::Drill {
            return Feed::from_mm_per_minute(pace.feed.min(z));
        }
        let rubbing = self.chip_min() * 1.02 * pace.speed * self.flutes;
        let share = (pace.feed * PLUNGE_SHARE.value).max(rubbing);
        Feed::from_mm_per_minute(share.min(pace.feed).min(z))
    }

    /// The stepdown under which it is no use.
    fn least_depth(&self) -> f64 {
        let floor = LEAST_STEPDOWN.value * self.bit.cutting_diameter().as_mm();
        floor.min(self.limits.stepdown.as_mm())
    }

    fn binding(&self, pace: Pace, held: Depth) -> String {
        let axes = if self.bit.kind == BitKind::Drill {
            "the Z axis's feed limit"
        } else {
            "the X and Y axes' feed limit"
        };
        let by_feed = if pace.feed >= self.feed_max * (1.0 - 0.02) {
            axes
        } else if pace.chip >= self.chip_max() * ROOM.value * (1.0 - 1e-6) {
            "the spindle's fastest speed at the greatest chip load"
        } else {
            "the spindle's fastest speed"
        };
        let by_depth = match (held, self.bit.kind) {
            (_, BitKind::Drill) => "the peck",
            (Depth::Stepdown, _) => "the bit's stepdown",
            (Depth::Power, _) => "the spindle's power",
            (Depth::Deflection, _) => "the bit's deflection",
        };
        format!("{by_feed}; {by_depth}")
    }

    fn refusal(&self, pace: Pace, depth: f64, held: Depth, serves_fresh: bool) -> Option<String> {
        let (least, most) = (self.chip_min(), self.chip_max());
        let chip = |chip| text::chip(Length::from_mm(chip), Units::Millimetre);
        let remedy = if self.bit.wear > 0.0 && serves_fresh {
            "the bit wants sharpening or replacing"
        } else {
            "take a bit with fewer flutes, or a spindle that turns slower"
        };
        if least > most {
            let remedy = if self.bit.wear > 0.0 {
                "the bit wants sharpening or replacing"
            } else {
                "set `chip_min` and `chip_max` of the bit so that they leave a window"
            };
            return Some(format!(
                "at wear {:.2} the edge needs {} a tooth to cut and not rub, \
                 but the bit carries at most {}; {remedy}",
                self.bit.wear,
                chip(least),
                chip(most)
            ));
        }
        if pace.chip < least * (1.0 - 1e-9) {
            let flutes = if self.bit.flutes > 1 && self.bit.wear > 0.0 {
                "; at the same feed a bit with fewer flutes takes a thicker chip"
            } else {
                ""
            };
            return Some(format!(
                "at {:.0} rpm and the machine's fastest feed of {:.0} mm/min ({:.0} in/min) the chip is {} \
                 a tooth; under {} the edge rubs and would burn the wood: {remedy}{flutes}",
                pace.speed,
                pace.feed,
                Length::from_mm(pace.feed).as_inch(),
                chip(pace.chip),
                chip(least)
            ));
        }
        let floor = self.least_depth();
        if depth < floor {
            let cause = match held {
                Depth::Power => "the spindle has too little power",
                Depth::Deflection => "the bit bends too far",
                Depth::Stepdown => "the stepdown is too small",
            };
            let remedy = match held {
                Depth::Deflection => "chuck the bit shorter or take a thicker one",
                _ if self.bit.wear > 0.0 => "the bit wants sharpening or replacing",
                _ => "take a thinner bit",
            };
            return Some(format!(
                "{cause} for a bite of {floor:.2} mm ({:.4} in), {depth:.3} mm ({:.4} in) is all: {remedy}",
                Length::from_mm(floor).as_inch(),
                Length::from_mm(depth).as_inch()
            ));
        }
        None
    }

    /// Whether this bench reaches a chip load inside its window.
    pub(super) fn chip_serves(&self) -> bool {
        let (_, upper) = self.window();
        self.chip_min() <= upper
    }
}

fn heavier(a: Load, b: Load) -> Load {
    Load {
        force_n: a.force_n.max(b.force_n),
        power_w: a.power_w.max(b.power_w),
        deflection: a.deflection.max(b.deflection),
    }
}

/// The greatest value between `low`, where `holds`, and `high`, where it does not.
fn bisect(mut low: f64, mut high: f64, holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}
