//! One block under way: a motion and its words.

use super::number::Grid;

/// A block; the feed word stands last, where there is one.
#[derive(Clone, Debug)]
pub(super) struct Block {
    text: String,
    /// Where the motion ends and the words begin.
    words: usize,
    /// Where the feed word begins.
    feed: Option<usize>,
}

impl Block {
    pub(super) fn new(motion: &str) -> Self {
        Self {
            text: motion.to_owned(),
            words: motion.len(),
            feed: None,
        }
    }

    /// Adds a coordinate.
    pub(super) fn push(&mut self, grid: Grid, letter: char, digits: i64) {
        self.text.push(' ');
        grid.push_word(&mut self.text, letter, digits);
    }

    pub(super) fn push_feed(&mut self, grid: Grid, parts: i64) {
        self.feed = Some(self.text.len());
        self.text.push(' ');
        self.text.push_str(&grid.feed_word(parts));
    }

    /// Whether it has no words.
    pub(super) fn is_bare(&self) -> bool {
        self.text.len() == self.words
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// The feed word, and the block without it.
    pub(super) fn split_feed(&self) -> Option<(&str, &str)> {
        let (rest, feed) = self.text.split_at_checked(self.feed?)?;
        Some((feed.trim_start(), rest))
    }
}
