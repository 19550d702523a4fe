//! The job file.

use crate::input::limits::{
    BOARD, CLEARANCE, CORRECTION, COUNT, DEEPER, DROP, END_INSET, FINISH, FROM_STOP, GAP, LEFT,
    LONG, OVERHANG, PART, SCREW_LENGTH, SHARE, UNDER,
};
use crate::job::Closing;
use crate::units::Units;

use super::entry::ENTRY_KEYS;
use super::fixture::FIXTURE_KEYS;
use super::hinges::HINGE_KEYS;
use super::key::{Content, MANY, keys, words};
use super::template::TEMPLATE_KEYS;

keys! {
    /// A job: a box, its lid, a measured hinge, and how the parts lie on the machine.
    pub(super) JOB_KEYS {
        /// What people call it. Default: the file's name.
        title => Text, Optional;
        /// The unit of bare numbers in this file.
        units => Word(words::<Units>), Said("mm");
        /// The path of the machine file, counted from the folder of this file.
        machine => Text, Required;
        /// The path of the bits file, counted from the folder of this file.
        bits => Text, Required;
        /// The bit for the pockets, by its name in the bits file. May be left out where the command line names it.
        bit => Text, Optional;
        /// The table of the box: `[box]` with `length`, `wall`, `height` and `wood`.
        box => Table(BOX_KEYS), Required;
        /// The table of the lid: `[lid]` with `closing`, `width`, `thickness` and `wood`.
        lid => Table(LID_KEYS), Required;
        /// The path of the hinge drawer, counted from the folder of this file; then `[hinge]` may be just a `name`.
        hinges => Text, Optional;
        /// The table of the hinge: `[hinge]` with `width`, `setback`, `closed_gap` and `steps`, or with the `name` of one of the drawer.
        hinge => Table(HINGE_KEYS), Required;
        /// The table that says where the hinges sit: `[placement]` with `count` and `inset`, or with `centres`.
        placement => Table(PLACEMENT_KEYS), Required;
        /// Drill the screw holes too, as an operation of its own.
        pilot => Table(PILOT_KEYS), Optional;
        /// The fit as wanted, and what the first cuts taught.
        fit => Table(FIT_KEYS), Optional;
        /// The table that says how the parts lie on the machine: `[fixture]` with `layout`.
        fixture => Table(FIXTURE_KEYS), Required;
        /// A template for a hand-held router with a guide collar, for parts that the machine cannot hold; `stepwell template` makes it.
        template => Table(TEMPLATE_KEYS), Optional;
        /// What `stepwell fit` has entered; it keeps this list.
        entry => List(&Content::Table(ENTRY_KEYS), 0, MANY), Optional;
    }

    /// The box.
    BOX_KEYS {
        /// The length along the hinged edge, end to end; by tape.
        length => Length(LONG), Required;
        /// The thickness of the hinged wall at the rim; by caliper, outside jaws.
        wall => Length(BOARD), Required;
        /// The height from the underside to the rim; by tape.
        height => Length(PART), Required;
        /// Front to back, for the drawing.
        width => Length(PART), Optional;
        /// The wood: a name of the wood table, such as "black walnut", "hard maple", "plywood" or "MDF", or { name = "…", gravity = 0.6 }.
        wood => Wood, Required;
    }

    /// The lid.
    LID_KEYS {
        /// How the lid closes: "overlay", it lies on the rim, or "inset", it closes between the walls.
        closing => Word(words::<Closing>), Required;
        /// The length along the hinged edge, by tape. Default for an overlay lid: the box's length; required for an inset lid.
        length => Length(LONG), Optional;
        /// The lid front to back; by tape.
        width => Length(PART), Required;
        /// The thickness at the hinged edge, from the show face to the underside; by caliper, outside jaws.
        thickness => Length(BOARD), Required;
        /// Overlay lid that has walls of its own (a box sawn in two): their thickness.
        wall => Length(BOARD), Optional;
        /// Overlay only: the lid past the box's back face; negative where it stands back.
        overhang => Length(OVERHANG), Mm(0.0);
        /// Inset only: the lid's show face below the rim.
        drop => Length(DROP), Mm(0.0);
        /// The distance along the hinged edge from the box's stop end to the lid's stop end, by tape; the stop end is the one that lies at the stop, the same physical end of both. Signed; required for an inset lid.
        end_inset => Length(END_INSET), Mm(0.0);
        /// Inset lid of a box without walls at its ends: the lid may be as long as the box.
        open_ends => Switch, Is(false);
        /// The wood: a name of the wood table, such as "black walnut", "hard maple", "plywood" or "MDF", or { name = "…", gravity = 0.6 }.
        wood => Wood, Required;
    }

    /// Where the hinges sit: `count` with `inset`, or a list of `centres`.
    PLACEMENT_KEYS {
        /// How many hinges; one sits in the middle.
        count => Whole(COUNT), Optional;
        /// First and last hinge centre from the box's ends. Default: a fifth of the box's length.
        inset => Length(FROM_STOP), Optional;
        /// Each hinge centre from the box's stop end.
        centres => List(&Content::Length(FROM_STOP), 1, 100_000), Optional;
    }

    /// Drill the screw holes too, as an operation of its own.
    PILOT_KEYS {
        /// The drill: a bit of kind "drill", by its name in the bits file.
        bit => Text, Required;
        /// The depth to the drill's tip, below the floor of the step that holds the screw.
        depth => Length(SCREW_LENGTH), Required;
    }

    /// The fit as wanted, and what the first cuts taught.
    FIT_KEYS {
        /// Pocket minus leaf, on the width and on the length. Where it is left out, what the drawer has learned counts.
        clearance => Length(CLEARANCE), Mm(0.1);
        /// Room under the body: every step after the first is this much deeper.
        under => Length(UNDER), Mm(0.2);
        /// Added to every step of both parts, deeper positive: what a test piece or the closed gap taught. Where it is left out, what the drawer has learned counts.
        depth => Length(DEEPER), Mm(0.0);
        /// Wanted gap between the closed parts, at most the hinge's `closed_gap` unless `proud`. Default: `closed_gap`.
        gap => Length(GAP), Optional;
        /// The gap may be greater than the hinge's `closed_gap`: the leaves stand proud, as under a lining as thick as they do.
        proud => Switch, Is(false);
        /// The box's share of the recess that makes the gap smaller.
        box_share => Number(SHARE), Figure(0.5);
        /// Wall allowance for the finishing pass; at most 0.5 mm and a tenth of the bit.
        finish => Length(FINISH), Mm(0.2);
        /// Warn under this much wood beside or below a pocket; under 1 mm always fails.
        min_left => Length(LEFT), Mm(3.0);
        /// Correction of the box's pockets along the hinged edge, away from the stop end positive.
        box_u => Length(CORRECTION), Mm(0.0);
        /// Correction of the box's pockets across, inward positive.
        box_v => Length(CORRECTION), Mm(0.0);
        /// Correction of the lid's pockets along the hinged edge, away from the stop end positive.
        lid_u => Length(CORRECTION), Mm(0.0);
        /// Correction of the lid's pockets across, inward positive.
        lid_v => Length(CORRECTION), Mm(0.0);
    }
}
