//! The new figures: the spindle no faster than the worn edge bears and slow
//! enough for its chip, each feed as it was where that still serves.

use std::collections::BTreeMap;

use crate::cutting::{FINISHING_DEFLECTION, Limits, ROUGHING_DEFLECTION, Settings, limits, load};
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
            let bearable = self.settings.speed.as_rpm().min(thick_enough).floor();
            entry.1 = entry.1.min(bearable).max(slowest);
        }
        speeds
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
        let wanted = self.bearable(group, speed, lowest, wanted).ok_or_else(|| {
            objection(
                CheckId::Deflection,
                place,
                format!(
                    "governs {}; even at the {} that the worn edge needs, its bite \
                     asks too much of the spindle or bends the bit too far: {REMEDY}",
                    governs(group),
                    ruler.feed(lowest)
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

    /// The fastest feed up to `wanted` that spindle and bit bear; `None` where not even `lowest`.
    fn bearable(&self, group: &Group, speed: f64, lowest: f64, wanted: f64) -> Option<f64> {
        let bears = |feed: f64| {
            let mut kinds = group.kinds.iter();
            kinds.all(|(&kind, demand)| self.bears(kind, demand, feed, speed))
        };
        if bears(wanted) {
            return Some(wanted);
        }
        if !bears(lowest) {
            return None;
        }
        let (mut low, mut high) = (lowest, wanted);
        for _ in 0..40 {
            let middle = f64::midpoint(low, high);
            if bears(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(low)
    }

    fn bears(&self, kind: PassKind, demand: &Demand, feed: f64, speed: f64) -> bool {
        let diameter = self.bit.cutting_diameter();
        let [height, wide] = demand.section.map(Length::from_mm);
        let (bite, width, limit) = match kind {
            PassKind::Plunge if self.bit.kind != BitKind::Drill => return true,
            PassKind::Plunge | PassKind::Ramp | PassKind::Level => {
                (Length::from_mm(demand.bite), diameter, ROUGHING_DEFLECTION)
            }
            PassKind::Finishing => (height, wide, FINISHING_DEFLECTION),
        };
        let wood = &self.job.parts[demand.board].wood;
        let load = load(
            self.bit,
            wood,
            bite,
            width,
            Feed::from_mm_per_minute(feed),
            SpindleSpeed::from_rpm(speed),
        )
        .on(&self.job.machine);
        let power = self.job.machine.spindle.power_w;
        load.deflection <= limit && power.is_none_or(|power| load.power_w <= power)
    }
}

fn governs(group: &Group) -> String {
    let kinds: Vec<&str> = group.kinds.keys().map(|kind| kind.words()).collect();
    kinds.join(" and ")
}
