//! The bits file.

use crate::input::limits::{
    BIT_LENGTH, CHIP, DIAMETER, FLUTES, METRES, POINT_ANGLE, RAMP, RPM, SHARE, STEPDOWN, STEPOVER,
    TOOL,
};
use crate::shop::bit::BitKind;
use crate::shop::bit::BitMaterial;
use crate::shop::bit::Direction;
use crate::units::Units;

use super::entry::ENTRY_KEYS;
use super::key::{Content, MANY, keys, words};

keys! {
    /// The rack: every bit that a job may name.
    pub(super) BITS_KEYS {
        /// The unit of bare numbers in this file.
        units => Word(words::<Units>), Said("mm");
        /// The list of bits, each a table that starts with `[[bit]]`.
        bit => List(&Content::Table(BIT_KEYS), 1, 1000), Required;
        /// What `stepwell fit` has entered; it keeps this list.
        entry => List(&Content::Table(ENTRY_KEYS), 0, MANY), Optional;
    }

    /// A router bit or a drill.
    BIT_KEYS {
        /// The name that jobs call it by, unique in the rack.
        name => Text, Required;
        /// How it is ground: "single-flute", "double-flute", "up-spiral", "down-spiral" or "drill".
        kind => Word(words::<BitKind>), Required;
        /// The nominal diameter of what it cuts, as sold.
        diameter => Length(DIAMETER), Required;
        /// Width of a slot it really cuts, by caliper. Default: the diameter.
        measured => Length(DIAMETER), Optional;
        /// Cutting edges. Default: 1 for a single-flute bit, else 2.
        flutes => Whole(FLUTES), Optional;
        /// The length of the cutting edge from the tip; by caliper.
        cutting_length => Length(BIT_LENGTH), Required;
        /// The length that stands out of the nut, nut to tip; by caliper.
        stickout => Length(BIT_LENGTH), Required;
        /// Shank diameter. Default: the diameter.
        shank => Length(DIAMETER), Optional;
        /// What the edge is made of.
        material => Word(words::<BitMaterial>), Said("carbide");
        /// Whether it cuts at its centre and may go straight down; a drill always may.
        plunges => Switch, Is(false);
        /// Included point angle of a drill in degrees.
        point_angle => Number(POINT_ANGLE), Figure(118.0);
        /// 0 fresh to 1 worn out.
        wear => Number(SHARE), Figure(0.0);
        /// Deepest bite of the fresh bit. Default: by kind, diameter and wood.
        stepdown => Length(STEPDOWN), Optional;
        /// Steepest ramp in degrees. Default: by kind.
        ramp_deg => Number(RAMP), Optional;
        /// Least chip per tooth: under it the edge rubs and burns.
        chip_min => Length(CHIP), Optional;
        /// Greatest chip per tooth.
        chip_max => Length(CHIP), Optional;
        /// Spacing of neighbouring paths as a share of the diameter.
        stepover => Number(STEPOVER), Optional;
        /// Number for T words. Default: the bit's place in the file.
        tool => Whole(TOOL), Optional;
        /// The fastest it may turn, as engraved. Default: by its diameter.
        rpm_max => Number(RPM), Optional;
        /// Metres of path cut in wood, as `ran` adds them.
        cut_m => Number(METRES), Figure(0.0);
        /// `cut_m` when `wear` was stated: the bit is as worn as stated and as cut since.
        wear_at_m => Number(METRES), Figure(0.0);
        /// Whether the rim is scored before roughing. Default: only by an up-spiral.
        score => Switch, Optional;
        /// Which way the finishing pass goes round the wall.
        finish_direction => Word(words::<Direction>), Said("climb");
        /// Whether half the wall allowance gets a finishing pass of its own.
        second_finish => Switch, Is(false);
        /// Whether the last finishing pass is run once more at the same place.
        spring_pass => Switch, Is(false);
    }
}
