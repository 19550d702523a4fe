//! From bytes, in pieces of any size, to lines; and the rules of a file.

use super::block::{Block, Fault, Mark};
use super::event::{Event, Frames, Refusal, Visitor};
use super::line::{self, LIMIT};
use super::problem::Problem;
use super::state::State;
use crate::shop::machine::{CommentStyle, Dialect};

/// Reads a program piece by piece and tells a visitor what it does. Holds one
/// line at most, whatever the size of the program.
#[derive(Debug)]
pub struct Reader {
    comments: CommentStyle,
    state: State,
    block: Block,
    /// The start of a line whose end has not come yet.
    pending: [u8; LIMIT + 1],
    pending_length: usize,
    /// The last byte was a CR, so that an LF now belongs to the same line end.
    after_return: bool,
    /// Lines ended so far.
    lines: u64,
    file: File,
}

/// How far a file has come, by its own rules (3.1).
#[derive(Clone, Copy, Debug, Default)]
struct File {
    /// A line that is not blank has been seen.
    begun: bool,
    /// The first of them was `%`.
    percent: bool,
    /// M2 or M30 has been executed.
    ended: bool,
    /// The second `%` has been seen.
    closed: bool,
}

impl Reader {
    /// For programs written in `dialect`, with the origins of `frames`.
    pub fn new(dialect: &Dialect, frames: Frames) -> Self {
        Self {
            comments: dialect.comments,
            state: State::new(dialect.units, dialect.dwell, frames),
            block: Block::default(),
            pending: [0; LIMIT + 1],
            pending_length: 0,
            after_return: false,
            lines: 0,
            file: File::default(),
        }
    }

    /// Takes the next piece of the program.
    pub fn push<V: Visitor + ?Sized>(&mut self, bytes: &[u8], visitor: &mut V) {
        let mut rest = bytes;
        if self.after_return && !rest.is_empty() {
            self.after_return = false;
            rest = rest.strip_prefix(b"\n").unwrap_or(rest);
        }
        while let Some(length) = memchr::memchr2(b'\n', b'\r', rest) {
            self.end_line(&rest[..length], visitor);
            rest = match &rest[length..] {
                [b'\r', b'\n', after @ ..] | [_, after @ ..] => after,
                [] => &[],
            };
            self.after_return = rest.is_empty() && bytes.last() == Some(&b'\r');
        }
        self.keep(rest);
    }

    /// Takes the end of the program and returns how many lines it had.
    pub fn finish<V: Visitor + ?Sized>(mut self, visitor: &mut V) -> u64 {
        if self.pending_length > 0 {
            self.end_line(&[], visitor);
        }
        let File {
            begun,
            percent,
            ended,
            closed,
        } = self.file;
        let problem = match (begun, percent) {
            (false, _) => Some(Problem::Empty),
            (true, true) => (!closed).then_some(Problem::PercentMissing),
            (true, false) => (!ended).then_some(Problem::EndMissing),
        };
        if let Some(problem) = problem {
            let mark = Mark::default();
            visitor.refusal(&Refusal {
                column: 0,
                ..refusal(self.lines, &Fault { mark, problem })
            });
        }
        self.lines
    }

    /// Remembers the start of a line, and of one too long only that it is.
    fn keep(&mut self, bytes: &[u8]) {
        let room = self.pending.len() - self.pending_length;
        let kept = bytes.len().min(room);
        let end = self.pending_length + kept;
        self.pending[self.pending_length..end].copy_from_slice(&bytes[..kept]);
        self.pending_length = end;
    }

    fn end_line<V: Visitor + ?Sized>(&mut self, bytes: &[u8], visitor: &mut V) {
        self.lines += 1;
        if self.pending_length == 0 {
            self.read_line(bytes, visitor);
            return;
        }
        self.keep(bytes);
        let pending = self.pending;
        let length = std::mem::take(&mut self.pending_length);
        self.read_line(&pending[..length], visitor);
    }

    fn read_line<V: Visitor + ?Sized>(&mut self, line: &[u8], visitor: &mut V) {
        if let Err(fault) = self.take_line(line, visitor) {
            visitor.refusal(&refusal(self.lines, &fault));
        }
    }

    fn take_line<V: Visitor + ?Sized>(
        &mut self,
        line: &[u8],
        visitor: &mut V,
    ) -> Result<(), Box<Fault>> {
        // A line that came in pieces is known no further than this.
        let known = line.get(..LIMIT).unwrap_or(line);
        let begins = line::first(known);
        let closes = begins == Some(b'%') && self.file.percent && !self.file.closed;
        if (self.file.closed || self.file.ended) && !closes {
            if begins.is_some() || line.len() > LIMIT {
                visitor.event(self.lines, &Event::AfterEnd);
            }
            return Ok(());
        }
        if line.len() > LIMIT {
            self.file.begun = true;
            return Err(beyond_limit());
        }
        match begins {
            Some(b'%') => return self.take_percent(line),
            Some(_) => self.file.begun = true,
            None => return Ok(()),
        }
        line::read(line, self.comments, &mut self.block)?;
        let executed = self.state.execute(self.lines, &self.block, visitor)?;
        self.file.ended = executed.ends;
        executed.zero_feed.map_or(Ok(()), Err)
    }

