//! `[dialect]`: what the controller reads.

use crate::input::limits::{DECIMALS_INCH, DECIMALS_MM};
use crate::input::table::Table;
use crate::shop::machine::Dialect;
use crate::units::Units;

/// Reads the table.
pub(super) fn read(table: Table<'_>) -> Option<Dialect> {
    let units = table.choice("units").unwrap_or_default();
    let limits = match units {
        Units::Millimetre => DECIMALS_MM,
        Units::Inch => DECIMALS_INCH,
    };
    let decimals = table.value("decimals");
    let decimals = decimals.and_then(|value| value.whole_within(limits));
    let read = Dialect {
        units,
        decimals: decimals.map_or(limits.least() as u8, |decimals| decimals.value as u8),
        arcs: table.choice("arcs").unwrap_or_default(),
        comments: table.choice("comments").unwrap_or_default(),
        line_numbers: table.switch_or_default("line_numbers"),
        line_limit: table.whole_or_default("line_limit") as usize,
        percent: table.switch_or_default("percent"),
        dwell: table.choice("dwell").unwrap_or_default(),
        tool_change: table.choice("tool_change").unwrap_or_default(),
        rezero_at_pause: table.switch_or_default("rezero_at_pause"),
        safe_z: table.choice("safe_z").unwrap_or_default(),
        end: table.choice("end").unwrap_or_default(),
        dust: table.choice("dust").unwrap_or_default(),
    };
    table.close();
    Some(read)
}
