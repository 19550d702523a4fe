//! `[hinge]`: the hinge as measured, its steps and screws.

use crate::diagnostic::Diagnostic;
use crate::input::limits::{
    GAP, HINGE_DEPTH, HINGE_LENGTH, HINGE_WIDTH, ON_HINGE, OPEN_GAP, Range, SCREW, SCREW_LENGTH,
    SETBACK,
};
use crate::input::source::{At, Span};
use crate::input::table::Table;
use crate::input::value::Value;
use crate::job::screw;
use crate::units::Length;

/// More steps or screws than any hinge has.
const MOST_STEPS: usize = 50;

/// `[hinge]`.
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

impl HingeSpec {
    pub(super) fn read(table: Table<'_>) -> Option<Self> {
        let width = table
            .required("width")
            .and_then(|value| value.length(HINGE_WIDTH));
        let setback = table
            .required("setback")
            .and_then(|value| value.length(SETBACK));
        let closed_gap = table
            .required("closed_gap")
            .and_then(|value| value.length(GAP));
        let open_gap = table
            .optional("open_gap")
            .and_then(|value| value.length(OPEN_GAP));
        let across = width.as_ref().map(|width| width.value);
        let box_steps = table
            .required("steps")
            .and_then(|value| steps(&value, across));
        let lid_steps = table
            .optional("lid_steps")
            .map(|value| steps(&value, across));
        let screws = table.optional("screws").map(|value| screws(&value));
        table.close();
        Some(Self {
            width: width?,
            setback: setback?,
            closed_gap: closed_gap?,
            open_gap: open_gap.map(|gap| gap.value),
            steps: box_steps?,
            lid_steps: lid_steps.map_or(Some(None), |read| read.map(Some))?,
            screws: screws.unwrap_or(Some(Vec::new()))?,
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

fn steps(value: &Value<'_>, across: Option<Length>) -> Option<Vec<StepSpec>> {
    tables(value, |table| step(table, across))
}

fn step(table: Table<'_>, across: Option<Length>) -> Option<StepSpec> {
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
    let width = width.map(|width| width.value).or(across);
    let least_side = match (&length, width) {
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
    Some(StepSpec {
        length: length?.value,
        width: width?,
        corner: corner.map_or(least_side? / 2.0, |corner| corner.value),
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
