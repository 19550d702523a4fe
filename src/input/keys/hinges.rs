//! The hinge drawer, and the hinge of a job.

use crate::input::limits::{
    CLEARANCE, CORNER, DEEPER, GAP, GAUGE, HINGE_DEPTH, HINGE_LENGTH, HINGE_WIDTH, ON_HINGE,
    OPEN_GAP, SCREW, SCREW_LENGTH, SETBACK,
};
use crate::units::Units;

use super::entry::ENTRY_KEYS;
use super::key::{Content, MANY, keys, words};

keys! {
    /// The drawer: every hinge that a job may name.
    pub(super) HINGES_KEYS {
        /// The unit of bare numbers in this file.
        units => Word(words::<Units>), Said("mm");
        /// The list of hinges, each a table that starts with `[[hinge]]`.
        hinge => List(&Content::Table(DRAWER_KEYS), 1, 1000), Required;
        /// What `stepwell fit` has entered; it keeps this list.
        entry => List(&Content::Table(ENTRY_KEYS), 0, MANY), Optional;
    }

    /// What the pockets of a hinge taught with one bit in one pair of woods.
    LEARNED_KEYS {
        /// The name of the bit in the bits file.
        bit => Text, Required;
        /// The wood of box and lid, or both as "black walnut / sugar maple", the box's first.
        wood => Text, Required;
        /// Pocket minus leaf, on the width and on the length.
        clearance => Length(CLEARANCE), Optional;
        /// Added to every step of both parts, deeper positive.
        depth => Length(DEEPER), Optional;
    }

    /// One step of the hinge.
    STEP_KEYS {
        /// The step's length along the hinged edge; by caliper, outside jaws.
        length => Length(HINGE_LENGTH), Required;
        /// The depth from the face of the leaf down to the step's lowest point; by caliper, depth rod.
        depth => Length(HINGE_DEPTH), Required;
        /// Across. Default: the hinge's width.
        width => Length(HINGE_WIDTH), Optional;
        /// Corner radius. Default: half the width, which gives round ends.
        corner => Length(CORNER), Optional;
        /// The step's centre from the hinge's centre, along the hinged edge, signed.
        shift => Length(ON_HINGE), Mm(0.0);
    }

    /// One screw: `gauge` or `diameter`, not both.
    SCREW_KEYS {
        /// The screw's distance from the hinge's centre along the hinged edge; signed.
        along => Length(ON_HINGE), Required;
        /// From the hinge's centre across, inward positive.
        across => Length(ON_HINGE), Mm(0.0);
        /// The screw's gauge number, or give the shank's `diameter` by caliper instead; the shank is 0.060 + 0.013 N inch thick.
        gauge => Whole(GAUGE), Optional;
        /// Shank diameter.
        diameter => Length(SCREW), Optional;
        /// The screw's overall length, head flush with the face of the leaf.
        length => Length(SCREW_LENGTH), Required;
    }
}

/// A table with the keys of a hinge, and those of its own before them.
macro_rules! hinge_keys {
    ($(#[$about:meta])* $vis:vis $name:ident, $presence:ident $(($given:literal))? { $($own:tt)* }) => {
        keys! {
            $(#[$about])*
            $vis $name {
                $($own)*
                /// The width across one leaf; by caliper, outside jaws.
                width => Length(HINGE_WIDTH), $presence $(($given))?;
                /// The distance from the outside face to the near side of the leaf, your choice and the same in both parts.
                setback => Length(SETBACK), $presence $(($given))?;
                /// The gap between the parts when closed with both leaves flush: hinge closed, caliper over both leaf backs, less the depth of step 1 twice.
                closed_gap => Length(GAP), $presence $(($given))?;
                /// Near side to near side of the leaves when open flat.
                open_gap => Length(OPEN_GAP), Optional;
                /// The list of the hinge's steps: the leaf, then each deeper part inside it, as [ { length = 44, depth = 4.5 }, { length = 27, depth = 12 } ].
                steps => List(&Content::Table(STEP_KEYS), 1, 50), $presence $(($given))?;
                /// The lid's steps where its half of the hinge differs. Default: `steps`.
                lid_steps => List(&Content::Table(STEP_KEYS), 1, 50), Optional;
                /// The screws of one leaf; both parts have the same.
                screws => List(&Content::Table(SCREW_KEYS), 1, 50), Optional;
            }
        }
    };
}

hinge_keys! {
    /// The hinge of a job, as measured by caliper, or one of the drawer by its name.
    pub(super) HINGE_KEYS, Unless("name") {
        /// The name of a hinge of the drawer; keys beside it count over the drawer's.
        name => Text, Optional;
    }
}

hinge_keys! {
    /// A hinge of the drawer, as measured by caliper.
    DRAWER_KEYS, Required {
        /// The name that jobs call it by, unique in the drawer.
        name => Text, Required;
        /// What its pockets taught, for each bit and pair of woods; `stepwell fit` enters it.
        learned => List(&Content::Table(LEARNED_KEYS), 0, MANY), Optional;
    }
}
