//! What the writer of a line that is no TOML meant, guessed from the line.

use super::{before_comment, outside_quotes};
use crate::diagnostic::Diagnostic;
use crate::input::quoted::quoted;
use crate::input::source::Span;
use crate::units::text;

/// Marks that word processors and phones put in place of `"` and `'`.
const CURLY: &str = "“”„‟«»‘’‚‛＂＇`´";

/// Longest line that is shown as it should read, in bytes.
const LONGEST: usize = 200;

/// A mistake on a line.
pub(super) struct Slip {
    pub(super) span: Span,
    pub(super) diagnostic: Diagnostic,
    /// The key whose value is broken; nothing where more than a value is.
    pub(super) key: Option<String>,
}

/// A stretch of the line, as found.
struct Fragment<'t> {
    start: usize,
    text: &'t str,
}

impl<'t> Fragment<'t> {
    fn trimmed(start: usize, text: &'t str) -> Self {
        Self {
            start: start + (text.len() - text.trim_start().len()),
            text: text.trim(),
        }
    }

    fn span(&self) -> Span {
        self.start..self.start + self.text.len()
    }
}

/// What is wrong with `line` of `text`, where the parser stumbled `at` it and
/// said `words`.
pub(super) fn find(text: &str, line: &Span, at: &Span, words: &str) -> Slip {
    let whole = text.get(line.clone()).unwrap_or_default();
    let whole = Fragment::trimmed(line.start, &whole[..before_comment(whole)]);
    if words.starts_with("carriage return") {
        let message = "a line ends with a carriage return alone";
        let help = "save the file with line ends of Unix (LF) or Windows (CRLF)";
        return Slip {
            span: at.clone(),
            diagnostic: diagnostic(message.to_owned(), Some(help.to_owned())),
            key: None,
        };
    }
    if let Some(slip) = curly(&whole).or_else(|| odd_space(&whole)) {
        return slip;
    }
    let near = around(&whole, at.start);
    let Some((key, value)) = near.text.split_once('=') else {
        return without_equals(&near, at, words);
    };
    let value = Fragment::trimmed(near.start + key.len() + 1, value);
    let key = key.trim();
    let (message, help) = match value_words(key, value.text) {
        Some((message, help)) => (message, Some(help)),
        None => (format!("`{key}`: {}", words.replace('\n', ", ")), None),
    };
    let span = if value.text.is_empty() {
        near.span()
    } else {
        value.span()
    };
    Slip {
        span,
        diagnostic: diagnostic(message, help),
        key: Some(key.to_owned()),
    }
}

fn diagnostic(message: String, help: Option<String>) -> Diagnostic {
    let diagnostic = Diagnostic::new("toml-syntax", message);
    match help {
        Some(help) => diagnostic.help(help),
        None => diagnostic,
    }
}

/// A line as it should read.
fn write(line: &str) -> String {
    if line.len() > LONGEST {
        "write it as in the other lines, with straight quotation marks".to_owned()
    } else {
        format!("write `{line}`")
    }
}

/// A space that is none for TOML, as web pages and word processors have them.
fn odd_space(line: &Fragment<'_>) -> Option<Slip> {
    let odd = |character: char| {
        (character.is_whitespace() && !character.is_ascii())
            || "\u{200b}\u{200c}\u{200d}\u{2060}\u{feff}".contains(character)
    };
    let (at, space) = outside_quotes(line.text).find(|(_, character)| odd(*character))?;
    let plain = line.text.replace(odd, " ");
    let message = "the line has a space in it that is no ordinary one".to_owned();
    Some(Slip {
        span: line.start + at..line.start + at + space.len_utf8(),
        diagnostic: diagnostic(message, Some(write(&plain))),
        key: plain.split_once('=').map(|(key, _)| key.trim().to_owned()),
    })
}

/// Curly quotation marks outside straight ones.
fn curly(line: &Fragment<'_>) -> Option<Slip> {
    let mut marks = outside_quotes(line.text).filter(|(_, character)| CURLY.contains(*character));
    let (first, mark) = marks.next()?;
    let (last, end) = marks.last().unwrap_or((first, mark));
    let plain: String = line
        .text
        .chars()
        .map(|character| {
            if CURLY.contains(character) {
                '"'
            } else {
                character
            }
        })
        .collect();
    let key = plain.split_once('=').map(|(key, _)| key.trim().to_owned());
    let message = format!("`{mark}` is a typographic quotation mark, wanted is a straight one");
    Some(Slip {
        span: line.start + first..line.start + last + end.len_utf8(),
        diagnostic: diagnostic(message, Some(write(&plain))),
        key: key.filter(|key| !key.contains('"')),
    })
}

