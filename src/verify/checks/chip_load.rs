//! `chip-load`: every tooth takes a chip that is neither dust nor too much.

use std::collections::BTreeMap;

use crate::cutting::{chip, edge};
use crate::report::CheckId;
use crate::shop::bit::Bit;
use crate::units::ruler::Ruler;
use crate::units::{Feed, Length, SpindleSpeed};
use crate::verify::checks::check::{Check, End, Now, Taking, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::material::load::PassKind;

/// A printed F is rounded; less than this share past a limit is the rounding.
const ROUNDED: f64 = 0.01;

/// The greatest allowance that a job may leave for finishing, in millimetres: a move
/// that takes more beside a wall widens the pocket.
const MOST_FINISHING: f64 = 0.5;

/// More of the roughing path than this under the least chip burns.
const MOST_UNDER: f64 = 0.1;

#[derive(Debug, Default)]
pub(crate) struct ChipLoad {
    /// What the program's finishing moves took in each site.
    finishing: BTreeMap<usize, Finishing>,
}

/// Finishing moves together.
#[derive(Debug)]
struct Finishing {
    bit: Bit,
    /// Wood in cubic millimetres, the walls it stood on in square millimetres.
    volume: f64,
    walls: f64,
    /// Way in millimetres, and its product with the chip load.
    way: f64,
    chips: f64,
}

impl Finishing {
    /// The chip on the mean, thinned by how little is left at the wall.
    fn mean_chip(&self) -> Length {
        let width = Length::from_mm(self.volume / self.walls.max(1e-9));
        let chip = Length::from_mm(self.chips / self.way.max(1e-9));
        chip::mean_chip(chip, width / self.bit.cutting_diameter())
    }
}

impl Check for ChipLoad {
    const ID: CheckId = CheckId::ChipLoad;

    fn bite(&mut self, taking: &Taking<'_>, now: Now<'_>, found: &mut Found<'_>) {
        if taking.speed > 0.0 && taking.feed > 0.0 {
            check_chip(taking, now.ruler, found);
            self.add(taking);
        }
    }

    fn begin(&mut self) {
        self.finishing.clear();
    }

    fn end(&mut self, _end: End, now: Now<'_>, found: &mut Found<'_>) {
        let under = now.run.watch.under_least().unwrap_or(0.0);
        if under > MOST_UNDER {
            found.warn(|| {
                format!(
                    "{:.0} % of the roughing path lies under the least chip a tooth: the machine does not \
                     reach the feed at the ends, and the edge rubs and burns there; a lower spindle \
                     speed or a sharper edge helps",
                    100.0 * under
                )
            });
        }
        let thinnest = self.finishing.values().min_by(|one, other| {
            let left = |pass: &Finishing| pass.mean_chip() / edge::least_thinned(&pass.bit);
            left(one).total_cmp(&left(other))
        });
        if let Some(pass) = thinnest {
            let (mean, least) = (pass.mean_chip(), edge::least_thinned(&pass.bit));
            if mean < least {
                found.warn(|| {
                    format!(
                        "the finishing pass takes {} a tooth on the mean, under {}, half the edge's radius, it \
                         only rubs the wall; leave it more by `fit.finish`, or sharpen `{}`",
                        now.ruler.chip(mean.as_mm()),
                        now.ruler.chip(least.as_mm()),
                        pass.bit.name
                    )
                });
            }
        }
    }

    fn answer(&mut self, whole: &Whole<'_>, found: &mut Found<'_>) -> Answer {
        let settings = whole.shop.map(|shop| shop.settings);
        if let Some(reason) = settings.and_then(|settings| settings.refusal.as_ref()) {
            found.fail(|| reason.clone());
        }
        Answer::passes("every chip is within the bit's window")
    }
}

impl ChipLoad {
    fn add(&mut self, taking: &Taking<'_>) {
        let Some(site) = taking.site else {
            return;
        };
        let is_finishing = PassKind::of(&taking.bite) == PassKind::Finishing;
        if !is_finishing || engaged_width(taking) > MOST_FINISHING {
            return;
        }
        let pass = self.finishing.entry(site).or_insert_with(|| Finishing {
            bit: taking.tool.bit.clone(),
            volume: 0.0,
            walls: 0.0,
            way: 0.0,
            chips: 0.0,
        });
        pass.volume += taking.bite.volume;
        pass.walls += taking.length * taking.bite.whole;
        pass.way += taking.length;
        pass.chips += taking.length * chip_of(taking).as_mm();
    }
}

fn chip_of(taking: &Taking<'_>) -> Length {
    chip::chip_load(
        Feed::from_mm_per_minute(taking.feed),
        SpindleSpeed::from_rpm(taking.speed),
        taking.tool.bit.flutes,
    )
}

fn check_chip(taking: &Taking<'_>, ruler: Ruler, found: &mut Found<'_>) {
    let (bit, limits, bite) = (&taking.tool.bit, taking.limits, &taking.bite);
    let chip = chip_of(taking);
    let (least, most) = (limits.chip_min.as_mm(), limits.chip_max.as_mm());
    let figure = chip.as_mm();
    let finishing = PassKind::of(bite) == PassKind::Finishing;
    if figure < least * (1.0 - ROUNDED) {
        let served_fresh = figure >= taking.fresh.chip_min.as_mm() * (1.0 - ROUNDED);
        let message = || {
            let rubs = format!(
                "{} a tooth, under {} the edge rubs and burns",
                ruler.chip(figure),
                ruler.chip(least)
            );
            if served_fresh {
                format!(
                    "{rubs}: good for a fresh edge, but `{}` is worn {:.2} and wants sharpening, \
                     or a higher feed or a lower speed",
                    bit.name, bit.wear
                )
            } else {
                format!("{rubs}; raise the feed or lower the speed")
            }
        };
        if finishing {
            found.warn(message);
        } else {
            found.fail(message);
        }
    } else if figure > most * (1.0 + ROUNDED) {
        let width = engaged_width(taking);
        let thinned = chip::greatest_chip(chip, width / bit.cutting_diameter().as_mm());
        let message = || {
            format!(
                "{} a tooth, at most {}; lower the feed or raise the speed",
                ruler.chip(figure),
                ruler.chip(most)
            )
        };
        if finishing && thinned.as_mm() <= most * (1.0 + ROUNDED) {
            found.warn(message);
        } else {
            found.fail(message);
        }
    }
}

fn engaged_width(taking: &Taking<'_>) -> f64 {
    let section = taking.bite.volume / taking.length.max(1e-9);
    section / taking.bite.whole.max(1e-9)
}
