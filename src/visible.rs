//! What a screen would act on, from a title, a file name or a program, made
//! visible: control characters, and those that turn the direction of writing.

use std::borrow::Cow;

/// Each as an escape: `\u{1b}`. Line ends and tabs stay.
pub(crate) fn escaped(text: &str) -> Cow<'_, str> {
    replaced(text, |character| character.escape_unicode().to_string())
}

/// The same in text that is JSON, where the escape means the character itself.
pub(crate) fn escaped_json(text: &str) -> Cow<'_, str> {
    replaced(text, |character| format!("\\u{:04x}", u32::from(character)))
}

/// Each by one visible character, so that columns stay.
#[cfg(any(test, feature = "cli"))]
pub(crate) fn veiled(text: &str) -> Cow<'_, str> {
    replaced(text, |character| {
        let picture = match u32::from(character) {
            low @ 0..=0x1f => char::from_u32(0x2400 + low),
            0x7f => Some('\u{2421}'),
            _ => None,
        };
        picture.unwrap_or(char::REPLACEMENT_CHARACTER).to_string()
    })
}

/// Whether it is plain text on one line: nothing that a screen or a shell acts on.
#[cfg(any(test, feature = "cli", feature = "page"))]
pub(crate) fn is_plain_line(text: &str) -> bool {
    let breaks = |character| matches!(character, '\n' | '\t' | '\u{2028}' | '\u{2029}');
    !text.contains(|character| is_acted_on(character) || breaks(character))
}

/// The beginning of what may have any length, to be named in a message.
#[cfg(any(test, feature = "cli", feature = "page"))]
pub(crate) fn short(text: &str) -> Cow<'_, str> {
    const LETTERS: usize = 60;
    match text.char_indices().nth(LETTERS) {
        Some((end, _)) => Cow::Owned(format!("{}…", &text[..end])),
        None => Cow::Borrowed(text),
    }
}

fn replaced(text: &str, shown: impl Fn(char) -> String) -> Cow<'_, str> {
    if !text.contains(is_acted_on) {
        return Cow::Borrowed(text);
    }
    let mut plain = String::with_capacity(text.len());
    for character in text.chars() {
        if is_acted_on(character) {
            plain.push_str(&shown(character));
        } else {
            plain.push(character);
        }
    }
    Cow::Owned(plain)
}

fn is_acted_on(character: char) -> bool {
    let turns = matches!(
        character,
        '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
    );
    turns || (character.is_control() && character != '\n' && character != '\t')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_screen_acts_on_is_shown() {
        let title = "box\u{1b}]0;mine\u{7}\r\u{9b}2J\u{202e}\n\tend";
        assert_eq!(
            escaped(title),
            "box\\u{1b}]0;mine\\u{7}\\u{d}\\u{9b}2J\\u{202e}\n\tend"
        );
        assert_eq!(
            veiled(title),
            "box\u{241b}]0;mine\u{2407}\u{240d}\u{fffd}2J\u{fffd}\n\tend"
        );
        assert_eq!(escaped_json("a\u{7f}b"), "a\\u007fb");
        assert!(matches!(escaped("3 × 5 ″ ≤ 4"), Cow::Borrowed(_)));
        assert!(is_plain_line("3 × 5 ″ ≤ 4"));
        for broken in ["a\nb", "a\tb", "\u{7}", "\u{202e}x", "a\u{2028}b"] {
            assert!(!is_plain_line(broken), "{broken:?}");
        }
    }

    #[test]
    fn what_is_long_is_cut_short() {
        assert_eq!(short("hinge.width"), "hinge.width");
        assert_eq!(short(&"″".repeat(61)), format!("{}…", "″".repeat(60)));
    }
}
