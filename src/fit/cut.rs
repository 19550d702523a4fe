//! What a program has cut, worked out from its text.

use std::collections::BTreeMap;

use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};

use crate::job::position::Position;
use crate::job::{Job, PartName, PocketKind};
use crate::replay::segment::Segment;
use crate::rs274;
use crate::rs274::event::{Event, Move, Path, Refusal as LineRefusal, Visitor};
use crate::settings;
use crate::shop::bit::{Bit, BitKind};
use crate::template;
use crate::test_piece::{self, Scrap, Series};
use crate::units::{Length, text};
use crate::verify::Judge;
use crate::verify::scene::Scene;

/// A program that was run.
#[derive(Clone, Copy, Debug)]
pub struct Program<'p> {
    /// What messages call it.
    pub name: &'p str,
    /// Its bytes.
    pub text: &'p [u8],
    /// Its bit, where the command line names one.
    pub bit: Option<&'p Bit>,
    /// The position that it is for, from 1, where the job has positions.
    pub position: Option<usize>,
}

/// What the programs are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    /// Of the job, or of the part of it that is selected.
    Job,
    /// Of its test piece in such a scrap.
    TestPiece(Scrap, Series),
    /// Of its template.
    Template,
}

/// One pocket as the text has cut it, in its part's own frame, for a zero that
/// is right. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pocket {
    /// Least and greatest u, from the stop end.
    pub(super) u: [f64; 2],
    /// Least and greatest v, from the outside face.
    pub(super) v: [f64; 2],
    pub(super) depth: f64,
}

impl Pocket {
    fn nothing() -> Self {
        Self {
            u: [f64::INFINITY, f64::NEG_INFINITY],
            v: [f64::INFINITY, f64::NEG_INFINITY],
            depth: 0.0,
        }
    }

    pub(super) fn width(&self) -> f64 {
        self.v[1] - self.v[0]
    }
}

/// The pockets of all programs, by part and hinge.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Cut {
    pub(super) pockets: BTreeMap<(PartName, usize), Pocket>,
    /// SHA-256 of the texts, one after the other.
    pub(super) digest: String,
    /// The job as the text has it: its corrections, its clearance, its depth.
    pub(super) job: Option<Job>,
}

impl Cut {
    /// The first pocket of a part.
    pub(super) fn first(&self, part: PartName) -> Option<&Pocket> {
        self.first_with_hinge(part).map(|(_, pocket)| pocket)
    }

    /// The same with its hinge.
    pub(super) fn first_with_hinge(&self, part: PartName) -> Option<(usize, &Pocket)> {
        self.first_of(part, None)
    }

    /// The first pocket of a part that is cut in a position.
    fn first_of(&self, part: PartName, position: Option<&Position>) -> Option<(usize, &Pocket)> {
        let mut all = self.pockets.iter();
        all.find(|((name, hinge), _)| {
            *name == part && position.is_none_or(|position| position.holds(*hinge))
        })
        .map(|((_, hinge), pocket)| (*hinge, pocket))
    }
}

