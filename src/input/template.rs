//! `[template]`: collar, bit and plate of a hand-held router.

use crate::input::source::At;
use crate::input::table::Table;
use crate::input::timber;
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

impl TemplateSpec {
    pub(super) fn read(table: Table<'_>) -> Option<Self> {
        let collar = length(&table, "collar");
        let collar_bore = table.length("collar_bore");
        let collar_reach = length(&table, "collar_reach");
        let bit = table.string("bit");
        let router = table.table("router").and_then(router);
        let plate = table.table("plate").and_then(plate);
        let batten = table.table("batten").and_then(batten);
        let deep = table.choice("deep");
        let play = table.length_or_default("play");
        let off_centre = table.lengths_or_default("off_centre");
        let batten_off = table.length_or_default("batten_off");
        let stop_off = table.length_or_default("stop_off");
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
            play,
            off_centre,
            batten_off,
            stop_off,
        })
    }
}

fn length(table: &Table<'_>, key: &str) -> Option<Length> {
    table.length(key).map(|length| length.value)
}

fn router(table: Table<'_>) -> Option<RouterSpec> {
    let (base, height) = (length(&table, "base"), length(&table, "height"));
    table.close();
    Some(RouterSpec {
        base: base?,
        height,
    })
}

fn plate(table: Table<'_>) -> Option<PlateSpec> {
    let (along, across) = (length(&table, "length"), length(&table, "width"));
    let thickness = length(&table, "thickness");
    let wood = match table.value("wood") {
        Some(value) => timber::read(&value),
        None => wood::find(table.default_word("wood")).ok(),
    };
    table.close();
    Some(PlateSpec {
        length: along?,
        width: across?,
        thickness: thickness?,
        wood: wood?,
    })
}

fn batten(table: Table<'_>) -> Option<Batten> {
    let (width, height) = (length(&table, "width"), length(&table, "height"));
    let groove = length(&table, "groove");
    table.close();
    Some(Batten {
        width: width?,
        height: height?,
        groove: groove?,
    })
}
