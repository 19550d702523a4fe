//! `[template]` of a job.

use crate::input::limits::{
    BASE, BOARD, COLLAR, CORRECTION, FENCE, GROOVE, PLATE, PLAY, REACH, ROUTER,
};
use crate::job::template::Deep;

use super::key::{keys, words};

keys! {
    /// A template for a hand-held router with a guide collar, for parts that the machine cannot hold; `stepwell template` makes it.
    pub(super) TEMPLATE_KEYS {
        /// The outside diameter of the guide collar; by caliper, outside jaws. It runs in the template.
        collar => Length(COLLAR), Required;
        /// The bore of the guide collar, which chips have to get out through; by caliper, inside jaws.
        collar_bore => Length(COLLAR), Optional;
        /// How far the guide collar reaches below the router's base; by caliper, depth rod.
        collar_reach => Length(REACH), Required;
        /// The bit of the hand-held router, by its name in the bits file. It cuts the hinge's pockets; the bit on the machine cuts the template.
        bit => Text, Required;
        /// The hand-held router: `{ base = 150, height = 300 }`.
        router => Table(ROUTER_KEYS), Required;
        /// The plate that the template is cut from: `{ length = 300, width = 200, thickness = 12.1, wood = "MDF" }`.
        plate => Table(PLATE_KEYS), Required;
        /// The strip that lies against the outside face: `{ width = 18, height = 30, groove = 4 }`.
        batten => Table(BATTEN_KEYS), Required;
        /// How deeper steps are guided: "insert", loose pieces that make the first opening smaller, or "opening", an opening of its own beside the first.
        deep => Word(words::<Deep>), Said("insert");
        /// Play beside an insert, on its width in all.
        play => Length(PLAY), Mm(0.1);
        /// How far the bit stands off the collar's middle, with the router's same side always towards the batten: inward from the batten, and to the right of who looks inward from it. `stepwell fit --turned` and `--turned-end` enter it.
        off_centre => Lengths(&[CORRECTION; 2]), Each(&[0.0, 0.0]);
        /// What trial cuts taught of the batten: its grooves lie by this much further from the opening. `stepwell fit --turned` enters it.
        batten_off => Length(CORRECTION), Mm(0.0);
        /// What trial cuts taught of the stop: its face lies by this much further from the template's centre line. `stepwell fit --turned-end` enters it.
        stop_off => Length(CORRECTION), Mm(0.0);
    }

    /// The hand-held router.
    ROUTER_KEYS {
        /// The diameter of the router's base, across its narrowest; by tape.
        base => Length(BASE), Required;
        /// The height of the router, base to top, which matters between the walls of a cabinet; by tape.
        height => Length(ROUTER), Optional;
    }

    /// The plate that the template is cut from. A strip beside it, for the inserts, comes on top.
    PLATE_KEYS {
        /// The plate along the hinged edge.
        length => Length(PLATE), Required;
        /// The plate across the hinged edge.
        width => Length(PLATE), Required;
        /// The plate's thickness, measured at several places; by caliper, outside jaws.
        thickness => Length(BOARD), Required;
        /// What the plate is made of: a name of the wood table.
        wood => Wood, Said("MDF");
    }

    /// The strip that lies against the outside face, let into the plate's underside.
    BATTEN_KEYS {
        /// The batten's thickness across the outside face; by caliper, outside jaws.
        width => Length(BOARD), Required;
        /// The batten's height down the outside face, with what is let in.
        height => Length(FENCE), Required;
        /// How deep it is let into the plate's underside.
        groove => Length(GROOVE), Required;
    }
}
