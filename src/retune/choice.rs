//! The new figures: the spindle no faster than the worn edge bears and slow
//! enough for its chip, each feed as it was where that still serves.

use std::collections::BTreeMap;

use crate::cutting::{
    FINISHING_DEFLECTION, Limits, Load, ROUGHING_DEFLECTION, Settings, limits, load,
    stepdown_share_at,
};
use crate::job::Job;
use crate::report::CheckId;
use crate::retune::Objection;
use crate::retune::survey::{Demand, Group, PassKind, Survey};
use crate::retune::words::{Figure, Figures};
use crate::settings;
use crate::shop::bit::{Bit, BitKind};
use crate::units::ruler::Ruler;
use crate::units::{Feed, Length, SpindleSpeed};

const REMEDY: &str = "sharpen or replace the bit, or plan it anew";
/// Chip load aimed at, against the least that cuts.
const ABOVE_RUBBING: f64 = 1.05;
/// Share of a limit that is used, so that printed digits stay inside.
const ROOM: f64 = 0.98;
/// A bite this much over the limit is the rounding of coordinates, in millimetres.
const ROUNDED: f64 = 0.001;

pub(super) fn figures(survey: &Survey, job: &Job) -> Result<Figures, Vec<Objection>> {
    let settings = settings::for_bit(job, &survey.bit);
    if let Some(refusal) = settings.refusal {
        return Err(vec![objection(CheckId::ChipLoad, 0, refusal)]);
    }
    let chooser = Chooser {
        job,
        bit: &survey.bit,
        limits: job
            .parts
            .iter()
            .map(|part| limits(&survey.bit, &part.wood))
            .reduce(Limits::and)
            .unwrap_or(settings.limits),
        settings,
        flutes: f64::from(survey.bit.flutes.max(1)),
    };
    chooser.figures(survey)
}

fn objection(check: CheckId, line: u64, message: String) -> Objection {
    Objection {
        check,
        line,
        message,
    }
}

struct Chooser<'a> {
    job: &'a Job,
    bit: &'a Bit,
    settings: Settings,
    limits: Limits,
    flutes: f64,
}

