//! Lists of values: one more at the end, one less, each comment with the value
//! that it stands behind.

use toml_edit::{Array, Decor, RawString, Value};

/// Blanks and comments before and after a value.
pub(super) fn around(value: &Value) -> (String, String) {
    let text = |raw: Option<&RawString>| {
        let text = raw.and_then(RawString::as_str);
        text.unwrap_or_default().to_owned()
    };
    (text(value.decor().prefix()), text(value.decor().suffix()))
}

/// Splits what follows a value into the comment on its line and the rest.
fn own_line(text: &str) -> (&str, &str) {
    match text.find('\n') {
        Some(end) => text.split_at(end),
        None => ("", text),
    }
}

/// The blanks before a value, without the comment of the value before it.
fn gap(before: &str) -> &str {
    match before.rfind('\n') {
        _ if before.is_empty() => " ",
        Some(end) if before.contains('#') => &before[end..],
        _ => before,
    }
}

/// Adds a value at the end, laid out as the last one.
pub(crate) fn append(list: &mut Array, mut new: Value) {
    let trailing = list.trailing().as_str().unwrap_or_default().to_owned();
    let has_comma = list.trailing_comma();
    match list.iter_mut().last() {
        None => *new.decor_mut() = Decor::new("", ""),
        Some(last) => {
            let (before, after) = around(last);
            let (comment, rest) = own_line(if has_comma { &trailing } else { &after });
            let prefix = format!("{comment}{}", gap(&before));
            if has_comma {
                *new.decor_mut() = Decor::new(prefix, "");
                list.set_trailing(rest);
            } else {
                *new.decor_mut() = Decor::new(prefix, rest);
                last.decor_mut().set_suffix("");
            }
        }
    }
    list.push_formatted(new);
}

/// Takes a value out, and the comment behind it; the way back of [`append`].
pub(crate) fn take_out(list: &mut Array, index: usize) {
    let removed = list.remove(index);
    let (prefix, suffix) = around(&removed);
    let trailing = list.trailing().as_str().unwrap_or_default().to_owned();
    let has_comma = list.trailing_comma();
    if let Some(next) = list.get_mut(index) {
        // What stands before a value behind a comma is the comment of the one before.
        next.decor_mut().set_prefix(prefix);
        return;
    }
    let Some(last) = list.iter_mut().last() else {
        list.set_trailing(format!("{suffix}{trailing}"));
        return;
    };
    let (_, after) = around(last);
    let comment = prefix.strip_suffix(gap(&prefix)).unwrap_or_default();
    if has_comma {
        list.set_trailing(format!("{comment}{}", own_line(&trailing).1));
    } else {
        last.decor_mut()
            .set_suffix(format!("{after}{comment}{}", own_line(&suffix).1));
    }
}
