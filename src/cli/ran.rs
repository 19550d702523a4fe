//! `stepwell ran`: enters that programs were run.

use crate::cli::arguments::Ran;
use crate::cli::failure::Failure;
use crate::cli::{Ending, entered, subject, terminal};
use crate::produce::running::{self, Run};

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
