//! What sort of value a key of a job holds, as the key table has it.

use crate::input::FileKind;
use crate::input::keys::{self, Content};

/// What sort of value a key holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A length, in the file's units or its own.
    Length,
    /// A plain number.
    Number,
    /// One of these words.
    Choice(Vec<String>),
    /// Yes or no.
    Switch,
    /// Anything in words.
    Text,
    /// A table.
    Table,
    /// A list, of so many values where that is fixed.
    List(Option<usize>),
}

impl Kind {
    /// The sort of a key of a job file; none where there is no such key, or
    /// where it is a record that a command keeps.
    pub(crate) fn of(path: &str) -> Option<Self> {
        if path == "entry" || path.starts_with("entry.") || path.starts_with("entry[") {
            return None;
        }
        keys::find(FileKind::Job, path).map(|(_, content)| of(content))
    }

    /// The sort of what stands in the list of that key, where it is single values.
    pub(crate) fn item(&self, path: &str) -> Option<Self> {
        let Self::List(_) = self else {
            return None;
        };
        Self::of(&format!("{path}[1]")).filter(|item| !matches!(item, Self::Table | Self::List(_)))
    }
}

fn of(content: Content) -> Kind {
    match content {
        // A wood: a name, or a table of its own.
        Content::Text | Content::Wood => Kind::Text,
        Content::Switch => Kind::Switch,
        Content::Number(_) | Content::Whole(_) => Kind::Number,
        Content::Length(_) => Kind::Length,
        Content::Word(words) => Kind::Choice(words().into_iter().map(str::to_owned).collect()),
        Content::Table(_) | Content::Speeds(_) => Kind::Table,
        Content::Lengths(ranges) | Content::Numbers(ranges) => Kind::List(Some(ranges.len())),
        Content::List(_, least, most) => Kind::List((least == most).then_some(most)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_key_table_tells_what_sort_of_value_a_key_holds() {
        let choice =
            |words: &[&str]| Kind::Choice(words.iter().map(|word| (*word).to_owned()).collect());
        for (path, kind) in [
            ("hinge.width", Kind::Length),
            ("hinge.steps[2].depth", Kind::Length),
            ("fixture.park[1]", Kind::Length),
            ("placement.count", Kind::Number),
            ("fit.box_share", Kind::Number),
            ("lid.closing", choice(&["overlay", "inset"])),
            ("fixture.zero", choice(&["shared", "each"])),
            ("units", choice(&["mm", "in"])),
            ("fit.proud", Kind::Switch),
            ("box.wood", Kind::Text),
            ("title", Kind::Text),
            ("hinge", Kind::Table),
            ("fixture.clamps[1]", Kind::Table),
            ("hinge.steps", Kind::List(None)),
            ("fixture.park", Kind::List(Some(2))),
        ] {
            assert_eq!(Kind::of(path), Some(kind), "{path}");
        }
        let item = |path: &str| Kind::of(path).and_then(|kind| kind.item(path));
        assert_eq!(item("fixture.positions[2].hinges"), Some(Kind::Number));
        assert_eq!(item("placement.centres"), Some(Kind::Length));
        assert_eq!(item("hinge.steps"), None);
        assert_eq!(Kind::of("hinge.wdith"), None);
        assert_eq!(Kind::of("entry.number"), None);
    }
}
