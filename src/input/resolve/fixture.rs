//! How the parts lie: the lid's rise from the supports, the machine's zero.

use crate::diagnostic::Diagnostic;
use crate::input::job::Written;
use crate::input::resolve::positions;
use crate::input::source::Sink;
use crate::job::{Fixture, Part, PartName};
use crate::shop::bit::Bit;
use crate::shop::machine::{Machine, SafeZ};
use crate::units::{Length, text};

/// A stated rise may differ by this much from the one that the bases give.
const AGREES: Length = Length::from_mm(0.05);

pub(super) fn resolve(
    spec: &Written,
    sink: &Sink<'_>,
    machine: &Machine,
    parts: &[Part],
    bit: Option<&Bit>,
) -> Fixture {
    let fixture = &spec.parts.fixture;
    if machine.dialect.safe_z == SafeZ::Machine && fixture.machine_zero.is_none() {
        let message =
            "`fixture.machine_zero` is missing: the machine starts and ends at a machine height";
        let help = "say where G54 sits in machine coordinates, or set `safe_z = \"work\"` in the machine file";
        sink.report(
            &fixture.span,
            Diagnostic::new("missing-key", message).help(help),
        );
    }
    let lid_rise = lid_rise(spec, sink, parts);
    let laid_out = Fixture {
        layout: fixture.layout,
        stop_end: fixture.stop_end,
        along: fixture.along,
        divider: fixture.divider,
        lid_rise,
        headroom: None,
        park: fixture.park,
        divider_height: fixture.divider_height,
        fence_height: fixture.fence_height,
        box_base: fixture.box_base,
        lid_base: fixture.lid_base,
        zero: fixture.zero,
        machine_zero: fixture.machine_zero,
        clamps: fixture.clamps.clone(),
        positions: Vec::new(),
        block_length: positions::block_length(spec),
        block_height: positions::block_height(spec, sink, lid_rise),
    };
    let bed = laid_out.bed(parts);
    Fixture {
        headroom: headroom(spec, sink, machine, bed, bit),
        ..laid_out
    }
}

/// A stated headroom may differ by this much from the one that is worked out.
const HEADROOM_AGREES: Length = Length::from_mm(0.5);

/// As stated, or from the machine's zero, or from the daylight over the bed.
fn headroom(
    spec: &Written,
    sink: &Sink<'_>,
    machine: &Machine,
    bed: Option<Length>,
    bit: Option<&Bit>,
) -> Option<Length> {
    let fixture = &spec.parts.fixture;
    let by_zero = fixture
        .machine_zero
        .map(|zero| machine.limits[2].1 - zero[2]);
    let by_daylight = || Some(machine.daylight? - bit?.stickout + bed?);
    let follows = by_zero.or_else(by_daylight);
    if let (Some(stated), Some(follows)) = (&fixture.headroom, follows)
        && !stated.value.is_near(follows, HEADROOM_AGREES)
    {
        let message = format!(
            "`fixture.headroom` is {}, but {} {}",
            text::short(stated.value, spec.units),
            if by_zero.is_some() {
                "`machine_zero` gives"
            } else {
                "daylight, stick-out and base give"
            },
            text::short(follows, spec.units)
        );
        let help = "leave `headroom` out, or correct what it is worked out from";
        sink.report(
            &stated.span,
            Diagnostic::new("headroom-disagrees", message).help(help),
        );
    }
    let stated = fixture.headroom.as_ref().map(|stated| stated.value);
    stated
        .or(follows)
        .filter(|headroom| *headroom > Length::ZERO)
}

/// As stated, or what the two undersides above the bed give.
fn lid_rise(spec: &Written, sink: &Sink<'_>, parts: &[Part]) -> Length {
    let fixture = &spec.parts.fixture;
    let stated = fixture.lid_rise.as_ref();
    let from_bases = (|| {
        let below = |name| {
            parts
                .iter()
                .find(|part| part.name == name)
                .map(|part| part.below)
        };
        let body = fixture.box_base? + below(PartName::Box)?;
        let lid = fixture.lid_base? + below(PartName::Lid)?;
        Some(lid - body)
    })();
    let Some(follows) = from_bases else {
        return stated.map(|rise| rise.value).unwrap_or_default();
    };
    if let Some(stated) = stated
        && !stated.value.is_near(follows, AGREES)
    {
        let message = format!(
            "`fixture.lid_rise` is {}, but `box_base` and `lid_base` give {}",
            text::short(stated.value, spec.units),
            text::short(follows, spec.units)
        );
        let help = "leave `lid_rise` out, or correct one of the three";
        sink.report(
            &stated.span,
            Diagnostic::new("lid-rise-disagrees", message).help(help),
        );
    }
    follows
}
