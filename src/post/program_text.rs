//! Lines of a program: line numbers, line length, comments.

use crate::post::block::Block;
use crate::shop::machine::{CommentStyle, Dialect};

/// Greatest line number the standard allows.
const LAST_NUMBER: u32 = 99_999;
/// A comment gets at least this much, whatever the line limit.
const SHORTEST_COMMENT: usize = 16;

/// The text as it grows.
pub(super) struct ProgramText {
    dialect: Dialect,
    text: String,
    number: u32,
}

impl ProgramText {
    pub(super) fn new(dialect: &Dialect) -> Self {
        Self {
            dialect: dialect.clone(),
            text: String::new(),
            number: 0,
        }
    }

    /// A line of the program that is no block: a percent sign.
    pub(super) fn raw(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    /// Whether a block keeps within the line limit.
    pub(super) fn fits(&self, block: &Block) -> bool {
        self.number_room() + block.text().len() <= self.dialect.line_limit
    }

    /// One block. Where it is too long its feed word goes on a line before.
    pub(super) fn block(&mut self, block: &Block) {
        if !self.fits(block)
            && let Some((feed, rest)) = block.split_feed()
        {
            self.line(feed);
            self.line(rest);
        } else {
            self.line(block.text());
        }
    }

    /// Words that may stand on one line or on several.
    pub(super) fn words(&mut self, words: &[&str]) {
        let mut line = String::new();
        for word in words {
            let length = self.number_room() + line.len() + 1 + word.len();
            if !line.is_empty() && length > self.dialect.line_limit {
                self.line(&std::mem::take(&mut line));
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
        if !line.is_empty() {
            self.line(&line);
        }
    }

    /// Words for a person, on as many lines as they need.
    pub(super) fn comment(&mut self, words: &str) {
        let (open, close) = match self.dialect.comments {
            CommentStyle::Parentheses => ("(", ")"),
            CommentStyle::Semicolon => ("; ", ""),
            CommentStyle::None => return,
        };
        let room = self
            .dialect
            .line_limit
            .saturating_sub(open.len() + close.len());
        for line in wrapped(&printable(words), room.max(SHORTEST_COMMENT)) {
            self.raw(&format!("{open}{line}{close}"));
        }
    }

    pub(super) fn text(self) -> String {
        self.text
    }

    fn number_room(&self) -> usize {
        if self.dialect.line_numbers { 7 } else { 0 }
    }

    fn line(&mut self, words: &str) {
        if self.dialect.line_numbers {
            self.number = self.number % LAST_NUMBER + 1;
            self.text.push_str(&format!("N{} ", self.number));
        }
        self.raw(words);
    }
}

/// Only letters, digits, space, `.`, `,` and `-`: some controllers act on
/// other characters even inside a comment.
fn printable(words: &str) -> String {
    let safe = |letter: char| {
        if letter.is_ascii_alphanumeric() || " .,-".contains(letter) {
            letter
        } else if letter.is_alphanumeric() {
            '-'
        } else {
            ' '
        }
    };
    let words: String = words.chars().map(safe).collect();
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn wrapped(words: &str, room: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in words.split(' ') {
        let mut word = word;
        while word.len() > room {
            let (head, tail) = word.split_at(room);
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            lines.push(head.to_owned());
            word = tail;
        }
        if !line.is_empty() && line.len() + 1 + word.len() > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::post::number::Grid;

    fn tape(change: impl Fn(&mut Dialect)) -> ProgramText {
        let mut dialect = sample::machine().dialect;
        change(&mut dialect);
        ProgramText::new(&dialect)
    }

    fn block(words: &[(char, f64)], feed: Option<f64>) -> Block {
        let grid = Grid::of(&sample::machine().dialect);
        let mut block = Block::new("G1");
        for &(letter, value) in words {
            block.push(grid, letter, grid.round(value));
        }
        if let Some(feed) = feed {
            block.push_feed(grid, grid.feed(feed));
        }
        block
    }

    #[test]
    fn a_comment_keeps_only_harmless_characters() {
        let mut tape = tape(|_| ());
        tape.comment("Oma's (Tee)dose! ~ 3/8 in, Größe");
        assert_eq!(tape.text(), "(Oma s Tee dose 3 8 in, Gr--e)\n");
    }

    #[test]
    fn a_long_comment_is_wrapped_within_the_line_limit() {
        let mut tape = tape(|dialect| dialect.line_limit = 20);
        tape.comment("zero on the mating face of the box");
        let text = tape.text();
        assert_eq!(text, "(zero on the mating)\n(face of the box)\n");
        assert!(text.lines().all(|line| line.len() <= 20));
    }

    #[test]
    fn a_block_too_long_for_the_line_gives_its_feed_a_line_of_its_own() {
        let mut tape = tape(|dialect| dialect.line_limit = 20);
        tape.block(&block(&[('X', 100.0), ('Y', 100.0)], Some(1000.0)));
        assert_eq!(tape.text(), "F1000\nG1 X100.000 Y100.000\n");
    }

    #[test]
    fn a_block_fits_up_to_the_line_limit() {
        let tape = tape(|dialect| dialect.line_limit = 20);
        // `G1 X100.000 Y123.000` has 20 characters.
        assert!(tape.fits(&block(&[('X', 100.0), ('Y', 123.0)], None)));
        assert!(!tape.fits(&block(&[('X', 100.0), ('Y', -123.0)], None)));
    }

    #[test]
    fn line_numbers_start_again_after_five_digits() {
        let mut tape = tape(|dialect| dialect.line_numbers = true);
        tape.number = LAST_NUMBER - 1;
        tape.words(&["M5"]);
        tape.words(&["M30"]);
        assert_eq!(tape.text(), "N99999 M5\nN1 M30\n");
    }
}
