//! Sheets' input built by hand, for tests beside the code.

use crate::cutting::{Limits, Settings};
use crate::geometry::{Point, RoundedRectangle};
use crate::job::{Clamp, Closing, Job, Layout, Part, PartName, Tick, sample};
use crate::report::{
    Bounds, Check, CheckId, PocketReport, ProgramReport, Report, Verdict, WoodLeft,
};
use crate::units::{Angle, Feed, Length, Seconds, SpindleSpeed, Units};
use crate::verify::{DepthMap, Outcome};

use super::Input;
use super::frame::{place, signs};
use super::pocket::around;

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

pub(super) struct Sample {
    pub(super) job: Job,
    pub(super) settings: Settings,
    pub(super) outcome: Outcome,
    pub(super) programs: Vec<(String, String)>,
    pub(super) units: Units,
}

impl Sample {
    pub(super) fn input(&self) -> Input<'_> {
        Input {
            job: &self.job,
            settings: &self.settings,
            outcome: &self.outcome,
            programs: &self.programs,
            units: self.units,
        }
    }

    pub(super) fn book() -> Self {
        let mut job = sample::job();
        job.parts[0].depth_for_drawing = Some(mm(170.0));
        job.fixture.clamps = vec![
            clamp("left clamp", (30.0, 78.0), (60.0, 108.0)),
            clamp("right clamp", (200.0, 78.0), (230.0, 108.0)),
        ];
        Self::of(job)
    }

    pub(super) fn line() -> Self {
        let mut job = sample::job();
        job.closing = Closing::Inset;
        job.fixture.layout = Layout::EndToEnd;
        job.parts[0].across = mm(90.0);
        job.parts[0].below = mm(18.0);
        job.parts[1].across = mm(18.0);
        job.parts[1].below = mm(180.0);
        job.parts[1].length = mm(258.0);
        for pocket in &mut job.parts[1].pockets {
            pocket.center.x -= 1.0;
        }
        job.fixture.clamps = vec![clamp("clamp", (-150.0, 60.0), (-120.0, 90.0))];
        Self::of(job)
    }

    pub(super) fn scrap() -> Self {
        let mut job = sample::job();
        let template = job.parts[0].pockets[0].clone();
        let mut scrap = Part {
            name: PartName::Scrap,
            length: mm(120.0),
            across: mm(110.0),
            below: mm(18.0),
            pockets: Vec::new(),
            ..job.parts[0].clone()
        };
        for number in 1..=5_usize {
            let mut pocket = template.clone();
            pocket.hinge = number;
            let v = 14.0 + 20.0 * (number - 1) as f64;
            pocket.center = Point::from_mm(36.0, v);
            for step in &mut pocket.steps {
                let clearance = 0.05 * (number - 1) as f64;
                step.width = mm(10.0 + clearance);
                step.corner = step.width / 2.0;
            }
            for tick in 0..number {
                let u = 70.0 + 8.0 * tick as f64;
                scrap.ticks.push(Tick {
                    from: Point::from_mm(u, v - 3.0),
                    to: Point::from_mm(u, v + 3.0),
                    depth: mm(0.5),
                });
            }
            scrap.pockets.push(pocket);
        }
        job.parts = vec![scrap];
        job.fixture.layout = Layout::Scrap;
        Self::of(job)
    }

    fn of(job: Job) -> Self {
        let outcome = outcome(&job);
        Self {
            settings: settings(),
            outcome,
            programs: vec![("sample.nc".to_owned(), program_text(&job, 3))],
            units: job.units,
            job,
        }
    }

    pub(super) fn fail(&mut self, id: CheckId, message: &str) {
        for check in &mut self.outcome.report.checks {
            if check.id == id {
                check.verdict = Verdict::Fail;
                message.clone_into(&mut check.message);
                check.count = 1;
            }
        }
    }
}

fn clamp(name: &str, min: (f64, f64), max: (f64, f64)) -> Clamp {
    Clamp {
        name: name.to_owned(),
        min: Point::from_mm(min.0, min.1),
        max: Point::from_mm(max.0, max.1),
        height: mm(25.0),
    }
}

fn settings() -> Settings {
    let feed = Feed::from_mm_per_minute(1650.0);
    Settings {
        speed: SpindleSpeed::from_rpm(12000.0),
        feed,
        finish_feed: feed,
        plunge_feed: feed * 0.3,
        limits: Limits {
            stepdown: mm(3.3),
            ramp: Angle::from_degrees(4.0),
            chip_min: mm(0.03),
            chip_max: mm(0.15),
            stepover: 0.45,
        },
        chip_load: mm(0.069),
        force_n: 11.0,
        power_w: 42.0,
        deflection: mm(0.011),
        finish_deflection: mm(0.004),
        binding: "stepdown".to_owned(),
        refusal: None,
    }
}

