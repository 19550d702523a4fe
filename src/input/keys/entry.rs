//! `[[entry]]`: one figure that `stepwell fit` has entered, and what it replaced.

use crate::input::limits::{COUNT, TEXT};

use super::key::keys;

keys! {
    /// A kind of spec file. What is cut. What cuts it. The rack of bits. The drawer of hinges. All kinds. The JSON Schema (draft 7, which TOML editors read) of a file kind, with descriptions, units, ranges and defaults. What a key means and how it is measured, as the schema describes it: `the thickness of …`, without a full stop. `path` is such as `hinge.steps[2].depth`. The schema of a key. An index may be left out: `bit.wear`. The paths of all keys of a kind, without indices, in its order. The schema of a kind as a tree, made once: a file may have thousands of mistakes. The schema of a key, whichever of several forms the table has. One figure that `stepwell fit` has entered, and what it replaced.
    pub(super) ENTRY_KEYS {
        /// The number of the entry, counted up; what was entered together has one.
        number => Whole(COUNT), Required;
        /// The reading, such as "outside-box".
        reading => Text, Required;
        /// The figure that was read, as it was typed.
        found => Text, Required;
        /// The SHA-256 of the program it was read on.
        program => Text, Required;
        /// What that program had of it, in millimetres.
        text => Number(TEXT), Optional;
        /// The bit that cut it.
        bit => Text, Required;
        /// The key that was changed.
        key => Text, Required;
        /// The value that was replaced, empty where there was none.
        was => Text, Required;
        /// The value that was entered.
        now => Text, Required;
        /// Whether the file's last line had no end before it.
        open_end => Switch, Optional;
        /// Whether `[fit]`, or the entry of `learned`, was made for it.
        made_table => Switch, Optional;
        /// Whether `learned` was made for it.
        made_list => Switch, Optional;
        /// The hinge of the drawer, for what was learned of it.
        hinge => Text, Optional;
        /// The woods of box and lid, for what was learned of a hinge.
        wood => Text, Optional;
    }
}