/// The job as its programs have it, which may be older than the file: corrections,
/// clearance and depth as they were then.
///
/// # Errors
/// What the judge has against it, a sentence each; a program that did not cut the
/// pocket of that part and hinge.
pub fn as_cut(
    job: &Job,
    programs: &[Program<'_>],
    (part, hinge): (PartName, usize),
) -> Result<Job, Vec<String>> {
    let cut = of(job, What::Job, programs)?;
    let wanted = job.part(part).and_then(|part| part.pocket(hinge));
    let floor = wanted.and_then(|pocket| pocket.steps.last());
    let is_whole = |found: &Pocket| {
        // Corrections since then are of tenths; a step that is missing is of millimetres.
        floor.is_some_and(|floor| found.depth > floor.depth.as_mm() / 2.0)
    };
    match cut.pockets.get(&(part, hinge)) {
        None => Err(vec![format!("{part} pocket {hinge} is not cut in it")]),
        Some(found) if !is_whole(found) => Err(vec![format!(
            "it cuts {part} pocket {hinge} only {} mm deep; name the program of the whole pocket",
            text::trimmed(found.depth)
        )]),
        Some(_) => cut.job.ok_or_else(Vec::new),
    }
}

/// Of a template's plate.
impl Cut {
    fn first_of_kind(&self, plate: &Job, kind: PocketKind) -> Option<&Pocket> {
        let part = plate.part(PartName::Plate)?;
        let first = part.pockets.iter().find(|pocket| pocket.kind == kind)?;
        self.pockets.get(&(PartName::Plate, first.hinge))
    }

    /// How wide the first opening is.
    pub(super) fn opening_width(&self, plate: &Job) -> Option<Length> {
        let opening = self.first_of_kind(plate, PocketKind::Opening)?;
        Some(Length::from_mm(opening.width()))
    }

    /// How far its middle line lies from the box's batten.
    pub(super) fn to_batten(&self, plate: &Job) -> Option<Length> {
        let grooves = &plate.plate.as_ref()?.features.grooves;
        if !grooves.first()?.is_for_box {
            return None;
        }
        let opening = self.first_of_kind(plate, PocketKind::Opening)?;
        let groove = self.first_of_kind(plate, PocketKind::Groove)?;
        let middle = f64::midpoint(opening.v[0], opening.v[1]);
        Some(Length::from_mm(middle - groove.v[1]))
    }

    /// The job with the batten where this plate's text has it.
    fn with_its_batten(&self, job: &Job, plate: &Job) -> Option<Job> {
        let mut supposed = job.clone();
        let own = supposed.template.as_mut()?;
        let nominal = job.part(PartName::Box)?.pockets.first()?.center.y();
        own.batten_off = self.to_batten(plate)? - nominal + own.off_centre[0];
        Some(supposed)
    }
}

/// What the programs have cut, proved to be what the command line says.
///
/// # Errors
/// What the judge has against it, a sentence each.
pub(super) fn of(job: &Job, what: What, programs: &[Program<'_>]) -> Result<Cut, Vec<String>> {
    let of_another: Vec<String> = programs
        .iter()
        .filter_map(|program| of_another_position(job, program))
        .collect();
    if !of_another.is_empty() {
        return Err(of_another);
    }
    let mut why = vec!["no pocket of this job is cut".to_owned()];
    for supposed in suppositions(job, what, programs) {
        match judged(&supposed, programs) {
            Ok(()) => {
                let mut cut = measured(&supposed, programs);
                cut.digest = digest(programs);
                cut.job = Some(supposed);
                return Ok(cut);
            }
            Err(found) => why = found,
        }
    }
    Err(why)
}

/// A program lies in another position than the one it is told to be for where
/// that puts its pockets so much nearer to their places, in millimetres; no
/// correction is as large (common practice, no source).
const ELSEWHERE: f64 = 5.0;

/// What to say of a program that was made for another position.
fn of_another_position(job: &Job, program: &Program<'_>) -> Option<String> {
    let own = off_its_place(job, program, program.position?);
    let others = job.fixture.positions.iter();
    let others = others.filter(|other| Some(other.number) != program.position);
    // Each look replays the program.
    let off = others.map(|other| (off_its_place(job, program, other.number), other));
    let (off, nearest) = off.min_by(|one, other| one.0.total_cmp(&other.0))?;
    (off + ELSEWHERE < own).then(|| {
        let hinges: Vec<String> = nearest.hinges.iter().map(usize::to_string).collect();
        let (name, number) = (program.name, nearest.number);
        format!(
            "{name} cuts as position {number} does (hinge {}): say --position {number}",
            hinges.join(", ")
        )
    })
}

/// How far along u the first pockets lie off their places, were the program for
/// that position; infinite where none is cut.
fn off_its_place(job: &Job, program: &Program<'_>, number: usize) -> f64 {
    let told = Program {
        position: Some(number),
        ..*program
    };
    let cut = measured(job, &[told]);
    let position = job.fixture.position(number);
    let off = job.parts.iter().filter_map(|part| {
        let (hinge, found) = cut.first_of(part.name, position)?;
        let pocket = part.pocket(hinge)?;
        let wanted = pocket.center.x + pocket.steps.first()?.shift.as_mm();
        Some((f64::midpoint(found.u[0], found.u[1]) - wanted).abs())
    });
    off.reduce(f64::max).unwrap_or(f64::INFINITY)
}

fn digest(programs: &[Program<'_>]) -> String {
    let mut hash = Sha256::new();
    programs
        .iter()
        .for_each(|program| hash.update(program.text));
    HEXLOWER.encode(&hash.finalize())
}

/// The job with the corrections, clearance and depth that the text seems to
/// have: readings may have changed the file since.
fn suppositions(job: &Job, what: What, programs: &[Program<'_>]) -> Vec<Job> {
    match what {
        What::Job => {
            let cut = measured(job, programs);
            shifted(job, &cut).into_iter().collect()
        }
        What::TestPiece(scrap, series) => of_scrap(job, scrap, series, programs),
        What::Template => of_template(job, programs),
    }
}

/// The job with each part's pockets moved, widened and deepened as they are cut:
/// along u by what each position has, across by what the part has.
fn shifted(job: &Job, cut: &Cut) -> Option<Job> {
    let mut shifted = job.clone();
    let Job { parts, fixture, .. } = &mut shifted;
    let step = job.selection.step;
    let mut first = None;
    for part in parts {
        let mut moved_across = None;
        for position in job.positions() {
            let Some((hinge, found)) = cut.first_of(part.name, position) else {
                continue;
            };
            let pocket = part.pocket(hinge)?;
            let widest = pocket.steps.first()?;
            let last = step.map_or(pocket.steps.last(), |step| pocket.steps.get(step - 1))?;
            let middle = |of: [f64; 2]| f64::midpoint(of[0], of[1]);
            let moved_u = middle(found.u) - (pocket.center.x + widest.shift.as_mm());
            let moved_v = middle(found.v) - pocket.center.y;
            let wider = Length::from_mm(found.width() - widest.width.as_mm());
            let deeper = Length::from_mm(found.depth - last.depth.as_mm());
            first = first.or(Some((wider, deeper)));
            moved_across = moved_across.or(Some(Length::from_mm(moved_v)));
            let own = position
                .and_then(|position| fixture.positions.get_mut(position.number - 1))
                .map(|own| match part.name {
                    PartName::Lid => &mut own.lid_u,
                    PartName::Box | PartName::Scrap | PartName::Plate => &mut own.box_u,
                });
            *own.unwrap_or(&mut part.correction_u) += Length::from_mm(moved_u);
            let holds = |hinge| position.is_none_or(|position| position.holds(hinge));
            for pocket in part.pockets.iter_mut().filter(|own| holds(own.hinge)) {
                pocket.center.x += moved_u;
                pocket.center.y += moved_v;
                for hole in &mut pocket.holes {
                    hole.center.x += moved_u;
                    hole.center.y += moved_v;
                    hole.from += deeper;
                    hole.tip += deeper;
                }
            }
        }
        part.correction_v += moved_across.unwrap_or_default();
    }
    let (wider, deeper) = first?;
    widen(&mut shifted, wider);
    deepen(&mut shifted, deeper);
    Some(shifted)
}

/// The plate as it is made now, and as the text has its grooves.
fn of_template(job: &Job, programs: &[Program<'_>]) -> Vec<Job> {
    let Ok(now) = template::job(job) else {
        return Vec::new();
    };
    let cut = measured(&now, programs);
    let moved = cut
        .with_its_batten(job, &now)
        .and_then(|job| template::job(&job).ok());
    [Some(now), moved].into_iter().flatten().collect()
}

fn of_scrap(job: &Job, scrap: Scrap, series: Series, programs: &[Program<'_>]) -> Vec<Job> {
    let piece = |clearance: Length, deeper: Length| {
        let mut supposed = job.clone();
        widen(&mut supposed, clearance - job.fit.clearance);
        deepen(&mut supposed, deeper);
        test_piece::job(&supposed, scrap, series).ok()
    };
    let Some(now) = piece(job.fit.clearance, Length::ZERO) else {
        return Vec::new();
    };
    let cut = measured(&now, programs);
    let own = now.parts.first().and_then(|part| part.pockets.first());
    let (Some(first), Some(own)) = (cut.first(PartName::Scrap), own) else {
        return Vec::new();
    };
    let deepest = own.steps.last().map_or(0.0, |step| step.depth.as_mm());
    let deeper = Length::from_mm(first.depth - deepest);
    let leaf = leaf_width(job).as_mm();
    let below = ((series.pockets - 1) / 2) as f64;
    let middle = Length::from_mm(first.width() - leaf) + series.step * below;
    [job.fit.clearance, middle]
        .into_iter()
        .filter_map(|clearance| piece(clearance, deeper))
        .collect()
}

/// Width of the first step without clearance.
pub(super) fn leaf_width(job: &Job) -> Length {
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    let mut steps = pockets.filter_map(|pocket| pocket.steps.first());
    steps.next().map_or(job.hinge.width, |step| step.width) - job.fit.clearance
}

fn deepen(job: &mut Job, more: Length) {
    job.fit.depth += more;
    for step in steps(job) {
        step.depth += more;
    }
}

fn widen(job: &mut Job, more: Length) {
    job.fit.clearance += more;
    for step in steps(job) {
        step.length += more;
        step.width += more;
        step.corner += more / 2.0;
    }
}

fn steps(job: &mut Job) -> impl Iterator<Item = &mut crate::job::Step> {
    let pockets = job.parts.iter_mut().flat_map(|part| &mut part.pockets);
    pockets.flat_map(|pocket| &mut pocket.steps)
}

fn judged(job: &Job, programs: &[Program<'_>]) -> Result<(), Vec<String>> {
    let settings = settings::for_job(job);
    let mut judge = Judge::new(job, &settings);
    for program in programs {
        if let Some(position) = program.position {
            judge.lay(position);
        }
        judge.begin(program.name, program.bit);
        judge.push(program.text);
        judge.end();
    }
    let report = judge.finish().report;
    let words: Vec<String> = report
        .beyond_force()
        .map(|check| format!("{}: {}", check.id, check.message))
        .collect();
    if words.is_empty() { Ok(()) } else { Err(words) }
}

fn measured(job: &Job, programs: &[Program<'_>]) -> Cut {
    let mut cut = Cut::default();
    for program in programs {
        let position = program.position;
        let position = position.and_then(|number| job.fixture.position(number));
        let scene = Scene::of(job, position);
        let mut caliper = Caliper {
            job,
            scene: &scene,
            bit: program.bit.unwrap_or(&job.bit),
            is_given: program.bit.is_some(),
            cut: &mut cut,
        };
        rs274::read(
            program.text,
            &job.machine.dialect,
            scene.frames,
            &mut caliper,
        );
    }
    cut
}

/// Follows the bit through the wood.
struct Caliper<'a> {
    job: &'a Job,
    scene: &'a Scene,
    bit: &'a Bit,
    is_given: bool,
    cut: &'a mut Cut,
}

/// Shallower than this nothing is cut: a bit may touch the face.
const SKIN: f64 = 0.05;

impl Caliper<'_> {
    fn take(&mut self, motion: &Move) {
        let Some(segment) = Segment::of(motion) else {
            return;
        };
        if motion.path == Path::Rapid || self.bit.kind == BitKind::Drill {
            return;
        }
        let middle = segment.at(0.5);
        let Some(site) = self.scene.site_at([middle[0], middle[1]]) else {
            return;
        };
        let board = &self.scene.boards[site.board];
        let depth = board.top - segment.lowest();
        if depth < SKIN || site.hinge() == 0 {
            return;
        }
        let low = segment
            .between_heights(f64::NEG_INFINITY, board.top - SKIN)
            .map(|(first, last)| segment.part(first, last));
        let Some(low) = low else {
            return;
        };
        let radius = self.bit.cutting_diameter().as_mm() / 2.0;
        let extent = low.extent();
        let one = board.frame.to_part(extent.min[0], extent.min[1]);
        let other = board.frame.to_part(extent.max[0], extent.max[1]);
        let key = (board.name, site.hinge());
        let pocket = self.cut.pockets.entry(key).or_insert_with(Pocket::nothing);
        for (axis, reach) in [&mut pocket.u, &mut pocket.v].into_iter().enumerate() {
            reach[0] = reach[0].min(one[axis].min(other[axis]) - radius);
            reach[1] = reach[1].max(one[axis].max(other[axis]) + radius);
        }
        pocket.depth = pocket.depth.max(depth);
    }
}

impl Visitor for Caliper<'_> {
    fn event(&mut self, _: u64, event: &Event) {
        match event {
            Event::Move(motion) => self.take(motion),
            Event::SelectTool(number) if !self.is_given => {
                let pilot = self.job.pilot.as_ref().map(|pilot| &pilot.bit);
                let mut rack = [Some(&self.job.bit), pilot]
                    .into_iter()
                    .flatten()
                    .chain(&self.job.rack);
                if let Some(bit) = rack.find(|bit| bit.tool == *number) {
                    self.bit = bit;
                }
            }
            _ => {}
        }
    }

    fn refusal(&mut self, _: &LineRefusal) {}
}
