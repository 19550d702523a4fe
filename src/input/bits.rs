//! The bits file: the rack.

use std::collections::{BTreeMap, BTreeSet};

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::input::document;
use crate::input::limits::{
    BIT_LENGTH, CHIP, DIAMETER, FLUTES, METRES, POINT_ANGLE, RAMP, RPM, Range, SHARE, STEPDOWN,
    STEPOVER, TOOL, quoted,
};
use crate::input::log;
use crate::input::schema::FileKind;
use crate::input::source::{At, Sink, Source, Span};
use crate::input::table::Table;
use crate::input::value::Value;
use crate::shop::bit::{Bit, BitKind, BitMaterial, EdgeRecord, WallCare};
use crate::units::{Angle, Length, SpindleSpeed, Units, text};

/// More bits than any rack holds.
const MOST: usize = 1000;

/// Reads a bits file's text, in the file's order. `file` is what messages
/// call it.
///
/// # Errors
/// Every mistake in the file, in its order; two bits of one name or one tool
/// number among them.
pub fn bits(file: &str, text: &str) -> Result<Vec<Bit>, Diagnostics> {
    let source = Source::new(FileKind::Bits, file, text);
    let sink = Sink::new(&source);
    let document = document::parse(&sink);
    let read = document.as_ref().and_then(|document| {
        let mut root = document::root(&sink, document, Units::default());
        root.units = root
            .optional("units")
            .and_then(|value| value.choice())
            .unwrap_or_default();
        let list = root.required("bit");
        log::prove(&root);
        root.close();
        list.and_then(|list| rack(&list))
    });
    sink.finish(read)
}

fn rack(list: &Value<'_>) -> Option<Vec<Bit>> {
    let tables = list.list()?;
    if tables.is_empty() || tables.len() > MOST {
        let message = format!(
            "the rack has {} bits, allowed is from 1 to {MOST}",
            tables.len()
        );
        list.report(Diagnostic::new("wrong-count", message));
        return None;
    }
    let mut names = BTreeSet::new();
    let mut tools = BTreeMap::new();
    let mut rack = Vec::new();
    let mut complete = true;
    for (index, item) in tables.iter().enumerate() {
        let Some(found) = item.table().and_then(|table| bit(table, index)) else {
            complete = false;
            continue;
        };
        if !names.insert(found.name.value.clone()) {
            let message = format!("a second bit is called {}", quoted(&found.name.value));
            list.sink
                .report(&found.name.span, Diagnostic::new("duplicate-name", message));
        }
        let (tool, span) = (found.tool.value, &found.tool.span);
        if let Some(other) = tools.insert(tool, found.name.value.clone()) {
            let message = format!("tool number {tool} is taken by {}", quoted(&other));
            list.sink
                .report(span, Diagnostic::new("duplicate-tool", message));
        }
        rack.push(found.bit);
    }
    complete.then_some(rack)
}

struct Found {
    bit: Bit,
    name: At<String>,
    tool: At<u32>,
}