impl Chooser<'_> {
    fn figures(&self, survey: &Survey) -> Result<Figures, Vec<Objection>> {
        let mut figures = Figures::default();
        let mut objections = Vec::new();
        let speeds = self.speeds(survey);
        for (&line, &(before, wanted)) in &speeds {
            figures.speeds.insert(
                line,
                Figure {
                    before,
                    wanted,
                    least: wanted - 1.0,
                    most: wanted,
                    governs: "the spindle".to_owned(),
                },
            );
        }
        for (&line, group) in &survey.groups {
            if group.kinds.is_empty() {
                continue;
            }
            let speed = speeds.get(&group.speed_line).map_or(0.0, |speed| speed.1);
            match self.feed(line, group, speed) {
                Ok(figure) => {
                    figures.feeds.insert(line, figure);
                }
                Err(objection) => objections.push(objection),
            }
        }
        if objections.is_empty() {
            Ok(figures)
        } else {
            Err(objections)
        }
    }

    fn least_chip(&self) -> f64 {
        self.limits.chip_min.as_mm() * ABOVE_RUBBING
    }

    /// Old and new speed by the line of the S word.
    fn speeds(&self, survey: &Survey) -> BTreeMap<u64, (f64, f64)> {
        let slowest = self.job.machine.spindle.slowest.as_rpm();
        let mut speeds = BTreeMap::new();
        for group in survey.groups.values() {
            let Some(&before) = survey.speeds.get(&group.speed_line) else {
                continue;
            };
            let roughing = group.kinds.keys().any(|kind| *kind != PassKind::Finishing);
            let thick_enough = if roughing {
                group.feed / (self.flutes * self.least_chip())
            } else {
                f64::INFINITY
            };
            let entry = speeds.entry(group.speed_line).or_insert((before, before));
            let edge = self.settings.speed.as_rpm().min(before);
            let bearable = edge
                .min(thick_enough)
                .min(self.powered(group, edge))
                .floor();
            entry.1 = entry.1.min(bearable).max(slowest);
        }
        speeds
    }

    /// The fastest speed up to `speed` at which the spindle has the power for
    /// the least chip: at one chip the power goes with the speed.
    fn powered(&self, group: &Group, speed: f64) -> f64 {
        let Some(power) = self.job.machine.spindle.power_w else {
            return speed;
        };
        let feed = self.least_chip() * speed * self.flutes;
        let demands = group.kinds.iter();
        let most = demands
            .filter_map(|(&kind, demand)| self.load(kind, demand, feed, speed))
            .map(|load| load.power_w)
            .fold(0.0, f64::max);
        if most > power * ROOM {
            speed * power * ROOM / most
        } else {
            speed
        }
    }

    fn feed(&self, line: u64, group: &Group, speed: f64) -> Result<Figure, Objection> {
        let first = group.kinds.values().map(|demand| demand.line).min();
        let place = if line == 0 { first.unwrap_or(0) } else { line };
        if line == 0 || group.speed_line == 0 || speed <= 0.0 {
            return Err(objection(
                CheckId::SpindleOn,
                place,
                "no F and S words are in force where wood is taken; write them, then retune"
                    .to_owned(),
            ));
        }
        if group.shared {
            return Err(objection(
                CheckId::ChipLoad,
                place,
                "this F word is in force under another bit too; write one after the bit change"
                    .to_owned(),
            ));
        }
        let ruler = Ruler::new(self.job.units);
        let teeth = speed * self.flutes;
        let least = self.limits.chip_min.as_mm() * teeth;
        let most = (self.limits.chip_max.as_mm() * ROOM * teeth).min(group.axes);
        if least > most {
            return Err(objection(
                CheckId::ChipLoad,
                place,
                format!(
                    "governs {}; at {speed:.0} rpm the worn edge needs {} to cut and not rub, \
                     and {} is the most: {REMEDY}",
                    governs(group),
                    ruler.feed(least),
                    ruler.feed(most)
                ),
            ));
        }
        let lowest = (least * ABOVE_RUBBING).min(most);
        let wanted = group.feed.clamp(lowest, most);
        let wanted = self
            .bearable(group, speed, lowest, wanted)
            .map_err(|limit| {
                let what = match limit {
                    CheckId::Stepdown => "is deeper than its worn edge bears",
                    CheckId::SpindlePower => "asks more power than the spindle has",
                    _ => "bends the bit too far",
                };
                objection(
                    limit,
                    place,
                    format!(
                        "governs {}; even at the {} that the worn edge needs, its bite of {} {what}: {REMEDY}",
                        governs(group),
                        ruler.feed(lowest),
                        ruler.both(group.kinds.values().map(|demand| demand.bite).fold(0.0, f64::max), 2)
                    ),
                )
            })?;
        Ok(Figure {
            before: group.feed,
            wanted,
            least,
            most: wanted * 1.005,
            governs: governs(group),
        })
    }

    /// The fastest feed up to `wanted` that spindle and bit bear.
    ///
    /// # Errors
    /// The limit that not even `lowest` keeps.
    fn bearable(
        &self,
        group: &Group,
        speed: f64,
        lowest: f64,
        wanted: f64,
    ) -> Result<f64, CheckId> {
        let past = |feed: f64| {
            let mut kinds = group.kinds.iter();
            kinds.find_map(|(&kind, demand)| self.past(kind, demand, feed, speed))
        };
        if past(wanted).is_none() {
            return Ok(wanted);
        }
        if let Some(limit) = past(lowest) {
            return Err(limit);
        }
        let (mut low, mut high) = (lowest, wanted);
        for _ in 0..40 {
            let middle = f64::midpoint(low, high);
            if past(middle).is_none() {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok(low)
    }

    /// The limit that a demand goes past at that feed and speed.
    fn past(&self, kind: PassKind, demand: &Demand, feed: f64, speed: f64) -> Option<CheckId> {
        let wood = &self.job.parts[demand.board].wood;
        // A drill's peck is no matter of feed and speed.
        let roughing = kind != PassKind::Finishing && self.bit.kind != BitKind::Drill;
        let chip = Length::from_mm(feed / (speed * self.flutes));
        let share = stepdown_share_at(self.bit, wood, chip);
        let most = limits(self.bit, wood).stepdown.as_mm() * share;
        if roughing && demand.bite > most + ROUNDED {
            return Some(CheckId::Stepdown);
        }
        let load = self.load(kind, demand, feed, speed)?;
        let bend = match kind {
            PassKind::Finishing => FINISHING_DEFLECTION,
            PassKind::Plunge | PassKind::Ramp | PassKind::Level => ROUGHING_DEFLECTION,
        };
        let power = self.job.machine.spindle.power_w;
        if power.is_some_and(|power| load.power_w > power) {
            return Some(CheckId::SpindlePower);
        }
        (load.deflection > bend).then_some(CheckId::Deflection)
    }

    /// What a demand asks of bit and spindle; a plunge by a router bit is not reckoned.
    fn load(&self, kind: PassKind, demand: &Demand, feed: f64, speed: f64) -> Option<Load> {
        let diameter = self.bit.cutting_diameter();
        let [height, wide] = demand.section.map(Length::from_mm);
        let (bite, width) = match kind {
            PassKind::Plunge if self.bit.kind != BitKind::Drill => return None,
            PassKind::Plunge | PassKind::Ramp | PassKind::Level => {
                (Length::from_mm(demand.bite), diameter)
            }
            PassKind::Finishing => (height, wide),
        };
        let load = load(
            self.bit,
            &self.job.parts[demand.board].wood,
            bite,
            width,
            Feed::from_mm_per_minute(feed),
            SpindleSpeed::from_rpm(speed),
        );
        Some(load.on(&self.job.machine))
    }
}

fn governs(group: &Group) -> String {
    let kinds: Vec<&str> = group.kinds.keys().map(|kind| kind.words()).collect();
    kinds.join(" and ")
}
