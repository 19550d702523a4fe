//! A router bit as the rack describes it.

pub mod care;

use serde::{Deserialize, Serialize};

use crate::units::{Angle, Length, SpindleSpeed};

/// How a bit is ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BitKind {
    /// One straight flute: clears chips well, rim quality fair.
    SingleFlute,
    /// Two straight flutes.
    DoubleFlute,
    /// Spiral that lifts chips out, and the top fibres with them.
    UpSpiral,
    /// Spiral that presses the top fibres down and packs chips below.
    DownSpiral,
    /// Twist drill, straight down only.
    Drill,
}

impl BitKind {
    /// All kinds, in the order of the documentation.
    pub const ALL: [Self; 5] = [
        Self::SingleFlute,
        Self::DoubleFlute,
        Self::UpSpiral,
        Self::DownSpiral,
        Self::Drill,
    ];

    /// The name used in a bits file.
    pub const fn name(self) -> &'static str {
        match self {
            Self::SingleFlute => "single-flute",
            Self::DoubleFlute => "double-flute",
            Self::UpSpiral => "up-spiral",
            Self::DownSpiral => "down-spiral",
            Self::Drill => "drill",
        }
    }
}

/// What the cutting edge is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BitMaterial {
    /// Tungsten carbide.
    #[default]
    Carbide,
    /// High-speed steel.
    Steel,
}

/// Metres of path in reference wood after which a carbide edge is worn out
/// (common practice, no source).
pub const CARBIDE_LIFE_M: f64 = 3000.0;
/// The same of a steel edge. A coated steel knife in oak had 0.05 mm of wear
/// after 270 m (Koleda et al. 2019, abstract); the figure itself is common practice.
pub const STEEL_LIFE_M: f64 = 300.0;
impl BitMaterial {
    /// Wear, 0 … 1, of an edge that has cut `metres` of path in wood of middling density.
    pub fn wear_after(self, metres: f64) -> f64 {
        let life = match self {
            Self::Carbide => CARBIDE_LIFE_M,
            Self::Steel => STEEL_LIFE_M,
        };
        (metres / life).clamp(0.0, 1.0)
    }
}

/// Which way the finishing pass goes round.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Direction {
    /// The edge enters at the wall's full chip and leaves at none: clean, pulls the bit along.
    #[default]
    Climb,
    /// The edge enters at no chip: gentler on a machine with play.
    Conventional,
}

/// How a bit is to treat rim and wall.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WallCare {
    /// Whether the rim is scored before roughing; by kind where the rack does not say.
    pub score: Option<bool>,
    /// Which way the finishing pass goes round.
    pub direction: Direction,
    /// Whether half the allowance is taken by a finishing pass of its own.
    pub second_finish: bool,
    /// Whether the last finishing pass is run once more at the same place.
    pub spring_pass: bool,
}

/// A bit, resolved: defaults filled in, ranges proven.
#[derive(Clone, Debug, PartialEq)]
pub struct Bit {
    /// Name, unique in the rack.
    pub name: String,
    /// How it is ground.
    pub kind: BitKind,
    /// Nominal diameter.
    pub diameter: Length,
    /// Width of a slot it really cuts, where measured.
    pub measured: Option<Length>,
    /// Cutting edges, at least one.
    pub flutes: u32,
    /// Length of the cutting edge from the tip.
    pub cutting_length: Length,
    /// Nut to tip.
    pub stickout: Length,
    /// Shank diameter.
    pub shank: Length,
    /// Edge material.
    pub material: BitMaterial,
    /// Whether it may go straight down.
    pub plunges: bool,
    /// Included point angle of a drill.
    pub point_angle: Option<Angle>,
    /// 0 fresh … 1 worn out, as it stands now.
    pub wear: f64,
    /// The rack's own stepdown for the fresh bit.
    pub stepdown: Option<Length>,
    /// The rack's own ramp limit.
    pub ramp: Option<Angle>,
    /// The rack's own least chip load, per tooth.
    pub chip_min: Option<Length>,
    /// The rack's own greatest chip load, per tooth.
    pub chip_max: Option<Length>,
    /// The rack's own spacing of neighbouring paths, as a share of the diameter.
    pub stepover: Option<f64>,
    /// Number for T words.
    pub tool: u32,
    /// The fastest it may turn, as engraved, where the rack says.
    pub rpm_max: Option<SpindleSpeed>,
    /// What the rack records of its edge, where it does.
    pub record: Option<EdgeRecord>,
    /// How it is to treat rim and wall.
    pub wall_care: WallCare,
}

/// A size in inches that is written in millimetres may be over by so much.
const HAIR: f64 = 0.004;

/// A step up to so many bits wide is narrow (common practice, no source).
const NARROW: f64 = 1.5;

/// What a rack records of an edge.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EdgeRecord {
    /// Metres of path cut, in whatever wood.
    pub cut_m: f64,
    /// The wear that a person has stated, 0 fresh … 1 worn out.
    pub stated_wear: f64,
    /// `cut_m` when that was stated.
    pub wear_at_m: f64,
}

