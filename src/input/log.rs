//! `[[entry]]`: what `stepwell fit` has entered. Only `fit` reads it; here it is
//! proved to be what `fit` writes.

use crate::input::table::Table;

/// Reads the log of a job, a bits file or a drawer, where there is one.
pub(super) fn prove(root: &Table<'_>) {
    let entries = root.value("entry").and_then(|value| value.list());
    for entry in entries.into_iter().flatten() {
        let Some(table) = entry.table() else {
            continue;
        };
        table.whole("number");
        table.number("text");
        for key in ["open_end", "made_table", "made_list"] {
            table.switch(key);
        }
        for key in [
            "reading", "found", "program", "bit", "key", "was", "now", "hinge", "wood",
        ] {
            if let Some(value) = table.value(key) {
                value.text();
            }
        }
        table.close();
    }
}
