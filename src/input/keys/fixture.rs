//! `[fixture]` of a job.

use crate::input::limits::{
    ALONG, BLOCK, CORRECTION, COUNT, FENCE, HEADROOM, HEIGHT, LOCATED, RISE,
};
use crate::job::Along;
use crate::job::Layout;
use crate::job::StopEnd;
use crate::job::ZeroPoint;

use super::key::{Content, MANY, keys, words};

keys! {
    /// How the parts lie on the machine. Z0 is the box's mating face.
    pub(super) FIXTURE_KEYS {
        /// How the parts lie: "book", opened flat about the divider, or "end-to-end", both outside faces on one fence, stop ends at the centre stop.
        layout => Word(words::<Layout>), Required;
        /// Thickness of the centre fence (book) or centre stop (end to end); 0 = butted.
        divider => Length(FENCE), Mm(0.0);
        /// The lid's mating face above the box's, signed. Follows from `box_base` and `lid_base` where both are given.
        lid_rise => Length(RISE), Mm(0.0);
        /// Top of the divider or centre stop above Z0.
        divider_height => Length(FENCE), Mm(0.0);
        /// Top of the long fence (end to end) above Z0.
        fence_height => Length(FENCE), Mm(0.0);
        /// The box's underside above the bed, negative = hangs below it.
        box_base => Length(HEIGHT), Optional;
        /// The lid's underside above the bed, negative = hangs below it.
        lid_base => Length(HEIGHT), Optional;
        /// One zero for both parts, or G54 at the box and G55 at the lid.
        zero => Word(words::<ZeroPoint>), Said("shared");
        /// Where G54 sits in machine coordinates: X, Y and Z, as the controller counts them; where that is not from 0 up in X and Y and from 0 down in Z, write the machine file's `limits`.
        machine_zero => Lengths(&[ALONG; 3]), Optional;
        /// How far the tip can still rise above Z0, bit in the collet. Default: worked out where machine and bases tell.
        headroom => Length(HEADROOM), Optional;
        /// Where the tip goes, at the top, for bit changes and at the end: X and Y. Default: over the last pocket.
        park => Lengths(&[ALONG; 2]), Optional;
        /// At which end of the layout the stop stands: "left", or "right", where X runs towards the left from it (book) or box and lid change sides (end to end).
        /// Clamps, `park` and `machine_zero` are stated as they lie on the machine, whichever end it is.
        stop_end => Word(words::<StopEnd>), Said("left");
        /// Which axis of the machine the hinged edges lie along: "x", or "y", the whole layout a quarter turn counter-clockwise, so that X, Y become −Y, X; for machines that are open in Y only.
        /// Clamps, `park` and `machine_zero` are stated as they lie on the machine and are not turned.
        along => Word(words::<Along>), Said("x");
        /// Things to keep clear of, in shared coordinates.
        clamps => List(&Content::Table(CLAMP_KEYS), 0, MANY), Optional;
        /// How parts that are longer than the machine lie, one position after another, each with a program of its own; book layout only, every hinge in exactly one position.
        /// Default: one position, stop ends at the stop.
        positions => List(&Content::Table(POSITION_KEYS), 1, 100), Optional;
        /// Positions with a `mark`: how far the block on each part reaches along it from the stop bar; nut and bit keep clear of it.
        block_length => Length(BLOCK), Mm(20.0);
        /// Positions with a `mark`: the top of blocks and stop bar above Z0, the box's mating face. Default: 20 mm above the higher mating face.
        block_height => Length(BLOCK), Optional;
    }

    /// One position of both parts: with neither `mark` nor `far_stop` their stop ends lie at the stop.
    POSITION_KEYS {
        /// The hinges that are cut in this position, counted from 1 at the stop end.
        hinges => List(&Content::Whole(COUNT), 1, MANY), Required;
        /// The distance from each part's own stop end to the face of a block that is clamped on top of it and meets a stop bar at X = 0, which stands above the parts; by tape. X of a pocket is then u less the mark. The near stop is taken away.
        mark => Length(LOCATED), Optional;
        /// The distance from X = 0 to the face of a second stop, which the far ends lie at. X of a pocket is then this less what the pocket lies from its part's far end, so both lengths want measuring. The near stop is taken away.
        far_stop => Length(LOCATED), Optional;
        /// Correction of the box's pockets of this position along the hinged edge, away from the stop end positive; `stepwell fit --position` enters it.
        box_u => Length(CORRECTION), Mm(0.0);
        /// Correction of the lid's pockets of this position along the hinged edge, away from the stop end positive; `stepwell fit --position` enters it.
        lid_u => Length(CORRECTION), Mm(0.0);
    }

    /// A box-shaped thing to keep clear of, standing on the bed.
    CLAMP_KEYS {
        /// What people call it.
        name => Text, Optional;
        /// The X and Y of the corner with the smaller coordinates.
        min => Lengths(&[ALONG; 2]), Required;
        /// The X and Y of the corner with the larger coordinates.
        max => Lengths(&[ALONG; 2]), Required;
        /// The height of its top above Z0, the box's mating face; negative where it lies below.
        height => Length(HEIGHT), Required;
    }
}
