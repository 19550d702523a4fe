//! Moves that are read but not judged yet: their wood is worked first.

use crate::replay::segment::Segment;
use crate::rs274::event::Event;
use crate::verify::engagement::Stroke;

/// Most moves that wait, so that memory does not grow with the program.
const MOST: usize = 8192;

/// What waits.
#[derive(Debug, Default)]
pub(crate) struct Queue {
    pub(crate) heard: Vec<Heard>,
    /// Of all the moves, in order.
    pub(crate) strokes: Vec<Stroke>,
    /// Sites of the strokes, each once.
    sites: Vec<usize>,
}

/// An event that waits.
#[derive(Debug)]
pub(crate) struct Heard {
    pub(crate) line: u64,
    pub(crate) event: Event,
    /// The path of a move whose ends are known.
    pub(crate) segment: Option<Segment>,
    /// How many of the strokes are its own.
    pub(crate) strokes: usize,
}

impl Queue {
    pub(crate) fn push(
        &mut self,
        line: u64,
        event: &Event,
        segment: Option<Segment>,
        strokes: impl Iterator<Item = Stroke>,
    ) {
        let before = self.strokes.len();
        self.strokes.extend(strokes);
        let own = &self.strokes[before..];
        for number in own.iter().filter_map(|stroke| stroke.site) {
            if !self.sites.contains(&number) {
                self.sites.push(number);
            }
        }
        self.heard.push(Heard {
            line,
            event: event.clone(),
            segment,
            strokes: own.len(),
        });
    }

    /// Whether no more should wait; `sites` is the most pockets at a time.
    pub(crate) fn is_full(&self, sites: usize) -> bool {
        self.heard.len() >= MOST || self.sites.len() >= sites
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::units::Feed;
    use crate::verify::scene::Scene;
    use crate::verify::tool::Tool;

    fn feed() -> Event {
        Event::Feed(Feed::from_mm_per_minute(600.0))
    }

    #[test]
    fn so_many_events_wait_and_no_more() {
        let mut queue = Queue::default();
        for line in 1..MOST as u64 {
            queue.push(line, &feed(), None, [].into_iter());
        }
        assert!(!queue.is_full(3));
        queue.push(7, &feed(), None, [].into_iter());
        assert!(queue.is_full(3));
        assert_eq!(queue.heard.len(), MOST);
    }

    /// Three strokes in the lid's first pocket and one in its second.
    #[test]
    fn so_many_pockets_wait_and_each_counts_once() {
        let job = sample::job();
        let scene = Scene::new(&job);
        let tool = Tool::new(&job.bit, &job.machine, &scene);
        let mut queue = Queue::default();
        for (count, x) in [45.0, 46.0, 47.0, 215.0].into_iter().enumerate() {
            assert!(!queue.is_full(2), "{count}");
            let segment = Segment::line([x, 14.5, -1.0], [x + 1.0, 14.5, -1.0]);
            let stroke = Stroke::of(&scene, 1, &segment, false, &tool);
            queue.push(1, &feed(), Some(segment), stroke.into_iter());
            assert_eq!(queue.heard[count].strokes, 1);
            assert_eq!(queue.strokes.len(), count + 1);
        }
        assert!(queue.is_full(2));
    }
}
