//! `stepwell init`: a job to start from.

use crate::cli::arguments::Init;
use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::files::{self, Starter};

pub(super) fn run(options: &Init) -> Result<Ending, Failure> {
    let starter = Starter {
        job: options.file.clone(),
        machine: options.machine.clone(),
        bits: options.bits.clone(),
        hinges: options.hinges.clone(),
    };
    let started = starter.write()?;
    if !files::is_stream(&starter.job) {
        let name = starter.job.display();
        terminal::note(&format!(
            "{name} written: measure, fill in, then: stepwell generate {name} -o out"
        ));
        let (machine, bits) = (starter.machine.display(), starter.bits.display());
        terminal::note(&format!(
            "it names your router's file, {machine}, and your rack's, {bits}{}: put your own figures in; {}",
            match &starter.hinges {
                Some(hinges) => format!(", and your hinge drawer, {}", hinges.display()),
                None => String::new(),
            },
            match (started.written.as_slice(), started.kept.as_slice()) {
                ([], _) => "all were there already".to_owned(),
                (written, []) => format!("{} written too", written.join(" and ")),
                (written, kept) => format!(
                    "{} written too, there already: {}",
                    written.join(" and "),
                    kept.join(" and ")
                ),
            }
        ));
    }
    Ok(Ending::Passed)
}
