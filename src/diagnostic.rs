//! What is wrong with a file or a command line: code, words, place, hint.

use std::fmt;
use std::ops::Deref;

use serde::Serialize;

/// A stretch of a text file. Lines and columns count from 1; columns count
/// characters, not bytes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Place {
    /// The file's path as the user would type it; `-` for standard input.
    pub file: String,
    /// Line, from 1.
    pub line: u32,
    /// Column of the first character, from 1.
    pub column: u32,
    /// Characters marked.
    pub length: u32,
}

/// One mistake found in what the user gave us.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Diagnostic {
    /// Stable kebab-case name of the kind of mistake.
    pub code: &'static str,
    /// Value found and what is allowed; lower case, no final period.
    pub message: String,
    /// Where, if it is in a file.
    pub place: Option<Place>,
    /// The file it is about, where it is about the whole of one.
    pub file: Option<Box<str>>,
    /// What to do about it.
    pub help: Option<String>,
}

impl Diagnostic {
    /// A mistake without a place yet.
    pub fn new(code: &'static str, message: impl Into<String>) -> Self {
        Self {
            code,
            message: message.into(),
            place: None,
            file: None,
            help: None,
        }
    }

    /// With the place it was found at.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = Some(place);
        self
    }

    /// About the whole of that file.
    #[must_use]
    pub fn about(mut self, file: impl Into<Box<str>>) -> Self {
        self.file = Some(file.into());
        self
    }

    /// With a hint what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(Place {
            file, line, column, ..
        }) = &self.place
        {
            write!(formatter, "{file}:{line}:{column}: ")?;
        }
        write!(formatter, "{} [{}]", self.message, self.code)?;
        if let Some(help) = &self.help {
            write!(formatter, "; {help}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Diagnostic {}

/// All mistakes found, in the order of the file; never empty as an error.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Diagnostics(Vec<Diagnostic>);

impl Diagnostics {
    /// None yet.
    pub const fn new() -> Self {
        Self(Vec::new())
    }

    /// With one more.
    pub fn push(&mut self, diagnostic: Diagnostic) {
        self.0.push(diagnostic);
    }
}

impl Deref for Diagnostics {
    type Target = [Diagnostic];

    fn deref(&self) -> &[Diagnostic] {
        &self.0
    }
}

impl From<Diagnostic> for Diagnostics {
    fn from(diagnostic: Diagnostic) -> Self {
        Self(vec![diagnostic])
    }
}

impl From<Vec<Diagnostic>> for Diagnostics {
    fn from(diagnostics: Vec<Diagnostic>) -> Self {
        Self(diagnostics)
    }
}

impl FromIterator<Diagnostic> for Diagnostics {
    fn from_iter<I: IntoIterator<Item = Diagnostic>>(diagnostics: I) -> Self {
        Self(diagnostics.into_iter().collect())
    }
}

impl Extend<Diagnostic> for Diagnostics {
    fn extend<I: IntoIterator<Item = Diagnostic>>(&mut self, diagnostics: I) {
        self.0.extend(diagnostics);
    }
}

impl IntoIterator for Diagnostics {
    type Item = Diagnostic;
    type IntoIter = std::vec::IntoIter<Diagnostic>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

/// A line for each.
impl fmt::Display for Diagnostics {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, diagnostic) in self.0.iter().enumerate() {
            if index > 0 {
                formatter.write_str("\n")?;
            }
            diagnostic.fmt(formatter)?;
        }
        Ok(())
    }
}

impl std::error::Error for Diagnostics {}
