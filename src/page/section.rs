//! The sections of the page, in the order of the work.

/// One section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Section {
    Hinge,
    Parts,
    Wood,
    Fixture,
    Proof,
    Piece,
    /// Only where the job has a template.
    Template,
    Readings,
    Next,
}

/// Keys that are asked for together.
pub(super) struct Group {
    pub(super) title: &'static str,
    /// The table whose keys they are; empty for keys outside all tables.
    pub(super) table: &'static str,
    pub(super) takes: Takes,
}

/// Which keys of the table.
#[derive(Clone, Copy)]
pub(super) enum Takes {
    All,
    Only(&'static [&'static str]),
    AllBut(&'static [&'static str]),
}

impl Takes {
    pub(super) fn takes(self, key: &str) -> bool {
        match self {
            Self::All => true,
            Self::Only(keys) => keys.contains(&key),
            Self::AllBut(keys) => !keys.contains(&key),
        }
    }
}

const fn group(title: &'static str, table: &'static str, takes: Takes) -> Group {
    Group {
        title,
        table,
        takes,
    }
}

/// Keys in the order in which they are measured and asked for; others follow.
const ORDER: &[&str] = &[
    "title",
    "units",
    "machine",
    "bits",
    "bit",
    "name",
    "layout",
    "closing",
    "count",
    "inset",
    "length",
    "wall",
    "height",
    "depth",
    "width",
    "thickness",
    "corner",
    "shift",
    "along",
    "across",
    "gauge",
    "diameter",
    "setback",
    "closed_gap",
    "open_gap",
    "overhang",
    "drop",
    "end_inset",
    "divider",
    "divider_height",
    "fence_height",
    "lid_rise",
    "clearance",
    "under",
    "gap",
    "box_share",
    "steps",
    "lid_steps",
    "screws",
    "min",
    "max",
];

/// Where a key stands among others.
pub(super) fn rank(key: &str) -> usize {
    ORDER
        .iter()
        .position(|known| *known == key)
        .unwrap_or(ORDER.len())
}

const WOOD: &[&str] = &["wood"];

impl Section {
    pub(super) const ALL: [Self; 9] = [
        Self::Hinge,
        Self::Parts,
        Self::Wood,
        Self::Fixture,
        Self::Proof,
        Self::Piece,
        Self::Template,
        Self::Readings,
        Self::Next,
    ];

    /// The last part of its address.
    pub(super) const fn path(self) -> &'static str {
        match self {
            Self::Hinge => "hinge",
            Self::Parts => "box-and-lid",
            Self::Wood => "wood-and-bit",
            Self::Fixture => "fixture",
            Self::Proof => "proof",
            Self::Piece => "test-piece",
            Self::Template => "template",
            Self::Readings => "readings",
            Self::Next => "next-box",
        }
    }

    pub(super) const fn title(self) -> &'static str {
        match self {
            Self::Hinge => "Hinge",
            Self::Parts => "Box and lid",
            Self::Wood => "Wood and bit",
            Self::Fixture => "Fixture",
            Self::Proof => "Proof and sheet",
            Self::Piece => "Test piece",
            Self::Template => "Template",
            Self::Readings => "Readings",
            Self::Next => "Next box",
        }
    }

    /// What is done here, in a sentence.
    pub(super) const fn aim(self) -> &'static str {
        match self {
            Self::Hinge => "Measure one leaf with the calipers, or name a hinge of your drawer.",
            Self::Parts => "Measure both parts at the hinged edge, and say where the hinges sit.",
            Self::Wood => {
                "Say what is cut, with which bit, on which machine, and how tight it is to fit."
            }
            Self::Fixture => "Say how the parts lie on the machine, and what stands in the way.",
            Self::Proof => "Every check on the program's own text, as the job stands now.",
            Self::Piece => {
                "Cut the pocket in a scrap first, each time a little wider, and try the hinge in it."
            }
            Self::Template => {
                "Cut a plate that guides a hand-held router, where the parts cannot lie on the machine."
            }
            Self::Readings => {
                "Measure what a program cut; the next program makes up for what is off."
            }
            Self::Next => {
                "Enter what was run, so that the bit's wear is known, and look at a run of boxes."
            }
        }
    }

    /// Whether something is done here besides changing the job.
    pub(super) const fn writes(self) -> bool {
        matches!(
            self,
            Self::Proof | Self::Piece | Self::Template | Self::Readings | Self::Next
        )
    }

    /// Whether the whole verdict and all drawings of something are shown here.
    pub(super) const fn proves(self) -> bool {
        matches!(self, Self::Proof | Self::Template)
    }

    pub(super) fn named(path: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|section| section.path() == path)
    }

    pub(super) fn groups(self) -> Vec<Group> {
        match self {
            Self::Hinge => vec![
                group("Hinge drawer", "", Takes::Only(&["hinges"])),
                group("Hinge", "hinge", Takes::All),
            ],
            Self::Parts => vec![
                group("Job", "", Takes::Only(&["title", "units"])),
                group("Box", "box", Takes::AllBut(WOOD)),
                group("Lid", "lid", Takes::AllBut(WOOD)),
                group("Where the hinges sit", "placement", Takes::All),
            ],
            Self::Wood => vec![
                group("Wood of the box", "box", Takes::Only(WOOD)),
                group("Wood of the lid", "lid", Takes::Only(WOOD)),
                group(
                    "Machine and bit",
                    "",
                    Takes::Only(&["machine", "bits", "bit"]),
                ),
                group("Screw holes", "pilot", Takes::All),
                group("Fit", "fit", Takes::All),
            ],
            Self::Fixture => vec![
                group("Fixture", "fixture", Takes::All),
                group("Template for a hand-held router", "template", Takes::All),
            ],
            Self::Proof | Self::Piece | Self::Template | Self::Readings | Self::Next => Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::FileKind;
    use crate::input::keys;

    #[test]
    fn every_key_of_a_job_is_asked_for_in_one_place() {
        let groups: Vec<Group> = Section::ALL.into_iter().flat_map(Section::groups).collect();
        for path in keys::paths(FileKind::Job) {
            let (table, key) = path.split_once('.').unwrap_or(("", &path));
            let is_table = groups.iter().any(|group| group.table == path);
            if table == "entry" || path == "entry" || is_table {
                continue;
            }
            let key = key.split('.').next().unwrap();
            let taking = groups
                .iter()
                .filter(|group| group.table == table && group.takes.takes(key));
            assert_eq!(taking.count(), 1, "{path}");
        }
    }
}
