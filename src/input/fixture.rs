//! `[fixture]`: how the parts lie on the machine.

use crate::diagnostic::Diagnostic;
use crate::geometry::Point;
use crate::input::limits::{ALONG, FENCE, HEADROOM, HEIGHT, RISE, Range};
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
    pub(super) span: Span,
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
        let fence_height = length("fence_height", FENCE);
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
