//! The bits file: the rack.

use std::collections::{BTreeMap, BTreeSet};

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::input::document;
use crate::input::keys::FileKind;
use crate::input::limits::Range;
use crate::input::log;
use crate::input::quoted::quoted;
use crate::input::source::{At, Sink, Source, Span};
use crate::input::table::Table;
use crate::input::value::Value;
use crate::shop::bit::{Bit, BitKind, BitMaterial, EdgeRecord, WallCare};
use crate::units::{Angle, Length, SpindleSpeed, Units, text};

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
        root.units = root.choice("units").unwrap_or_default();
        let list = root.value("bit");
        log::prove(&root);
        root.close();
        list.and_then(|list| rack(&list))
    });
    sink.finish(read)
}

fn rack(list: &Value<'_>) -> Option<Vec<Bit>> {
    let tables = list.list()?;
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
    let name = table.string("name");
    let kind: Option<BitKind> = table.choice("kind");
    let length = |key| table.length(key).map(|length| length.value);
    let number = |key| table.number(key).map(|number| number.value);
    let diameter = table.length("diameter");
    let measured = measured(&table, diameter.as_ref());
    let flutes = table.whole("flutes");
    let cutting_length = table.length("cutting_length");
    let stickout = table.length("stickout");
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
    let shank = length("shank");
    let material: Option<BitMaterial> = table.choice("material");
    let plunges = table.switch_or_default("plunges");
    let point_angle = table.number_or_default("point_angle");
    let wear = table.number_or_default("wear");
    let stepdown = length("stepdown");
    let ramp = number("ramp_deg");
    let chip_min = length("chip_min");
    let chip_max = chip_max(&table, chip_min);
    let stepover = number("stepover");
    let tool = tool(&table, index, span);
    let rpm_max = number("rpm_max");
    let cut_m = number("cut_m");
    let wear_at_m = table.number_or_default("wear_at_m");
    let wall_care = wall_care(&table);
    table.close();
    let (name, kind, diameter) = (name?, kind?, diameter?.value);
    let material = material?;
    let record = cut_m.map(|cut_m| EdgeRecord {
        cut_m,
        stated_wear: wear,
        wear_at_m,
    });
    // What the job's wood makes of it, the job says.
    let wear = record.map_or(wear, |record| record.wear(material, 1.0));
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
            plunges,
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
    WallCare {
        score: table.switch("score"),
        direction: table.choice("finish_direction").unwrap_or_default(),
        second_finish: table.switch_or_default("second_finish"),
        spring_pass: table.switch_or_default("spring_pass"),
    }
}

/// A slot is wider than its bit by run-out, narrower by grinding: never far off.
fn measured(table: &Table<'_>, diameter: Option<&At<Length>>) -> Option<Length> {
    let value = table.value("measured")?;
    let read = match diameter.map(|diameter| diameter.value.as_mm()) {
        Some(diameter) => {
            let room = (diameter * 0.1).max(0.3);
            value.length_within(Range::from_to((diameter - room).max(0.1), diameter + room))
        }
        None => value.length(),
    };
    read.map(|length| length.value)
}

fn default_flutes(kind: BitKind) -> u32 {
    match kind {
        BitKind::SingleFlute => 1,
        BitKind::DoubleFlute | BitKind::UpSpiral | BitKind::DownSpiral | BitKind::Drill => 2,
    }
}

fn chip_max(table: &Table<'_>, chip_min: Option<Length>) -> Option<Length> {
    let value = table.value("chip_max")?;
    let most = value.length()?.value;
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
    table.whole("tool").unwrap_or_else(|| At::new(place, span))
}
