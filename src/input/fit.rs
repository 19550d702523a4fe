//! `[fit]` and `[pilot]`.

use crate::input::limits::{
    CLEARANCE, CORRECTION, DEEPER, FINISH, GAP, LEFT, Range, SCREW_LENGTH, SHARE, UNDER,
};
use crate::input::source::At;
use crate::input::table::Table;
use crate::units::Length;

/// `[fit]`; what depends on other tables is filled in later.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FitSpec {
    pub(super) clearance: Length,
    pub(super) under: Length,
    pub(super) depth: Length,
    pub(super) gap: Option<At<Length>>,
    /// The leaves may stand proud.
    pub(super) proud: bool,
    pub(super) box_share: f64,
    pub(super) finish: Option<At<Length>>,
    pub(super) min_left: Length,
    pub(super) box_u: Length,
    pub(super) box_v: Length,
    pub(super) lid_u: Length,
    pub(super) lid_v: Length,
}

/// Wall allowance for the finishing pass where the job states none.
pub(super) const DEFAULT_FINISH: Length = Length::from_mm(0.2);

impl Default for FitSpec {
    fn default() -> Self {
        Self {
            clearance: Length::from_mm(0.1),
            under: Length::from_mm(0.2),
            depth: Length::ZERO,
            gap: None,
            proud: false,
            box_share: 0.5,
            finish: None,
            min_left: Length::from_mm(3.0),
            box_u: Length::ZERO,
            box_v: Length::ZERO,
            lid_u: Length::ZERO,
            lid_v: Length::ZERO,
        }
    }
}

impl FitSpec {
    pub(super) fn read(table: Table<'_>) -> Option<Self> {
        let default = Self::default();
        let length = |key, limits: Range, default| {
            let read = table.optional(key).and_then(|value| value.length(limits));
            read.map_or(default, |length| length.value)
        };
        let share = table
            .optional("box_share")
            .and_then(|value| value.number(SHARE));
        let read = Self {
            clearance: length("clearance", CLEARANCE, default.clearance),
            under: length("under", UNDER, default.under),
            depth: length("depth", DEEPER, default.depth),
            gap: table.optional("gap").and_then(|value| value.length(GAP)),
            proud: table
                .optional("proud")
                .and_then(|value| value.boolean())
                .unwrap_or(default.proud),
            box_share: share.map_or(default.box_share, |share| share.value),
            finish: table
                .optional("finish")
                .and_then(|value| value.length(FINISH)),
            min_left: length("min_left", LEFT, default.min_left),
            box_u: length("box_u", CORRECTION, default.box_u),
            box_v: length("box_v", CORRECTION, default.box_v),
            lid_u: length("lid_u", CORRECTION, default.lid_u),
            lid_v: length("lid_v", CORRECTION, default.lid_v),
        };
        table.close();
        Some(read)
    }
}

/// `[pilot]`.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct PilotSpec {
    pub(super) bit: At<String>,
    pub(super) depth: Length,
}

impl PilotSpec {
    pub(super) fn read(table: Table<'_>) -> Option<Self> {
        let bit = table.required("bit").and_then(|value| value.string());
        let depth = table
            .required("depth")
            .and_then(|value| value.length(SCREW_LENGTH));
        table.close();
        Some(Self {
            bit: bit?,
            depth: depth?.value,
        })
    }
}