fn bit(table: Table<'_>, index: usize) -> Option<Found> {
    let span = table.span();
    let name = table.required("name").and_then(|value| value.string());
    let kind: Option<BitKind> = table.required("kind").and_then(|value| value.choice());
    let length = |key, limits: Range| {
        let read = table.optional(key).and_then(|value| value.length(limits));
        read.map(|length| length.value)
    };
    let number = |key, limits: Range| {
        let read = table.optional(key).and_then(|value| value.number(limits));
        read.map(|number| number.value)
    };
    let diameter = table
        .required("diameter")
        .and_then(|value| value.length(DIAMETER));
    let near = diameter.as_ref().map(|diameter| near(diameter.value));
    let measured = length("measured", near.unwrap_or(DIAMETER));
    let flutes = table
        .optional("flutes")
        .and_then(|value| value.whole(FLUTES));
    let cutting_length = table
        .required("cutting_length")
        .and_then(|value| value.length(BIT_LENGTH));
    let stickout = table
        .required("stickout")
        .and_then(|value| value.length(BIT_LENGTH));
    if let (Some(edge), Some(stickout)) = (&cutting_length, &stickout)
        && edge.value > stickout.value
    {
        let show = |length| text::short(length, table.units);
        let message = format!(
            "`stickout` is {}, the cutting edge {}: the flutes would stand in the collet",
            show(stickout.value),
            show(edge.value)
        );
        let help =
            "clamp the bit on its plain shank alone: `stickout` must be at least `cutting_length`";
        let diagnostic = Diagnostic::new("flutes-in-collet", message).help(help);
        table.sink.report(&stickout.span, diagnostic);
    }
    let shank = length("shank", DIAMETER);
    let material = table.optional("material").and_then(|value| value.choice());
    let plunges = table.optional("plunges").and_then(|value| value.boolean());
    let point_angle = number("point_angle", POINT_ANGLE).unwrap_or(DEFAULT_POINT_ANGLE);
    let stated_wear = number("wear", SHARE);
    let stepdown = length("stepdown", STEPDOWN);
    let ramp = number("ramp_deg", RAMP);
    let chip_min = length("chip_min", CHIP);
    let chip_max = chip_max(&table, chip_min);
    let stepover = number("stepover", STEPOVER);
    let tool = tool(&table, index, span);
    let rpm_max = number("rpm_max", RPM);
    let cut_m = number("cut_m", METRES);
    let wear_at_m = number("wear_at_m", METRES);
    let wall_care = wall_care(&table);
    table.close();
    let (name, kind, diameter) = (name?, kind?, diameter?.value);
    let material: BitMaterial = material.unwrap_or_default();
    let record = cut_m.map(|cut_m| EdgeRecord {
        cut_m,
        stated_wear: stated_wear.unwrap_or(0.0),
        wear_at_m: wear_at_m.unwrap_or(0.0),
    });
    // What the job's wood makes of it, the job says.
    let wear = record.map_or(stated_wear.unwrap_or(0.0), |record| {
        record.wear(material, 1.0)
    });
    Some(Found {
        bit: Bit {
            name: name.value.clone(),
            kind,
            diameter,
            measured,
            flutes: flutes.map_or(default_flutes(kind), |flutes| flutes.value),
            cutting_length: cutting_length?.value,
            stickout: stickout?.value,
            shank: shank.unwrap_or(diameter),
            material,
            plunges: plunges.unwrap_or(false),
            point_angle: (kind == BitKind::Drill).then(|| Angle::from_degrees(point_angle)),
            wear,
            stepdown,
            ramp: ramp.map(Angle::from_degrees),
            chip_min,
            chip_max,
            stepover,
            tool: tool.value,
            rpm_max: rpm_max.map(SpindleSpeed::from_rpm),
            record,
            wall_care,
        },
        name,
        tool,
    })
}

fn wall_care(table: &Table<'_>) -> WallCare {
    let flag = |key| table.optional(key).and_then(|value| value.boolean());
    WallCare {
        score: flag("score"),
        direction: table
            .optional("finish_direction")
            .and_then(|value| value.choice())
            .unwrap_or_default(),
        second_finish: flag("second_finish").unwrap_or(false),
        spring_pass: flag("spring_pass").unwrap_or(false),
    }
}

/// Usual point of a twist drill, in degrees.
const DEFAULT_POINT_ANGLE: f64 = 118.0;

/// A slot is wider than its bit by run-out, narrower by grinding: never far off.
fn near(diameter: Length) -> Range {
    let room = (diameter.as_mm() * 0.1).max(0.3);
    Range::from_to((diameter.as_mm() - room).max(0.1), diameter.as_mm() + room)
}

fn default_flutes(kind: BitKind) -> u32 {
    match kind {
        BitKind::SingleFlute => 1,
        BitKind::DoubleFlute | BitKind::UpSpiral | BitKind::DownSpiral | BitKind::Drill => 2,
    }
}

fn chip_max(table: &Table<'_>, chip_min: Option<Length>) -> Option<Length> {
    let value = table.optional("chip_max")?;
    let most = value.length(CHIP)?.value;
    if let Some(least) = chip_min
        && most <= least
    {
        let message = format!("`{}` is not more than `chip_min`", value.path);
        value.report(Diagnostic::new("reversed-range", message));
    }
    Some(most)
}

/// The T word: as given, else the place in the file.
fn tool(table: &Table<'_>, index: usize, span: Span) -> At<u32> {
    let place = u32::try_from(index + 1).unwrap_or(u32::MAX);
    table
        .optional("tool")
        .and_then(|value| value.whole(TOOL))
        .unwrap_or_else(|| At::new(place, span))
}
