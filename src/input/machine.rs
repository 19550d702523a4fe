//! The machine file.

mod dialect;

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::input::document;
use crate::input::limits::{
    ACCELERATION, ALONG, CLEAR, DAYLIGHT, FEED, NUT, POWER, RPM, Range, STIFFNESS, TRAVEL,
    TRAVEL_Z, WAIT,
};
use crate::input::schema::FileKind;
use crate::input::source::{Sink, Source};
use crate::input::table::Table;
use crate::input::value::Value;
use crate::shop::machine::{Cylinder, Dialect, Machine, Spindle};
use crate::units::{Feed, Length, Seconds, SpindleSpeed, Units};

/// Reads a machine file's text. `file` is what messages call it.
///
/// # Errors
/// Every mistake in the file, in its order.
pub fn machine(file: &str, text: &str) -> Result<Machine, Diagnostics> {
    let source = Source::new(FileKind::Machine, file, text);
    let sink = Sink::new(&source);
    let document = document::parse(&sink);
    let read = document.as_ref().and_then(|document| {
        let mut root = document::root(&sink, document, Units::default());
        root.units = root
            .optional("units")
            .and_then(|value| value.choice())
            .unwrap_or_default();
        walk(root)
    });
    sink.finish(read)
}

fn walk(root: Table<'_>) -> Option<Machine> {
    let name = root.required("name").and_then(|value| value.string());
    let travel = root
        .required("travel")
        .and_then(|value| axes(&value, [TRAVEL, TRAVEL, TRAVEL_Z]));
    let feed_max = root
        .required("feed_max")
        .and_then(|value| axes(&value, [FEED; 3]));
    let rapid = root
        .optional("rapid")
        .and_then(|value| axes(&value, [FEED; 3]));
    let acceleration = root
        .optional("accel")
        .and_then(|value| axes(&value, [ACCELERATION; 3]));
    let clearance = root
        .optional("clearance")
        .and_then(|value| value.length(CLEAR));
    let table = |key| root.optional(key).and_then(|value| value.table());
    let nut = table("nut").map_or(Some(DEFAULT_NUT), nut);
    let nose = table("nose").and_then(nose);
    let daylight = root
        .optional("daylight")
        .and_then(|value| value.length(DAYLIGHT));
    let limits = table("limits").and_then(limits);
    let stiffness = root
        .optional("stiffness")
        .and_then(|value| value.number(STIFFNESS));
    let spindle = root
        .required("spindle")
        .and_then(|value| value.table())
        .and_then(spindle);
    let dialect = table("dialect").map_or(Some(Dialect::default()), dialect::read);
    root.close();
    let feeds = |rates: [Length; 3]| rates.map(|rate| Feed::from_mm_per_minute(rate.as_mm()));
    let feed_max = feeds(feed_max?);
    let travel = travel?;
    let [x, y, z] = travel;
    let zero = Length::ZERO;
    Some(Machine {
        name: name?.value,
        travel,
        limits: limits.unwrap_or([(zero, x), (zero, y), (-z, zero)]),
        stiffness: stiffness.map(|newtons| newtons.value),
        feed_max,
        rapid: rapid.map_or(feed_max, feeds),
        acceleration: acceleration.map_or(DEFAULT_ACCELERATION, |axes| axes.map(Length::as_mm)),
        clearance: clearance.map_or(DEFAULT_CLEARANCE, |length| length.value),
        nut: nut?,
        nose_diameter: nose,
        daylight: daylight.map(|length| length.value),
        spindle: spindle?,
        dialect: dialect?,
    })
}

const DEFAULT_ACCELERATION: [f64; 3] = [250.0, 250.0, 150.0];
const DEFAULT_CLEARANCE: Length = Length::from_mm(5.0);
const DEFAULT_NUT: Cylinder = Cylinder {
    diameter: Length::from_mm(20.0),
    length: Length::from_mm(30.0),
};
const DEFAULT_SPIN_UP: Seconds = Seconds::from_seconds(3.0);

/// A length for each axis, each within its own limits.
fn axes(value: &Value<'_>, limits: [Range; 3]) -> Option<[Length; 3]> {
    value.array(|axis, item| {
        let length = item.length(*limits.get(axis)?)?;
        Some(length.value)
    })
}

fn nut(table: Table<'_>) -> Option<Cylinder> {
    let diameter = table
        .required("diameter")
        .and_then(|value| value.length(NUT));
    let length = table.required("length").and_then(|value| value.length(NUT));
    table.close();
    Some(Cylinder {
        diameter: diameter?.value,
        length: length?.value,
    })
}

/// Least and greatest machine coordinate of each axis.
fn limits(table: Table<'_>) -> Option<[(Length, Length); 3]> {
    let ends = |key| {
        let value = table.required(key)?;
        axes(&value, [ALONG; 3])
    };
    let (min, max) = (ends("min"), ends("max"));
    let (Some(min), Some(max)) = (min, max) else {
        table.close();
        return None;
    };
    if (0..3).any(|axis| min[axis] >= max[axis]) {
        let message = "`limits.min` is not below `limits.max` in every axis";
        table.report(Diagnostic::new("reversed-range", message));
    }
    table.close();
    Some([0, 1, 2].map(|axis| (min[axis], max[axis])))
}

fn nose(table: Table<'_>) -> Option<Length> {
    let diameter = table
        .required("diameter")
        .and_then(|value| value.length(NUT));
    table.close();
    Some(diameter?.value)
}

fn spindle(table: Table<'_>) -> Option<Spindle> {
    let range = table.required("rpm");
    let rpm = range
        .as_ref()
        .and_then(|value| value.array(|_, item| item.number(RPM).map(|rpm| rpm.value)));
    if let (Some(range), Some([slowest, fastest])) = (&range, rpm)
        && slowest > fastest
    {
        let message = format!(
            "`{}` runs from {slowest} down to {fastest}, allowed is the slowest speed first",
            range.path
        );
        range.report(Diagnostic::new("reversed-range", message));
    }
    let power = table
        .optional("power_w")
        .and_then(|value| value.number(POWER));
    let spin_up = table
        .optional("spin_up_s")
        .and_then(|value| value.number(WAIT));
    let control = table.optional("control").and_then(|value| value.choice());
    let marks = table.optional("dial").and_then(|value| value.speeds(RPM));
    table.close();
    let [slowest, fastest] = rpm?;
    let mut dial: Vec<(String, SpindleSpeed)> = marks
        .unwrap_or_default()
        .into_iter()
        .map(|(mark, rpm)| (mark, SpindleSpeed::from_rpm(rpm)))
        .collect();
    dial.sort_by(|(_, one), (_, other)| one.as_rpm().total_cmp(&other.as_rpm()));
    Some(Spindle {
        dial,
        slowest: SpindleSpeed::from_rpm(slowest),
        fastest: SpindleSpeed::from_rpm(fastest),
        power_w: power.map(|watts| watts.value),
        spin_up: spin_up.map_or(DEFAULT_SPIN_UP, |wait| Seconds::from_seconds(wait.value)),
        control: control.unwrap_or_default(),
    })
}
