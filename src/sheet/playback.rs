//! What the page's replay runs on: moves, text and the fixture, packed small.

use serde::Serialize;

use crate::geometry::Point;
use crate::job::{Along, Job, Layout, PartName, ZeroPoint};
use crate::rs274::event::Path;
use crate::units::Units;
use crate::visible;

use super::frame::{area, outline, own_zero, place};
use super::trace::{Step, Trace};

/// Counts in a millimetre.
const GRAIN: f64 = 1000.0;

/// The replay's data; positions are differences in thousandths of a
/// millimetre, so that 50,000 moves stay about a megabyte.
#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Playback {
    programs: Vec<Program>,
    x: Vec<i64>,
    y: Vec<i64>,
    z: Vec<i64>,
    /// Line of its program, as differences; a smaller line starts the next program.
    line: Vec<i64>,
    /// A letter a move: `r` rapid, `l` line, `a` arc.
    kind: String,
    /// Centre and sweep of each arc, in order.
    arcs: Vec<(i64, i64, i64)>,
    /// From this move on: this feed.
    feeds: Vec<(usize, i64)>,
    /// From this move on: this diameter.
    bits: Vec<(usize, i64)>,
    rapid: i64,
    parts: Vec<Slab>,
    clamps: Vec<Block>,
    /// Divider, or fence and centre stop.
    solids: Vec<Block>,
    zeros: Vec<Zero>,
    /// The reader's unit, its millimetres, and decimals of a coordinate.
    unit: &'static str,
    unit_mm: f64,
    decimals: u8,
}

#[derive(Clone, Debug, Serialize)]
struct Program {
    name: String,
    text: String,
    /// Its first move.
    first: usize,
}

/// A part's mating face.
#[derive(Clone, Debug, Serialize)]
struct Slab {
    name: String,
    area: [f64; 4],
    top: f64,
    pockets: Vec<Outline>,
}

#[derive(Clone, Debug, Serialize)]
struct Outline {
    name: String,
    center: [f64; 2],
    /// Centre X, centre Y, extents along X and Y, corner, depth of each step.
    steps: Vec<[f64; 6]>,
}

#[derive(Clone, Debug, Serialize)]
struct Block {
    name: String,
    area: [f64; 4],
}

/// Where a program counts from.
#[derive(Clone, Debug, PartialEq, Serialize)]
struct Zero {
    name: &'static str,
    at: [f64; 2],
}

/// Packs it; nothing where there is nothing to replay or too much.
pub(super) fn pack(
    job: &Job,
    programs: &[(String, String)],
    trace: &Trace,
    units: Units,
) -> Option<Playback> {
    if trace.steps.is_empty() || trace.is_cut_short {
        return None;
    }
    let mut playback = Playback {
        rapid: job.machine.rapid[0]
            .min(job.machine.rapid[1])
            .as_mm_per_minute()
            .round() as i64,
        parts: slabs(job),
        clamps: clamps(job),
        solids: solids(job),
        zeros: zeros(job),
        unit: units.symbol(),
        unit_mm: units.one().as_mm(),
        decimals: match units {
            Units::Millimetre => 3,
            Units::Inch => 4,
        },
        ..Playback::default()
    };
    let mut packer = Packer::default();
    for step in &trace.steps {
        while playback.programs.len() <= step.program {
            let (name, text) = programs.get(playback.programs.len())?;
            playback.programs.push(Program {
                name: super::path::file_name(name).to_owned(),
                text: text.clone(),
                first: playback.x.len(),
            });
            packer.line = 0;
        }
        packer.push(&mut playback, step);
    }
    Some(playback)
}

/// What the last move left behind.
#[derive(Default)]
struct Packer {
    at: [i64; 3],
    line: i64,
    feed: Option<i64>,
    diameter: Option<i64>,
}

