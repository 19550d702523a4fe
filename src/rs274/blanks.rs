//! Blanks, which mean nothing anywhere in a line.

/// What follows the blanks.
#[inline]
pub(super) fn spaces(input: &[u8]) -> &[u8] {
    match input {
        [b'!'..=u8::MAX, ..] => input,
        _ => many_spaces(input),
    }
}

#[inline]
fn many_spaces(mut input: &[u8]) -> &[u8] {
    while let [b' ' | b'\t', rest @ ..] = input {
        input = rest;
    }
    input
}
