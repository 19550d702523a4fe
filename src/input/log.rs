//! `[[entry]]`: what `stepwell fit` has entered. Only `fit` reads it; here it is
//! proved to be what `fit` writes.

use crate::input::limits::{COUNT, TEXT};
use crate::input::table::Table;

/// Reads the log of a job, a bits file or a drawer, where there is one.
pub(super) fn prove(root: &Table<'_>) {
    let entries = root.optional("entry").and_then(|value| value.list());
    for entry in entries.into_iter().flatten() {
        let Some(table) = entry.table() else {
            continue;
        };
        if let Some(value) = table.required("number") {
            value.whole(COUNT);
        }
        for key in ["open_end", "made_table", "made_list"] {
            if let Some(value) = table.optional(key) {
                value.boolean();
            }
        }
        if let Some(value) = table.optional("text") {
            value.number(TEXT);
        }
        for key in ["hinge", "wood"] {
            if let Some(value) = table.optional(key) {
                value.text();
            }
        }
        for key in ["reading", "found", "program", "bit", "key", "was", "now"] {
            if let Some(value) = table.required(key) {
                value.text();
            }
        }
        table.close();
    }
}
