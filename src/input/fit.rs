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
    /// Where the job states it.
    pub(super) clearance: Option<Length>,
    pub(super) under: Length,
    /// Where the job states it.
    pub(super) depth: Option<Length>,
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

/// Pocket minus leaf where neither job nor drawer says more.
pub(super) const DEFAULT_CLEARANCE: Length = Length::from_mm(0.1);

/// Wall allowance for the finishing pass where the job states none.
pub(super) const DEFAULT_FINISH: Length = Length::from_mm(0.2);

impl Default for FitSpec {
    fn default() -> Self {
        Self {
            clearance: None,
            under: Length::from_mm(0.2),
            depth: None,
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
        let stated = |key, limits: Range| {
            let read = table.optional(key).and_then(|value| value.length(limits));
            read.map(|length| length.value)
        };
        let length = |key, limits: Range, default| stated(key, limits).unwrap_or(default);
        let share = table
            .optional("box_share")
            .and_then(|value| value.number(SHARE));
        let read = Self {
            clearance: stated("clearance", CLEARANCE),
            under: length("under", UNDER, default.under),
            depth: stated("depth", DEEPER),
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
