//! The report, once all programs have been heard.

use std::collections::BTreeSet;

use crate::cutting::Settings;
use crate::geometry::Point;
use crate::job::position::{Located, Position};
use crate::job::{Job, PartName};
use crate::replay::height_map::HeightMap;
use crate::report::{CheckId, FeedsReport, PocketReport, Report, StepReport, TemplateReport};
use crate::rs274::event::Frames;
use crate::shop::machine::Machine;
use crate::units::Length;
use crate::units::ruler::Ruler;
use crate::verify::findings::{At, Tally};
use crate::verify::fold::Folded;
use crate::verify::load::{FINISHING, ROUGHING};
use crate::verify::material::kerf_left;
use crate::verify::material::pocket_stock::PocketStock;
use crate::verify::material::residual::{BAND, TakingMove, residual};
use crate::verify::scene::remaining_wood;
use crate::verify::scene::{Scene, Site};
use crate::verify::verifier::{Extremes, JobContext, Verifier};
use crate::verify::{DepthMap, Outcome, template};

/// Wood left that is no fault, in millimetres (contract).
const LEFT: f64 = 0.02;

/// The checks that need no job.
const WITHOUT_JOB: [CheckId; 7] = [
    CheckId::Syntax,
    CheckId::Dialect,
    CheckId::Preamble,
    CheckId::FeedLimit,
    CheckId::SpindleLimit,
    CheckId::Envelope,
    CheckId::ProgramEnd,
];

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
            seen,
            notes,
            ..
        } = self;
        say_what_passed(&mut tally, ruler, &seen, (programs.len(), machine));
        let Some(mut shop) = shop else {
            let report = Report {
                job: None,
                units: machine.dialect.units,
                programs,
                pockets: Vec::new(),
                feeds: None,
                checks: tally.into_checks(&WITHOUT_JOB),
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
        let mut cut = Cut::default();
        let mut folded = Folded::default();
        for _ in 0..shop.places() {
            maps.extend(pictures(&mut shop, pictured));
            cut.add(&mut tally, ruler, &shop);
            folded.add(&mut tally, &shop);
            shop.go_on();
        }
        let pockets = cut.tell(&mut tally, ruler);
        say_about_job(&mut tally, &shop);
        remaining_wood::check(&mut tally, shop.job, &Scene::new(shop.job));
        remaining_wood::check_opening(&mut tally, shop.job);
        folded.tell(&mut tally, shop.job);
        let blocks = shop.plate.as_ref();
        let blocks = blocks.map_or_else(Vec::new, |moves| {
            template::check(&mut tally, shop.job, moves)
        });
        refuse_settings(&mut tally, shop.settings);
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

/// Figures of the pockets of this run; `pocket-complete`.
#[derive(Default)]
struct Cut {
    reports: Vec<PocketReport>,
    /// Wood left that could have been reached.
    most: f64,
    /// Wood taken beyond the wanted shape.
    deepest: f64,
}

impl Cut {
    /// The pockets of the position that the parts lie in.
    fn add(&mut self, tally: &mut Tally, ruler: Ruler, shop: &JobContext<'_>) {
        let mut holes = shop.grounds.iter().flat_map(|ground| &ground.drilled);
        let drilled = holes.any(|&depth| depth > 0.0);
        for (number, site) in shop.scene.sites.iter().enumerate() {
            let (ground, gouge) = (&shop.grounds[number], shop.gouges[number]);
            let left = left_at(shop, site, ground).max(left_round(shop, site, ground));
            self.deepest = self.deepest.max(gouge);
            if site.allowed == 0 {
                continue;
            }
            let board = &shop.scene.boards[site.board];
            self.most = self.most.max(left);
            let name = site.feature.name(board.name);
            if left > LEFT {
                tally.fail(CheckId::PocketComplete, At::JOB, || {
                    format!(
                        "{} of wood left in {name}, at most {} more than {} from the wall; \
                         complete the passes",
                        ruler.both(left, 3),
                        ruler.limit(LEFT),
                        ruler.limit(BAND)
                    )
                });
            }
            check_holes(tally, ruler, (site, ground), &name, drilled);
            if site.hinge() > 0 {
                self.reports.push(pocket_report(shop, site, gouge, left));
            }
        }
    }

    fn tell(mut self, tally: &mut Tally, ruler: Ruler) -> Vec<PocketReport> {
        tally.say(
            CheckId::PocketComplete,
            format!(
                "at most {} of wood left, allowed {}",
                ruler.one(self.most, 3),
                ruler.limit(LEFT)
            ),
        );
        tally.say(
            CheckId::PocketBounds,
            format!(
                "at most {} cut beyond the wanted shape, allowed {}",
                ruler.one(self.deepest, 3),
                ruler.limit(LEFT)
            ),
        );
        self.reports
            .sort_by_key(|report| (report.part, report.hinge));
        self.reports
    }
}

fn left_at(shop: &JobContext<'_>, site: &Site, ground: &PocketStock) -> f64 {
    let top = shop.scene.boards[site.board].top;
    // Where nothing was cut all of the wood is left, whatever would reach it.
    let radius = ground.radius.unwrap_or(0.0);
    let cuts: Vec<TakingMove> = ground.cuts().collect();
    site.required_steps()
        .iter()
        .map(|step| residual(&cuts, top, step, radius))
        .fold(0.0, f64::max)
}

/// The same of a kerf. Where two pieces lie near each other, cuts count for both
/// whichever place they were made in.
fn left_round(shop: &JobContext<'_>, site: &Site, ground: &PocketStock) -> f64 {
    let Some(kerf) = site.required_kerf() else {
        return 0.0;
    };
    let board = &shop.scene.boards[site.board];
    let grounds = &shop.grounds[board.sites.clone()];
    let cuts: Vec<TakingMove> = grounds.iter().flat_map(PocketStock::cuts).collect();
    kerf_left::left(&cuts, board, kerf, ground.radius.unwrap_or(0.0))
}

/// Holes that nobody has begun are another run's; once one is drilled all are due.
fn check_holes(
    tally: &mut Tally,
    ruler: Ruler,
    (site, ground): (&Site, &PocketStock),
    name: &str,
    drilled: bool,
) {
    for (hole, &depth) in site.holes.iter().zip(&ground.drilled) {
        let left = hole.tip - depth;
        if left <= LEFT {
            continue;
        }
        let short = ruler.both(left, 3);
        let message = || format!("a screw hole of {name} is {short} short; drill it to its depth");
        if drilled {
            tally.fail(CheckId::PocketComplete, At::JOB, message);
        } else {
            tally.warn(CheckId::PocketComplete, At::JOB, message);
        }
    }
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

fn refuse_settings(tally: &mut Tally, settings: &Settings) {
    if let Some(reason) = &settings.refusal {
        tally.fail(CheckId::ChipLoad, At::JOB, || reason.clone());
    }
}

fn say_what_passed(
    tally: &mut Tally,
    ruler: Ruler,
    seen: &Extremes,
    (programs, machine): (usize, &Machine),
) {
    let given = match machine.stiffness {
        Some(_) => "bit and machine give",
        None => "the bit's own bend, all that is known without the machine's `stiffness`, is",
    };
    let Extremes {
        bite,
        moves,
        rapids,
        ramps,
    } = *seen;
    let texts = [
        (
            CheckId::Syntax,
            format!(
                "{programs} program{}, every line is of the subset",
                if programs == 1 { "" } else { "s" }
            ),
        ),
        (
            CheckId::Dialect,
            "nothing that the machine's controller does not have".to_owned(),
        ),
        (
            CheckId::Preamble,
            "units, plane, distance, feed mode, work offset and what is off stated first"
                .to_owned(),
        ),
        (
            CheckId::SpindleOn,
            "the spindle turns at speed wherever wood is taken".to_owned(),
        ),
        (
            CheckId::RapidInWood,
            format!("{rapids} rapids, none meets wood"),
        ),
        (
            CheckId::TravelHeight,
            format!("{moves} moves, every travel between pockets is at the safe height"),
        ),
        (
            CheckId::Stepdown,
            format!("the greatest bite is {}", ruler.one(bite, 3)),
        ),
        (
            CheckId::Plunge,
            "no straight plunge by a bit that must ramp".to_owned(),
        ),
        (
            CheckId::RampAngle,
            format!("{ramps} ramps within the bit's limit"),
        ),
        (
            CheckId::FeedLimit,
            format!("{moves} moves within each axis's feed"),
        ),
        (
            CheckId::SpindleLimit,
            "every S is within the spindle's range".to_owned(),
        ),
        (
            CheckId::ChipLoad,
            "every chip is within the bit's window".to_owned(),
        ),
        (
            CheckId::BitSpeed,
            "no bit turns faster than it is rated for".to_owned(),
        ),
        (
            CheckId::EdgeWear,
            "every edge that takes wood still cuts".to_owned(),
        ),
        (
            CheckId::ChipRoom,
            "chips find a way out of every pocket".to_owned(),
        ),
        (
            CheckId::SpindlePower,
            "every bite is within the spindle's power".to_owned(),
        ),
        (
            CheckId::Deflection,
            format!(
                "{given} less than {} roughing and {} finishing",
                ruler.limit(ROUGHING),
                ruler.limit(FINISHING)
            ),
        ),
        (
            CheckId::FluteReach,
            "the cutting edge is as long as every pocket is deep".to_owned(),
        ),
        (
            CheckId::NutClearance,
            "shank, nut and nose keep clear of wood and fixture".to_owned(),
        ),
        (
            CheckId::ClampClearance,
            "everything keeps clear of the clamps".to_owned(),
        ),
        (CheckId::Envelope, "within the machine's travel".to_owned()),
        (
            CheckId::ProgramEnd,
            "every program ends with the bit up and the spindle off".to_owned(),
        ),
    ];
    for (id, text) in texts {
        tally.say(id, text);
    }
}

/// Where a check rests on something the job does not tell, it says so.
fn say_about_job(tally: &mut Tally, shop: &JobContext<'_>) {
    let job = shop.job;
    if job.machine.spindle.power_w.is_none() {
        tally.none(
            CheckId::SpindlePower,
            "the machine file gives no `spindle.power_w`",
        );
    }
    let has_blocks = |position: &Position| matches!(position.located, Located::Mark(_));
    if job.fixture.clamps.is_empty() && !job.fixture.positions.iter().any(has_blocks) {
        tally.none(CheckId::ClampClearance, "the job names no clamps");
    }
    let position = match job.fixture.machine_zero {
        Some(_) => "sizes and positions",
        None => "sizes (positions unknown without `fixture.machine_zero`)",
    };
    let daylight = match (job.machine.daylight, job.fixture.bed(&job.parts)) {
        (Some(_), Some(_)) => "daylight kept",
        (Some(_), None) => "daylight unknown without `fixture.box_base` or `lid_base`",
        (None, _) => "daylight unknown without the machine's `daylight`",
    };
    tally.say(
        CheckId::Envelope,
        format!("{position} within the machine's travel; {daylight}"),
    );
    if job.machine.nose_diameter.is_none() {
        tally.say(
            CheckId::NutClearance,
            "shank and nut keep clear of wood and fixture; the nose is unknown without `nose`",
        );
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