impl Packer {
    fn push(&mut self, playback: &mut Playback, step: &Step) {
        let index = playback.x.len();
        let to = step.to.map(grains);
        playback.x.push(to[0] - self.at[0]);
        playback.y.push(to[1] - self.at[1]);
        playback.z.push(to[2] - self.at[2]);
        self.at = to;
        let line = i64::try_from(step.line).unwrap_or(0);
        playback.line.push(line - self.line);
        self.line = line;
        playback.kind.push(match step.path {
            Path::Rapid => 'r',
            Path::Line => 'l',
            Path::Arc { center, sweep } => {
                let [x, y] = center.map(grains);
                playback.arcs.push((x, y, (sweep * 1e6).round() as i64));
                'a'
            }
        });
        let feed = step.feed.round() as i64;
        if step.path != Path::Rapid && self.feed != Some(feed) {
            playback.feeds.push((index, feed));
            self.feed = Some(feed);
        }
        let diameter = grains(step.diameter);
        if self.diameter != Some(diameter) {
            playback.bits.push((index, diameter));
            self.diameter = Some(diameter);
        }
    }
}

fn grains(mm: f64) -> i64 {
    (mm * GRAIN).round() as i64
}

fn slabs(job: &Job) -> Vec<Slab> {
    job.parts
        .iter()
        .map(|part| {
            let area = area(job, part, part.across.as_mm());
            let top = match part.name {
                PartName::Lid if job.fixture.layout != Layout::Scrap => {
                    job.fixture.lid_rise.as_mm()
                }
                PartName::Lid | PartName::Box | PartName::Scrap | PartName::Plate => 0.0,
            };
            let pockets = part.pockets.iter().map(|pocket| {
                let center = place(job, part.name, pocket.center);
                Outline {
                    name: format!("{} {}", part.name, pocket.hinge),
                    center: [center.x, center.y],
                    steps: pocket
                        .steps
                        .iter()
                        .map(|step| {
                            let outline = outline(job, part.name, pocket, step);
                            [
                                outline.center.x,
                                outline.center.y,
                                2.0 * outline.half_x,
                                2.0 * outline.half_y,
                                outline.corner,
                                step.depth.as_mm(),
                            ]
                        })
                        .collect(),
                }
            });
            Slab {
                name: part.name.to_string(),
                area: corners(area.min, area.max),
                top,
                pockets: pockets.collect(),
            }
        })
        .collect()
}

fn clamps(job: &Job) -> Vec<Block> {
    job.fixture
        .clamps
        .iter()
        .map(|clamp| Block {
            name: clamp.name.clone(),
            area: corners(clamp.min, clamp.max),
        })
        .collect()
}

/// What stands between the parts or along them, as far as the parts reach.
fn solids(job: &Job) -> Vec<Block> {
    let fixture = &job.fixture;
    let all = job.parts.iter().map(|part| {
        let area = area(job, part, part.across.as_mm());
        corners(area.min, area.max)
    });
    let Some([left, front, right, back]) = all.reduce(|one, other| {
        [
            one[0].min(other[0]),
            one[1].min(other[1]),
            one[2].max(other[2]),
            one[3].max(other[3]),
        ]
    }) else {
        return Vec::new();
    };
    let half = fixture.divider.as_mm() / 2.0;
    let block = |name: &str, area| Block {
        name: name.to_owned(),
        area,
    };
    let mut solids = Vec::new();
    let across_y = [left, -half, right, half];
    let across_x = [-half, front, half, back];
    let (divider, stop, fence) = match fixture.along {
        Along::X => (across_y, across_x, [left, front - FENCE, right, front]),
        Along::Y => (across_x, across_y, [right, front, right + FENCE, back]),
    };
    match fixture.layout {
        Layout::Book => solids.push(block("divider", divider)),
        Layout::EndToEnd => solids.push(block("stop", stop)),
        Layout::Scrap => {}
    }
    if half <= 0.0 {
        solids.clear();
    }
    if fixture.layout == Layout::EndToEnd {
        // Its own thickness is nobody's business here.
        solids.push(block("fence", fence));
    }
    solids
}

