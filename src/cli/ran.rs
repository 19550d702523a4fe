//! `stepwell ran`: enters that programs were run.

use std::path::PathBuf;

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::options::{Format, ProgramOptions};
use crate::cli::{Ending, entered, subject, terminal};
use crate::produce::counts;
use crate::produce::running::{self, Run};

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell ran out/box.nc out/box-pilot.nc --job box.toml
  stepwell ran out/box.nc --job box.toml --times 3          the same three times
  stepwell ran out/box-test-piece.nc --job box.toml --test-piece --length 300 --width 90 --thickness 20

What was run is judged first: a program that is something else is not entered.")]
pub(crate) struct Ran {
    /// The programs in the order they were run
    #[arg(value_name = "PROGRAM.nc", required = true)]
    pub(crate) programs: Vec<PathBuf>,

    /// The job that they cut
    #[arg(long, value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// The bit of each program, in order [default: its T word, then the job's bit]
    #[arg(long, value_name = "NAME")]
    pub(crate) bit: Vec<String>,

    /// How often
    #[arg(long, value_name = "N", default_value = "1", value_parser = counts::times, allow_hyphen_values = true)]
    pub(crate) times: u32,

    #[command(flatten)]
    pub(crate) program: ProgramOptions,

    /// Only say what would be entered
    #[arg(long)]
    pub(crate) dry: bool,

    /// For people or for programs
    #[arg(long, value_enum, default_value_t, value_name = "FORMAT")]
    pub(crate) format: Format,
}

pub(super) fn run(options: &Ran) -> Result<Ending, Failure> {
    for path in &options.programs {
        let why = "what was run is a file, standard input may be read only once";
        entered::refuse_stream(path, why)?;
    }
    let run = Run {
        job: options.job.clone(),
        programs: options.programs.clone(),
        bits: options.bit.clone(),
        positions: options.program.position.clone(),
        subject: subject::of(&options.program),
        selection: options.program.selection()?,
        times: options.times,
    };
    let done = running::enter(&run, options.dry, &|_| Ok(()), &terminal::watch);
    entered::end(done, false, options.dry, options.format)
}
