//! The job, how its parts lie now, and the wood of its places: a position at a time.

use std::collections::VecDeque;
use std::mem::swap;

use crate::cutting::Settings;
use crate::job::Job;
use crate::job::position::Position;
use crate::replay::segment::Segment;
use crate::shop::bit::Bit;
use crate::verify::material::allowance::Allowance;
use crate::verify::material::engagement::Stroke;
use crate::verify::material::pocket_stock::PocketStock;
use crate::verify::scene::Scene;
use crate::verify::template::moves::PlateMoves;
use crate::verify::tool::Tool;

/// How many pockets have their samples unpacked at a time.
const RECENT: usize = 64;

/// Least and greatest X, and Y.
pub(crate) type Span = [(f64, f64); 2];

pub(crate) const NOWHERE: Span = [(f64::INFINITY, f64::NEG_INFINITY); 2];

/// What there is to judge with a job.
#[derive(Debug)]
pub(crate) struct JobContext<'a> {
    pub(crate) job: &'a Job,
    pub(crate) settings: &'a Settings,
    /// The position that the parts lie in, where the job has positions.
    pub(crate) position: Option<&'a Position>,
    pub(crate) scene: Scene,
    pub(crate) grounds: Vec<PocketStock>,
    /// How far each site is cut beyond the wanted shape, in millimetres.
    pub(crate) gouges: Vec<f64>,
    pub(crate) allowance: Allowance,
    /// Where the job is that of a template's plate: what has cut it so far.
    pub(crate) plate: Option<PlateMoves>,
    /// Sites whose samples are unpacked, the latest last.
    recent: Vec<usize>,
    /// Whether a program was heard in this position.
    pub(crate) is_used: bool,
    /// Whether every pocket counts as cut before the first program.
    after_pockets: bool,
    /// The other positions that programs were heard in.
    resting: VecDeque<Place<'a>>,
}

/// A position that others follow, with the wood as its programs left it.
#[derive(Debug)]
struct Place<'a> {
    position: Option<&'a Position>,
    scene: Scene,
    grounds: Vec<PocketStock>,
    gouges: Vec<f64>,
    span: Span,
}

impl<'a> JobContext<'a> {
    pub(crate) fn new(job: &'a Job, settings: &'a Settings) -> Self {
        let position = job.positions().into_iter().next().flatten();
        let Place {
            position,
            scene,
            grounds,
            gouges,
            ..
        } = Place::new(job, position);
        Self {
            job,
            settings,
            position,
            scene,
            grounds,
            gouges,
            allowance: Allowance::of(job),
            plate: job.plate.as_ref().map(|_| PlateMoves::default()),
            recent: Vec::new(),
            is_used: false,
            after_pockets: false,
            resting: VecDeque::new(),
        }
    }

    pub(crate) fn take_pockets_as_cut(&mut self) {
        self.after_pockets = true;
        take_as_cut(&mut self.scene);
    }

    /// Lays the parts as in the position of that number, the wood as it was left
    /// there; `span` is how far its programs reached.
    pub(crate) fn lay(&mut self, number: usize, span: &mut Span) {
        let is_it = |position: Option<&Position>| {
            position.is_some_and(|position| position.number == number)
        };
        if is_it(self.position) {
            return;
        }
        let known = self.resting.iter().position(|place| is_it(place.position));
        let next = match known.and_then(|index| self.resting.remove(index)) {
            Some(place) => place,
            None => {
                let mut place = Place::new(self.job, self.job.fixture.position(number));
                if self.after_pockets {
                    take_as_cut(&mut place.scene);
                }
                place
            }
        };
        let is_used = known.is_some();
        let last = self.take_place(next, span);
        if self.is_used {
            self.resting.push_back(last);
        }
        self.is_used = is_used;
    }

    /// Puts another position in the place of this one, which comes back.
    fn take_place(&mut self, mut other: Place<'a>, span: &mut Span) -> Place<'a> {
        self.recent.clear();
        swap(&mut self.position, &mut other.position);
        swap(&mut self.scene, &mut other.scene);
        swap(&mut self.grounds, &mut other.grounds);
        swap(&mut self.gouges, &mut other.gouges);
        swap(span, &mut other.span);
        other
    }

    /// How many positions programs were heard in; one where there are none.
    pub(crate) fn places(&self) -> usize {
        self.resting.len() + 1
    }

    /// Goes on to the next of them, round and round.
    pub(crate) fn go_on(&mut self) {
        if let Some(next) = self.resting.pop_front() {
            let last = self.take_place(next, &mut { NOWHERE });
            self.resting.push_back(last);
        }
    }

    /// What a move does in every board: meets and takes its wood.
    pub(crate) fn work(
        &mut self,
        segment: &Segment,
        is_rapid: bool,
        tool: &Tool,
        strokes: &mut Vec<Stroke>,
    ) {
        if let Some(plate) = &mut self.plate {
            plate.add(segment, tool.tip);
        }
        for number in 0..self.scene.boards.len() {
            let Some(mut stroke) = Stroke::of(&self.scene, number, segment, is_rapid, tool) else {
                continue;
            };
            if let Some(index) = stroke.site {
                let (site, top) = (&self.scene.sites[index], self.scene.boards[number].top);
                self.grounds[index].work(&mut stroke, site, top, self.allowance);
                self.visit(index);
                self.sweep_beside(index, &stroke, top);
            }
            strokes.push(stroke);
        }
    }

    /// Where kerfs run together their wood is one, whichever a move belongs to.
    fn sweep_beside(&mut self, index: usize, stroke: &Stroke, top: f64) {
        for place in 0..self.scene.sites[index].spared.len() {
            let other = self.scene.sites[index].spared[place];
            let site = &self.scene.sites[other];
            self.grounds[other].sweep(site, top, stroke, self.allowance);
            self.visit(other);
        }
    }

    /// Notes that a site is at work, and packs another's samples away for it.
    fn visit(&mut self, site: usize) {
        if self.recent.last() == Some(&site) {
            return;
        }
        self.recent.retain(|&other| other != site);
        self.recent.push(site);
        if self.recent.len() > RECENT {
            let oldest = self.recent.remove(0);
            self.grounds[oldest].pack();
        }
    }

    /// The bit of a tool number.
    pub(crate) fn tool(&self, number: u32) -> Option<&'a Bit> {
        let job = self.job;
        let own = [Some(&job.bit), job.pilot.as_ref().map(|pilot| &pilot.bit)];
        own.into_iter()
            .flatten()
            .chain(&job.rack)
            .find(|bit| bit.tool == number)
    }
}

fn take_as_cut(scene: &mut Scene) {
    for site in &mut scene.sites {
        site.take_as_cut();
    }
}

impl<'a> Place<'a> {
    fn new(job: &Job, position: Option<&'a Position>) -> Self {
        let scene = Scene::of(job, position);
        Self {
            position,
            grounds: scene.sites.iter().map(PocketStock::new).collect(),
            gouges: vec![0.0; scene.sites.len()],
            scene,
            span: NOWHERE,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::settings;

    #[test]
    fn the_samples_of_the_latest_places_are_at_hand() {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let mut shop = JobContext::new(&job, &settings);
        for site in [0, 1, 0, 0, 2, 1] {
            shop.visit(site);
        }
        assert_eq!(shop.recent, [0, 2, 1]);
        for site in 3..=RECENT {
            shop.grounds.push(PocketStock::default());
            shop.visit(site);
        }
        assert_eq!(shop.recent[..3], [2, 1, 3]);
        assert_eq!(shop.recent.len(), RECENT);
    }
}
