//! A key by its path, such as `hinge.steps[2].depth`.

use super::key::{Content, Key};
use super::kind::FileKind;
use super::wood::WOOD_KEYS;

impl Content {
    /// The keys of what is, or may be, a table.
    pub(crate) const fn keys(self) -> Option<&'static [Key]> {
        match self {
            Self::Table(keys) => Some(keys),
            Self::Wood => Some(WOOD_KEYS),
            _ => None,
        }
    }

    /// What may stand at a place of a list, counted from 0.
    pub(crate) fn item(self, index: usize) -> Option<Self> {
        match self {
            Self::List(item, ..) => Some(*item),
            Self::Lengths(ranges) => ranges.get(index).copied().map(Self::Length),
            Self::Numbers(ranges) => ranges.get(index).copied().map(Self::Number),
            _ => None,
        }
    }
}

/// The key at a path, and what may stand right there: of `fixture.park[1]` the
/// key is `park`, and a length may stand there. An index may be left out: `bit.wear`.
pub(crate) fn find(kind: FileKind, path: &str) -> Option<(&'static Key, Content)> {
    let mut keys = kind.keys();
    let mut found = None;
    for segment in path.split('.') {
        let (name, indices) = segment.split_at(segment.find('[').unwrap_or(segment.len()));
        let key = keys.iter().find(|key| key.name == name)?;
        let mut content = key.content;
        for index in indices.split_terminator(']') {
            let number: usize = index.strip_prefix('[')?.parse().ok()?;
            content = content.item(number.checked_sub(1)?)?;
        }
        keys = inner(content).unwrap_or_default();
        found = Some((key, content));
    }
    found
}

/// What a key means and how it is measured: `the thickness of …`, without a full stop.
pub(crate) fn describe(kind: FileKind, path: &str) -> Option<String> {
    let text = find(kind, path)?.0.meaning();
    let text = text.trim_end_matches('.');
    let mut characters = text.chars();
    let first: String = characters.next()?.to_lowercase().collect();
    Some(first + characters.as_str())
}

/// The paths of all keys of a kind, without indices, in the table's order.
pub(crate) fn paths(kind: FileKind) -> Vec<String> {
    let mut found = Vec::new();
    gather(kind.keys(), "", &mut found);
    found
}

fn gather(keys: &[Key], above: &str, found: &mut Vec<String>) {
    for key in keys {
        let path = match above {
            "" => key.name.to_owned(),
            above => format!("{above}.{}", key.name),
        };
        found.push(path.clone());
        gather(inner(key.content).unwrap_or_default(), &path, found);
    }
}

/// The keys of a table, or of each table of a list.
fn inner(content: Content) -> Option<&'static [Key]> {
    content.keys().or_else(|| content.item(0)?.keys())
}

impl Key {
    /// What it means and how it is measured, in sentences on one line.
    pub(crate) fn meaning(&self) -> String {
        self.about.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}