impl EdgeRecord {
    /// Metres cut since the wear was stated, at least zero.
    pub fn since_stated(&self) -> f64 {
        (self.cut_m - self.wear_at_m).max(0.0)
    }

    /// Wear as it stands: what was stated, and what was cut since. `weight` is
    /// how much more a metre of the wood wears than one of middling density.
    pub fn wear(&self, material: BitMaterial, weight: f64) -> f64 {
        let since = material.wear_after(self.since_stated() * weight);
        (self.stated_wear + since).min(1.0)
    }
}

impl Bit {
    /// The width it cuts: measured where known, else nominal.
    pub fn cutting_diameter(&self) -> Length {
        self.measured.unwrap_or(self.diameter)
    }

    /// The fastest it may turn: as the rack says, else by its diameter (charts of
    /// tool makers, from memory); a twist drill of steel in wood 3000 (common
    /// practice, no source).
    pub fn rated_speed(&self) -> SpindleSpeed {
        let by_diameter = match self.diameter.as_inch() {
            _ if self.kind == BitKind::Drill => 3000.0,
            inches if inches <= 1.0 + HAIR => 24_000.0,
            inches if inches <= 2.0 + HAIR => 18_000.0,
            inches if inches <= 2.5 + HAIR => 16_000.0,
            _ => 12_000.0,
        };
        self.rpm_max.unwrap_or(SpindleSpeed::from_rpm(by_diameter))
    }

    /// Whether it carries chips up and out of a slot.
    pub fn lifts_chips(&self) -> bool {
        matches!(self.kind, BitKind::UpSpiral | BitKind::Drill)
    }

    /// Whether chips have no way out of a step: it is deeper than the bit is wide
    /// and hardly wider than it, and the bit does not lift them.
    pub fn packs_chips(&self, width: Length, depth: Length) -> bool {
        let diameter = self.cutting_diameter();
        !self.lifts_chips() && depth > diameter && width <= diameter * NARROW
    }

    /// Whether the rim is scored before roughing: a spiral that lifts chips
    /// lifts the top fibres with them, so it does unless told otherwise.
    pub fn scores_rim(&self) -> bool {
        self.wall_care
            .score
            .unwrap_or(self.kind == BitKind::UpSpiral)
    }

    /// Whether it may go straight down into wood.
    pub fn may_plunge(&self) -> bool {
        self.plunges || self.kind == BitKind::Drill
    }

    /// Height of a drill's point: its full diameter is this far above the tip.
    /// Zero for flat-ended bits.
    pub fn point_height(&self) -> Length {
        match self.point_angle {
            Some(angle) if self.kind == BitKind::Drill => {
                self.cutting_diameter() / (2.0 * (angle.as_radians() / 2.0).tan())
            }
            _ => Length::ZERO,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    // Charts of tool makers, from memory: 1 in 24,000; 1 1/4 to 2 in 18,000; 2 1/4 to
    // 2 1/2 in 16,000; 3 in and more 12,000.
    #[test]
    fn a_bit_is_rated_by_its_diameter_unless_it_says() {
        let mut bit = sample::bit(BitKind::DoubleFlute, 6.0);
        let mut rated = |inches: f64| {
            bit.diameter = Length::from_inch(inches);
            bit.rated_speed().as_rpm()
        };
        assert_eq!([rated(0.25), rated(1.0)], [24_000.0; 2]);
        assert_eq!([rated(1.25), rated(2.0)], [18_000.0; 2]);
        assert_eq!([rated(2.25), rated(2.5)], [16_000.0; 2]);
        assert_eq!(rated(3.0), 12_000.0);
        bit.rpm_max = Some(SpindleSpeed::from_rpm(20_000.0));
        assert_eq!(bit.rated_speed().as_rpm(), 20_000.0);
        let drill = sample::bit(BitKind::Drill, 2.0);
        assert_eq!(drill.rated_speed().as_rpm(), 3000.0);
        assert!(drill.lifts_chips() && !sample::bit(BitKind::DownSpiral, 6.0).lifts_chips());
    }

    // 1.5 x 6 mm = 9 mm wide, and one bit deep.
    #[test]
    fn chips_stay_in_a_narrow_step_deeper_than_the_bit_is_wide() {
        let packs = |kind, width, depth| {
            let [width, depth] = [width, depth].map(Length::from_mm);
            sample::bit(kind, 6.0).packs_chips(width, depth)
        };
        assert!(packs(BitKind::DownSpiral, 9.0, 6.1));
        assert!(!packs(BitKind::DownSpiral, 9.1, 6.1));
        assert!(!packs(BitKind::DownSpiral, 6.0, 6.0));
        assert!(packs(BitKind::DoubleFlute, 6.0, 9.6));
        assert!(!packs(BitKind::UpSpiral, 6.0, 9.6));
    }
}
