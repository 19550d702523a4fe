//! `[dialect]`: what the controller reads.

use crate::input::limits::{DECIMALS_INCH, DECIMALS_MM, LINE};
use crate::input::table::Table;
use crate::shop::machine::Dialect;
use crate::units::Units;

/// Reads the table; what it leaves out is as in [`Dialect::default`], but for
/// the decimals, which follow the units.
pub(super) fn read(table: Table<'_>) -> Option<Dialect> {
    let default = Dialect::default();
    let flag = |key, default| {
        let read = table.optional(key).and_then(|value| value.boolean());
        read.unwrap_or(default)
    };
    let units = table.optional("units").and_then(|value| value.choice());
    let units = units.unwrap_or(default.units);
    let limits = match units {
        Units::Millimetre => DECIMALS_MM,
        Units::Inch => DECIMALS_INCH,
    };
    let decimals = table
        .optional("decimals")
        .and_then(|value| value.whole(limits));
    let line_limit = table
        .optional("line_limit")
        .and_then(|value| value.whole(LINE));
    let word = |key| table.optional(key);
    let read = Dialect {
        units,
        decimals: decimals.map_or(default_decimals(units), |decimals| decimals.value as u8),
        arcs: word("arcs")
            .and_then(|value| value.choice())
            .unwrap_or_default(),
        comments: word("comments")
            .and_then(|value| value.choice())
            .unwrap_or_default(),
        line_numbers: flag("line_numbers", default.line_numbers),
        line_limit: line_limit.map_or(default.line_limit, |limit| limit.value as usize),
        percent: flag("percent", default.percent),
        dwell: word("dwell")
            .and_then(|value| value.choice())
            .unwrap_or_default(),
        tool_change: word("tool_change")
            .and_then(|value| value.choice())
            .unwrap_or_default(),
        rezero_at_pause: flag("rezero_at_pause", default.rezero_at_pause),
        safe_z: word("safe_z")
            .and_then(|value| value.choice())
            .unwrap_or_default(),
        end: word("end")
            .and_then(|value| value.choice())
            .unwrap_or_default(),
        dust: word("dust")
            .and_then(|value| value.choice())
            .unwrap_or_default(),
    };
    table.close();
    Some(read)
}

const fn default_decimals(units: Units) -> u8 {
    match units {
        Units::Millimetre => 3,
        Units::Inch => 4,
    }
}
