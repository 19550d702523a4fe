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

    /// Words for a person, on as many lines as they need, each beginning with
    /// the first of them, which is ours: some controllers act on a comment that
    /// begins with a word of theirs, and a title may hold any.
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
        let words = printable(words);
        let (own, rest) = words.split_once(' ').unwrap_or((&words, ""));
        let room = room.max(SHORTEST_COMMENT).saturating_sub(own.len() + 1);
        for line in wrapped(rest, room.max(1)) {
            self.raw(&format!("{open}{own} {line}{close}"));
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

/// `1/4 in` as `0.25 in`, `1-11/16` as `1.6875`: a slash is no harmless character.
fn without_fractions(words: &str) -> String {
    let mut text = String::new();
    let mut rest = words;
    while let Some(at) = rest.find('/') {
        let (before, after) = (&rest[..at], &rest[at + 1..]);
        let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
        let back = |text: &str| text.bytes().rev().take_while(u8::is_ascii_digit).count();
        let (above, below) = (back(before), digits(after));
        let head = &before[..before.len() - above];
        let whole = head.strip_suffix([' ', '-']).map_or(0, back);
        let start = head.len() - if whole > 0 { whole + 1 } else { 0 };
        let number = |text: &str| text.parse::<f64>().unwrap_or(0.0);
        let bottom = number(&after[..below]);
        if above == 0 || bottom == 0.0 {
            text.push_str(&rest[..=at]);
        } else {
            let ones = number(&before[start..start + whole]);
            let value = ones + number(&before[head.len()..]) / bottom;
            text.push_str(&before[..start]);
            text.push_str(
                format!("{value:.4}")
                    .trim_end_matches('0')
                    .trim_end_matches('.'),
            );
        }
        rest = if above == 0 || bottom == 0.0 {
            after
        } else {
            &after[below..]
        };
    }
    text + rest
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
    let words: String = without_fractions(words).chars().map(safe).collect();
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
        assert_eq!(tape.text(), "(Oma s Tee dose 0.375 in, Gr--e)\n");
    }

    #[test]
    fn a_fraction_is_written_as_a_decimal() {
        for (words, want) in [
            ("bit 1/4 in up-spiral", "bit 0.25 in up-spiral"),
            ("bit 1 11/16 in", "bit 1.6875 in"),
            ("bit 1-1/4", "bit 1.25"),
            ("bit and/or 3/0", "bit and/or 3/0"),
            ("bit no 2 1/8 and 3/4", "bit no 2.125 and 0.75"),
        ] {
            assert_eq!(without_fractions(words), want);
        }
    }

    #[test]
    fn every_line_of_a_comment_begins_with_our_word() {
        let mut tape = tape(|dialect| dialect.line_limit = 24);
        tape.comment("job LOGOPEN,a.txt then abort, and print,all");
        let text = tape.text();
        assert!(text.lines().count() > 1);
        assert!(text.lines().all(|line| line.starts_with("(job ")), "{text}");
    }

    #[test]
    fn a_long_comment_is_wrapped_within_the_line_limit() {
        let mut tape = tape(|dialect| dialect.line_limit = 20);
        tape.comment("zero on the mating face of the box");
        let text = tape.text();
        assert_eq!(
            text,
            "(zero on the mating)\n(zero face of the)\n(zero box)\n"
        );
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
