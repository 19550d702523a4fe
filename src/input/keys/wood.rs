//! A part's wood, described by hand; what is left out comes from the wood table.

use crate::input::limits::{GRAVITY, MOISTURE};
use crate::shop::wood::Grain;

use super::key::{keys, words};

keys! {
    /// A name of the wood table ("black walnut", "hard maple", "plywood", "MDF"), or a table of its own. A name of the wood table, in either word order. A wood described by hand. A wood described by hand; what is left out comes from the wood table.
    pub(super) WOOD_KEYS {
        /// The wood's name: one of the wood table, or any where the gravity is given.
        name => Text, Required;
        /// Specific gravity: ovendry weight over volume at 12 % moisture.
        gravity => Number(GRAVITY), Optional;
        /// Moisture content in percent.
        moisture => Number(MOISTURE), Figure(12.0);
        /// How the grain runs: with the hinged edge, or across it.
        grain => Word(words::<Grain>), Said("along");
    }
}
