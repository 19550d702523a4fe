//! `[hinge]` of a job and of the drawer: the hinge as measured, its steps and screws.

use crate::diagnostic::Diagnostic;
use crate::input::limits::Range;
use crate::input::source::{At, Sink, Span};
use crate::input::table::Table;
use crate::job::screw;
use crate::units::{Length, Units, text};

/// A hinge with all that cutting it takes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct HingeSpec {
    pub(super) width: At<Length>,
    pub(super) setback: At<Length>,
    pub(super) closed_gap: At<Length>,
    pub(super) open_gap: Option<Length>,
    pub(super) steps: Vec<StepSpec>,
    /// Those of the lid where its half of the hinge differs.
    pub(super) lid_steps: Option<Vec<StepSpec>>,
    pub(super) screws: Vec<ScrewSpec>,
}

/// One step of the hinge as measured, defaults filled in.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct StepSpec {
    pub(super) length: Length,
    pub(super) width: Length,
    pub(super) corner: Length,
    pub(super) shift: Length,
    pub(super) depth: Length,
    pub(super) span: Span,
}

/// A hinge as written: a job's own, one of the drawer, or what a job says over
/// the drawer's.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct HingeDraft {
    pub(super) name: Option<At<String>>,
    width: Option<At<Length>>,
    setback: Option<At<Length>>,
    closed_gap: Option<At<Length>>,
    open_gap: Option<Length>,
    steps: Option<Vec<StepDraft>>,
    lid_steps: Option<Vec<StepDraft>>,
    screws: Option<Vec<ScrewSpec>>,
}

/// One step as written: width and corner follow the hinge's width where it
/// has none of its own.
#[derive(Clone, Debug, PartialEq)]
struct StepDraft {
    length: Length,
    width: Option<Length>,
    corner: Option<Length>,
    shift: Length,
    depth: Length,
    span: Span,
}

/// One screw of a leaf.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct ScrewSpec {
    pub(super) along: Length,
    pub(super) across: Length,
    pub(super) diameter: Length,
    pub(super) root: Length,
    pub(super) length: Length,
    pub(super) span: Span,
}

impl HingeDraft {
    /// Reads a job's `[hinge]`; one with a name may leave the rest to the drawer.
    pub(super) fn read(table: Table<'_>) -> Self {
        let draft = Self::of(&table);
        table.close();
        draft
    }

    /// Reads what a job's hinge and one of the drawer have in common.
    pub(super) fn of(table: &Table<'_>) -> Self {
        let width = table.length("width");
        let across = width.as_ref().map(|width| width.value);
        let steps = |key| table.value(key)?.tables(|table| step(table, across));
        // What could not be read has been reported.
        Self {
            name: table.string("name"),
            setback: table.length("setback"),
            closed_gap: table.length("closed_gap"),
            open_gap: table.length("open_gap").map(|gap| gap.value),
            steps: steps("steps"),
            lid_steps: steps("lid_steps"),
            screws: table.value("screws").and_then(|value| value.tables(screw)),
            width,
        }
    }

    /// One of the drawer, as it is there.
    pub(super) fn named(name: At<String>) -> Self {
        Self {
            name: Some(name),
            ..Self::default()
        }
    }

    pub(super) fn has_screws(&self) -> bool {
        self.screws
            .as_ref()
            .is_some_and(|screws| !screws.is_empty())
    }

    /// What this says, and where it says nothing what `other` does. What comes
    /// from there has the place of this one's name.
    pub(super) fn over(&self, other: &Self) -> Self {
        let span = self.name.as_ref().map_or(0..0, |name| name.span.clone());
        let here = |length: &At<Length>| At::new(length.value, span.clone());
        let length = |own: &Option<At<Length>>, other: &Option<At<Length>>| {
            own.clone().or_else(|| other.as_ref().map(here))
        };
        let steps = |own: &Option<Vec<StepDraft>>, other: &Option<Vec<StepDraft>>| {
            let mut taken = other.clone();
            for step in taken.iter_mut().flatten() {
                step.span = span.clone();
            }
            own.clone().or(taken)
        };
        let mut screws = other.screws.clone();
        for screw in screws.iter_mut().flatten() {
            screw.span = span.clone();
        }
        // Steps of the job's own are those of both parts, unless it says otherwise.
        let lid_steps = match self.steps {
            Some(_) => self.lid_steps.clone(),
            None => steps(&self.lid_steps, &other.lid_steps),
        };
        Self {
            name: other.name.clone(),
            width: length(&self.width, &other.width),
            setback: length(&self.setback, &other.setback),
            closed_gap: length(&self.closed_gap, &other.closed_gap),
            open_gap: self.open_gap.or(other.open_gap),
            steps: steps(&self.steps, &other.steps),
            lid_steps,
            screws: self.screws.clone().or(screws),
        }
    }

