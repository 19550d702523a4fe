//! The machine file.

mod dialect;

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::input::document;
use crate::input::keys::FileKind;
use crate::input::source::{Sink, Source};
use crate::input::table::Table;
use crate::input::value::Value;
use crate::shop::machine::{Cylinder, Machine, Spindle};
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
        root.units = root.choice("units").unwrap_or_default();
        walk(root)
    });
    sink.finish(read)
}

fn walk(root: Table<'_>) -> Option<Machine> {
    let name = root.string("name");
    let travel = root.lengths("travel");
    let feed_max = root.lengths("feed_max");
    let rapid = root.lengths("rapid");
    let acceleration = root.lengths_or_default("accel");
    let clearance = root.length_or_default("clearance");
    let nut = root
        .value("nut")
        .map_or(Some(DEFAULT_NUT), |value| nut(value.table()?));
    let nose = root.table("nose").and_then(nose);
    let daylight = root.length("daylight");
    let limits = root.table("limits").and_then(limits);
    let stiffness = root.number("stiffness");
    let spindle = root.table("spindle").and_then(spindle);
    let dialect = root.table_or_empty("dialect").and_then(dialect::read);
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
        acceleration: acceleration.map(Length::as_mm),
        clearance,
        nut: nut?,
        nose_diameter: nose,
        daylight: daylight.map(|length| length.value),
        spindle: spindle?,
        dialect: dialect?,
    })
}

const DEFAULT_NUT: Cylinder = Cylinder {
    diameter: Length::from_mm(20.0),
    length: Length::from_mm(30.0),
};

fn nut(table: Table<'_>) -> Option<Cylinder> {
    let diameter = table.length("diameter");
    let length = table.length("length");
    table.close();
    Some(Cylinder {
        diameter: diameter?.value,
        length: length?.value,
    })
}

/// Least and greatest machine coordinate of each axis.
fn limits(table: Table<'_>) -> Option<[(Length, Length); 3]> {
    let (min, max): (Option<[Length; 3]>, Option<[Length; 3]>) =
        (table.lengths("min"), table.lengths("max"));
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
    let diameter = table.length("diameter");
    table.close();
    Some(diameter?.value)
}

fn spindle(table: Table<'_>) -> Option<Spindle> {
    let range = table.value("rpm");
    let rpm = range.as_ref().and_then(Value::numbers);
    if let (Some(range), Some([slowest, fastest])) = (&range, rpm)
        && slowest > fastest
    {
        let message = format!(
            "`{}` runs from {slowest} down to {fastest}, allowed is the slowest speed first",
            range.path
        );
        range.report(Diagnostic::new("reversed-range", message));
    }
    let power = table.number("power_w");
    let spin_up = table.number_or_default("spin_up_s");
    let control = table.choice("control");
    let marks = table.value("dial").and_then(|value| value.speeds());
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
        spin_up: Seconds::from_seconds(spin_up),
        control: control.unwrap_or_default(),
    })
}
