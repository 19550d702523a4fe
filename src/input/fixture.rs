//! `[fixture]`: how the parts lie on the machine.

use std::cell::Cell;

use crate::diagnostic::Diagnostic;
use crate::geometry::Point;
use crate::input::source::{At, Span};
use crate::input::table::Table;
use crate::input::value::Value;
use crate::job::{Along, Clamp, Layout, StopEnd, ZeroPoint};
use crate::units::Length;

/// `[fixture]`.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FixtureSpec {
    pub(super) layout: Layout,
    pub(super) stop_end: StopEnd,
    pub(super) along: Along,
    pub(super) divider: Length,
    pub(super) lid_rise: Option<At<Length>>,
    pub(super) divider_height: Length,
    pub(super) fence_height: Length,
    pub(super) box_base: Option<Length>,
    pub(super) lid_base: Option<Length>,
    pub(super) zero: ZeroPoint,
    pub(super) machine_zero: Option<[Length; 3]>,
    pub(super) headroom: Option<At<Length>>,
    pub(super) park: Option<Point>,
    pub(super) clamps: Vec<Clamp>,
    pub(super) positions: Option<At<Vec<PositionSpec>>>,
    pub(super) block_length: Option<Length>,
    pub(super) block_height: Option<At<Length>>,
    pub(super) span: Span,
}

/// One of `positions`.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct PositionSpec {
    pub(super) hinges: Vec<At<u32>>,
    pub(super) mark: Option<At<Length>>,
    pub(super) far_stop: Option<At<Length>>,
    pub(super) box_u: Length,
    pub(super) lid_u: Length,
}

impl FixtureSpec {
    pub(super) fn read(table: Table<'_>) -> Option<Self> {
        let span = table.span();
        let layout = table.choice("layout");
        let length = |key| table.length(key).map(|length| length.value);
        let fence = table.value("fence_height");
        let fence_height = table.length_or_default("fence_height");
        if layout == Some(Layout::Book)
            && fence_height > Length::ZERO
            && let Some(fence) = fence
        {
            fence.refuse(
                "in a book the divider is the fence: write `divider_height`; the stop stands no \
                 higher than the mating faces",
            );
        }
        let positions = table.value("positions");
        let positions =
            positions.map(|value| Some(At::new(value.tables(position_of_parts)?, value.span())));
        let read = Self {
            layout: layout.unwrap_or(Layout::Book),
            stop_end: table.choice("stop_end").unwrap_or_default(),
            along: table.choice("along").unwrap_or_default(),
            divider: table.length_or_default("divider"),
            lid_rise: table.length("lid_rise"),
            divider_height: table.length_or_default("divider_height"),
            fence_height,
            box_base: length("box_base"),
            lid_base: length("lid_base"),
            zero: table.choice("zero").unwrap_or_default(),
            machine_zero: table.lengths("machine_zero"),
            headroom: table.length("headroom"),
            park: table.lengths("park").map(corner),
            clamps: table
                .value("clamps")
                .and_then(|value| clamps(&value))
                .unwrap_or_default(),
            positions: positions.flatten(),
            block_length: length("block_length"),
            block_height: table.length("block_height"),
            span,
        };
        table.close();
        layout.map(|_| read)
    }
}

fn corner([x, y]: [Length; 2]) -> Point {
    Point::new(x, y)
}

fn clamps(value: &Value<'_>) -> Option<Vec<Clamp>> {
    let number = Cell::new(0);
    value.tables(|table| {
        number.set(number.get() + 1);
        clamp(table, number.get())
    })
}

fn clamp(table: Table<'_>, number: usize) -> Option<Clamp> {
    let name = table.string("name");
    let min = table.lengths("min").map(corner);
    let far = table.value("max");
    let max = far.as_ref().and_then(Value::lengths).map(corner);
    let height = table.length("height");
    if let (Some(min), Some(max), Some(far)) = (min, max, &far)
        && (max.x() <= min.x() || max.y() <= min.y())
    {
        let message = format!("`{}` is not beyond `min` in both X and Y", far.path);
        far.report(Diagnostic::new("out-of-range", message));
    }
    table.close();
    Some(Clamp {
        name: name.map_or_else(|| format!("clamp {number}"), |name| name.value),
        min: min?,
        max: max?,
        height: height?.value,
    })
}

fn position_of_parts(table: Table<'_>) -> Option<PositionSpec> {
    let hinges = table.value("hinges").and_then(|value| hinges(&value));
    let mark = table.value("mark");
    let far_stop = table.value("far_stop");
    if let (Some(_), Some(far_stop)) = (&mark, &far_stop) {
        far_stop.refuse("`mark` already says what locates the parts; a position has one or the other, or neither");
    }
    let mark = mark.as_ref().map(Value::length);
    let far_stop = far_stop.as_ref().map(Value::length);
    let box_u = table.length_or_default("box_u");
    let lid_u = table.length_or_default("lid_u");
    table.close();
    Some(PositionSpec {
        hinges: hinges?,
        mark: mark.map_or(Some(None), |read| read.map(Some))?,
        far_stop: far_stop.map_or(Some(None), |read| read.map(Some))?,
        box_u,
        lid_u,
    })
}

fn hinges(value: &Value<'_>) -> Option<Vec<At<u32>>> {
    let list = value.list()?;
    let all: Vec<Option<At<u32>>> = list.iter().map(Value::whole).collect();
    all.into_iter().collect()
}
