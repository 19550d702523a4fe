//! A program as characters: line lengths, comments, digits.

use crate::shop::machine::{CommentStyle, DustRelay};
use crate::units::Units;

/// Comments that begin with such a word and a comma are acted on by some
/// controllers (the manual of a widely used open one: MSG, DEBUG, PRINT,
/// LOGOPEN, LOGAPPEND, LOGCLOSE, LOG, PROBEOPEN, PROBECLOSE, ABORT).
const ACTIVE: [&str; 6] = ["MSG", "LOG", "PRINT", "DEBUG", "PROBE", "ABORT"];

/// As much of a comment's beginning as tells whether it is active.
const BEGINNING: usize = 24;

/// Reads a program's characters in pieces of any size, holding no line.
#[derive(Clone, Debug, Default)]
pub(crate) struct Script {
    line: u64,
    length: usize,
    /// Something but blanks stands on this line.
    begun: bool,
    place: Place,
    comment: Vec<u8>,
    word: Word,
    after_return: bool,
    percents: u64,
    /// G20 or G21, the latest.
    units: Option<Units>,
    /// What the line holds that its dialect may not have.
    found: Vec<Fault>,
}

/// Where on a line the next character stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Place {
    #[default]
    Words,
    Parentheses,
    Semicolon,
}

#[derive(Clone, Copy, Debug, Default)]
struct Word {
    letter: u8,
    whole: u32,
    /// Digits after the point, and those of them up to the last that is not 0.
    decimals: Option<u32>,
    significant: u32,
}

/// One thing that stands in the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Fault {
    Long(usize),
    Comment(CommentStyle),
    ActiveComment(String),
    Percent,
    /// The letter, how many, and the unit that the program has stated.
    Decimals(char, u32, Option<Units>),
    Dust(DustRelay),
}

impl Script {
    /// Takes the next bytes; `tell` hears each line's faults.
    pub(crate) fn take(&mut self, bytes: &[u8], mut tell: impl FnMut(u64, Fault)) {
        for &byte in bytes {
            if std::mem::take(&mut self.after_return) && byte == b'\n' {
                continue;
            }
            if byte == b'\n' || byte == b'\r' {
                self.after_return = byte == b'\r';
                self.end_line(&mut tell);
            } else {
                self.character(byte);
            }
        }
    }

    /// Takes the end of the program; tells how many percent signs there were.
    pub(crate) fn finish(&mut self, mut tell: impl FnMut(u64, Fault)) -> u64 {
        if self.length > 0 {
            self.end_line(&mut tell);
        }
        self.percents
    }

    fn character(&mut self, byte: u8) {
        self.length += 1;
        match (self.place, byte) {
            (Place::Words, b'(') => self.open(Place::Parentheses, CommentStyle::Parentheses),
            (Place::Words, b';') => self.open(Place::Semicolon, CommentStyle::Semicolon),
            (Place::Parentheses, b')') => self.close_comment(),
            (Place::Parentheses | Place::Semicolon, _) => {
                if self.comment.len() < BEGINNING && !byte.is_ascii_whitespace() {
                    self.comment.push(byte.to_ascii_uppercase());
                }
            }
            (Place::Words, b'%') if !self.begun => {
                self.percents += 1;
                self.found.push(Fault::Percent);
            }
            (Place::Words, b'.') => self.word.decimals = self.word.decimals.or(Some(0)),
            (Place::Words, b'0'..=b'9') => self.word.digit(byte - b'0'),
            (Place::Words, _) if byte.is_ascii_alphabetic() => {
                self.close_word();
                self.word.letter = byte.to_ascii_uppercase();
            }
            (Place::Words, _) => {}
        }
        self.begun |= !byte.is_ascii_whitespace();
    }

    fn open(&mut self, place: Place, style: CommentStyle) {
        self.close_word();
        self.place = place;
        self.comment.clear();
        self.found.push(Fault::Comment(style));
    }

    fn close_comment(&mut self) {
        self.place = Place::Words;
        let text = String::from_utf8_lossy(&self.comment);
        if let Some((word, _)) = text.split_once(',')
            && ACTIVE.iter().any(|active| word.starts_with(active))
        {
            self.found.push(Fault::ActiveComment(word.to_owned()));
        }
    }

    fn close_word(&mut self) {
        let word = std::mem::take(&mut self.word);
        match (word.letter, word.whole, word.decimals) {
            (b'G', 20, _) => self.units = Some(Units::Inch),
            (b'G', 21, _) => self.units = Some(Units::Millimetre),
            (b'M', 7, _) => self.found.push(Fault::Dust(DustRelay::M7)),
            (b'M', 8, _) => self.found.push(Fault::Dust(DustRelay::M8)),
            // How finely a dwell may be given is no matter of coordinates.
            (b'P', ..) => {}
            (letter, _, Some(_)) => {
                let decimals = Fault::Decimals(char::from(letter), word.significant, self.units);
                self.found.push(decimals);
            }
            _ => {}
        }
    }

    fn end_line(&mut self, tell: &mut impl FnMut(u64, Fault)) {
        if self.place == Place::Semicolon {
            self.close_comment();
        }
        self.close_word();
        self.line += 1;
        for fault in self.found.drain(..) {
            tell(self.line, fault);
        }
        tell(self.line, Fault::Long(self.length));
        self.place = Place::Words;
        self.length = 0;
        self.begun = false;
    }
}

impl Word {
    fn digit(&mut self, digit: u8) {
        match &mut self.decimals {
            Some(decimals) => {
                *decimals += 1;
                if digit > 0 {
                    self.significant = *decimals;
                }
            }
            None => self.whole = self.whole.saturating_mul(10).saturating_add(digit.into()),
        }
    }
}
