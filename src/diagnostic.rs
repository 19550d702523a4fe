//! What is wrong with a file or a command line: code, words, place, hint.

use std::fmt;

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
pub type Diagnostics = Vec<Diagnostic>;
