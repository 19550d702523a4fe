//! `stepwell set`: one key of a job, as the page sets it.

use std::path::PathBuf;

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::{Ending, entered, terminal};
use crate::edit;
use crate::files::{self, Edited};

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell set my-box.toml hinge.width 10.2
  stepwell set my-box.toml 'hinge.steps[2].depth' '15/32 in'
  stepwell set my-box.toml fixture.park --remove")]
pub(crate) struct Set {
    /// The job file
    #[arg(value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// The key with its table, as `stepwell explain` takes it; a list counts from 1
    #[arg(value_name = "KEY")]
    pub(crate) key: String,

    /// The value, as you would say it: 9.5, 3/8, "9.5 mm", inset
    #[arg(
        value_name = "VALUE",
        required_unless_present = "remove",
        allow_hyphen_values = true
    )]
    pub(crate) value: Option<String>,

    /// Take the key away
    #[arg(long, conflicts_with = "value")]
    pub(crate) remove: bool,
}

pub(super) fn run(options: &Set) -> Result<Ending, Failure> {
    entered::refuse_stream(&options.job, "set writes into the job file")?;
    let job = Edited::open(&options.job)?;
    let typed = options.value.as_deref().unwrap_or_default();
    let change = edit::change(job.text(), &options.key, typed)?;
    let mut words = String::new();
    for (mark, lines) in [("-", &change.gone), ("+", &change.come)] {
        for line in lines {
            words += &format!("{mark} {line}\n");
        }
    }
    if change.text == job.text() {
        words += "nothing changed\n";
    } else {
        files::replace_all(&[(&job, change.text.as_str())])?;
    }
    terminal::result(&words)?;
    if let Some(told) = change.told {
        terminal::note(&told);
    }
    // The job may be half changed, so that is no failure of this command.
    if let Err(unread) = files::read_job(&options.job, &crate::input::Overrides::default()) {
        for diagnostic in &*unread.diagnostics {
            terminal::note(&diagnostic.to_string());
        }
    }
    Ok(Ending::Passed)
}
