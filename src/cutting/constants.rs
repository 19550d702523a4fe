//! Every number the cutting model rests on, with its unit, its source and how
//! sure it is. What a bits file may override is said beside it.

use crate::shop::wood::Confidence;
use crate::units::Length;

/// One number of the model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Constant {
    /// What it is.
    pub name: &'static str,
    /// Its value in `unit`.
    pub value: f64,
    /// Its unit; empty for a ratio.
    pub unit: &'static str,
    /// How sure it is.
    pub seen: Confidence,
    /// Where it comes from.
    pub source: &'static str,
    /// The key of a bits file that replaces what follows from it.
    pub overridden_by: Option<&'static str>,
}

const fn constant(
    name: &'static str,
    value: f64,
    unit: &'static str,
    seen: Confidence,
    source: &'static str,
) -> Constant {
    Constant {
        name,
        value,
        unit,
        seen,
        source,
        overridden_by: None,
    }
}

impl Constant {
    const fn or(mut self, key: &'static str) -> Self {
        self.overridden_by = Some(key);
        self
    }
}

const SHOP: &str = "common practice, no source";
const TEXTBOOK: &str = "textbook values, from memory";

pub(crate) const SPECIFIC_FORCE: Constant = constant(
    "specific cutting force along the grain at 0.1 mm chip, for each unit of gravity",
    50.0,
    "N/mm2",
    Confidence::Memory,
    "solid wood 15-25 (softwood) and 25-45 (hardwood), from memory, +/- 50 %; gives \
     particleboard and fibreboard 32-38 as in Palubicki 2021, Materials 14:2208",
);
pub(crate) const CHIP_EXPONENT: Constant = constant(
    "fall of the specific force with chip thickness, exponent",
    0.4,
    "",
    Confidence::Memory,
    "force linear in chip thickness with an intercept (Kivimaa 1950), 0.3-0.5 from memory",
);
pub(crate) const GRAIN_FACTOR: Constant = constant(
    "force over all grain directions of a turn against along the grain, solid wood and plywood",
    1.3,
    "",
    Confidence::Memory,
    "end grain two to three times along the grain, from memory; part of each turn",
);
pub(crate) const THRUST_FRESH: Constant = constant(
    "force across the path against the tangential force, fresh edge",
    0.3,
    "",
    Confidence::Memory,
    "grows faster than the tangential with dullness, from memory",
);
pub(crate) const THRUST_DULL: Constant = constant(
    "force across the path against the tangential force, dull edge",
    0.75,
    "",
    Confidence::Memory,
    "can double or triple, from memory",
);
pub(crate) const PEAK_CAP: Constant = constant(
    "bending of an interrupted cut against the mean of a turn, at most",
    2.0,
    "",
    Confidence::Practice,
    "common practice, no source: the wall is left where the chip runs out to nothing",
);
pub(crate) const EDGE_FRESH: Constant = constant(
    "edge radius, fresh",
    8.0,
    "um",
    Confidence::Memory,
    "5-10 new, from memory",
);
pub(crate) const EDGE_DULL: Constant = constant(
    "edge radius, worn out",
    40.0,
    "um",
    Confidence::Memory,
    "30-60 worn out, from memory",
);
pub(crate) const EDGE_DULL_SLENDER: Constant = constant(
    "edge radius at which a slender bit is worn out, for each mm of diameter, where that is less",
    8.0,
    "um/mm",
    Confidence::Practice,
    SHOP,
);
/// Edge radius in micrometres and the factor on the cutting force.
pub(crate) const DULLNESS: [(f64, f64); 8] = [
    (10.0, 1.0),
    (15.5, 1.1),
    (23.0, 1.2),
    (28.0, 1.3),
    (33.5, 1.4),
    (39.5, 1.5),
    (46.5, 1.6),
    (55.5, 1.7),
];
pub(crate) const DULLNESS_SOURCE: Constant = constant(
    "force factor of a worn-out edge of 40 um (the table's row 37-42)",
    1.5,
    "",
    Confidence::Memory,
    "table of force factors by edge radius in wood cutting handbooks, from memory",
);
pub(crate) const LEAST_CHIP: Constant = constant(
    "least mean chip thickness that still cuts, in edge radii",
    2.0,
    "",
    Confidence::Practice,
    "derived from the minimum chip of metals and common practice, no source",
)
.or("chip_min");
pub(crate) const LEAST_CHIP_DRILL: Constant = constant(
    "least chip thickness of a drill, whose lips rub for moments only, in edge radii",
    0.4,
    "",
    Confidence::Memory,
    "minimum chip of metals, 0.2-0.4, from memory",
)
.or("chip_min");
pub(crate) const GREATEST_CHIP_SLENDER: Constant = constant(
    "greatest chip load of a 3 mm bit in hardwood",
    0.08,
    "mm",
    Confidence::Practice,
    SHOP,
)
.or("chip_max");
pub(crate) const GREATEST_CHIP: Constant = constant(
    "greatest chip load of a 6 mm bit in hardwood",
    0.20,
    "mm",
    Confidence::Practice,
    SHOP,
)
.or("chip_max");
pub(crate) const GREATEST_CHIP_SOFT: Constant = constant(
    "greatest chip load in softwood against hardwood",
    1.25,
    "",
    Confidence::Practice,
    SHOP,
)
.or("chip_max");
pub(crate) const SOFT_GRAVITY: Constant = constant(
    "gravity up to which the limits for softwood hold",
    0.40,
    "",
    Confidence::Practice,
    SHOP,
);
pub(crate) const HARD_GRAVITY: Constant = constant(
    "gravity from which the limits for hardwood hold",
    0.55,
    "",
    Confidence::Practice,
    SHOP,
);
pub(crate) const DENSE_GRAVITY: Constant = constant(
    "gravity from which limits fall in proportion to it",
    0.65,
    "",
    Confidence::Practice,
    SHOP,
);

