//! What is asked for that is no key of the job, and what was made of it.

use serde::Serialize;

/// The forms of a section, and what stands beside them.
#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Panel {
    pub(super) forms: Vec<Form>,
    /// What is wrong with what was typed, in the words of the terminal.
    pub(super) wrong: Vec<String>,
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
}

#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Button {
    pub(super) name: &'static str,
    pub(super) value: &'static str,
    pub(super) words: &'static str,
}