    /// The keys that it states besides its name.
    pub(super) fn keys(&self) -> Vec<&'static str> {
        let stated = [
            ("width", self.width.is_some()),
            ("setback", self.setback.is_some()),
            ("closed_gap", self.closed_gap.is_some()),
            ("open_gap", self.open_gap.is_some()),
            ("steps", self.steps.is_some()),
            ("lid_steps", self.lid_steps.is_some()),
            ("screws", self.screws.is_some()),
        ];
        let stated = stated.into_iter().filter(|(_, is_stated)| *is_stated);
        stated.map(|(key, _)| key).collect()
    }

    /// With the defaults filled in; nothing where a key is missing or a corner
    /// is rounder than its step, which goes to the sink.
    pub(super) fn complete(&self, sink: &Sink<'_>, units: Units) -> Option<HingeSpec> {
        let width = self.width.clone()?;
        let steps = |drafts: &Vec<StepDraft>| -> Option<Vec<StepSpec>> {
            let steps = drafts.iter().enumerate();
            steps
                .map(|(index, step)| step.complete(index, &width, sink, units))
                .collect()
        };
        let lid_steps = self.lid_steps.as_ref().map(steps);
        Some(HingeSpec {
            setback: self.setback.clone()?,
            closed_gap: self.closed_gap.clone()?,
            open_gap: self.open_gap,
            steps: steps(self.steps.as_ref()?)?,
            lid_steps: lid_steps.map_or(Some(None), |read| read.map(Some))?,
            screws: self.screws.clone().unwrap_or_default(),
            width,
        })
    }
}

impl StepDraft {
    fn complete(
        &self,
        index: usize,
        across: &At<Length>,
        sink: &Sink<'_>,
        units: Units,
    ) -> Option<StepSpec> {
        let width = self.width.unwrap_or(across.value);
        let most = self.length.min(width) / 2.0;
        let corner = self.corner.unwrap_or(most);
        if corner > most + Length::SAME {
            // A step's own width was held against its corner as it was read.
            let message = format!(
                "a width of {} leaves step {} no corners of radius {}, allowed is at most {}",
                text::short(width, units),
                index + 1,
                text::short(corner, units),
                text::short(most, units)
            );
            let diagnostic = Diagnostic::new("corner-too-round", message);
            sink.report(
                &across.span,
                diagnostic.help("give the step its own `width`"),
            );
            return None;
        }
        Some(StepSpec {
            length: self.length,
            width,
            corner: corner.min(most),
            shift: self.shift,
            depth: self.depth,
            span: self.span.clone(),
        })
    }
}

fn step(table: Table<'_>, across: Option<Length>) -> Option<StepDraft> {
    let span = table.span();
    let length = table.length("length");
    let depth = table.length("depth");
    let width = table.length("width").map(|width| width.value);
    let least_side = match (&length, width.or(across)) {
        (Some(length), Some(width)) => Some(length.value.min(width)),
        _ => None,
    };
    let corner = table.value("corner").and_then(|value| match least_side {
        Some(side) => value.length_within(Range::from_to(0.0, side.as_mm() / 2.0)),
        None => value.length(),
    });
    let shift = table.length_or_default("shift");
    table.close();
    Some(StepDraft {
        length: length?.value,
        width,
        corner: corner.map(|corner| corner.value),
        shift,
        depth: depth?.value,
        span,
    })
}

fn screw(table: Table<'_>) -> Option<ScrewSpec> {
    let span = table.span();
    let along = table.length("along");
    let across = table.length_or_default("across");
    let length = table.length("length");
    let gauge = table.value("gauge");
    let diameter = table.value("diameter");
    let size = match (gauge, diameter) {
        (Some(gauge), None) => gauge.whole().map(|gauge| {
            let gauge = gauge.value;
            (screw::major_diameter(gauge), screw::root_diameter(gauge))
        }),
        (None, Some(diameter)) => diameter
            .length()
            .map(|shank| (shank.value, screw::root_of_shank(shank.value))),
        (Some(_), Some(diameter)) => {
            diameter.refuse("allowed is either `gauge` or `diameter`");
            None
        }
        (None, None) => {
            table.report_missing("gauge");
            None
        }
    };
    table.close();
    let (diameter, root) = size?;
    Some(ScrewSpec {
        along: along?.value,
        across,
        diameter,
        root,
        length: length?.value,
        span,
    })
}
