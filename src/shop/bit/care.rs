//! What a bit does for rim and wall, in words: each key of the bits file that
//! bears on it, what is in force and why.
//!
//! The reasons are common practice, no source.

use serde::Serialize;

use super::{Bit, BitKind, Direction};
use crate::units::Length;

/// Whether a value is the default or the rack's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// The default for this kind of bit.
    Default,
    /// As the bits file says.
    Rack,
}

impl Origin {
    const fn of(is_default: bool) -> Self {
        if is_default {
            Self::Default
        } else {
            Self::Rack
        }
    }
}

/// One key of a bits file that bears on rim or wall.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// The key.
    pub key: &'static str,
    /// The value in force, as a bits file has it.
    pub value: &'static str,
    /// Whether it is the default or the rack's own.
    pub origin: Origin,
    /// What it does for rim or wall, and why.
    pub effect: &'static str,
    /// What else can be set, and what for; empty where that changes nothing.
    pub otherwise: &'static str,
}

/// How wide the pockets are for the bit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Room {
    /// As wide as the bit: no wall is left to finish.
    Slot,
    /// Wider, some step of some pocket at least: its walls are finished.
    Wider,
}

impl Room {
    /// A step no more than this much wider than the bit is a slot.
    const SAME: Length = Length::from_mm(0.02);

    /// What steps of these widths are to the bit.
    pub fn of(bit: &Bit, mut widths: impl Iterator<Item = Length>) -> Self {
        if widths.all(|width| width <= bit.cutting_diameter() + Self::SAME) {
            Self::Slot
        } else {
            Self::Wider
        }
    }
}

/// Every choice there is for this bit; none for a drill.
pub fn choices(bit: &Bit, room: Room) -> Vec<Choice> {
    if bit.kind == BitKind::Drill {
        return Vec::new();
    }
    vec![
        score(bit),
        finish_direction(bit, room),
        second_finish(bit, room),
        spring_pass(bit, room),
    ]
}

/// What the finishing keys do in a pocket without a finishing pass.
const NO_FINISH: &str =
    "nothing in this job: the pocket is as wide as the bit, both walls are cut at once";

fn score(bit: &Bit) -> Choice {
    let scores = bit.scores_rim();
    let effect = match (scores, bit.kind) {
        (true, BitKind::UpSpiral) => {
            "a shallow lap on the outline cuts the top fibres before the spiral, which lifts chips, \
             can tear them out of the rim"
        }
        (true, _) => {
            "a shallow lap on the outline cuts the top fibres first, so that roughing splinters none \
             of them"
        }
        (false, BitKind::UpSpiral) => {
            "no lap before roughing: this spiral lifts the top fibres, the rim may come out fuzzy"
        }
        (false, BitKind::DownSpiral) => {
            "no lap before roughing: this spiral presses the top fibres down and leaves a clean rim \
             by itself"
        }
        (false, _) => {
            "no lap before roughing: a straight edge neither lifts nor presses the top fibres, the \
             rim comes out fair"
        }
    };
    let otherwise = if scores {
        "false saves one lap for each pocket"
    } else {
        "true for wood that splinters, across the grain and in plywood"
    };
    Choice {
        key: "score",
        value: flag(scores),
        origin: Origin::of(bit.wall_care.score.is_none()),
        effect,
        otherwise,
    }
}

fn finish_direction(bit: &Bit, room: Room) -> Choice {
    let (value, effect, otherwise) = match bit.wall_care.direction {
        Direction::Climb => (
            "climb",
            "the edge enters at the full chip and leaves at none, which presses fibres down instead \
             of tearing them up: the cleanest wall",
            "\"conventional\" for a machine with play, which climbing pulls into the wood",
        ),
        Direction::Conventional => (
            "conventional",
            "the edge enters at no chip and leaves at the full one: it does not pull a machine with \
             play into the wood, but may tear fibres where the grain runs out",
            "\"climb\" for a cleaner wall on a tight machine",
        ),
    };
    Choice {
        key: "finish_direction",
        value,
        origin: Origin::of(bit.wall_care.direction == Direction::default()),
        effect: in_room(room, effect, NO_FINISH),
        otherwise: in_room(room, otherwise, ""),
    }
}

