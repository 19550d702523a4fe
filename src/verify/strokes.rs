//! What a move does to the wood of each board, told to the checks.

use crate::rs274::event::{Move, Path};
use crate::verify::checks::check::{Struck, Taking};
use crate::verify::material::bite::Bite;
use crate::verify::material::engagement::Stroke;
use crate::verify::material::load::Loading;
use crate::verify::material::probe::NO_WOOD;
use crate::verify::scene::bounds::{self, Beyond};
use crate::verify::scene::gouge::GOUGE;
use crate::verify::tool::Tool;
use crate::verify::verifier::Verifier;

impl Verifier<'_> {
    pub(crate) fn judge_stroke(&mut self, motion: &Move, tool: &Tool, stroke: &Stroke) {
        let beyond = self.beyond(stroke);
        let gouged = beyond.is_some_and(|beyond| beyond.figure > GOUGE);
        let bite = self.bite(stroke, gouged);
        let is_rapid = motion.path == Path::Rapid;
        if is_rapid {
            self.close_lap();
        } else {
            self.follow_lap(motion, stroke);
        }
        let takes = !is_rapid && bite.whole > 0.0;
        let descent = &mut self.run.descent;
        let descended = takes.then(|| descent.go_on(motion, tool, stroke, bite));
        let struck = Struck {
            tool,
            stroke,
            beyond,
            descended,
        };
        let (checks, now, tally) = self.told();
        checks.stroke(&struck, now, tally);
        if !is_rapid && let Some(bite) = self.add_up(stroke.site, bite) {
            self.run.has_cut = true;
            self.judge_bite(motion, tool, stroke, bite);
        }
    }

    /// How far a stroke goes beyond the wanted shape, where that is further
    /// than any before it or too far.
    fn beyond(&mut self, stroke: &Stroke) -> Option<Beyond> {
        let shop = self.shop.as_mut()?;
        let (segment, site) = (&stroke.segment, stroke.site);
        let board = &shop.scene.boards[stroke.board];
        let near = site.or_else(|| shop.scene.nearest_site(board, segment));
        let known = near.map_or(0.0, |number| shop.gouges[number]);
        let beyond = bounds::beyond(segment, stroke.tip, &shop.scene, board, site, known)?;
        if let Some(number) = near {
            let gouge = &mut shop.gouges[number];
            *gouge = gouge.max(beyond.figure);
        }
        Some(beyond)
    }

    /// What a stroke takes; beyond the wanted shape the wood is solid.
    fn bite(&mut self, stroke: &Stroke, gouged: bool) -> Bite {
        let mut bite = stroke.bite;
        match (stroke.site, &self.shop) {
            (None, Some(shop)) if gouged => {
                bite = Bite::solid(shop.scene.boards[stroke.board].top - stroke.segment.lowest());
            }
            (Some(_), _) if gouged && bite.whole <= NO_WOOD => bite = Bite::solid(GOUGE),
            _ => {}
        }
        if let Some(number) = stroke.site
            && stroke.tip.point == 0.0
            && bite.whole > NO_WOOD
        {
            self.run.cut_in.entry(number).or_insert(stroke.tip.radius);
        }
        bite
    }

    /// What is to be judged: a bite, or those too small to be told from
    /// rounding as soon as they are more than that together.
    fn add_up(&mut self, site: Option<usize>, bite: Bite) -> Option<Bite> {
        if bite.whole > NO_WOOD {
            self.run.shaved.remove(&site);
            return Some(bite);
        }
        if bite.whole <= 0.0 {
            return None;
        }
        let shaved = self.run.shaved.entry(site).or_default();
        shaved.whole += bite.whole;
        shaved.core += bite.core;
        shaved.wall += bite.wall;
        shaved.volume += bite.volume;
        if shaved.whole <= NO_WOOD {
            return None;
        }
        self.run.shaved.remove(&site)
    }

    fn judge_bite(&mut self, motion: &Move, tool: &Tool, stroke: &Stroke, bite: Bite) {
        let Some(shop) = &self.shop else {
            return;
        };
        let (segment, index) = (&stroke.segment, stroke.board);
        let board = &shop.scene.boards[index];
        let loading = Loading {
            bit: &tool.bit,
            wood: &board.wood,
            board: index,
            bite,
            length: segment.level_length(),
            feed: motion.feed.as_mm_per_minute(),
            speed: self.now().spindle_speed(),
        };
        let bears = loading.speed > 0.0 && loading.feed > 0.0 && loading.length > 1e-6;
        let window = &mut self.run.window;
        let load = bears.then(|| window.add(self.machine, &loading)).flatten();
        let taking = Taking {
            motion,
            tool,
            board: index,
            site: stroke.site,
            limits: &tool.limits[index],
            fresh: &tool.fresh[index],
            bite,
            began: self.run.wood_met_at(segment, board.top),
            length: loading.length,
            depth: board.top - segment.lowest(),
            feed: loading.feed,
            speed: loading.speed,
            load,
        };
        let (checks, now, tally) = self.told();
        checks.bite(&taking, now, tally);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::replay::segment::Segment;
    use crate::settings;
    use crate::verify::job_context::JobContext;

    fn bite(core: f64, wall: f64) -> Bite {
        Bite {
            whole: core.max(wall),
            core,
            wall,
            volume: 0.0,
        }
    }

    /// A stroke of the lid 2 mm deep, in its first pocket or away from it.
    fn bitten(in_pocket: bool, whole: f64, gouged: bool) -> (Bite, bool) {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let mut verifier = Verifier::new(&job.machine, Some(JobContext::new(&job, &settings)));
        let scene = crate::verify::scene::Scene::new(&job);
        let tool = Tool::new(&job.bit, &job.machine, &scene);
        let y = if in_pocket { 14.5 } else { 60.0 };
        let top = scene.boards[1].top;
        let segment = Segment::line([40.0, y, top - 2.0], [50.0, y, top - 2.0]);
        let mut stroke = Stroke::of(&scene, 1, &segment, false, &tool).unwrap();
        assert_eq!(stroke.site, in_pocket.then_some(2));
        stroke.bite = bite(whole, 0.0);
        let found = verifier.bite(&stroke, gouged);
        (found, verifier.run.cut_in.contains_key(&2))
    }

    #[test]
    fn beyond_the_wanted_shape_wood_is_solid() {
        assert_eq!(bitten(false, 0.0, true), (Bite::solid(2.0), false));
        assert_eq!(bitten(false, 0.0, false), (bite(0.0, 0.0), false));
        assert_eq!(bitten(true, 0.005, true), (Bite::solid(GOUGE), true));
        assert_eq!(bitten(true, 1.5, true), (bite(1.5, 0.0), true));
        assert_eq!(bitten(true, 0.005, false), (bite(0.005, 0.0), false));
        assert_eq!(bitten(true, 0.006, false), (bite(0.006, 0.0), true));
    }
}
