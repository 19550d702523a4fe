//! The report, once all programs have been heard.

use std::collections::BTreeSet;

use crate::cutting::Settings;
use crate::geometry::Point;
use crate::job::{Job, PartName};
use crate::replay::height_map::HeightMap;
use crate::report::{CheckId, FeedsReport, PocketReport, Report, StepReport, TemplateReport};
use crate::rs274::event::Frames;
use crate::units::Length;
use crate::verify::checks::check::{Place, Whole};
use crate::verify::checks::list::Checks;
use crate::verify::job_context::JobContext;
use crate::verify::material::left::left;
use crate::verify::scene::{Site, remaining_wood};
use crate::verify::verifier::Verifier;
use crate::verify::{DepthMap, Outcome, template};

impl Verifier<'_> {
    pub(crate) fn frames(&self) -> Frames {
        self.shop
            .as_ref()
            .map_or_else(Frames::default, |shop| shop.scene.frames)
    }

    pub(crate) fn finish(self, pictured: &[(PartName, usize)]) -> Outcome {
        let Self {
            shop,
            mut tally,
            programs,
            machine,
            ruler,
            mut checks,
            notes,
            ..
        } = self;
        let heard = programs.len();
        let whole = |shop, remaining| Whole {
            machine,
            ruler,
            programs: heard,
            shop,
            remaining,
        };
        let Some(mut shop) = shop else {
            checks.answer(&whole(None, &[]), &mut tally);
            let report = Report {
                job: None,
                units: machine.dialect.units,
                programs,
                pockets: Vec::new(),
                feeds: None,
                checks: tally.into_checks(&Checks::without_job()),
                notes: Vec::new(),
                boxes: Vec::new(),
                template: None,
                retuned: Vec::new(),
                stale: Vec::new(),
            };
            return Outcome {
                report,
                maps: Vec::new(),
            };
        };
        let mut maps = Vec::new();
        let mut pockets = Vec::new();
        for _ in 0..shop.places() {
            maps.extend(pictures(&mut shop, pictured));
            let left = left(&shop);
            let place = Place {
                ruler,
                shop: &shop,
                left: &left,
            };
            checks.place(&place, &mut tally);
            pockets.extend(pocket_reports(&shop, &left));
            shop.go_on();
        }
        pockets.sort_by_key(|pocket: &PocketReport| (pocket.part, pocket.hinge));
        let remaining = remaining_wood::places(shop.job);
        checks.answer(&whole(Some(&shop), &remaining), &mut tally);
        let blocks = shop.plate.as_ref();
        let blocks = blocks.map_or_else(Vec::new, |moves| {
            template::check(&mut tally, shop.job, moves)
        });
        let report =
            Report {
                job: Some(shop.job.title.clone()),
                units: shop.job.units,
                programs,
                pockets,
                feeds: Some(feeds(shop.job, shop.settings)),
                checks: tally.into_checks(&CheckId::of_report(shop.job.plate.is_some())),
                notes,
                boxes: Vec::new(),
                template: shop.job.plate.as_ref().zip(shop.job.template.as_ref()).map(
                    |(plate, template)| TemplateReport::new(template, &plate.features, blocks),
                ),
                retuned: Vec::new(),
                stale: Vec::new(),
            };
        Outcome { report, maps }
    }
}

/// The pockets of this run in the position that the parts lie in.
fn pocket_reports<'s>(
    shop: &'s JobContext<'_>,
    left: &'s [f64],
) -> impl Iterator<Item = PocketReport> + 's {
    let sites = shop.scene.sites.iter().zip(&shop.gouges).zip(left);
    let of_this_run = sites.filter(|((site, _), _)| site.allowed > 0 && site.hinge() > 0);
    of_this_run.map(|((site, &gouge), &left)| pocket_report(shop, site, gouge, left))
}

fn pocket_report(shop: &JobContext<'_>, site: &Site, gouge: f64, left: f64) -> PocketReport {
    let board = &shop.scene.boards[site.board];
    let mm = Length::from_mm;
    let steps = site
        .steps
        .iter()
        .map(|step| {
            let halves = [step.outline.half_x, step.outline.half_y];
            let [length, width] = board.frame.swap(halves).map(|half| mm(2.0 * half));
            StepReport {
                center: [mm(step.outline.center.x), mm(step.outline.center.y)],
                length,
                width,
                depth: mm(step.depth),
                corner: mm(step.outline.corner),
            }
        })
        .collect();
    let part = shop.job.part(board.name);
    let pocket = part.and_then(|part| Some((part, part.pocket(site.hinge())?)));
    let center = pocket.map_or([0.0, 0.0], |(_, pocket)| {
        board.frame.to_program(pocket.center.x, pocket.center.y)
    });
    let nothing = crate::report::WoodLeft {
        outside: Length::ZERO,
        inside: Length::ZERO,
        below: Length::ZERO,
        end: Length::ZERO,
    };
    PocketReport {
        part: board.name,
        hinge: site.hinge(),
        kind: pocket.map_or_else(Default::default, |(_, pocket)| pocket.kind),
        position: shop.position.map(|position| position.number),
        center: center.map(mm),
        top: mm(board.top),
        steps,
        left: pocket.map_or(nothing, |(part, pocket)| {
            remaining_wood::wood_left(part, pocket)
        }),
        gouge_mm: mm(gouge),
        residual_mm: mm(left),
    }
}

fn feeds(job: &Job, settings: &Settings) -> FeedsReport {
    FeedsReport {
        bit: job.bit.name.clone(),
        rpm: settings.speed.as_rpm(),
        feed: settings.feed.as_mm_per_minute(),
        plunge_feed: settings.plunge_feed.as_mm_per_minute(),
        chip_load: settings.chip_load.as_mm(),
        stepdown: settings.limits.stepdown.as_mm(),
        ramp_deg: settings.limits.ramp.as_degrees(),
        power_w: settings.power_w,
        deflection_mm: settings.deflection.as_mm(),
        wear: job.bit.wear,
    }
}

/// What is left of the wood, as the moves left it.
fn pictures(shop: &mut JobContext<'_>, wanted: &[(PartName, usize)]) -> Vec<DepthMap> {
    let allowance = shop.allowance;
    let wanted: BTreeSet<_> = wanted.iter().collect();
    let JobContext { scene, grounds, .. } = shop;
    let sites = scene.sites.iter().zip(grounds);
    sites
        .filter(|(site, ground)| {
            let part = scene.boards[site.board].name;
            ground.touched && site.hinge() > 0 && wanted.contains(&(part, site.hinge()))
        })
        .map(|(site, ground)| {
            let board = &scene.boards[site.board];
            let HeightMap { grid, mut depth } = ground.take_stock(site, allowance);
            depth.truncate(grid.columns * grid.rows);
            DepthMap {
                part: board.name,
                hinge: site.hinge(),
                origin: Point::from_mm(grid.first[0], grid.first[1]),
                cell: Length::from_mm(grid.cell),
                columns: grid.columns,
                rows: grid.rows,
                depth,
            }
        })
        .collect()
}