/// Stepdown as a share of the diameter in hardwood and in softwood.
pub(crate) struct StepdownShares {
    pub(crate) hard: Constant,
    pub(crate) soft: Constant,
}

const fn stepdown(name: &'static str, share: f64) -> Constant {
    constant(name, share, "diameters", Confidence::Practice, SHOP).or("stepdown")
}

pub(crate) const STEPDOWN_SINGLE: StepdownShares = StepdownShares {
    hard: stepdown("stepdown of a single straight flute, hardwood", 0.45),
    soft: stepdown("stepdown of a single straight flute, softwood", 0.80),
};
pub(crate) const STEPDOWN_DOUBLE: StepdownShares = StepdownShares {
    hard: stepdown("stepdown of a double straight flute, hardwood", 0.35),
    soft: stepdown("stepdown of a double straight flute, softwood", 0.50),
};
pub(crate) const STEPDOWN_UP: StepdownShares = StepdownShares {
    hard: stepdown("stepdown of an up-spiral, hardwood", 0.55),
    soft: stepdown("stepdown of an up-spiral, softwood", 0.80),
};
pub(crate) const STEPDOWN_DOWN: StepdownShares = StepdownShares {
    hard: stepdown(
        "stepdown of a down-spiral in a closed pocket, hardwood",
        0.35,
    ),
    soft: stepdown(
        "stepdown of a down-spiral in a closed pocket, softwood",
        0.50,
    ),
};
pub(crate) const PECK: Constant = stepdown("peck of a drill", 1.0);
const fn ramp(name: &'static str, degrees: f64) -> Constant {
    constant(name, degrees, "degrees", Confidence::Practice, SHOP).or("ramp_deg")
}

