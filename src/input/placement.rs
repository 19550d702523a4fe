//! `[placement]`: where the hinges sit along the box.

use crate::diagnostic::Diagnostic;
use crate::input::source::{At, Span};
use crate::input::table::Table;
use crate::input::value::Value;
use crate::units::Length;

/// `[placement]`, one of its two forms.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum PlacementSpec {
    /// So many hinges, evenly spaced.
    Count {
        count: usize,
        /// First and last centre from the box's ends.
        inset: Option<At<Length>>,
        span: Span,
    },
    /// Each centre from the stop end.
    Centres(Vec<At<Length>>),
}

impl PlacementSpec {
    pub(super) fn read(table: Table<'_>) -> Option<Self> {
        let count = table.value("count");
        let inset = table.value("inset");
        let centres = table.value("centres");
        let read = match (count, centres) {
            (Some(count), None) => counted(&count, inset),
            (None, Some(list)) => {
                if let Some(inset) = inset {
                    inset.refuse("`centres` already say where each hinge sits");
                }
                centred(&list)
            }
            (Some(count), Some(_)) => {
                count.refuse("allowed is either `count` or `centres`");
                None
            }
            (None, None) => {
                let missing = Diagnostic::new("missing-key", "`placement.count` is missing")
                    .help("it is the number of hinges: say `count = 2` with `inset`, first and last hinge centre from the box's ends by tape, or list each centre from the stop end as `centres`");
                table.report(missing);
                None
            }
        };
        table.close();
        read
    }
}

fn counted(count: &Value<'_>, inset: Option<Value<'_>>) -> Option<PlacementSpec> {
    let inset = inset.map(|value| value.length());
    let count = count.whole()?;
    Some(PlacementSpec::Count {
        count: usize::try_from(count.value).ok()?,
        inset: inset.map_or(Some(None), |read| read.map(Some))?,
        span: count.span,
    })
}

fn centred(list: &Value<'_>) -> Option<PlacementSpec> {
    let values = list.list()?;
    let all: Vec<Option<At<Length>>> = values.iter().map(Value::length).collect();
    let all: Option<Vec<At<Length>>> = all.into_iter().collect();
    all.map(PlacementSpec::Centres)
}
