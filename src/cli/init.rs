//! `stepwell init`: a job to start from.

use std::path::PathBuf;

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::files::{self, Starter};

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell init my-box.toml
  stepwell init my-box.toml --machine my-router.toml --bits my-bits.toml
  stepwell init my-box.toml --hinges my-hinges.toml         with a hinge drawer
  stepwell init - | less")]
pub(crate) struct Init {
    /// The job file to write, or - for standard output; never an existing one
    #[arg(value_name = "FILE", default_value = "job.toml")]
    pub(crate) file: PathBuf,

    /// The machine file that the job names; written too where it is not there
    #[arg(long, value_name = "FILE", default_value = "machines/benchtop-mm.toml")]
    pub(crate) machine: PathBuf,

    /// The bits file that the job names; written too where it is not there
    #[arg(long, value_name = "FILE", default_value = "machines/bits.toml")]
    pub(crate) bits: PathBuf,

    /// A hinge drawer for the job to take its hinge from; written too where it is not there
    #[arg(long, value_name = "FILE")]
    pub(crate) hinges: Option<PathBuf>,
}

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
