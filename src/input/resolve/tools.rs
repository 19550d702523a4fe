//! Bits by name.

use crate::diagnostic::Diagnostic;
use crate::input::choice;
use crate::input::choice::with_nearest;
use crate::input::job::Written;
use crate::input::limits::SHARE;
use crate::input::quoted::quoted;
use crate::input::resolve::Overrides;
use crate::input::source::Sink;
use crate::input::value::percent;
use crate::job::Pilot;
use crate::shop::bit::{Bit, BitKind};
use crate::shop::wood::{self, Wood};

/// The rack with the wear that its records mean in these woods.
pub(super) fn worn(mut rack: Vec<Bit>, woods: &[&Wood]) -> Vec<Bit> {
    let weight = wood::wear_weight(woods);
    for bit in &mut rack {
        if let Some(record) = bit.record {
            bit.wear = record.wear(bit.material, weight);
        }
    }
    rack
}

/// The bit for the pockets, as worn as this run says.
pub(super) fn pocket_bit(
    spec: &Written,
    sink: &Sink<'_>,
    rack: &[Bit],
    overrides: &Overrides,
) -> Option<Bit> {
    if let Some(wear) = overrides.wear
        && !SHARE.hold(wear)
    {
        let message = format!("--wear is {wear}, allowed is from 0, fresh, to 1, worn out");
        let diagnostic = Diagnostic::new("out-of-range", message);
        sink.report_without_place(if SHARE.percent(wear) {
            diagnostic.help(percent(wear))
        } else {
            diagnostic
        });
    }
    let report = |diagnostic| match (&overrides.bit, &spec.parts.bit) {
        (None, Some(bit)) => sink.report(&bit.span, diagnostic),
        (None, None) => sink.report(&(0..0), diagnostic),
        (Some(_), _) => sink.report_without_place(diagnostic),
    };
    let stated = spec.parts.bit.as_ref().map(|bit| bit.value.as_str());
    let Some(name) = overrides.bit.as_deref().or(stated) else {
        let help = format!("the rack has {}", choice::list(&names(rack, is_router)));
        report(Diagnostic::new("missing-key", "`bit` is missing").help(help));
        return None;
    };
    let bit = match find(rack, name, is_router) {
        Ok(bit) => bit,
        Err(diagnostic) => {
            report(diagnostic);
            return None;
        }
    };
    if bit.kind == BitKind::Drill {
        let message = format!("{} is a drill, a pocket wants a router bit", quoted(name));
        let help = format!("the rack has {}", choice::list(&names(rack, is_router)));
        report(Diagnostic::new("wrong-bit-kind", message).help(help));
        return None;
    }
    Some(Bit {
        wear: overrides.wear.unwrap_or(bit.wear),
        ..bit.clone()
    })
}

/// The drill of `[pilot]`.
pub(super) fn pilot(spec: &Written, sink: &Sink<'_>, rack: &[Bit]) -> Option<Pilot> {
    let pilot = spec.parts.pilot.as_ref()?;
    let span = &pilot.bit.span;
    if spec.parts.hinge.screws.is_empty() {
        let message = "`pilot` has no holes to drill: `hinge.screws` is missing";
        sink.report(span, Diagnostic::new("missing-key", message));
    }
    let bit = match find(rack, &pilot.bit.value, is_drill) {
        Ok(bit) => bit,
        Err(diagnostic) => {
            sink.report(span, diagnostic);
            return None;
        }
    };
    if bit.kind != BitKind::Drill {
        let message = format!("{} is no drill, a pilot hole wants one", quoted(&bit.name));
        let drills = names(rack, is_drill);
        let diagnostic = Diagnostic::new("wrong-bit-kind", message);
        let diagnostic = if drills.is_empty() {
            diagnostic.help("the rack has no bit of kind \"drill\"")
        } else {
            diagnostic.help(format!("the rack has {}", choice::list(&drills)))
        };
        sink.report(span, diagnostic);
        return None;
    }
    Some(Pilot {
        bit: bit.clone(),
        depth: pilot.depth,
    })
}

/// The hand-held router's bit.
pub(super) fn hand_bit(spec: &Written, sink: &Sink<'_>, rack: &[Bit]) -> Option<Bit> {
    let name = &spec.parts.template.as_ref()?.bit;
    match find(rack, &name.value, is_router) {
        Ok(bit) if bit.kind == BitKind::Drill => {
            let message = format!("{} is a drill, a router wants a bit", quoted(&bit.name));
            let help = format!("the rack has {}", choice::list(&names(rack, is_router)));
            sink.report(
                &name.span,
                Diagnostic::new("wrong-bit-kind", message).help(help),
            );
            None
        }
        Ok(bit) => Some(bit.clone()),
        Err(diagnostic) => {
            sink.report(&name.span, diagnostic);
            None
        }
    }
}

fn is_drill(bit: &Bit) -> bool {
    bit.kind == BitKind::Drill
}

fn is_router(bit: &Bit) -> bool {
    !is_drill(bit)
}

fn find<'r>(rack: &'r [Bit], name: &str, suits: fn(&Bit) -> bool) -> Result<&'r Bit, Diagnostic> {
    if let Some(bit) = rack.iter().find(|bit| bit.name == name) {
        return Ok(bit);
    }
    let message = format!("the rack has no bit {}", quoted(name));
    let diagnostic = Diagnostic::new("unknown-bit", message);
    let all = names(rack, suits);
    let nearest = choice::nearest(name, all.iter().copied());
    Err(if nearest.is_empty() {
        diagnostic.help(format!("it has {}", choice::list(&all)))
    } else {
        with_nearest(diagnostic, &nearest)
    })
}

fn names(rack: &[Bit], suits: fn(&Bit) -> bool) -> Vec<&str> {
    let suiting = rack.iter().filter(|bit| suits(bit));
    suiting.map(|bit| bit.name.as_str()).take(12).collect()
}
