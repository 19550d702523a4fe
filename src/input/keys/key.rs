//! One key, and how tables of them are written.

use serde::de::DeserializeOwned;

use crate::input::choice;
use crate::input::limits::Range;
use crate::units::{Length, Units, text};

/// A key of a table.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Key {
    pub(crate) name: &'static str,
    /// What it means and how it is measured, in sentences; spaces as in the source.
    pub(crate) about: &'static str,
    pub(crate) content: Content,
    pub(crate) presence: Presence,
}

/// What may stand at a key. Lengths of a range are in millimetres.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Content {
    Text,
    /// `true` or `false`.
    Switch,
    /// Without a unit.
    Number(Range),
    Whole(Range),
    /// In the file's units, or text with a unit of its own.
    Length(Range),
    /// One of the words that this gives.
    Word(fn() -> Vec<&'static str>),
    /// A name of the wood table, or a table of its own.
    Wood,
    /// A list of as many lengths as ranges, each within its own.
    Lengths(&'static [Range]),
    /// A list of as many numbers as ranges, each within its own.
    Numbers(&'static [Range]),
    /// Speeds by the marks of a dial.
    Speeds(Range),
    Table(&'static [Key]),
    /// A list of at least so many and at most so many.
    List(&'static Content, usize, usize),
}

/// What it means that a key is not there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Presence {
    /// It is a mistake.
    Required,
    /// It is a mistake where that other key is not there either.
    Unless(&'static str),
    /// Nothing is known, or the value follows from others.
    Optional,
    /// A length in millimetres counts.
    Mm(f64),
    /// A number counts.
    Figure(f64),
    /// A word counts.
    Said(&'static str),
    /// `true` or `false` counts.
    Is(bool),
    /// These count, lengths in millimetres.
    Each(&'static [f64]),
}

impl Content {
    /// What may stand here in words, lengths in millimetres; none where that
    /// is no matter of a range or of words.
    pub(crate) fn allowed(self) -> Option<String> {
        let lengths = |range: &Range| range.words(Some(Units::Millimetre));
        let each = |ranges: Vec<String>| match ranges.first() {
            Some(first) if ranges.iter().all(|range| range == first) => format!("each {first}"),
            _ => ranges.join("; "),
        };
        Some(match self {
            Self::Length(range) => lengths(&range),
            Self::Number(range) | Self::Whole(range) | Self::Speeds(range) => range.words(None),
            Self::Lengths(ranges) => each(ranges.iter().map(lengths).collect()),
            Self::Numbers(ranges) => each(ranges.iter().map(|range| range.words(None)).collect()),
            Self::Word(words) => words().join(", "),
            Self::Switch => "true, false".to_owned(),
            Self::List(item, ..) => format!("each {}", item.allowed()?),
            Self::Text | Self::Wood | Self::Table(_) => return None,
        })
    }
}

impl Presence {
    /// What counts where the key is left out, in words.
    pub(crate) fn default(self) -> Option<String> {
        let length = |mm: f64| text::short(Length::from_mm(mm), Units::Millimetre);
        Some(match self {
            Self::Required | Self::Unless(_) | Self::Optional => return None,
            Self::Mm(mm) => length(mm),
            Self::Figure(number) => text::trimmed(number),
            Self::Said(word) => word.to_owned(),
            Self::Is(is) => is.to_string(),
            Self::Each(all) => {
                let all: Vec<String> = all.iter().copied().map(length).collect();
                all.join(", ")
            }
        })
    }
}

/// A list without a greatest count; the file's size is bounded.
pub(super) const MANY: usize = usize::MAX;

/// The words that the serde names of an enum spell.
pub(super) fn words<T: DeserializeOwned>() -> Vec<&'static str> {
    match choice::parse::<T>("") {
        Err(allowed) => allowed.0,
        Ok(_) => Vec::new(),
    }
}

/// Tables of keys: each key with its meaning as documentation, what may stand
/// there, and what counts without it.
macro_rules! keys {
    ($(
        $(#[$table:meta])*
        $vis:vis $list:ident {
            $(
                $(#[doc = $about:literal])+
                $name:ident => $content:ident $(($($inside:tt)*))?, $presence:ident $(($($given:tt)*))?;
            )*
        }
    )*) => {
        $(
            $(#[$table])*
            $vis const $list: &[$crate::input::keys::key::Key] = &[$(
                $crate::input::keys::key::Key {
                    name: stringify!($name),
                    about: concat!($($about),+),
                    content: $crate::input::keys::key::Content::$content $(($($inside)*))?,
                    presence: $crate::input::keys::key::Presence::$presence $(($($given)*))?,
                },
            )*];
        )*
    };
}
pub(super) use keys;
