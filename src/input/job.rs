//! The job file: every key read, nothing resolved yet.

use crate::diagnostic::{Diagnostics, Place};
use crate::input::document;
use crate::input::fit::{FitSpec, PilotSpec};
use crate::input::fixture::FixtureSpec;
use crate::input::hinge::HingeSpec;
use crate::input::log;
use crate::input::parts::{BoxSpec, LidSpec};
use crate::input::placement::PlacementSpec;
use crate::input::schema::FileKind;
use crate::input::source::{At, Sink, Source};
use crate::input::table::Table;
use crate::input::value::Value;
use crate::job::Closing;
use crate::units::Units;

/// A job file as written, its values proven one by one.
#[derive(Clone, Debug, PartialEq)]
pub struct JobSpec {
    pub(super) source: Source,
    pub(super) units: Units,
    /// The file names its units.
    pub(super) units_stated: bool,
    pub(super) parts: Parsed,
}

/// Everything the file's tables say.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Parsed {
    pub(super) title: Option<String>,
    pub(super) machine: At<String>,
    pub(super) bits: At<String>,
    pub(super) bit: Option<At<String>>,
    pub(super) body: BoxSpec,
    pub(super) lid: LidSpec,
    pub(super) hinge: HingeSpec,
    pub(super) placement: PlacementSpec,
    pub(super) pilot: Option<PilotSpec>,
    pub(super) fit: FitSpec,
    pub(super) fixture: FixtureSpec,
}

/// Reads a job file's text. `file` is what messages call it.
///
/// # Errors
/// Every mistake in the file, in its order: TOML syntax, unknown, missing and
/// doubled keys, wrong types, values out of range.
pub fn job(file: &str, text: &str) -> Result<JobSpec, Diagnostics> {
    let source = Source::new(FileKind::Job, file, text);
    let sink = Sink::new(&source);
    let document = document::parse(&sink);
    let read = document.as_ref().and_then(|document| {
        let mut root = document::root(&sink, document, Units::default());
        let stated = root.optional("units");
        root.units = stated
            .as_ref()
            .and_then(|value| value.choice())
            .unwrap_or_default();
        let units = root.units;
        let span = stated.as_ref().map(Value::span);
        let parts = walk(root);
        sink.settle_units(units, span.as_ref());
        Some((units, span.is_some(), parts?))
    });
    let (units, units_stated, parts) = sink.finish(read)?;
    Ok(JobSpec {
        source,
        units,
        units_stated,
        parts,
    })
}

fn walk(root: Table<'_>) -> Option<Parsed> {
    let title = root.optional("title").and_then(|value| value.string());
    let machine = root.required("machine").and_then(|value| value.string());
    let bits = root.required("bits").and_then(|value| value.string());
    let bit = root.optional("bit").and_then(|value| value.string());
    let table = |key| root.required(key).and_then(|value| value.table());
    let optional = |key| root.optional(key).and_then(|value| value.table());
    let body = table("box").and_then(BoxSpec::read);
    let lid = table("lid").and_then(LidSpec::read);
    let hinge = table("hinge").and_then(HingeSpec::read);
    let placement = table("placement").and_then(PlacementSpec::read);
    let pilot = optional("pilot").and_then(PilotSpec::read);
    let fit = optional("fit").map_or_else(|| Some(FitSpec::default()), FitSpec::read);
    let fixture = table("fixture").and_then(FixtureSpec::read);
    log::prove(&root);
    root.close();
    Some(Parsed {
        title: title.map(|title| title.value),
        machine: machine?,
        bits: bits?,
        bit,
        body: body?,
        lid: lid?,
        hinge: hinge?,
        placement: placement?,
        pilot,
        fit: fit?,
        fixture: fixture?,
    })
}

impl JobSpec {
    /// Path of the machine file as written, relative to the job file.
    pub fn machine_path(&self) -> &str {
        &self.parts.machine.value
    }

    /// Where the machine path stands, for a file that cannot be read.
    pub fn machine_place(&self) -> Place {
        self.source.place(&self.parts.machine.span)
    }

    /// Path of the bits file as written, relative to the job file.
    pub fn bits_path(&self) -> &str {
        &self.parts.bits.value
    }

    /// Where the bits path stands, for a file that cannot be read.
    pub fn bits_place(&self) -> Place {
        self.source.place(&self.parts.bits.span)
    }

    /// The unit of the file's bare numbers.
    pub fn units(&self) -> Units {
        self.units
    }

    /// How the lid closes.
    pub fn closing(&self) -> Closing {
        self.parts.lid.closing
    }
}