fn outcome(job: &Job) -> Outcome {
    let mut pockets = Vec::new();
    let mut maps = Vec::new();
    for part in &job.parts {
        for pocket in &part.pockets {
            let center = place(job, part.name, pocket.center);
            let left = around(part, pocket);
            pockets.push(PocketReport {
                part: part.name,
                hinge: pocket.hinge,
                kind: pocket.kind,
                position: None,
                center: [center.x(), center.y()],
                top: mm(0.0),
                steps: Vec::new(),
                left: WoodLeft {
                    outside: left.outside,
                    inside: left.inside,
                    below: left.below,
                    end: left.end,
                },
                gouge_mm: mm(0.0),
                residual_mm: mm(0.004),
            });
            maps.push(map(job, part, pocket));
        }
    }
    let checks = CheckId::of_report(job.plate.is_some())
        .into_iter()
        .map(|id| Check {
            id,
            verdict: Verdict::Pass,
            message: "at most 0.004 mm over 812 moves, 0.020 mm allowed".to_owned(),
            count: 0,
            findings: Vec::new(),
        });
    Outcome {
        report: Report {
            job: Some(job.title.clone()),
            units: job.units,
            programs: vec![program()],
            pockets,
            feeds: None,
            checks: checks.collect(),
            notes: vec!["box pockets moved 0.10 mm inward, entered by fit".to_owned()],
            boxes: Vec::new(),
            template: None,
            retuned: Vec::new(),
            stale: Vec::new(),
        },
        maps,
    }
}

fn program() -> ProgramReport {
    ProgramReport {
        path: "out/sample.nc".to_owned(),
        position: None,
        sha256: "a1".repeat(32),
        bytes: 24_000,
        lines: 912,
        bit: "6 mm up-spiral".to_owned(),
        seconds: Seconds::from_seconds(380.0),
        cutting_seconds: Seconds::from_seconds(300.0),
        scoring_seconds: Seconds::from_seconds(10.0),
        rapid_seconds: Seconds::from_seconds(20.0),
        feed_seconds: Seconds::from_seconds(300.0),
        reached_feed: 0.7,
        blocks_per_second: 40,
        bound_seconds: Seconds::from_seconds(240.0),
        cut_mm: mm(8200.0),
        rapid_mm: mm(900.0),
        bounds: Bounds {
            min: [mm(25.0), mm(-17.0), mm(-12.4)],
            max: [mm(235.0), mm(17.0), mm(30.0)],
        },
    }
}

/// What a faultless program leaves, sampled every 0.25 mm.
fn map(job: &Job, part: &Part, pocket: &crate::job::Pocket) -> DepthMap {
    let (along, _) = signs(job, part.name);
    let center = place(job, part.name, pocket.center);
    let cell = 0.25;
    let (columns, rows) = (194, 58);
    let origin = Point::from_mm(center.x - 24.125, center.y - 7.125);
    let depth = (0..rows * columns).map(|index| {
        let at = Point::from_mm(
            origin.x + (index % columns) as f64 * cell,
            origin.y + (index / columns) as f64 * cell,
        );
        pocket
            .steps
            .iter()
            .filter(|step| {
                let middle = Point::from_mm(center.x + along * step.shift.as_mm(), center.y);
                RoundedRectangle::new(middle, step.length, step.width, step.corner)
                    .signed_distance_mm(at)
                    < 0.0
            })
            .map(|step| step.depth.as_mm() as f32)
            .fold(0.0, f32::max)
    });
    DepthMap {
        part: part.name,
        hinge: pocket.hinge,
        origin,
        cell: mm(cell),
        columns,
        rows,
        depth: depth.collect(),
    }
}

/// A plain program: each step is ramped down along its centre line and then
/// rounded once, `laps` times.
pub(super) fn program_text(job: &Job, laps: usize) -> String {
    let mut text = "(sample)\nG21 G17 G40 G49 G90 G94 G54\nG0 Z10.\nS12000 M3\nG4 P3\n".to_owned();
    for part in &job.parts {
        let (along, _) = signs(job, part.name);
        for pocket in &part.pockets {
            let at = place(job, part.name, pocket.center);
            let mut from = 0.0;
            for step in &pocket.steps {
                let x = at.x + along * step.shift.as_mm();
                let reach = (step.length - step.width).as_mm() / 2.0;
                let room = step.width.as_mm() / 2.0 - 3.0;
                let depth = step.depth.as_mm();
                text += &format!("G0 X{:.3} Y{:.3}\nG0 Z{:.3}\n", x - reach, at.y, 2.0 - from);
                text += &format!("G1 Z{:.3} F300.\n", -from);
                for lap in 1..=laps {
                    let z = from + (depth - from) * lap as f64 / laps as f64;
                    let side = if lap % 2 == 1 { reach } else { -reach };
                    text += &format!("G1 X{:.3} Z{:.3} F1650.\n", x + side, -z);
                }
                let (low, high) = (at.y - room, at.y + room);
                text += &format!("G1 X{:.3} Y{low:.3}\nG1 X{:.3}\n", x - reach, x + reach);
                text += &format!("G3 X{:.3} Y{high:.3} I0. J{room:.3}\n", x + reach);
                text += &format!(
                    "G1 X{:.3}\nG3 X{:.3} Y{low:.3} I0. J{:.3}\n",
                    x - reach,
                    x - reach,
                    -room
                );
                text += "G0 Z10.\n";
                from = depth;
            }
        }
    }
    text + "M5\nM30\n"
}
