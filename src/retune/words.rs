//! F and S words found and replaced in the text, byte by byte.

use std::collections::BTreeMap;

use crate::retune::Change;
use crate::shop::machine::{CommentStyle, Dialect};

/// Most decimals of a feed.
const DECIMALS: usize = 4;

/// New figures for words, by line.
#[derive(Clone, Debug, Default)]
pub(super) struct Figures {
    pub(super) feeds: BTreeMap<u64, Figure>,
    pub(super) speeds: BTreeMap<u64, Figure>,
}

/// A new figure: what it should be, and what it may be once rounded, in the
/// unit that the model computes in.
#[derive(Clone, Debug)]
pub(super) struct Figure {
    pub(super) before: f64,
    pub(super) wanted: f64,
    pub(super) least: f64,
    pub(super) most: f64,
    pub(super) governs: String,
}

/// The program with the figures replaced. A word whose figure stays keeps its bytes.
pub(super) fn replace(
    program: &[u8],
    dialect: &Dialect,
    figures: &Figures,
) -> (Vec<u8>, Vec<Change>) {
    let mut text = Vec::with_capacity(program.len());
    let mut changes = Vec::new();
    for (number, line) in (1..).zip(lines(program)) {
        let mut rest = 0;
        for word in words(line, dialect.comments) {
            let figures = if word.letter == 'F' {
                &figures.feeds
            } else {
                &figures.speeds
            };
            let Some(figure) = figures.get(&number) else {
                continue;
            };
            let before = String::from_utf8_lossy(&line[word.from..word.to]).into_owned();
            let Some(after) = figure.printed(&before) else {
                continue;
            };
            text.extend_from_slice(&line[rest..word.from]);
            text.extend_from_slice(after.as_bytes());
            rest = word.to;
            changes.push(Change {
                line: number,
                word: word.letter,
                before,
                after,
                governs: figure.governs.clone(),
            });
        }
        text.extend_from_slice(&line[rest..]);
    }
    (text, changes)
}

impl Figure {
    /// The figure with as many decimals as the old one, or as many more as
    /// it takes to stay inside its bounds; `None` where the old one stands.
    fn printed(&self, old: &str) -> Option<String> {
        let written: f64 = old.parse().ok()?;
        if (self.wanted - self.before).abs() <= 1e-9 * self.before.abs() || written == 0.0 {
            return None;
        }
        // The program's unit: 25.4 in a program in inches.
        let unit = self.before / written;
        let decimals = old.split_once('.').map_or(0, |(_, digits)| digits.len());
        let exact = self.wanted / unit;
        let mut printed = format!("{exact:.decimals$}");
        for more in decimals..=DECIMALS.max(decimals) {
            printed = format!("{exact:.more$}");
            let value = printed.parse().unwrap_or(exact) * unit;
            if self.least <= value && value <= self.most {
                break;
            }
        }
        (printed != old).then_some(printed)
    }
}

/// Lines with their ends: LF, CR LF or CR.
fn lines(program: &[u8]) -> impl Iterator<Item = &[u8]> {
    let mut rest = program;
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let end = rest.iter().position(|byte| matches!(byte, b'\n' | b'\r'));
        let length = match end {
            None => rest.len(),
            Some(at) if rest[at..].starts_with(b"\r\n") => at + 2,
            Some(at) => at + 1,
        };
        let (line, after) = rest.split_at(length);
        rest = after;
        Some(line)
    })
}

/// A word's letter and where its figure stands.
struct Word {
    letter: char,
    from: usize,
    to: usize,
}

/// The F and S words of a line, outside its comments.
fn words(line: &[u8], comments: CommentStyle) -> Vec<Word> {
    let mut words = Vec::new();
    let mut at = 0;
    while at < line.len() {
        match line[at].to_ascii_uppercase() {
            b'(' => {
                let close = line[at..].iter().position(|&byte| byte == b')');
                at = close.map_or(line.len(), |close| at + close);
            }
            b';' if comments == CommentStyle::Semicolon => at = line.len(),
            letter @ (b'F' | b'S') => {
                let skip = |from: usize, keep: fn(u8) -> bool| {
                    let end = line[from..].iter().position(|&byte| !keep(byte));
                    end.map_or(line.len(), |end| from + end)
                };
                let from = skip(at + 1, |byte| matches!(byte, b' ' | b'\t'));
                let to = skip(from, |byte| {
                    byte.is_ascii_digit() || matches!(byte, b'.' | b'+' | b'-')
                });
                words.push(Word {
                    letter: char::from(letter),
                    from,
                    to,
                });
                at = to.max(at + 1) - 1;
            }
            _ => {}
        }
        at += 1;
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    fn figure(before: f64, wanted: f64) -> Figure {
        Figure {
            before,
            wanted,
            least: wanted * 0.995,
            most: wanted * 1.005,
            governs: String::new(),
        }
    }

    fn replaced(text: &str, figures: &Figures) -> String {
        let dialect = sample::machine().dialect;
        let (bytes, _) = replace(text.as_bytes(), &dialect, figures);
        String::from_utf8(bytes).unwrap()
    }

    #[test]
    fn only_the_figures_of_the_words_change() {
        let mut figures = Figures::default();
        figures.feeds.insert(2, figure(3000.0, 2500.0));
        figures.speeds.insert(3, figure(20_000.0, 15_000.0));
        let text = "(F1 S1)\r\ng1 x1. f 3000 (F3000 stays)\rS20000 M3\nF3000";
        assert_eq!(
            replaced(text, &figures),
            "(F1 S1)\r\ng1 x1. f 2500 (F3000 stays)\rS15000 M3\nF3000"
        );
    }

    #[test]
    fn inches_keep_their_decimals_and_get_more_where_rounding_is_too_coarse() {
        let mut figures = Figures::default();
        // 118.11 in/min is 3000 mm/min.
        figures.feeds.insert(1, figure(118.11 * 25.4, 2500.0));
        assert_eq!(replaced("G1 X1. F118.11", &figures), "G1 X1. F98.43");
        figures.feeds.insert(1, figure(3.0 * 25.4, 2.6 * 25.4));
        assert_eq!(replaced("G1 X1. F3", &figures), "G1 X1. F2.6");
    }

    #[test]
    fn a_figure_that_stays_keeps_its_bytes() {
        let mut figures = Figures::default();
        figures.feeds.insert(1, figure(3000.0, 3000.0));
        assert_eq!(replaced("F3000.000", &figures), "F3000.000");
    }
}