/// The key and value that `at` stands in: the whole line, or one entry of the
/// tables and lists in braces on it.
fn around<'t>(line: &Fragment<'t>, at: usize) -> Fragment<'t> {
    let text = line.text;
    let bytes = text.as_bytes();
    let at = at.saturating_sub(line.start).min(text.len());
    let digit = |index: usize| bytes.get(index).is_some_and(u8::is_ascii_digit);
    // A comma between digits is a decimal comma: a list has a space there.
    let parts = |index: usize| match bytes[index] {
        b'{' | b'}' | b'[' | b']' => true,
        b',' => !(index > 0 && digit(index - 1) && digit(index + 1)),
        _ => false,
    };
    if text.starts_with('[') || !text.contains('{') {
        return Fragment::trimmed(line.start, text);
    }
    let cuts: Vec<usize> = (0..text.len()).filter(|&index| parts(index)).collect();
    let from = cuts.iter().rev().find(|&&cut| cut < at);
    let to = cuts.iter().find(|&&cut| cut >= at);
    let (from, to) = (
        from.map_or(0, |cut| cut + 1),
        to.map_or(text.len(), |cut| *cut),
    );
    Fragment::trimmed(line.start + from, &text[from.min(to)..to])
}

/// A line, or an entry in braces, that has no `=`.
fn without_equals(near: &Fragment<'_>, at: &Span, words: &str) -> Slip {
    let text = near.text;
    let name = |text: &str| {
        let plain = |character: char| character.is_alphanumeric() || "_-.".contains(character);
        !text.is_empty() && text.chars().all(plain)
    };
    let bare = text.trim_matches(|character| "[]: ".contains(character));
    let split = text.split_once([':', ' ']).filter(|(key, _)| name(key));
    let (message, help) = if text.starts_with('[') || (text.ends_with([']', ':']) && name(bare)) {
        let brackets = if text.contains("[[") || text.contains("]]") {
            format!("[[{bare}]]")
        } else {
            format!("[{bare}]")
        };
        (
            format!("{} is no table's name", quoted(text)),
            Some(format!(
                "a table's name stands in brackets: write `{brackets}`"
            )),
        )
    } else if let Some((key, value)) = split {
        let value = value.trim_start_matches([':', ' ']);
        (
            format!("there is no `=` between {} and its value", quoted(key)),
            Some(write(&format!("{key} = {value}"))),
        )
    } else if name(text) {
        (
            format!("{} has no value", quoted(text)),
            Some(format!(
                "write `{text} = …`, or start the line with # where it is a comment"
            )),
        )
    } else {
        (words.replace('\n', ", "), None)
    };
    Slip {
        span: if help.is_some() {
            near.span()
        } else {
            at.clone()
        },
        diagnostic: diagnostic(message, help),
        key: None,
    }
}

/// A key and the value that is no TOML.
#[derive(Clone, Copy)]
struct Broken<'t> {
    key: &'t str,
    value: &'t str,
}

/// What is said of a value, and what to do about it.
type Said = (String, String);