/// Width of the fence in the picture, in millimetres.
const FENCE: f64 = 4.0;

fn zeros(job: &Job) -> Vec<Zero> {
    let fixture = &job.fixture;
    let zero = |name, part| {
        let at = own_zero(job, part);
        Zero {
            name,
            at: [at.x, at.y],
        }
    };
    match fixture.zero {
        ZeroPoint::Shared => vec![Zero {
            name: "X0 Y0",
            at: [0.0, 0.0],
        }],
        ZeroPoint::Each => vec![zero("G54", PartName::Box), zero("G55", PartName::Lid)],
    }
}

fn corners(min: Point, max: Point) -> [f64; 4] {
    [min.x, min.y, max.x, max.y]
}

/// As JSON that is safe inside a script element.
pub(super) fn json(playback: &Playback) -> String {
    let text = serde_json::to_string(playback)
        .unwrap_or_default()
        .replace('<', "\\u003c");
    visible::escaped_json(&text).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    fn pack_text(text: &str) -> Playback {
        let job = sample::job();
        let programs = [("a.nc".to_owned(), text.to_owned())];
        let trace = Trace::of(&job, &programs, &["6 mm up-spiral"]);
        pack(&job, &programs, &trace, Units::Millimetre).unwrap()
    }

    #[test]
    fn positions_add_up_to_the_programs_own() {
        let playback = pack_text(
            "G21\nG17\nG90\nG94\nG54\nG0 Z10.\nG0 X5. Y6.\nG1 Z-1.5 F300.\nG3 X9. Y6. I2. J0. F600.\nM30\n",
        );
        assert_eq!(playback.x, [5000, 0, 4000]);
        assert_eq!(playback.z, [10000, -11500, 0]);
        assert_eq!(playback.kind, "rla");
        assert_eq!(playback.line, [7, 1, 1]);
        assert_eq!(playback.feeds, [(1, 300), (2, 600)]);
        // A half circle about X7 Y6, counter-clockwise: pi is 3,141,593 millionths.
        assert_eq!(playback.arcs, [(7000, 6000, 3_141_593)]);
    }

    // By hand: a divider of 12 in a book layout, its middle at Y0; butted parts have none.
    #[test]
    fn what_stands_in_the_fixture_is_named() {
        let mut job = sample::job();
        let names = |solids: Vec<Block>| -> Vec<String> {
            solids.into_iter().map(|block| block.name).collect()
        };
        assert_eq!(solids(&job)[0].area, [0.0, -6.0, 260.0, 6.0]);
        assert_eq!(zeros(&job)[0].at, [0.0, 0.0]);
        job.fixture.zero = ZeroPoint::Each;
        let each: Vec<_> = zeros(&job)
            .into_iter()
            .map(|zero| (zero.name, zero.at))
            .collect();
        assert_eq!(each, [("G54", [0.0, -6.0]), ("G55", [0.0, 6.0])]);
        job.fixture.layout = Layout::EndToEnd;
        assert_eq!(names(solids(&job)), ["stop", "fence"]);
        // The box, 18 across, and the lid, 180: all at X below 0 along Y.
        job.fixture.along = Along::Y;
        assert_eq!(solids(&job)[0].area, [-180.0, -6.0, 0.0, 6.0]);
        assert_eq!(solids(&job)[1].area, [0.0, -266.0, 4.0, 266.0]);
        assert_eq!(
            slabs(&job)[0].pockets[0].steps[0][..4],
            [-8.5, -51.0, 10.1, 44.1]
        );
        job.fixture.divider = crate::units::Length::ZERO;
        assert_eq!(names(solids(&job)), ["fence"]);
    }

    #[test]
    fn a_program_cannot_close_the_script_it_lies_in() {
        let playback = pack_text("(</script><b>)\nG21\nG54\nG0 Z1.\nG0 X0. Y0.\nM30\n");
        assert!(!json(&playback).contains("</"));
    }
}
