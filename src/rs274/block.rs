//! What one line says: its codes by modal group and its words by letter.

use super::code::{self, Code};
use super::name::{Group, Name};
use super::outside;
use super::problem::Problem;
use super::word::{Number, Word};

/// A stretch of one line: bytes from its start, and how many.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Mark {
    pub(super) at: usize,
    pub(super) length: usize,
}

/// A problem and where it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Fault {
    pub(super) mark: Mark,
    pub(super) problem: Problem,
}

impl Fault {
    /// In a box, so that what the reader passes on for a good line is small.
    #[cold]
    pub(super) fn boxed(mark: Mark, problem: Problem) -> Box<Self> {
        Box::new(Self { mark, problem })
    }
}

/// One line's codes and words. Kept and cleared from line to line, so that
/// reading allocates nothing.
#[derive(Debug)]
pub(super) struct Block {
    /// One bit for each group that has a code here.
    groups: u32,
    codes: [Code; Group::COUNT],
    code_marks: [Mark; Group::COUNT],
    /// One bit for each letter that has a word here.
    present: u32,
    numbers: [Number; 26],
    marks: [Mark; 26],
}

impl Default for Block {
    fn default() -> Self {
        Self {
            groups: 0,
            codes: [Code::MotionOff; Group::COUNT],
            code_marks: [Mark::default(); Group::COUNT],
            present: 0,
            numbers: [Number::default(); 26],
            marks: [Mark::default(); 26],
        }
    }
}

impl Block {
    /// Forgets the last line.
    pub(super) fn clear(&mut self) {
        self.groups = 0;
        self.present = 0;
    }

    /// Whether the line has any G or M code.
    pub(super) fn has_codes(&self) -> bool {
        self.groups != 0
    }

    /// The line's code of a modal group.
    pub(super) fn code(&self, group: Group) -> Option<Code> {
        let present = self.groups & (1 << group as u32) != 0;
        present.then(|| self.codes[group as usize])
    }

    /// All codes in the order of execution.
    pub(super) fn codes(&self) -> impl Iterator<Item = Code> + '_ {
        let mut left = self.groups;
        std::iter::from_fn(move || {
            let next = left.trailing_zeros() as usize;
            left &= left.wrapping_sub(1);
            self.codes.get(next).copied()
        })
    }

    /// Where the code of a group stands.
    pub(super) fn code_mark(&self, group: Group) -> Mark {
        self.code_marks[group as usize]
    }

    /// Whether any of `letters` has a word.
    pub(super) fn has(&self, letters: &[u8]) -> bool {
        letters
            .iter()
            .any(|letter| self.present & bit(*letter) != 0)
    }

    /// The number after a letter.
    pub(super) fn number(&self, letter: u8) -> Option<Number> {
        (self.present & bit(letter) != 0).then(|| self.numbers[index(letter)])
    }

    /// The value after a letter.
    pub(super) fn value(&self, letter: u8) -> Option<f64> {
        self.number(letter).map(|number| number.value)
    }

    /// Where the first of `letters` that has a word stands.
    pub(super) fn mark(&self, letters: &[u8]) -> Mark {
        let present = letters.iter().find(|letter| self.has(&[**letter]));
        present.map_or(Mark::default(), |letter| self.marks[index(*letter)])
    }

    /// Takes in one word.
    #[inline]
    pub(super) fn add(&mut self, word: Word, mark: Mark) -> Result<(), Box<Fault>> {
        self.insert(word, mark)
            .map_err(|problem| Fault::boxed(mark, problem))
    }

    #[inline]
    fn insert(&mut self, word: Word, mark: Mark) -> Result<(), Problem> {
        let value = word.number.value;
        match word.letter {
            b'X' | b'Y' | b'Z' | b'I' | b'J' => {}
            b'F' | b'S' | b'P' if value < 0.0 => {
                return Err(Problem::Negative(word.letter, value));
            }
            b'F' | b'S' | b'P' => {}
            b'T' | b'H' => whole(word)?,
            b'G' => return self.insert_code(code::general(word.number)?, mark),
            b'M' => return self.insert_code(code::miscellaneous(word.number)?, mark),
            b'N' => return Err(Problem::LineNumberInside),
            letter => return Err(outside(letter)),
        }
        if self.present & bit(word.letter) != 0 {
            return Err(Problem::Repeated(word.letter));
        }
        self.present |= bit(word.letter);
        self.numbers[index(word.letter)] = word.number;
        self.marks[index(word.letter)] = mark;
        Ok(())
    }

    fn insert_code(&mut self, (code, name): (Code, Name), mark: Mark) -> Result<(), Problem> {
        let group = code.group();
        if self.code(group).is_some() {
            return Err(Problem::SameGroup(name, group));
        }
        self.groups |= 1 << group as u32;
        self.codes[group as usize] = code;
        self.code_marks[group as usize] = mark;
        Ok(())
    }
}

fn index(letter: u8) -> usize {
    usize::from(letter - b'A')
}

fn bit(letter: u8) -> u32 {
    1 << (letter - b'A')
}

/// T and H count things.
fn whole(Word { letter, number }: Word) -> Result<(), Problem> {
    if number.value < 0.0 {
        return Err(Problem::Negative(letter, number.value));
    }
    if (number.value - number.value.round()).abs() > code::NEAR {
        return Err(Problem::NotInteger(letter, number.value));
    }
    Ok(())
}

#[cold]
fn outside(letter: u8) -> Problem {
    match outside::letter(letter) {
        Some(_) => Problem::LetterOutside(letter),
        None => Problem::LetterUnknown(letter),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn added(letter: u8, value: f64) -> Result<(), Problem> {
        let number = Number { value, decimals: 0 };
        let word = Word { letter, number };
        let added = Block::default().add(word, Mark::default());
        added.map_err(|fault| fault.problem)
    }

    // NISTIR 6556, 3.7.1, 3.7.2, 3.5.4, 3.7.3 and 3.5.11: F, S, P, T and H.
    #[test]
    fn feeds_speeds_times_and_numbers_are_not_negative() {
        for letter in *b"FSPTH" {
            assert_eq!(added(letter, 0.0), Ok(()));
            let problem = Problem::Negative(letter, -1.0);
            assert_eq!(added(letter, -1.0), Err(problem));
        }
        assert_eq!(added(b'X', -1.0), Ok(()));
    }

    // NISTIR 6556, 3.3.2.1: within 0.0001 of an integer.
    #[test]
    fn tools_and_length_offsets_are_counted() {
        for letter in *b"TH" {
            assert_eq!(added(letter, 7.0), Ok(()));
            assert_eq!(added(letter, 0.0001), Ok(()));
            let problem = Problem::NotInteger(letter, 7.5);
            assert_eq!(added(letter, 7.5), Err(problem));
        }
    }
}