fn second_finish(bit: &Bit, room: Room) -> Choice {
    let twice = bit.wall_care.second_finish;
    let (effect, otherwise) = if twice {
        (
            "the wall allowance goes in two laps, so that the last takes half the chip, bends the bit \
             half as far and leaves the wall truer",
            "false saves a lap of each step",
        )
    } else {
        (
            "the whole wall allowance goes in one lap",
            "true for a slender bit or hard wood: half the chip bends it half as far",
        )
    };
    Choice {
        key: "second_finish",
        value: flag(twice),
        origin: Origin::of(!twice),
        effect: in_room(room, effect, NO_FINISH),
        otherwise: in_room(room, otherwise, ""),
    }
}

fn spring_pass(bit: &Bit, room: Room) -> Choice {
    let again = bit.wall_care.spring_pass;
    let (effect, otherwise) = if again {
        (
            "the last lap is run again at the same place and takes what the bit sprang back from",
            "false for a dull bit: a lap without a chip rubs and burns",
        )
    } else {
        (
            "the last lap is not run again: a sharp, stiff bit leaves it nothing to take, and a lap \
             without a chip rubs",
            "true for a bit that stands out far, where the pocket measures narrow",
        )
    };
    Choice {
        key: "spring_pass",
        value: flag(again),
        origin: Origin::of(!again),
        effect: in_room(room, effect, NO_FINISH),
        otherwise: in_room(room, otherwise, ""),
    }
}

const fn flag(value: bool) -> &'static str {
    if value { "true" } else { "false" }
}

const fn in_room(room: Room, wider: &'static str, slot: &'static str) -> &'static str {
    match room {
        Room::Slot => slot,
        Room::Wider => wider,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    fn choice(bit: &Bit, key: &str) -> Choice {
        let mut choices = choices(bit, Room::Wider).into_iter();
        choices.find(|choice| choice.key == key).unwrap()
    }

    #[test]
    fn the_rim_is_scored_by_default_only_under_a_spiral_that_lifts() {
        for (kind, value, words) in [
            (BitKind::UpSpiral, "true", "lifts chips"),
            (BitKind::DownSpiral, "false", "presses the top fibres down"),
            (BitKind::SingleFlute, "false", "neither lifts nor presses"),
            (BitKind::DoubleFlute, "false", "neither lifts nor presses"),
        ] {
            let score = choice(&sample::bit(kind, 6.0), "score");
            assert_eq!((score.value, score.origin), (value, Origin::Default));
            assert!(score.effect.contains(words), "{kind:?}: {}", score.effect);
        }
        assert!(choices(&sample::bit(BitKind::Drill, 2.0), Room::Wider).is_empty());
    }

    #[test]
    fn what_the_rack_chooses_is_said_to_be_its_choice() {
        let mut bit = sample::bit(BitKind::UpSpiral, 6.0);
        bit.wall_care.score = Some(false);
        bit.wall_care.direction = Direction::Conventional;
        bit.wall_care.second_finish = true;
        bit.wall_care.spring_pass = true;
        for (key, value) in [
            ("score", "false"),
            ("finish_direction", "conventional"),
            ("second_finish", "true"),
            ("spring_pass", "true"),
        ] {
            let choice = choice(&bit, key);
            assert_eq!(
                (choice.value, choice.origin),
                (value, Origin::Rack),
                "{key}"
            );
        }
        assert!(choice(&bit, "score").effect.contains("fuzzy"));
    }

    #[test]
    fn one_step_wider_than_the_bit_has_walls_to_finish() {
        let bit = sample::bit(BitKind::UpSpiral, 6.0);
        let room = |widths: &[f64]| Room::of(&bit, widths.iter().map(|mm| Length::from_mm(*mm)));
        assert_eq!(room(&[6.0, 6.02]), Room::Slot);
        assert_eq!(room(&[6.0, 6.1]), Room::Wider);
    }

    #[test]
    fn a_slot_has_a_rim_but_no_finishing_pass() {
        let choices = choices(&sample::bit(BitKind::UpSpiral, 6.0), Room::Slot);
        let idle = choices.iter().filter(|choice| choice.effect == NO_FINISH);
        let idle: Vec<_> = idle.map(|choice| choice.key).collect();
        assert_eq!(idle, ["finish_direction", "second_finish", "spring_pass"]);
    }
}