/// What is wrong with a value, the likeliest slips first.
const RECOGNISERS: [fn(Broken<'_>) -> Option<Said>; 11] = [
    |broken| broken.nothing(),
    |broken| broken.slashes(),
    |broken| broken.semicolon(),
    |broken| broken.backslash(),
    |broken| broken.commas(),
    |broken| broken.number(),
    |broken| broken.share(),
    |broken| broken.length(),
    |broken| broken.half_quoted(),
    |broken| broken.yes_or_no(),
    |broken| broken.bare_text(),
];

/// What is wrong with a value, and how it is written.
fn value_words(key: &str, value: &str) -> Option<Said> {
    let broken = Broken { key, value };
    RECOGNISERS.iter().find_map(|recognise| recognise(broken))
}

impl<'t> Broken<'t> {
    fn write(self, value: &str) -> String {
        write(&format!("{} = {value}", self.key))
    }

    /// The value without quotation marks about it.
    fn bare(self) -> &'t str {
        self.value.trim_matches(['"', '\''])
    }

    fn nothing(self) -> Option<Said> {
        let key = self.key;
        let help = format!("write it after the `=`, or delete `{key}` where it may be left out");
        self.value
            .is_empty()
            .then(|| (format!("`{key}` has no value"), help))
    }

    fn slashes(self) -> Option<Said> {
        let (before, _) = self.value.split_once("//")?;
        let help = self.write(&format!("{} # …", before.trim()));
        Some(("a comment starts with `#`, not with `//`".to_owned(), help))
    }

    fn semicolon(self) -> Option<Said> {
        let before = self.value.strip_suffix(';')?;
        Some((
            "a line does not end with `;`".to_owned(),
            self.write(before.trim()),
        ))
    }

    fn backslash(self) -> Option<Said> {
        let is_path = self.value.starts_with('"') && self.value.contains('\\');
        let message = format!("`{}`: `\\` has a meaning of its own in text", self.key);
        is_path.then(|| (message, self.write(&self.value.replace('\\', "/"))))
    }

    fn commas(self) -> Option<Said> {
        let list = self.value.starts_with('[').then(|| with_commas(self.value));
        let message = format!(
            "`{}`: there is no comma between the values of {}",
            self.key,
            quoted(self.value)
        );
        Some((message, self.write(&list??)))
    }

    fn number(self) -> Option<Said> {
        let number = plain_number(self.bare())?;
        Some((self.is_not("how a number is written"), self.write(&number)))
    }

    fn share(self) -> Option<Said> {
        let percent = self.bare().strip_suffix('%')?;
        let number: f64 = plain_number(percent.trim())?.parse().ok()?;
        let share = text::trimmed(number / 100.0);
        Some((self.is_not("how a share is written"), self.write(&share)))
    }

    fn length(self) -> Option<Said> {
        let length = text::suggestion(self.bare())?;
        let message = format!(
            "`{}`: {} wants quotation marks about it",
            self.key,
            quoted(self.value)
        );
        Some((message, self.write(&format!("\"{length}\""))))
    }

    fn half_quoted(self) -> Option<Said> {
        let quote = |end: Option<char>| end.filter(|end| ['"', '\''].contains(end));
        let mut characters = self.value.chars();
        let first = quote(characters.next());
        let last = quote(self.value.chars().next_back());
        let is_half = first != last || (first.is_some() && self.value.len() == 1);
        let message = format!(
            "`{}`: {} lacks a quotation mark",
            self.key,
            quoted(self.value)
        );
        is_half.then(|| (message, self.write(&format!("\"{}\"", self.bare()))))
    }

    fn yes_or_no(self) -> Option<Said> {
        let meant = match self.value.to_lowercase().as_str() {
            "true" | "yes" | "on" => "true",
            "false" | "no" | "off" => "false",
            _ => return None,
        };
        let message = format!(
            "`{}` is {}, allowed is `true` or `false`",
            self.key,
            quoted(self.value)
        );
        Some((message, self.write(meant)))
    }

    fn bare_text(self) -> Option<Said> {
        let (key, value) = (self.key, self.value);
        let message = format!("`{key}`: the text {} wants quotation marks", quoted(value));
        let is_text = value.starts_with(char::is_alphabetic);
        is_text.then(|| (message, self.write(&format!("\"{value}\""))))
    }

    fn is_not(self, how: &str) -> String {
        format!("`{}`: {} is not {how}", self.key, quoted(self.value))
    }
}

/// A list of figures with the commas that it lacks; nothing where it lacks none.
fn with_commas(list: &str) -> Option<String> {
    let words: Vec<&str> = list.split_whitespace().collect();
    let ends =
        |word: &str| word.ends_with(|last: char| last.is_ascii_digit() || "\"'".contains(last));
    let starts = |word: &str| {
        word.starts_with(|first: char| first.is_ascii_digit() || "-.\"'".contains(first))
    };
    let mut full = String::new();
    let mut lacks = false;
    for (index, word) in words.iter().enumerate() {
        full.push_str(word);
        if let Some(next) = words.get(index + 1) {
            if ends(word) && starts(next) {
                lacks = true;
                full.push(',');
            }
            full.push(' ');
        }
    }
    lacks.then_some(full)
}

