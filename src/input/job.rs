//! The job file: every key read, nothing resolved yet.

use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::input::document;
use crate::input::drawer::Drawer;
use crate::input::fit::{FitSpec, PilotSpec};
use crate::input::fixture::FixtureSpec;
use crate::input::hinge::{HingeDraft, HingeSpec};
use crate::input::keys::FileKind;
use crate::input::log;
use crate::input::parts::{BoxSpec, LidSpec};
use crate::input::placement::PlacementSpec;
use crate::input::quoted::quoted;
use crate::input::source::{At, Sink, Source};
use crate::input::table::Table;
use crate::input::template::TemplateSpec;
use crate::input::value::Value;
use crate::job::Closing;
use crate::shop::same_name;
use crate::units::Units;

/// A job file as written, its values proven one by one.
#[derive(Clone, Debug, PartialEq)]
pub struct JobSpec {
    pub(super) written: Written<HingeDraft>,
    pub(super) drawer: Option<Drawer>,
}

/// The file and what it says; its hinge as written, or with all that it takes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Written<H = HingeSpec> {
    pub(super) source: Source,
    pub(super) units: Units,
    /// The file names its units.
    pub(super) units_stated: bool,
    pub(super) parts: Parsed<H>,
}

/// Everything the file's tables say.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Parsed<H> {
    pub(super) title: Option<String>,
    pub(super) machine: At<String>,
    pub(super) bits: At<String>,
    pub(super) bit: Option<At<String>>,
    pub(super) hinges: Option<At<String>>,
    pub(super) body: BoxSpec,
    pub(super) lid: LidSpec,
    pub(super) hinge: H,
    pub(super) placement: PlacementSpec,
    pub(super) pilot: Option<PilotSpec>,
    pub(super) fit: FitSpec,
    pub(super) fixture: FixtureSpec,
    pub(super) template: Option<TemplateSpec>,
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
        let stated = root.value("units");
        root.units = root.choice("units").unwrap_or_default();
        let units = root.units;
        let span = stated.as_ref().map(Value::span);
        let parts = walk(root);
        sink.settle_units(units, span.as_ref());
        Some((units, span.is_some(), parts?))
    });
    let (units, units_stated, parts) = sink.finish(read)?;
    let written = Written {
        source,
        units,
        units_stated,
        parts,
    };
    Ok(JobSpec {
        written,
        drawer: None,
    })
}

fn walk(root: Table<'_>) -> Option<Parsed<HingeDraft>> {
    let title = root.string("title");
    let machine = root.string("machine");
    let bits = root.string("bits");
    let bit = root.string("bit");
    let hinges = root.string("hinges");
    let body = root.table("box").and_then(BoxSpec::read);
    let lid = root.table("lid").and_then(LidSpec::read);
    let hinge = root.table("hinge").map(HingeDraft::read);
    let placement = root.table("placement").and_then(PlacementSpec::read);
    let pilot = root.table("pilot").and_then(PilotSpec::read);
    let fit = root.table_or_empty("fit").map(FitSpec::read);
    let fixture = root.table("fixture").and_then(FixtureSpec::read);
    let template = root.value("template");
    let template = template.map(|value| value.table().and_then(TemplateSpec::read));
    if let (Some(name), None) = (
        hinge.as_ref().and_then(|hinge| hinge.name.as_ref()),
        &hinges,
    ) {
        let message = format!(
            "`hinge.name` is {}, and the job names no drawer to take it from",
            quoted(&name.value)
        );
        let help = "add `hinges = \"…\"`, the drawer's file, at the top; or leave `name` out and write the hinge's own keys";
        root.sink
            .report(&name.span, Diagnostic::new("no-drawer", message).help(help));
    }
    log::prove(&root);
    root.close();
    Some(Parsed {
        title: title.map(|title| title.value),
        machine: machine?,
        bits: bits?,
        bit,
        hinges,
        body: body?,
        lid: lid?,
        hinge: hinge?,
        placement: placement?,
        pilot,
        fit: fit?,
        fixture: fixture?,
        template: template.map_or(Some(None), |read| read.map(Some))?,
    })
}

impl JobSpec {
    /// Path of the machine file as written, relative to the job file.
    pub fn machine_path(&self) -> &str {
        &self.written.parts.machine.value
    }

    /// Where the machine path stands, for a file that cannot be read.
    pub fn machine_place(&self) -> Place {
        self.written.source.place(&self.written.parts.machine.span)
    }

    /// Path of the bits file as written, relative to the job file.
    pub fn bits_path(&self) -> &str {
        &self.written.parts.bits.value
    }

    /// Where the bits path stands, for a file that cannot be read.
    pub fn bits_place(&self) -> Place {
        self.written.source.place(&self.written.parts.bits.span)
    }

    /// The unit of the file's bare numbers.
    pub fn units(&self) -> Units {
        self.written.units
    }

    /// How the lid closes.
    pub fn closing(&self) -> Closing {
        self.written.parts.lid.closing
    }

    /// Path of the hinge drawer as written, relative to the job file, where the
    /// job names one.
    pub fn hinges_path(&self) -> Option<&str> {
        let path = self.written.parts.hinges.as_ref()?;
        Some(&path.value)
    }

    /// Where the drawer's path stands, for a file that cannot be read.
    pub fn hinges_place(&self) -> Option<Place> {
        let path = self.written.parts.hinges.as_ref()?;
        Some(self.written.source.place(&path.span))
    }

    /// Name of the bit for the pockets, where the job names one.
    pub fn bit_name(&self) -> Option<&str> {
        let bit = self.written.parts.bit.as_ref()?;
        Some(&bit.value)
    }

    /// The drawer, where the job has been given the one that it names.
    pub fn drawer(&self) -> Option<&Drawer> {
        self.drawer.as_ref()
    }

    /// The job with another hinge of its drawer in place of its own. What it
    /// says over the drawer stays with the hinge that it names; screw holes are
    /// left out where the drawer knows no screws.
    #[must_use]
    pub fn with_hinge(mut self, name: &str) -> Self {
        let parts = &mut self.written.parts;
        let own = parts.hinge.name.as_ref();
        if !own.is_some_and(|own| same_name(&own.value, name)) {
            parts.hinge = HingeDraft::named(At::new(name.to_owned(), 0..0));
        }
        let found = self
            .drawer
            .as_ref()
            .and_then(|drawer| drawer.find(name).ok());
        let has_screws = found.is_some_and(|found| parts.hinge.over(&found.draft).has_screws());
        parts.pilot = parts.pilot.take().filter(|_| has_screws);
        self
    }

    /// The job with the drawer that it names, for a hinge that it takes from there.
    #[must_use]
    pub fn with_hinges(self, drawer: Drawer) -> Self {
        Self {
            drawer: Some(drawer),
            ..self
        }
    }
}
