//! `[template]`: collar, bit and plate of a hand-held router.

use crate::input::limits::{
    BASE, BOARD, COLLAR, CORRECTION, FENCE, GROOVE, PLATE, PLAY, REACH, ROUTER, Range,
};
use crate::input::source::At;
use crate::input::table::Table;
use crate::input::timber;
use crate::input::value::Value;
use crate::job::template::{Batten, Deep};
use crate::shop::wood::{self, Wood};
use crate::units::Length;

/// `[template]`.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct TemplateSpec {
    pub(super) collar: Length,
    pub(super) collar_bore: Option<At<Length>>,
    pub(super) collar_reach: Length,
    pub(super) bit: At<String>,
    pub(super) router: RouterSpec,
    pub(super) plate: PlateSpec,
    pub(super) batten: Batten,
    pub(super) deep: Deep,
    pub(super) play: Length,
    pub(super) off_centre: [Length; 2],
    pub(super) batten_off: Length,
    pub(super) stop_off: Length,
}

/// `template.router`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct RouterSpec {
    pub(super) base: Length,
    pub(super) height: Option<Length>,
}

/// `template.plate`.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct PlateSpec {
    pub(super) length: Length,
    pub(super) width: Length,
    pub(super) thickness: Length,
    pub(super) wood: Wood,
}

/// Play beside an insert where the job states none.
const DEFAULT_PLAY: Length = Length::from_mm(0.1);
/// What a plate is made of where the job does not say.
const DEFAULT_WOOD: &str = "MDF";

impl TemplateSpec {
    pub(super) fn read(table: Table<'_>) -> Option<Self> {
        let required = |key, limits| required(&table, key, limits);
        let collar = required("collar", COLLAR);
        let collar_bore = table.optional("collar_bore");
        let collar_bore = collar_bore.and_then(|value| value.length(COLLAR));
        let collar_reach = required("collar_reach", REACH);
        let bit = table.required("bit").and_then(|value| value.string());
        let sub_table = |key| table.required(key).and_then(|value| value.table());
        let router = sub_table("router").and_then(router);
        let plate = sub_table("plate").and_then(plate);
        let batten = sub_table("batten").and_then(batten);
        let deep = table.optional("deep").and_then(|value| value.choice());
        let play = optional(&table, "play", PLAY);
        let off_centre = table.optional("off_centre").and_then(|value| pair(&value));
        let batten_off = optional(&table, "batten_off", CORRECTION);
        let stop_off = optional(&table, "stop_off", CORRECTION);
        table.close();
        Some(Self {
            collar: collar?,
            collar_bore,
            collar_reach: collar_reach?,
            bit: bit?,
            router: router?,
            plate: plate?,
            batten: batten?,
            deep: deep.unwrap_or_default(),
            play: play.unwrap_or(DEFAULT_PLAY),
            off_centre: off_centre.unwrap_or_default(),
            batten_off: batten_off.unwrap_or_default(),
            stop_off: stop_off.unwrap_or_default(),
        })
    }
}

fn required(table: &Table<'_>, key: &'static str, limits: Range) -> Option<Length> {
    let read = table.required(key).and_then(|value| value.length(limits));
    read.map(|length| length.value)
}

fn optional(table: &Table<'_>, key: &'static str, limits: Range) -> Option<Length> {
    let read = table.optional(key).and_then(|value| value.length(limits));
    read.map(|length| length.value)
}

fn router(table: Table<'_>) -> Option<RouterSpec> {
    let base = required(&table, "base", BASE);
    let height = optional(&table, "height", ROUTER);
    table.close();
    Some(RouterSpec {
        base: base?,
        height,
    })
}

fn plate(table: Table<'_>) -> Option<PlateSpec> {
    let length = required(&table, "length", PLATE);
    let width = required(&table, "width", PLATE);
    let thickness = required(&table, "thickness", BOARD);
    let wood = match table.optional("wood") {
        Some(value) => timber::read(&value),
        None => wood::find(DEFAULT_WOOD).ok(),
    };
    table.close();
    Some(PlateSpec {
        length: length?,
        width: width?,
        thickness: thickness?,
        wood: wood?,
    })
}

fn batten(table: Table<'_>) -> Option<Batten> {
    let width = required(&table, "width", BOARD);
    let height = required(&table, "height", FENCE);
    let groove = required(&table, "groove", GROOVE);
    table.close();
    Some(Batten {
        width: width?,
        height: height?,
        groove: groove?,
    })
}

fn pair(value: &Value<'_>) -> Option<[Length; 2]> {
    value.array(|_, item| item.length(CORRECTION).map(|length| length.value))
}
