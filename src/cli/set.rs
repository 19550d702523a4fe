//! `stepwell set`: one key of a job, as the page sets it.

use crate::cli::arguments::Set;
use crate::cli::failure::Failure;
use crate::cli::{Ending, entered, terminal};
use crate::edit;
use crate::files::{self, Edited};

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
