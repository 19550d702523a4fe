//! The kinds of file.

use super::key::Key;

/// A kind of spec file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// What is cut.
    Job,
    /// What cuts it.
    Machine,
    /// The rack of bits.
    Bits,
    /// The drawer of hinges.
    Hinges,
}

impl FileKind {
    /// All kinds.
    pub const ALL: [Self; 4] = [Self::Job, Self::Machine, Self::Bits, Self::Hinges];

    /// What a file of the kind holds.
    pub(crate) const fn about(self) -> &'static str {
        match self {
            Self::Job => {
                "A job: a box, its lid, a measured hinge, and how the parts lie on the machine."
            }
            Self::Machine => {
                "A router: travel, limits, spindle, and the dialect its controller reads."
            }
            Self::Bits => "The rack: every bit that a job may name.",
            Self::Hinges => "The drawer: every hinge that a job may name.",
        }
    }

    /// The keys at the top of such a file.
    pub(crate) const fn keys(self) -> &'static [Key] {
        match self {
            Self::Job => super::job::JOB_KEYS,
            Self::Machine => super::machine::MACHINE_KEYS,
            Self::Bits => super::bits::BITS_KEYS,
            Self::Hinges => super::hinges::HINGES_KEYS,
        }
    }
}
