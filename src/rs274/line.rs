//! The grammar of one line: an optional line number, then words and comments
//! in any order.

use super::blanks::spaces;
use super::block::{Block, Fault, Mark};
use super::problem::Problem;
use super::word::{Stop, comment, end_comment, line_number, word};
use crate::shop::machine::CommentStyle;

/// The most characters a line may have, its end not counted (3.3).
pub(super) const LIMIT: usize = 256;

/// The first character of a line that is no blank: a `%` makes it a `%` line,
/// right or wrong.
#[inline]
pub(super) fn first(line: &[u8]) -> Option<u8> {
    spaces(line).first().copied()
}

/// Checks that a `%` line holds nothing else.
pub(super) fn percent(line: &[u8]) -> Result<(), Box<Fault>> {
    let after = spaces(spaces(line).get(1..).unwrap_or_default());
    if after.is_empty() {
        return Ok(());
    }
    Err(fault(line, after, after.len(), Problem::PercentText))
}

/// Reads one line, without its end, into `block`.
pub(super) fn read(
    line: &[u8],
    comments: CommentStyle,
    block: &mut Block,
) -> Result<(), Box<Fault>> {
    let place = |stopped| placed(line, stopped);
    block.clear();
    let start = spaces(line);
    if start.first() == Some(&b'/') {
        return Err(fault(line, start, 1, Problem::BlockDelete));
    }
    let (mut rest, ()) = line_number(start).map_err(place)?;
    loop {
        let before = rest.len();
        rest = spaces(rest);
        let Some(first) = rest.first() else {
            return Ok(());
        };
        let after = match first {
            b'A'..=b'Z' | b'a'..=b'z' => {
                let (after, word) = word(rest).map_err(place)?;
                block.add(word, between(line, rest, after))?;
                after
            }
            b'(' => comment(rest).map_err(place)?.0,
            b';' if comments == CommentStyle::Semicolon => end_comment(rest).map_err(place)?.0,
            b'0'..=b'9' | b'.' if before > rest.len() => {
                return Err(fault(line, rest, 1, Problem::SplitNumber));
            }
            _ => return Err(fault(line, rest, 1, Problem::stray(rest))),
        };
        rest = after;
    }
}

fn between(line: &[u8], start: &[u8], end: &[u8]) -> Mark {
    Mark {
        at: line.len() - start.len(),
        length: start.len() - end.len(),
    }
}

fn fault(line: &[u8], rest: &[u8], length: usize, problem: Problem) -> Box<Fault> {
    let at = line.len() - rest.len();
    Fault::boxed(Mark { at, length }, problem)
}

fn placed(line: &[u8], stopped: nom::Err<Stop<'_>>) -> Box<Fault> {
    match stopped {
        nom::Err::Error(stop) | nom::Err::Failure(stop) => {
            fault(line, stop.input, stop.length, stop.problem)
        }
        nom::Err::Incomplete(_) => fault(line, &[], 0, Problem::NumberMissing),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rs274::code::{Code, Motion};
    use crate::rs274::name::Group;

    const PARENTHESES: CommentStyle = CommentStyle::Parentheses;

    fn block(text: &str) -> Block {
        let mut block = Block::default();
        read(text.as_bytes(), PARENTHESES, &mut block).unwrap();
        block
    }

    #[track_caller]
    fn refused(text: &str, problem: Problem, at: usize, length: usize) {
        let fault = read(text.as_bytes(), PARENTHESES, &mut Block::default()).unwrap_err();
        let mark = Mark { at, length };
        assert_eq!(*fault, Fault { mark, problem }, "{text}");
    }

    #[test]
    fn words_stand_in_any_order_with_or_without_blanks() {
        for text in ["G1X2.5F100", "N10 F100 X2.5 G1", "\tg1 (a) x2.5(b)f100 "] {
            let block = block(text);
            let motion = block.code(Group::Motion);
            assert_eq!(motion, Some(Code::Motion(Motion::Line)), "{text}");
            assert_eq!(block.value(b'X'), Some(2.5), "{text}");
            assert_eq!(block.value(b'F'), Some(100.0), "{text}");
            assert!(!block.has(b"YZ") && block.has(b"YX"), "{text}");
            assert_eq!(block.codes().count(), 1, "{text}");
        }
    }

    #[test]
    fn a_block_forgets_the_line_before() {
        let mut block = block("G1 X1");
        read(b"Y1", PARENTHESES, &mut block).unwrap();
        assert!(!block.has(b"X") && !block.has_codes());
        assert_eq!(block.value(b'X'), None);
        assert_eq!(block.code(Group::Motion), None);
    }

    #[test]
    fn marks_are_the_whole_word() {
        let block = block("N1 G1  X 2.50 (c) Y1");
        let mark = |at, length| Mark { at, length };
        assert_eq!(block.mark(b"X"), mark(7, 6));
        assert_eq!(block.mark(b"ZY"), mark(18, 2));
        assert_eq!(block.mark(b"Z"), mark(0, 0));
        assert_eq!(block.code_mark(Group::Motion), mark(3, 2));
    }

    #[test]
    fn faults_are_marked_where_they_are() {
        refused(" /X1", Problem::BlockDelete, 1, 1);
        refused("X1 2", Problem::SplitNumber, 3, 1);
        refused("X1 .2", Problem::SplitNumber, 3, 1);
        refused("5", Problem::LoneNumber, 0, 1);
        refused("N1 0", Problem::SplitNumber, 3, 1);
        refused("X1 X22.5", Problem::Repeated(b'X'), 3, 5);
        refused("X1 ; a", Problem::Semicolon, 3, 1);
        refused("(a) (b", Problem::CommentOpen, 4, 2);
        refused("X1 G", Problem::NumberMissing, 4, 0);
    }

    #[test]
    fn a_semicolon_begins_a_comment_where_the_dialect_has_it_so() {
        let mut block = Block::default();
        let read = read(b"X1 ; Y2 (", CommentStyle::Semicolon, &mut block);
        assert_eq!(read, Ok(()));
        assert!(block.has(b"X") && !block.has(b"Y"));
    }

    #[test]
    fn a_percent_line_is_known_by_its_first_character() {
        assert_eq!((first(b" \t%"), first(b"X%")), (Some(b'%'), Some(b'X')));
        assert_eq!((first(b""), first(b" \t")), (None, None));
        assert_eq!(percent(b" % \t"), Ok(()));
        let fault = percent(b" % x").unwrap_err();
        assert_eq!((fault.mark.at, fault.mark.length), (3, 1));
    }
}
