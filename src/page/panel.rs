//! What is asked for that is no key of the job, and what was made of it.

use serde::Serialize;

use super::typed::{self, Typed};

/// The forms of a section, and what stands beside them.
#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Panel {
    pub(super) forms: Vec<Form>,
    /// What is wrong with what was typed, in the words of the terminal.
    pub(super) wrong: Vec<String>,
    /// What was taken to be meant, where it was not taken letter by letter.
    pub(super) taken: Vec<String>,
    /// Told of it.
    pub(super) lines: Vec<String>,
    /// The command that tells the same, where there is one.
    pub(super) command: String,
    pub(super) drawings: Vec<String>,
    pub(super) table: Option<Table>,
}

/// Told row by row.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Table {
    pub(super) head: [&'static str; 5],
    pub(super) rows: Vec<[String; 5]>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Form {
    pub(super) title: &'static str,
    /// Whether it only asks, and changes nothing.
    pub(super) only_asks: bool,
    /// Behind the section's address.
    pub(super) action: &'static str,
    pub(super) fields: Vec<Asked>,
    /// Sent with it, and not shown.
    pub(super) hidden: Vec<(String, String)>,
    /// Whether what is to be heeded at the machine is to be read first.
    pub(super) cautions: bool,
    pub(super) buttons: Vec<Button>,
    /// What does the same.
    pub(super) command: String,
}

#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Asked {
    pub(super) name: &'static str,
    pub(super) label: String,
    pub(super) meaning: String,
    pub(super) value: String,
    pub(super) unit: String,
    /// What is taken where nothing is typed, or what is to be read.
    pub(super) beside: String,
    /// To choose one of, where there are any.
    pub(super) choices: Vec<String>,
    /// What counts where none of them is chosen; empty where one is to be.
    pub(super) unsaid: String,
    /// Those that are chosen, where several may be.
    pub(super) chosen: Option<Vec<String>>,
}

impl Asked {
    /// A field of that name, label and meaning with what is typed in it.
    pub(super) fn typed((name, label, meaning): (&'static str, &str, &str), typed: &Typed) -> Self {
        Self {
            name,
            label: label.to_owned(),
            meaning: meaning.to_owned(),
            value: typed::of(typed, name).unwrap_or_default().to_owned(),
            ..Self::default()
        }
    }

    /// A reading, with what it must be where that is known.
    pub(super) fn reading(
        about: (&'static str, &str, &str),
        unit: String,
        typed: &Typed,
        must_be: String,
    ) -> Self {
        Self {
            unit,
            beside: match must_be.as_str() {
                "" => must_be,
                must_be => format!("must be {must_be}"),
            },
            ..Self::typed(about, typed)
        }
    }
}

#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Button {
    pub(super) name: &'static str,
    pub(super) value: &'static str,
    pub(super) words: &'static str,
}
