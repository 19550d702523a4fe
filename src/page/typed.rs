//! What a form sends, and a command as a shell takes it.

/// Names and what is typed for them.
pub(super) type Typed = Vec<(String, String)>;

/// What is typed for a name, without the spaces around it; nothing where it is empty.
pub(super) fn of<'t>(typed: &'t Typed, name: &str) -> Option<&'t str> {
    let mut named = typed.iter().filter(|(key, _)| key == name);
    let (_, value) = named.next()?;
    Some(value.trim()).filter(|value| !value.is_empty())
}

/// As a shell wants it.
pub(super) fn quoted(word: &str) -> String {
    let is_plain = |letter: char| letter.is_ascii_alphanumeric() || "./_-".contains(letter);
    if !word.is_empty() && word.chars().all(is_plain) {
        return word.to_owned();
    }
    format!("'{}'", word.replace('\'', "'\\''"))
}

/// The options of these names that something is typed for.
pub(super) fn options(typed: &Typed, names: &[&str]) -> String {
    let said = names.iter().filter_map(|name| {
        let value = of(typed, name)?;
        Some(format!(" --{name} {}", quoted(value)))
    });
    said.collect()
}
