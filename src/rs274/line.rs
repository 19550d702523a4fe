//! The grammar of one line: an optional line number, then words and comments
//! in any order.

use super::block::{Block, Fault, Mark};
use super::problem::Problem;
use super::word::{Stop, comment, end_comment, line_number, spaces, word};
use crate::machine::CommentStyle;

/// The most characters a line may have, its end not counted (3.3).
pub(super) const LIMIT: usize = 256;

/// Whether a line is a `%` line, right or wrong.
pub(super) fn is_percent(line: &[u8]) -> bool {
    spaces(line).first() == Some(&b'%')
}

/// Whether nothing stands on a line.
pub(super) fn is_blank(line: &[u8]) -> bool {
    spaces(line).is_empty()
}

/// Checks that a `%` line holds nothing else.
pub(super) fn percent(line: &[u8]) -> Result<(), Fault> {
    let after = spaces(spaces(line).get(1..).unwrap_or_default());
    if after.is_empty() {
        return Ok(());
    }
    Err(fault(line, after, after.len(), Problem::PercentText))
}

/// Reads one line, without its end, into `block`.
pub(super) fn read(line: &[u8], comments: CommentStyle, block: &mut Block) -> Result<(), Fault> {
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

fn fault(line: &[u8], rest: &[u8], length: usize, problem: Problem) -> Fault {
    let at = line.len() - rest.len();
    Fault {
        mark: Mark { at, length },
        problem,
    }
}

fn placed(line: &[u8], stopped: nom::Err<Stop<'_>>) -> Fault {
    match stopped {
        nom::Err::Error(stop) | nom::Err::Failure(stop) => {
            fault(line, stop.input, stop.length, stop.problem)
        }
        nom::Err::Incomplete(_) => fault(line, &[], 0, Problem::NumberMissing),
    }
}
