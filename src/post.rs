//! From motion to RS-274 text, in the machine's dialect.

use crate::bit::Bit;

/// One program as text.
#[derive(Clone, Debug, PartialEq)]
pub struct Program {
    /// What to append to the job's stem: empty, `-box`, `-lid-h2`, `-pilot`.
    pub suffix: String,
    /// The bit it is for (the first, where bits are changed inside).
    pub bit: Bit,
    /// The text, line ends included.
    pub text: String,
}
