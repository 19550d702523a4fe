//! `stepwell generate`: from the job file to a proved program.

use crate::cli::arguments::Generate;
use crate::cli::failure::Failure;
use crate::cli::produce::{self, Record, Target};
use crate::cli::{Ending, load};
use crate::settings;
use crate::spec::Overrides;

pub(super) fn run(options: &Generate) -> Result<Ending, Failure> {
    let overrides = Overrides {
        bit: options.bit.clone(),
        wear: options.wear,
        selection: options.selection.selection(),
    };
    let load::Loaded {
        job,
        bits_path,
        mut sources,
    } = load::with_texts(&options.job, &overrides)?;
    let record = options.book.then(|| Record {
        text: sources
            .remove(&bits_path.display().to_string())
            .unwrap_or_default(),
        path: bits_path,
    });
    let target = Target {
        folder: &options.output,
        stem: load::stem(&options.job),
        record,
        drawings: options.svg,
    };
    let settings = settings::for_job(&job);
    produce::run(&job, &settings, &target, options.force, options.reporting)
}
