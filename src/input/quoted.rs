//! What a file says, as messages quote it.

/// Longest quotation of a file in a message, in characters.
const LONGEST_QUOTE: usize = 40;

/// `raw` on one line and not too long.
pub(crate) fn shortened(raw: &str) -> String {
    let mut characters = raw.chars().map(|character| match character {
        '\n' | '\r' | '\t' => ' ',
        other => other,
    });
    let mut text: String = characters.by_ref().take(LONGEST_QUOTE).collect();
    if characters.next().is_some() {
        text.push('…');
    }
    text
}

/// A quotation in backticks.
pub(crate) fn quoted(text: &str) -> String {
    format!("`{}`", shortened(text))
}
