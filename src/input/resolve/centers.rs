//! Hinge centres along the box, from its stop end.

use crate::diagnostic::Diagnostic;
use crate::input::job::Written;
use crate::input::limits::Range;
use crate::input::placement::PlacementSpec;
use crate::input::source::{At, Sink, Span};
use crate::units::{Length, text};

/// First and last centre from the box's ends, as a share of its length, where
/// the job states none.
const DEFAULT_INSET: f64 = 1.0 / 5.0;

pub(super) fn resolve(spec: &Written, sink: &Sink<'_>) -> Option<Vec<Length>> {
    let length = spec.parts.body.length.value;
    match &spec.parts.placement {
        PlacementSpec::Centres(centres) => {
            Some(centres.iter().map(|centre| centre.value).collect())
        }
        PlacementSpec::Count { count: 1, .. } => Some(vec![length / 2.0]),
        PlacementSpec::Count { count, inset, .. } => {
            let inset_value = self::inset(spec)?;
            if let Some(inset) = inset.as_ref().filter(|inset| inset.value >= length / 2.0) {
                report_too_great(spec, sink, inset);
                return None;
            }
            Some(spread(*count, inset_value, length))
        }
    }
}

/// First and last hinge centre from the box's ends, where that is what places them.
pub(super) fn inset(spec: &Written) -> Option<Length> {
    match &spec.parts.placement {
        PlacementSpec::Centres(_) | PlacementSpec::Count { count: 1, .. } => None,
        PlacementSpec::Count { inset, .. } => {
            let default = spec.parts.body.length.value * DEFAULT_INSET;
            Some(inset.as_ref().map_or(default, |inset| inset.value))
        }
    }
}

/// The centre of hinge `index`, from 0, as it is written, or the box's middle.
pub(super) fn written(spec: &Written, index: usize) -> Length {
    let middle = spec.parts.body.length.value / 2.0;
    match &spec.parts.placement {
        PlacementSpec::Centres(centres) => centres.get(index).map_or(middle, |centre| centre.value),
        PlacementSpec::Count { .. } => middle,
    }
}

fn spread(count: usize, inset: Length, length: Length) -> Vec<Length> {
    let spacing = (length - inset * 2.0) / (count.saturating_sub(1).max(1) as f64);
    (0..count)
        .map(|index| inset + spacing * index as f64)
        .collect()
}

fn report_too_great(spec: &Written, sink: &Sink<'_>, inset: &At<Length>) {
    let message = format!(
        "`placement.inset` is {}, allowed is less than half the box's length, {}",
        text::short(inset.value, spec.units),
        text::short(spec.parts.body.length.value / 2.0, spec.units)
    );
    let diagnostic = Diagnostic::new("out-of-range", message);
    let fits = Range::from_to(0.0, spec.parts.body.length.value.as_mm() / 2.0);
    let written = sink.source.quote(&inset.span);
    let written_in = match written.trim_matches(['"', '\'']) {
        text if text == written => spec.units,
        text => text::unit_of(text),
    };
    sink.report(
        &inset.span,
        match fits.other_unit(inset.value, written_in) {
            Some(help) => diagnostic.help(help),
            None => {
                diagnostic.help("it is the first and the last hinge centre from the box's ends")
            }
        },
    );
}

/// Where the centre of hinge `index`, from 0, is written.
pub(super) fn place(spec: &Written, index: usize) -> Span {
    match &spec.parts.placement {
        PlacementSpec::Centres(centres) => centres
            .get(index)
            .map_or(0..0, |centre| centre.span.clone()),
        PlacementSpec::Count { inset, span, .. } => {
            inset.as_ref().map_or(span, |inset| &inset.span).clone()
        }
    }
}