pub(crate) const RAMP_STRAIGHT: Constant = ramp("ramp limit of a straight flute", 2.0);
pub(crate) const RAMP_UP: Constant = ramp("ramp limit of an up-spiral", 3.0);
pub(crate) const RAMP_DOWN: Constant = ramp("ramp limit of a down-spiral", 2.0);
pub(crate) const RAMP_RUN: Constant = constant(
    "run of a ramp that goes down by one stepdown, at least; a steeper one gains nothing to and fro in a slot",
    9.6,
    "diameters",
    Confidence::Practice,
    "common practice, no source: the ends of a slot are passed once a round trip",
)
.or("ramp_deg");
pub(crate) const LEAST_THINNED: Constant = constant(
    "least mean chip of a finishing pass, in edge radii",
    0.5,
    "",
    Confidence::Practice,
    SHOP,
);
pub(crate) const STEPOVER: Constant = constant(
    "spacing of neighbouring paths",
    0.85,
    "diameters",
    Confidence::Derived,
    "the bite is chosen for a full slot; further apart than (1 + sqrt 0.5) / 2 sharp-cornered paths leave a pillar",
)
.or("stepover");
pub(crate) const PLUNGE_SHARE: Constant = constant(
    "plunge feed against the cutting feed",
    0.35,
    "",
    Confidence::Practice,
    "common practice, 25-50 %, no source",
);
pub(crate) const HEAT_SPEED_CARBIDE: Constant = constant(
    "greatest surface speed of a fresh carbide edge",
    40.0,
    "m/s",
    Confidence::Practice,
    "common practice, no source; a router bit hardly reaches it",
);
pub(crate) const HEAT_SPEED_STEEL: Constant = constant(
    "greatest surface speed of a fresh steel edge",
    12.0,
    "m/s",
    Confidence::Practice,
    SHOP,
);
pub(crate) const MODULUS_CARBIDE: Constant = constant(
    "modulus of elasticity of cemented carbide",
    600_000.0,
    "N/mm2",
    Confidence::Memory,
    TEXTBOOK,
);
pub(crate) const MODULUS_STEEL: Constant = constant(
    "modulus of elasticity of steel",
    205_000.0,
    "N/mm2",
    Confidence::Memory,
    TEXTBOOK,
);
pub(crate) const FLUTE_CORE: Constant = constant(
    "round bar as stiff as the fluted part, against its diameter, one to three flutes",
    0.70,
    "",
    Confidence::Memory,
    "0.65-0.75, from memory",
);
pub(crate) const FLUTE_CORE_MANY: Constant = constant(
    "round bar as stiff as the fluted part, against its diameter, four flutes and more",
    0.80,
    "",
    Confidence::Memory,
    "Kops and Vo 1990, from memory",
);
pub(crate) const DEFLECTION_ROUGHING: Constant = constant(
    "greatest deflection of the tip, roughing",
    0.05,
    "mm",
    Confidence::Practice,
    SHOP,
);
pub(crate) const DEFLECTION_FINISHING: Constant = constant(
    "greatest deflection of the tip, finishing",
    0.02,
    "mm",
    Confidence::Practice,
    SHOP,
);
pub(crate) const LEAST_STEPDOWN: Constant = constant(
    "stepdown under which a bit cannot do the job",
    0.05,
    "diameters",
    Confidence::Practice,
    SHOP,
);
pub(crate) const ROOM: Constant = constant(
    "share of a limit that the choice uses, so that printed digits stay inside",
    0.97,
    "",
    Confidence::Practice,
    "rounding of the program's words",
);
pub(crate) const ROOM_ABOVE_RUBBING: Constant = constant(
    "chip load chosen at least, against the rubbing limit, where the machine can",
    1.10,
    "",
    Confidence::Practice,
    SHOP,
);

/// Greatest deflection of the tip on a roughing move.
pub const ROUGHING_DEFLECTION: Length = Length::from_mm(DEFLECTION_ROUGHING.value);
/// Greatest deflection of the tip on the finishing pass.
pub const FINISHING_DEFLECTION: Length = Length::from_mm(DEFLECTION_FINISHING.value);

/// All numbers of the model, in the order of this page, for documents and
/// for the words under a feed table.
pub fn constants() -> &'static [&'static Constant] {
    &[
        &SPECIFIC_FORCE,
        &CHIP_EXPONENT,
        &GRAIN_FACTOR,
        &THRUST_FRESH,
        &THRUST_DULL,
        &PEAK_CAP,
        &EDGE_FRESH,
        &EDGE_DULL,
        &EDGE_DULL_SLENDER,
        &DULLNESS_SOURCE,
        &LEAST_CHIP,
        &LEAST_CHIP_DRILL,
        &GREATEST_CHIP_SLENDER,
        &GREATEST_CHIP,
        &GREATEST_CHIP_SOFT,
        &SOFT_GRAVITY,
        &HARD_GRAVITY,
        &DENSE_GRAVITY,
        &STEPDOWN_SINGLE.hard,
        &STEPDOWN_SINGLE.soft,
        &STEPDOWN_DOUBLE.hard,
        &STEPDOWN_DOUBLE.soft,
        &STEPDOWN_UP.hard,
        &STEPDOWN_UP.soft,
        &STEPDOWN_DOWN.hard,
        &STEPDOWN_DOWN.soft,
        &PECK,
        &RAMP_STRAIGHT,
        &RAMP_UP,
        &RAMP_DOWN,
        &RAMP_RUN,
        &LEAST_THINNED,
        &STEPOVER,
        &PLUNGE_SHARE,
        &HEAT_SPEED_CARBIDE,
        &HEAT_SPEED_STEEL,
        &MODULUS_CARBIDE,
        &MODULUS_STEEL,
        &FLUTE_CORE,
        &FLUTE_CORE_MANY,
        &DEFLECTION_ROUGHING,
        &DEFLECTION_FINISHING,
        &LEAST_STEPDOWN,
        &ROOM,
        &ROOM_ABOVE_RUBBING,
    ]
}
