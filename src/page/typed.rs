//! What a form sends, and the options that say the same.

use crate::produce::quoted;

/// Names and what is typed for them.
pub(super) type Typed = Vec<(String, String)>;

/// What is typed for a name, without the spaces around it; nothing where it is empty.
pub(super) fn of<'t>(typed: &'t Typed, name: &str) -> Option<&'t str> {
    let mut named = typed.iter().filter(|(key, _)| key == name);
    let (_, value) = named.next()?;
    Some(value.trim()).filter(|value| !value.is_empty())
}

/// The options of these names that something is typed for.
pub(super) fn options(typed: &Typed, names: &[&str]) -> String {
    let said = names.iter().filter_map(|name| {
        let value = of(typed, name)?;
        Some(format!(" --{name} {}", quoted(value)))
    });
    said.collect()
}
