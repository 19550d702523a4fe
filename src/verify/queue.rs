//! Moves that are read but not judged yet: their wood is worked first.

use crate::replay::leg::Leg;
use crate::rs274::event::Event;
use crate::verify::stroke::Stroke;

/// Most moves that wait, so that memory does not grow with the program.
const MOST: usize = 2048;

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
    pub(crate) leg: Option<Leg>,
    /// How many of the strokes are its own.
    pub(crate) strokes: usize,
}

impl Queue {
    pub(crate) fn push(
        &mut self,
        line: u64,
        event: &Event,
        leg: Option<Leg>,
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
            leg,
            strokes: own.len(),
        });
    }

    /// Whether no more should wait; `sites` is the most pockets at a time.
    pub(crate) fn is_full(&self, sites: usize) -> bool {
        self.heard.len() >= MOST || self.sites.len() >= sites
    }
}
