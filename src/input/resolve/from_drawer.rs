//! The hinge that a job takes from the drawer, with what it taught.

use crate::diagnostic::Diagnostic;
use crate::input::drawer::{DrawerHinge, Learned};
use crate::input::hinge::HingeDraft;
use crate::input::job::{JobSpec, Parsed, Written};
use crate::input::limits::quoted;
use crate::input::source::Sink;
use crate::shop::bit::Bit;
use crate::shop::wood;
use crate::units::{Length, Units, text};

/// A hinge of the drawer that a job takes.
pub(super) struct FromDrawer<'d> {
    hinge: &'d DrawerHinge,
    /// The drawer's file as the job writes it.
    file: &'d str,
    /// What the job says over it.
    own: Vec<&'static str>,
}

impl FromDrawer<'_> {
    pub(super) fn name(&self) -> &str {
        &self.hinge.name
    }

    /// What was learned with `bit` in the job's woods.
    pub(super) fn learned(&self, spec: &Written, bit: &Bit) -> Option<&Learned> {
        let woods = wood::pair_name(&spec.parts.body.wood, &spec.parts.lid.wood);
        self.hinge.learned(&bit.name, &woods)
    }

    /// What is taken from the drawer, in a sentence or two.
    pub(super) fn told(&self, spec: &Written, bit: Option<&Bit>) -> Vec<String> {
        let (name, file) = (quoted(&self.hinge.name), self.file);
        let mut hinge = format!("the hinge is {name} of the drawer {file}");
        if !self.own.is_empty() {
            let own: Vec<String> = self.own.iter().map(|key| format!("`{key}`")).collect();
            hinge.push_str(&format!(", with the job's own {}", own.join(", ")));
        }
        let mut told = vec![hinge];
        let Some(bit) = bit else {
            return told;
        };
        let learned = self.learned(spec, bit);
        let fit = &spec.parts.fit;
        let clearance = learned.and_then(|learned| learned.clearance);
        let depth = learned.and_then(|learned| learned.depth);
        let figures = [
            clearance
                .filter(|_| fit.clearance.is_none())
                .map(|length| format!("a clearance of {}", text::short(length, spec.units))),
            depth
                .filter(|_| fit.depth.is_none())
                .map(|depth| deeper(depth, spec.units)),
        ];
        let figures: Vec<String> = figures.into_iter().flatten().collect();
        if !figures.is_empty() {
            told.push(format!(
                "{}, as {file} has learned of {name} with {} in {}",
                figures.join(" and "),
                bit.name,
                wood::pair_name(&spec.parts.body.wood, &spec.parts.lid.wood)
            ));
        }
        told
    }
}

fn deeper(depth: Length, units: Units) -> String {
    let way = if depth < Length::ZERO {
        "shallower"
    } else {
        "deeper"
    };
    format!("every step {} {way}", text::short(depth.abs(), units))
}

/// The job with the whole of its hinge: its own, or the drawer's with what the
/// job says over it.
pub(super) fn complete<'d>(
    spec: &'d JobSpec,
    sink: &Sink<'_>,
) -> Option<(Written, Option<FromDrawer<'d>>)> {
    let written = &spec.written;
    let own = &written.parts.hinge;
    let Some(name) = &own.name else {
        return Some((with_hinge(written, own, sink)?, None));
    };
    let Some(drawer) = &spec.drawer else {
        let message = format!("the drawer that has {} was not read", quoted(&name.value));
        sink.report(&name.span, Diagnostic::new("no-drawer", message));
        return None;
    };
    match drawer.find(&name.value) {
        Ok(hinge) => {
            let whole = with_hinge(written, &own.over(&hinge.draft), sink)?;
            let from = FromDrawer {
                hinge,
                file: spec.hinges_path().unwrap_or_default(),
                own: own.keys(),
            };
            Some((whole, Some(from)))
        }
        Err(unknown) => {
            sink.report(&name.span, unknown);
            None
        }
    }
}

fn with_hinge(
    written: &Written<HingeDraft>,
    hinge: &HingeDraft,
    sink: &Sink<'_>,
) -> Option<Written> {
    let parts = &written.parts;
    Some(Written {
        source: written.source.clone(),
        units: written.units,
        units_stated: written.units_stated,
        parts: Parsed {
            title: parts.title.clone(),
            machine: parts.machine.clone(),
            bits: parts.bits.clone(),
            bit: parts.bit.clone(),
            hinges: parts.hinges.clone(),
            body: parts.body.clone(),
            lid: parts.lid.clone(),
            hinge: hinge.complete(sink, written.units)?,
            placement: parts.placement.clone(),
            pilot: parts.pilot.clone(),
            fit: parts.fit.clone(),
            fixture: parts.fixture.clone(),
        },
    })
}