    fn take_percent(&mut self, line: &[u8]) -> Result<(), Box<Fault>> {
        let first = !self.file.begun;
        self.file.begun = true;
        if first {
            self.file.percent = true;
        } else if self.file.percent {
            self.file.closed = true;
        } else {
            return Err(whole_line(line, Problem::PercentLater));
        }
        line::percent(line)
    }
}

/// A line may come in pieces, so its true length is not known.
fn beyond_limit() -> Box<Fault> {
    let mark = Mark {
        at: LIMIT,
        length: 1,
    };
    Fault::boxed(mark, Problem::LineTooLong)
}

fn whole_line(line: &[u8], problem: Problem) -> Box<Fault> {
    let mark = Mark {
        at: 0,
        length: line.len(),
    };
    Fault::boxed(mark, problem)
}

fn refusal(line: u64, Fault { mark, problem }: &Fault) -> Refusal {
    let bytes = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
    Refusal {
        line,
        column: bytes(mark.at + 1),
        length: bytes(mark.length),
        message: problem.to_string(),
        rule: problem.rule(),
    }
}

/// Reads a whole program and tells `visitor` what it does. Returns how many
/// lines it has.
pub fn read<V: Visitor + ?Sized>(
    program: &[u8],
    dialect: &Dialect,
    frames: Frames,
    visitor: &mut V,
) -> u64 {
    let mut reader = Reader::new(dialect, frames);
    reader.push(program, visitor);
    reader.finish(visitor)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rs274::event::{Move, Path};
    use crate::units::Length;

    #[derive(Default)]
    struct Log {
        moves: Vec<(u64, Move)>,
        ends: Vec<u64>,
        refusals: Vec<Refusal>,
    }

    impl Visitor for Log {
        fn event(&mut self, line: u64, event: &Event) {
            match event {
                Event::Move(motion) => self.moves.push((line, *motion)),
                Event::End => self.ends.push(line),
                _ => {}
            }
        }

        fn refusal(&mut self, refusal: &Refusal) {
            self.refusals.push(refusal.clone());
        }
    }

    fn dialect() -> Dialect {
        Dialect::default()
    }

    /// Reads `text` in pieces of `size` bytes.
    fn read_in_pieces(text: &[u8], size: usize) -> (Log, u64) {
        let mut log = Log::default();
        let mut reader = Reader::new(&dialect(), Frames::default());
        for piece in text.chunks(size) {
            reader.push(piece, &mut log);
        }
        let lines = reader.finish(&mut log);
        (log, lines)
    }

    fn refused(text: &[u8]) -> Vec<(u64, u32, u32, &'static str)> {
        let refusals = read_in_pieces(text, 4096).0.refusals;
        let place =
            |refusal: &Refusal| (refusal.line, refusal.column, refusal.length, refusal.rule);
        refusals.iter().map(place).collect()
    }

    // NISTIR 6556, 3.3: a line ends with CR, LF or both.
    #[test]
    fn a_line_ends_with_cr_or_lf_or_both() {
        for (text, lines) in [
            ("G0 X1\nX2\nM2\n", [1, 2, 3]),
            ("G0 X1\rX2\rM2\r", [1, 2, 3]),
            ("G0 X1\r\nX2\r\nM2\r\n", [1, 2, 3]),
            ("G0 X1\n\nX2\r\rM2", [1, 3, 5]),
            ("G0 X1\n\rX2\r\n\r\nM2", [1, 3, 5]),
        ] {
            for size in [1, 2, 3, 5, 6, 7, 4096] {
                let (log, count) = read_in_pieces(text.as_bytes(), size);
                let found: Vec<u64> = log.moves.iter().map(|(line, _)| *line).collect();
                assert_eq!(found, lines[..2], "{text:?} in pieces of {size}");
                assert_eq!(log.ends, lines[2..], "{text:?} in pieces of {size}");
                assert_eq!(count, lines[2], "{text:?} in pieces of {size}");
                assert_eq!(log.refusals, []);
            }
        }
    }

    #[test]
    fn pieces_of_any_size_read_the_same() {
        let long = format!("X1({})\n", "a".repeat(300));
        let text = format!("%\r\nG0 X1 Y2\nX\u{e9}5\r{long}G1 Z-1 F9\nM30\n%\n{long}");
        let (whole, _) = read_in_pieces(text.as_bytes(), text.len());
        assert_eq!(whole.moves.len(), 2);
        assert_eq!(whole.refusals.len(), 2);
        for size in 1..70 {
            let (log, _) = read_in_pieces(text.as_bytes(), size);
            assert_eq!(log.moves, whole.moves, "pieces of {size}");
            assert_eq!(log.refusals, whole.refusals, "pieces of {size}");
        }
    }

    // What stands behind more blanks than a line may have still stands there.
    #[test]
    fn a_long_line_after_the_end_is_one_in_pieces_too() {
        let text = format!("M2\n{}G0 X1\n{}\n", " ".repeat(300), " ".repeat(300));
        for size in [1, 7, 258, text.len()] {
            let mut after = AfterEnd::default();
            let mut reader = Reader::new(&dialect(), Frames::default());
            for piece in text.as_bytes().chunks(size) {
                reader.push(piece, &mut after);
            }
            assert_eq!(reader.finish(&mut after), 3);
            assert_eq!(after.0, [2, 3], "pieces of {size}");
        }
    }

    #[derive(Default)]
    struct AfterEnd(Vec<u64>);

    impl Visitor for AfterEnd {
        fn event(&mut self, line: u64, event: &Event) {
            if matches!(event, Event::AfterEnd) {
                self.0.push(line);
            }
        }

        fn refusal(&mut self, _: &Refusal) {}
    }

    #[test]
    fn a_line_of_ten_megabytes_is_one_refusal_and_is_not_kept() {
        let mut log = Log::default();
        let mut reader = Reader::new(&dialect(), Frames::default());
        for _ in 0..10_000 {
            reader.push(&[b'X'; 1000], &mut log);
            assert!(reader.pending_length <= LIMIT + 1);
        }
        reader.push(b"\nG0 X1\nM2\n", &mut log);
        assert_eq!(reader.finish(&mut log), 3);
        assert_eq!(log.refusals.len(), 1);
        assert_eq!((log.refusals[0].line, log.refusals[0].column), (1, 257));
        assert_eq!(log.moves.len(), 1);
    }

    #[test]
    fn a_line_of_256_characters_is_read_and_a_longer_one_begins_a_file() {
        let line = |length: usize| format!("G21({})\n", "a".repeat(length - 5));
        assert_eq!(refused(format!("{}M2\n", line(256)).as_bytes()), []);
        let text = format!("{}%\nM2\n", line(257));
        let percent = (2, 1, 1, "3.1");
        assert_eq!(refused(text.as_bytes()), [(1, 257, 1, "3.3"), percent]);
    }

    #[test]
    fn bytes_outside_ascii_are_refused_in_words_and_comments() {
        assert_eq!(refused("G0 X\u{2212}1\nM2".as_bytes()), [(1, 5, 1, "3.3")]);
        assert_eq!(refused("(Nu\u{df})\nM2".as_bytes()), [(1, 4, 1, "3.3")]);
        assert_eq!(refused(b"\xEF\xBB\xBFG21\nM2"), [(1, 1, 1, "3.3")]);
        assert_eq!(refused(b"G21\0\nM2"), [(1, 4, 1, "3.3")]);
        assert_eq!(refused(b"(\x1b)\nM2"), [(1, 2, 1, "3.3")]);
    }

    #[test]
    fn a_program_without_any_text_is_empty() {
        assert_eq!(refused(b""), [(0, 0, 0, "3.1")]);
        assert_eq!(refused(b"\n \t\n"), [(2, 0, 0, "3.1")]);
        assert_eq!(refused(b"(note)\n"), [(1, 0, 0, "3.1")]);
        let (log, _) = read_in_pieces(b" \n", 9);
        assert_eq!(log.refusals[0].message, "program is empty");
        let (log, _) = read_in_pieces(b"(note)", 9);
        assert!(log.refusals[0].message.contains("no M2"));
    }

    #[test]
    fn a_refused_line_changes_nothing_and_reading_goes_on() {
        let text = b"G21 G0 X1 Y1 Z1\nG20 G1 X5 F100 R2\nX2\nM2\n";
        let (log, _) = read_in_pieces(text, 4096);
        assert_eq!(log.refusals.len(), 1);
        assert_eq!((log.refusals[0].line, log.refusals[0].column), (2, 16));
        assert_eq!(log.moves[1].1.path, Path::Rapid);
        assert_eq!(log.moves[1].1.to, [Some(2.0), Some(1.0), Some(1.0)]);
    }

    #[test]
    fn a_move_tells_its_ends_its_feed_and_how_finely_it_is_written() {
        let (log, _) = read_in_pieces(b"G21 G0 X1 Z5\nG1 Y2.25 X3.5 F90\nM2\n", 4096);
        let motion = log.moves[1].1;
        let mm = |value: f64| Some(Length::from_mm(value));
        assert_eq!(motion.from(), [mm(1.0), None, mm(5.0)]);
        assert_eq!(motion.to(), [mm(3.5), mm(2.25), mm(5.0)]);
        assert_eq!(motion.named(), [true, true, false]);
        assert_eq!(motion.path(), Path::Line);
        assert_eq!(motion.feed().as_mm_per_minute(), 90.0);
        assert_eq!(motion.resolution().as_mm(), 0.01);
    }

    #[test]
    fn a_percent_line_with_text_still_opens_and_closes() {
        assert_eq!(refused(b"%O12\nG0 X1\n%\nrest"), [(1, 2, 3, "3.1")]);
        assert_eq!(refused(b"%\nG0 X1\n% (end)\nrest"), [(3, 3, 5, "3.1")]);
        assert_eq!(refused(b"G0 X1 %\nM2"), [(1, 7, 1, "3.1")]);
    }
}
