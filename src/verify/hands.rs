//! Works at several pockets at a time, each by one thread.

use std::collections::BTreeMap;
use std::num::NonZero;
use std::sync::OnceLock;
use std::thread;

use crate::verify::allowance::Allowance;
use crate::verify::engagement::Stroke;
use crate::verify::pocket_stock::PocketStock;
use crate::verify::scene::Scene;

/// Fewer strokes than this are done before a thread has found an idle core:
/// that takes one to four milliseconds, one of these a few microseconds.
const WORTH_A_THREAD: usize = 2000;

/// What one thread works at.
#[derive(Default)]
pub(crate) struct Hand<'a> {
    grounds: BTreeMap<usize, PocketStock>,
    strokes: Vec<&'a mut Stroke>,
}

/// How many threads may run at a time.
pub(crate) fn count() -> usize {
    static COUNT: OnceLock<usize> = OnceLock::new();
    *COUNT.get_or_init(|| thread::available_parallelism().map_or(1, NonZero::get))
}

/// Shares out strokes and the grounds they need, each site to the hand that
/// has the fewest strokes so far. What is found does not depend on how many
/// hands there are.
pub(crate) fn shared_out<'a>(
    strokes: &'a mut [Stroke],
    grounds: &mut [PocketStock],
) -> Vec<Hand<'a>> {
    let most = if strokes.len() < WORTH_A_THREAD {
        1
    } else {
        count()
    };
    shared_among(most, strokes, grounds)
}

fn shared_among<'a>(
    most: usize,
    strokes: &'a mut [Stroke],
    grounds: &mut [PocketStock],
) -> Vec<Hand<'a>> {
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    for number in strokes.iter().filter_map(|stroke| stroke.site) {
        *counts.entry(number).or_default() += 1;
    }
    let mut hands: Vec<Hand> = Vec::new();
    hands.resize_with(most.min(counts.len()), Hand::default);
    let mut busy = vec![0; hands.len()];
    let mut owners = BTreeMap::new();
    for (number, count) in counts {
        let idle = (0..busy.len()).min_by_key(|&hand| busy[hand]);
        if let Some(hand) = idle {
            busy[hand] += count;
            owners.insert(number, hand);
            let ground = std::mem::take(&mut grounds[number]);
            hands[hand].grounds.insert(number, ground);
        }
    }
    for stroke in strokes {
        if let Some(&hand) = stroke.site.and_then(|number| owners.get(&number)) {
            hands[hand].strokes.push(stroke);
        }
    }
    hands
}

/// Works all that was shared out, and does something else `meanwhile`.
pub(crate) fn work(
    hands: &mut [Hand<'_>],
    scene: &Scene,
    allowance: Allowance,
    meanwhile: Option<impl FnOnce()>,
) {
    let few = hands.iter().map(|hand| hand.strokes.len()).sum::<usize>() < WORTH_A_THREAD;
    thread::scope(|scope| {
        let own = if few || meanwhile.is_none() { 1 } else { 0 };
        let (own, others) = hands.split_at_mut(own.min(hands.len()));
        for hand in others {
            scope.spawn(|| hand.work(scene, allowance));
        }
        if let Some(meanwhile) = meanwhile {
            meanwhile();
        }
        for hand in own {
            hand.work(scene, allowance);
        }
    });
}

/// Puts the grounds back into their places.
pub(crate) fn put_back(hands: Vec<Hand<'_>>, grounds: &mut [PocketStock]) {
    for (number, ground) in hands.into_iter().flat_map(|hand| hand.grounds) {
        grounds[number] = ground;
    }
}

impl Hand<'_> {
    fn work(&mut self, scene: &Scene, allowance: Allowance) {
        for stroke in &mut self.strokes {
            let Some(number) = stroke.site else {
                continue;
            };
            if let Some(ground) = self.grounds.get_mut(&number) {
                let top = scene.boards[stroke.board].top;
                ground.work(stroke, &scene.sites[number], top, allowance);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::replay::segment::Segment;
    use crate::settings;
    use crate::verify::tool::Tool;
    use crate::verify::verifier::JobContext;

    /// Moves that go down in every pocket in turn, `each` in every one.
    fn strokes(shop: &JobContext<'_>, each: usize) -> Vec<Stroke> {
        let tool = Tool::new(&shop.job.bit, &shop.job.machine, &shop.scene);
        let sites = &shop.scene.sites;
        let moves = (0..each).flat_map(|turn| sites.iter().map(move |site| (turn, site)));
        moves
            .filter_map(|(turn, site)| {
                let middle = |axis: usize| f64::midpoint(site.min[axis], site.max[axis]);
                let (x, y) = (middle(0) - 5.0, middle(1));
                #[allow(clippy::cast_precision_loss)]
                let z = shop.scene.boards[site.board].top - 0.01 * (turn + 1) as f64;
                let segment = Segment::line([x, y, z], [x + 10.0, y, z]);
                Stroke::of(&shop.scene, site.board, &segment, false, &tool)
            })
            .collect()
    }

    #[test]
    fn more_hands_find_what_one_finds() {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let found = |most: usize| {
            let mut shop = JobContext::new(&job, &settings);
            let mut strokes = strokes(&shop, 3);
            assert_eq!(strokes.len(), 3 * shop.scene.sites.len());
            let JobContext {
                scene,
                grounds,
                allowance,
                ..
            } = &mut shop;
            let mut hands = shared_among(most, &mut strokes, grounds);
            assert_eq!(hands.len(), most.min(scene.sites.len()));
            assert!(hands.iter().all(|hand| !hand.strokes.is_empty()));
            for hand in &mut hands {
                hand.work(scene, *allowance);
            }
            strokes
                .iter()
                .map(|stroke| (stroke.site, stroke.bite, stroke.deepest))
                .collect::<Vec<_>>()
        };
        let one = found(1);
        assert!(
            one.iter()
                .all(|(_, bite, _)| (bite.whole - 0.01).abs() < 1e-6)
        );
        assert_eq!(found(2), one);
        assert_eq!(found(100), one);
    }

    #[test]
    fn a_thread_is_not_started_for_little() {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let mut shop = JobContext::new(&job, &settings);
        let sites = shop.scene.sites.len();
        assert_eq!(WORTH_A_THREAD % sites, 0);
        let mut hands = |each: usize| {
            let mut strokes = strokes(&shop, each);
            let hands = shared_out(&mut strokes, &mut shop.grounds);
            let number = hands.len();
            put_back(hands, &mut shop.grounds);
            number
        };
        let each = WORTH_A_THREAD / sites;
        assert_eq!(hands(each - 1), 1);
        assert_eq!(hands(each), count().min(sites));
    }

    #[test]
    fn grounds_come_back_to_their_places() {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let mut shop = JobContext::new(&job, &settings);
        let mut strokes = strokes(&shop, WORTH_A_THREAD);
        for meanwhile in [false, true] {
            let JobContext {
                scene,
                grounds,
                allowance,
                ..
            } = &mut shop;
            let mut hands = shared_out(&mut strokes, grounds);
            let mut done = false;
            work(
                &mut hands,
                scene,
                *allowance,
                meanwhile.then_some(|| done = true),
            );
            assert_eq!(done, meanwhile);
            put_back(hands, grounds);
        }
        #[allow(clippy::cast_precision_loss)]
        let deepest = 0.01 * WORTH_A_THREAD as f64;
        for ground in &shop.grounds {
            assert!(ground.touched && (ground.deepest - deepest).abs() < 1e-9);
        }
    }
}