/// A number written as people write it but TOML does not: `18,5`, `018`,
/// `.5`, `18.`, `−18`.
fn plain_number(value: &str) -> Option<String> {
    let plain = text::plain(value);
    let shaped = plain
        .bytes()
        .all(|byte| byte.is_ascii_digit() || b"+-.".contains(&byte));
    let number: f64 = plain.parse().ok().filter(|_| shaped)?;
    Some(text::trimmed(number))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(line: &str, marked: &str, help: &str) {
        let at = line.find('=').map_or(0, |equals| equals + 2);
        let slip = find(line, &(0..line.len()), &(at..at), "odd");
        assert_eq!(&line[slip.span.clone()], marked, "{}", slip.diagnostic);
        assert_eq!(
            slip.diagnostic.help.as_deref(),
            Some(help),
            "{}",
            slip.diagnostic
        );
    }

    #[test]
    fn curly_quotes_are_made_straight() {
        check(
            "title = “Tea box” # x",
            "“Tea box”",
            "write `title = \"Tea box\"`",
        );
        check("layout = ‘book’", "‘book’", "write `layout = \"book\"`");
        check("layout = „book“", "„book“", "write `layout = \"book\"`");
        check("“a” = 1", "“a”", "write `\"a\" = 1`");
    }

    #[test]
    fn spaces_of_another_kind_are_named() {
        check("a\u{a0}= 18", "\u{a0}", "write `a = 18`");
        check("a =\u{2009}18", "\u{2009}", "write `a = 18`");
    }

    #[test]
    fn text_with_both_its_marks_is_not_said_to_lack_one() {
        let line = "a = \"b\u{0}c\"";
        let slip = find(line, &(0..line.len()), &(4..5), "invalid character");
        assert!(
            slip.diagnostic.message.contains("invalid character"),
            "{}",
            slip.diagnostic
        );
    }

    #[test]
    fn bare_lengths_get_their_quotes() {
        check("a = 1 3/4", "1 3/4", "write `a = \"1 3/4 in\"`");
        check("a = 3/8", "3/8", "write `a = \"3/8 in\"`");
        check("a = 3/8\"", "3/8\"", "write `a = \"3/8 in\"`");
        check("a = 12mm", "12mm", "write `a = \"12 mm\"`");
        check("a = 1¾", "1¾", "write `a = \"1 3/4 in\"`");
        check("a = 12,5 mm", "12,5 mm", "write `a = \"12.5 mm\"`");
    }

    #[test]
    fn numbers_are_written_as_toml_has_them() {
        check("a = 12,5", "12,5", "write `a = 12.5`");
        check("a = [45 -3]", "[45 -3]", "write `a = [45, -3]`");
        check("a = 60%", "60%", "write `a = 0.6`");
        check("a = 018", "018", "write `a = 18`");
        check("a = .5", ".5", "write `a = 0.5`");
        check("a = −18", "−18", "write `a = -18`");
        check("a = 18;", "18;", "write `a = 18`");
        check("a = 18 // wide", "18 // wide", "write `a = 18 # …`");
    }

    #[test]
    fn words_get_their_quotes() {
        check(
            "a = black walnut",
            "black walnut",
            "write `a = \"black walnut\"`",
        );
        check("a = \"book", "\"book", "write `a = \"book\"`");
        check("a = 'x.toml\"", "'x.toml\"", "write `a = \"x.toml\"`");
        check(
            "a = \"..\\b.toml\"",
            "\"..\\b.toml\"",
            "write `a = \"../b.toml\"`",
        );
        check("a = True", "True", "write `a = true`");
        check(
            "a =",
            "a =",
            "write it after the `=`, or delete `a` where it may be left out",
        );
    }

    #[test]
    fn lines_without_an_equals_sign_are_told_apart() {
        let table = "a table's name stands in brackets: write `[box]`";
        check("[box", "[box", table);
        check("box]", "box]", table);
        check("box:", "box:", table);
        check("wall : 18", "wall : 18", "write `wall = 18`");
        check("wall 18", "wall 18", "write `wall = 18`");
        check(
            "wall",
            "wall",
            "write `wall = …`, or start the line with # where it is a comment",
        );
    }

    #[test]
    fn an_entry_in_braces_is_looked_at_alone() {
        let line = "steps = [ { length = 44, depth = 4,5 } ]";
        let at = line.rfind(',').unwrap();
        let slip = find(line, &(0..line.len()), &(at..at + 1), "odd");
        assert_eq!(&line[slip.span], "4,5");
        assert_eq!(slip.diagnostic.help.as_deref(), Some("write `depth = 4.5`"));
        assert_eq!(slip.key.as_deref(), Some("depth"));
    }
}
