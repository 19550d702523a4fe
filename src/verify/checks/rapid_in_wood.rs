//! `rapid-in-wood`: no rapid meets wood, nor scrapes it off bit by bit.

use std::collections::BTreeMap;

use crate::report::CheckId;
use crate::rs274::event::Path;
use crate::verify::checks::check::{Check, Heard, Now, Struck, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::material::descent::PLUNGE;
use crate::verify::material::probe::{NO_WOOD, Probed};

#[derive(Debug, Default)]
pub(crate) struct RapidInWood {
    rapids: u64,
    /// What rapids have scraped off each place, in millimetres.
    scraped: BTreeMap<Option<usize>, f64>,
}

impl Check for RapidInWood {
    const ID: CheckId = CheckId::RapidInWood;

    fn begin(&mut self) {
        self.scraped.clear();
    }

    fn event(&mut self, heard: &Heard<'_>, _now: Now<'_>, _found: &mut Found<'_>) {
        let is_rapid = heard
            .motion()
            .is_some_and(|motion| motion.path == Path::Rapid);
        self.rapids += u64::from(is_rapid && heard.segment.is_some());
    }

    fn stroke(&mut self, struck: &Struck<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let probes = struck.stroke.probes.iter();
        for probe in probes.filter(|probe| probe.what == Probed::Rapid) {
            if probe.standing > NO_WOOD {
                let standing = now.ruler.both(probe.standing, 3);
                found.fail(|| {
                    format!(
                        "a rapid meets wood that stands {standing} above the tip; \
                         lift first, or use G1"
                    )
                });
            } else if probe.standing > 0.0 {
                self.scrape(struck.stroke.site, probe.standing, now, found);
            }
        }
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::Passes(format!("{} rapids, none meets wood", self.rapids))
    }
}

impl RapidInWood {
    /// Adds up what rapids scrape off in one place, however little each.
    fn scrape(&mut self, site: Option<usize>, standing: f64, now: Now<'_>, found: &mut Found<'_>) {
        let scraped = self.scraped.entry(site).or_default();
        let before = *scraped;
        *scraped += standing;
        let sum = *scraped;
        if before <= PLUNGE && sum > PLUNGE {
            let sum = now.ruler.both(sum, 3);
            found.fail(|| {
                format!("rapids scrape off {sum} of wood bit by bit; lift first, or use G1")
            });
        }
    }
}
