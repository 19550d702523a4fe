//! `chip-load`: every tooth takes a chip that is neither dust nor too much.

use crate::cutting::chip;
use crate::report::CheckId;
use crate::units::ruler::Ruler;
use crate::units::{Feed, SpindleSpeed};
use crate::verify::checks::check::{Check, Now, Taking, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::material::load::PassKind;

/// A printed F is rounded; less than this share past a limit is the rounding.
const ROUNDED: f64 = 0.01;

#[derive(Debug, Default)]
pub(crate) struct ChipLoad;

impl Check for ChipLoad {
    const ID: CheckId = CheckId::ChipLoad;

    fn bite(&mut self, taking: &Taking<'_>, now: Now<'_>, found: &mut Found<'_>) {
        if taking.speed > 0.0 && taking.feed > 0.0 {
            check_chip(taking, now.ruler, found);
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

fn check_chip(taking: &Taking<'_>, ruler: Ruler, found: &mut Found<'_>) {
    let (bit, limits, bite) = (&taking.tool.bit, taking.limits, &taking.bite);
    let chip = chip::chip_load(
        Feed::from_mm_per_minute(taking.feed),
        SpindleSpeed::from_rpm(taking.speed),
        bit.flutes,
    );
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
