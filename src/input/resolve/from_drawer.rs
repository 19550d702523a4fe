//! The hinge that a job takes from the drawer, with what it taught.

use crate::diagnostic::Diagnostic;
use crate::input::drawer::{DrawerHinge, Learned};
use crate::input::hinge::HingeDraft;
use crate::input::job::{JobSpec, Parsed, Written};
use crate::input::quoted::quoted;
use crate::input::source::Sink;
use crate::job::Drawn;
use crate::shop::bit::Bit;
use crate::shop::wood;

/// A hinge of the drawer that a job takes.
pub(super) struct FromDrawer<'d> {
    hinge: &'d DrawerHinge,
    /// The drawer's file as the job writes it.
    file: &'d str,
    /// What the job says over it.
    own: Vec<&'static str>,
}

impl FromDrawer<'_> {
    /// What was learned with `bit` in the job's woods.
    pub(super) fn learned(&self, spec: &Written, bit: &Bit) -> Option<&Learned> {
        self.hinge.learned(&bit.name, &woods(spec))
    }

    /// What is taken from the drawer with `bit`.
    pub(super) fn drawn(&self, spec: &Written, bit: &Bit) -> Drawn {
        let learned = self.learned(spec, bit);
        let fit = &spec.parts.fit;
        Drawn {
            name: self.hinge.name.clone(),
            file: self.file.to_owned(),
            own: self.own.clone(),
            woods: woods(spec),
            is_clearance_learned: fit.clearance.is_none()
                && learned.is_some_and(|learned| learned.clearance.is_some()),
            is_depth_learned: fit.depth.is_none()
                && learned.is_some_and(|learned| learned.depth.is_some()),
        }
    }
}

fn woods(spec: &Written) -> String {
    wood::pair_name(&spec.parts.body.wood, &spec.parts.lid.wood)
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
            template: parts.template.clone(),
        },
    })
}
