//! Brackets that are never closed.

use super::{before_comment, outside_quotes};
use crate::diagnostic::Diagnostic;
use crate::input::source::Span;

/// A bracket without its partner.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Unclosed {
    pub(super) bracket: Span,
    /// The key and its value, up to where the next table or key starts.
    pub(super) statement: Span,
    open: char,
    key: String,
}

impl Unclosed {
    pub(super) fn diagnostic(&self) -> Diagnostic {
        let Self { open, key, .. } = self;
        let close = closing(*open);
        let message = format!("the `{open}` of `{key}` is never closed");
        let help = format!("write `{close}` where it ends");
        Diagnostic::new("toml-syntax", message).help(help)
    }
}

fn closing(open: char) -> char {
    if open == '[' { ']' } else { '}' }
}

/// What a line is, where no bracket is open.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Line {
    Header,
    KeyAndValue,
    Other,
}

fn kind(line: &str) -> Line {
    let line = line[..before_comment(line)].trim();
    let word = |text: &str| {
        let text = text.trim();
        let plain = |character: char| character.is_alphanumeric() || "_-.".contains(character);
        text.starts_with(|first: char| first.is_alphabetic() || first == '_')
            && text.chars().all(plain)
    };
    let inside = |open: &str, close: &str| line.strip_prefix(open)?.strip_suffix(close);
    if inside("[[", "]]")
        .or_else(|| inside("[", "]"))
        .is_some_and(word)
    {
        Line::Header
    } else if line.split_once('=').is_some_and(|(key, _)| word(key)) {
        Line::KeyAndValue
    } else {
        Line::Other
    }
}

/// All brackets of values that have no partner, in the order of the text.
pub(super) fn unclosed(text: &str) -> Vec<Unclosed> {
    let mut scan = Scan::default();
    let mut start = 0;
    let mut lines = text.split_inclusive('\n');
    while let Some(line) = lines.next() {
        // A text in three quotation marks may hold anything.
        if let Some(quotes) = long_text(line) {
            start += line.len();
            for line in lines.by_ref() {
                start += line.len();
                if line.contains(quotes) {
                    break;
                }
            }
            continue;
        }
        scan.line(text, start, line);
        start += line.len();
    }
    scan.end(start);
    scan.found
}

/// The three quotation marks that a line opens and does not close.
fn long_text(line: &str) -> Option<&'static str> {
    ["\"\"\"", "'''"]
        .into_iter()
        .find(|quotes| line.matches(quotes).count() == 1)
}

#[derive(Default)]
struct Scan {
    found: Vec<Unclosed>,
    /// Brackets open now, with their places.
    open: Vec<(char, usize)>,
    key: String,
    statement: usize,
    /// A bracket of the statement has no partner.
    faults: Vec<(char, usize)>,
}

impl Scan {
    fn line(&mut self, text: &str, start: usize, line: &str) {
        let kind = kind(line);
        let resumes = match (kind, self.open.last()) {
            (_, None) => false,
            (Line::Header, Some(_)) => true,
            // In braces a key may stand on a line of its own.
            (Line::KeyAndValue, Some((innermost, _))) => *innermost == '[',
            (Line::Other, Some(_)) => false,
        };
        if resumes {
            self.end(start);
        }
        if self.open.is_empty() {
            if kind != Line::KeyAndValue {
                return;
            }
            self.statement = start;
            let key = text[start..].split('=').next().unwrap_or_default();
            self.key = key.trim().to_owned();
        }
        self.brackets(start, &line[..before_comment(line)]);
        if self.open.is_empty() {
            self.close_statement(start + line.len());
        }
    }

    fn brackets(&mut self, start: usize, line: &str) {
        for (at, character) in outside_quotes(line) {
            match character {
                '[' | '{' => self.open.push((character, start + at)),
                ']' | '}' => self.close(character),
                _ => {}
            }
        }
    }

    /// Closes the innermost bracket that fits; those inside it have no partner.
    fn close(&mut self, character: char) {
        let Some(at) = self
            .open
            .iter()
            .rposition(|(open, _)| closing(*open) == character)
        else {
            return;
        };
        self.faults.extend(self.open.drain(at + 1..));
        self.open.pop();
    }

    /// The statement is over, whatever is still open.
    fn end(&mut self, at: usize) {
        let outermost = self.open.first().copied();
        self.open.clear();
        self.faults.extend(outermost);
        self.close_statement(at);
    }

    fn close_statement(&mut self, end: usize) {
        for (open, at) in self.faults.drain(..) {
            self.found.push(Unclosed {
                bracket: at..at + 1,
                statement: self.statement..end,
                open,
                key: self.key.clone(),
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, wanted: &[(char, &str)]) {
        let found = unclosed(text);
        let seen: Vec<(char, &str)> = found
            .iter()
            .map(|fault| (fault.open, &text[fault.statement.clone()]))
            .collect();
        assert_eq!(seen, wanted);
    }

    #[test]
    fn what_is_closed_is_left_alone() {
        check(
            "[box]\na = [1, [2, 3], { b = 4 }]\n[[bit]]\nc = '[' # {\n",
            &[],
        );
        check(
            "a = [\n  [1, 2],\n  { b = 3,\n    c = 4 },\n]\nd = 5\n",
            &[],
        );
        check("a = \"\"\"\n[ {\n\"\"\"\nb = \"\\\"[\"\n", &[]);
    }

    #[test]
    fn the_next_table_or_key_ends_a_list_that_was_left_open() {
        check("a = [\n  1,\n[box]\nb = 2\n", &[('[', "a = [\n  1,\n")]);
        check("a = [1,\nb = 2\n", &[('[', "a = [1,\n")]);
        check("a = { b = 1\n[box]\n", &[('{', "a = { b = 1\n")]);
        check("a = [\n", &[('[', "a = [\n")]);
    }

    #[test]
    fn a_brace_left_open_inside_a_list_is_named_itself() {
        check(
            "a = [\n  { b = 1 },\n  { b = 2,\n]\nc = 3\n",
            &[('{', "a = [\n  { b = 1 },\n  { b = 2,\n]\n")],
        );
    }
}
