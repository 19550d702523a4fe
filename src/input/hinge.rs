//! `[hinge]` of a job and of the drawer: the hinge as measured, its steps and screws.

use crate::diagnostic::Diagnostic;
use crate::input::limits::{
    GAP, HINGE_DEPTH, HINGE_LENGTH, HINGE_WIDTH, ON_HINGE, OPEN_GAP, Range, SCREW, SCREW_LENGTH,
    SETBACK,
};
use crate::input::source::{At, Sink, Span};
use crate::input::table::Table;
use crate::input::value::Value;
use crate::job::screw;
use crate::units::{Length, Units, text};

/// More steps or screws than any hinge has.
const MOST_STEPS: usize = 50;

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
    pub(super) fn read(table: Table<'_>) -> Option<Self> {
        let name = table.optional("name");
        let required: Key<'_> = match name {
            Some(_) => Table::optional,
            None => Table::required,
        };
        let draft = Self::of(&table, name, required);
        table.close();
        draft
    }

    /// Reads a hinge of the drawer, which says everything itself. What else
    /// the drawer holds of it is still to be read from the table.
    pub(super) fn of_drawer(table: &Table<'_>) -> Option<Self> {
        Self::of(table, table.required("name"), Table::required)
    }

    fn of<'s>(table: &Table<'s>, name: Option<Value<'s>>, required: Key<'s>) -> Option<Self> {
        let name = name.and_then(|name| name.string());
        let length =
            |key, limits: Range| required(table, key).map(|value: Value<'_>| value.length(limits));
        let width = length("width", HINGE_WIDTH);
        let setback = length("setback", SETBACK);
        let closed_gap = length("closed_gap", GAP);
        let open_gap = table.optional("open_gap");
        let open_gap = open_gap.map(|value| value.length(OPEN_GAP));
        let across = width.as_ref().and_then(Option::as_ref);
        let across = across.map(|width| width.value);
        let box_steps = required(table, "steps").map(|value| steps(&value, across));
        let lid_steps = table.optional("lid_steps");
        let lid_steps = lid_steps.map(|value| steps(&value, across));
        let screws = table.optional("screws").map(|value| screws(&value));
        // What could not be read has been reported.
        Some(Self {
            name,
            width: width.flatten(),
            setback: setback.flatten(),
            closed_gap: closed_gap.flatten(),
            open_gap: open_gap.flatten().map(|gap| gap.value),
            steps: box_steps.flatten(),
            lid_steps: lid_steps.flatten(),
            screws: screws.flatten(),
        })
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

/// How a key is asked for that a hinge needs.
type Key<'s> = fn(&Table<'s>, &'static str) -> Option<Value<'s>>;

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

/// Reads `read` from each table of a list of 1 to [`MOST_STEPS`].
fn tables<T>(value: &Value<'_>, read: impl Fn(Table<'_>) -> Option<T>) -> Option<Vec<T>> {
    let list = value.list()?;
    if list.is_empty() || list.len() > MOST_STEPS {
        let message = format!(
            "`{}` has {} entries, allowed is from 1 to {MOST_STEPS}",
            value.path,
            list.len()
        );
        value.report(Diagnostic::new("wrong-count", message));
        return None;
    }
    let all: Vec<Option<T>> = list
        .iter()
        .map(|item| item.table().and_then(&read))
        .collect();
    all.into_iter().collect()
}

fn steps(value: &Value<'_>, across: Option<Length>) -> Option<Vec<StepDraft>> {
    tables(value, |table| step(table, across))
}

fn step(table: Table<'_>, across: Option<Length>) -> Option<StepDraft> {
    let span = table.span();
    let length = table
        .required("length")
        .and_then(|value| value.length(HINGE_LENGTH));
    let depth = table
        .required("depth")
        .and_then(|value| value.length(HINGE_DEPTH));
    let width = table
        .optional("width")
        .and_then(|value| value.length(HINGE_WIDTH));
    let width = width.map(|width| width.value);
    let least_side = match (&length, width.or(across)) {
        (Some(length), Some(width)) => Some(length.value.min(width)),
        _ => None,
    };
    let corner = table.optional("corner").and_then(|value| {
        let most = least_side.map_or(SETBACK, |side| Range::from_to(0.0, side.as_mm() / 2.0));
        value.length(most)
    });
    let shift = table
        .optional("shift")
        .and_then(|value| value.length(ON_HINGE));
    table.close();
    Some(StepDraft {
        length: length?.value,
        width,
        corner: corner.map(|corner| corner.value),
        shift: shift.map(|shift| shift.value).unwrap_or_default(),
        depth: depth?.value,
        span,
    })
}

fn screws(value: &Value<'_>) -> Option<Vec<ScrewSpec>> {
    tables(value, screw)
}

fn screw(table: Table<'_>) -> Option<ScrewSpec> {
    let span = table.span();
    let along = table
        .required("along")
        .and_then(|value| value.length(ON_HINGE));
    let across = table
        .optional("across")
        .and_then(|value| value.length(ON_HINGE));
    let length = table
        .required("length")
        .and_then(|value| value.length(SCREW_LENGTH));
    let gauge = table.optional("gauge");
    let diameter = table.optional("diameter");
    let size = match (gauge, diameter) {
        (Some(gauge), None) => gauge
            .whole(Range::from_to(0.0, f64::from(screw::LARGEST_GAUGE)))
            .map(|gauge| {
                let gauge = gauge.value;
                (screw::major_diameter(gauge), screw::root_diameter(gauge))
            }),
        (None, Some(diameter)) => diameter
            .length(SCREW)
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
        across: across.map(|across| across.value).unwrap_or_default(),
        diameter,
        root,
        length: length?.value,
        span,
    })
}
