//! `[fit]` and `[pilot]`.

use crate::input::source::At;
use crate::input::table::Table;
use crate::units::Length;

/// `[fit]`; what depends on other tables is filled in later.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FitSpec {
    /// Where the job states it.
    pub(super) clearance: Option<Length>,
    /// Where neither job nor drawer says more.
    pub(super) default_clearance: Length,
    pub(super) under: Length,
    /// Where the job states it.
    pub(super) depth: Option<Length>,
    pub(super) gap: Option<At<Length>>,
    /// The leaves may stand proud.
    pub(super) proud: bool,
    pub(super) box_share: f64,
    pub(super) finish: Option<At<Length>>,
    /// Where the job states none.
    pub(super) default_finish: Length,
    pub(super) min_left: Length,
    pub(super) box_u: Length,
    pub(super) box_v: Length,
    pub(super) lid_u: Length,
    pub(super) lid_v: Length,
}

impl FitSpec {
    pub(super) fn read(table: Table<'_>) -> Self {
        let length = |key| table.length_or_default(key);
        let stated = |key| table.length(key).map(|length| length.value);
        let read = Self {
            clearance: stated("clearance"),
            default_clearance: table.default_length("clearance"),
            under: length("under"),
            depth: stated("depth"),
            gap: table.length("gap"),
            proud: table.switch_or_default("proud"),
            box_share: table.number_or_default("box_share"),
            finish: table.length("finish"),
            default_finish: table.default_length("finish"),
            min_left: length("min_left"),
            box_u: length("box_u"),
            box_v: length("box_v"),
            lid_u: length("lid_u"),
            lid_v: length("lid_v"),
        };
        table.close();
        read
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
        let (bit, depth) = (table.string("bit"), table.length("depth"));
        table.close();
        Some(Self {
            bit: bit?,
            depth: depth?.value,
        })
    }
}
