//! `[fixture]`: how the parts lie on the machine.

use crate::diagnostic::Diagnostic;
use crate::geometry::Point;
use crate::input::limits::{
    ALONG, BLOCK, CORRECTION, COUNT, FENCE, HEADROOM, HEIGHT, LOCATED, RISE, Range,
};
use crate::input::source::{At, Span};
use crate::input::table::Table;
use crate::input::value::Value;
use crate::job::{Along, Clamp, Layout, StopEnd, ZeroPoint, position};
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
        let layout = table.required("layout").and_then(|value| value.choice());
        let length = |key, limits: Range| {
            let read = table.optional(key).and_then(|value| value.length(limits));
            read.map(|length| length.value)
        };
        let divider = length("divider", FENCE);
        let lid_rise = table
            .optional("lid_rise")
            .and_then(|value| value.length(RISE));
        let divider_height = length("divider_height", FENCE);
        let fence = table.optional("fence_height");
        let read = fence.as_ref().and_then(|value| value.length(FENCE));
        let fence_height = read.map(|length| length.value);
        if layout == Some(Layout::Book)
            && fence_height.is_some_and(|height| height > Length::ZERO)
            && let Some(fence) = fence
        {
            fence.refuse(
                "in a book the divider is the fence: write `divider_height`; the stop stands no \
                 higher than the mating faces",
            );
        }
        let box_base = length("box_base", HEIGHT);
        let lid_base = length("lid_base", HEIGHT);
        let zero = table.optional("zero").and_then(|value| value.choice());
        let machine_zero = table
            .optional("machine_zero")
            .and_then(|value| position(&value));
        let headroom = table
            .optional("headroom")
            .and_then(|value| value.length(HEADROOM));
        let park = table.optional("park").and_then(|value| corner(&value));
        let stop_end = table.optional("stop_end").and_then(|value| value.choice());
        let along = table.optional("along").and_then(|value| value.choice());
        let clamps = table.optional("clamps").and_then(|value| clamps(&value));
        let positions = table
            .optional("positions")
            .and_then(|value| Some(At::new(positions(&value)?, value.span())));
        let block_length = length("block_length", BLOCK);
        let block_height = table
            .optional("block_height")
            .and_then(|value| value.length(BLOCK));
        table.close();
        Some(Self {
            layout: layout?,
            stop_end: stop_end.unwrap_or_default(),
            along: along.unwrap_or_default(),
            divider: divider.unwrap_or_default(),
            lid_rise,
            divider_height: divider_height.unwrap_or_default(),
            fence_height: fence_height.unwrap_or_default(),
            box_base,
            lid_base,
            zero: zero.unwrap_or_default(),
            machine_zero,
            headroom,
            park,
            clamps: clamps.unwrap_or_default(),
            positions,
            block_length,
            block_height,
            span,
        })
    }
}

fn position(value: &Value<'_>) -> Option<[Length; 3]> {
    value.array(|_, item| item.length(ALONG).map(|length| length.value))
}

fn corner(value: &Value<'_>) -> Option<Point> {
    let [x, y] = value.array(|_, item| item.length(ALONG).map(|length| length.value))?;
    Some(Point::new(x, y))
}

fn clamps(value: &Value<'_>) -> Option<Vec<Clamp>> {
    let list = value.list()?;
    let all: Vec<Option<Clamp>> = list
        .iter()
        .enumerate()
        .map(|(index, item)| item.table().and_then(|table| clamp(table, index + 1)))
        .collect();
    all.into_iter().collect()
}

fn clamp(table: Table<'_>, number: usize) -> Option<Clamp> {
    let name = table.optional("name").and_then(|value| value.string());
    let min = table.required("min").and_then(|value| corner(&value));
    let far = table.required("max");
    let max = far.as_ref().and_then(corner);
    let height = table
        .required("height")
        .and_then(|value| value.length(HEIGHT));
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

fn positions(value: &Value<'_>) -> Option<Vec<PositionSpec>> {
    let list = value.list()?;
    if list.is_empty() || list.len() > position::MOST {
        let message = format!(
            "`{}` has {} values, allowed is from 1 to {}",
            value.path,
            list.len(),
            position::MOST
        );
        let help = "leave it out where all hinges are cut in one lie of the parts";
        value.report(Diagnostic::new("wrong-count", message).help(help));
        return None;
    }
    let read = |item: &Value<'_>| item.table().and_then(position_of_parts);
    let all: Vec<Option<PositionSpec>> = list.iter().map(read).collect();
    all.into_iter().collect()
}

fn position_of_parts(table: Table<'_>) -> Option<PositionSpec> {
    let hinges = table.required("hinges").and_then(|value| hinges(&value));
    let mark = table.optional("mark");
    let far_stop = table.optional("far_stop");
    if let (Some(_), Some(far_stop)) = (&mark, &far_stop) {
        far_stop.refuse("`mark` already says what locates the parts; a position has one or the other, or neither");
    }
    let located = |value: &Value<'_>| value.length(LOCATED);
    let mark = mark.as_ref().map(located);
    let far_stop = far_stop.as_ref().map(located);
    let correction = |key| {
        let read = table
            .optional(key)
            .and_then(|value| value.length(CORRECTION));
        read.map_or(Length::ZERO, |length| length.value)
    };
    let (box_u, lid_u) = (correction("box_u"), correction("lid_u"));
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
    if list.is_empty() {
        let message = format!("`{}` is empty, allowed is at least one hinge", value.path);
        value.report(Diagnostic::new("wrong-count", message));
        return None;
    }
    let all: Vec<Option<At<u32>>> = list.iter().map(|item| item.whole(COUNT)).collect();
    all.into_iter().collect()
}
