//! `stepwell generate`: from the job file to a proved program.

use crate::cli::arguments::Generate;
use crate::cli::failure::Failure;
use crate::cli::plug::{self, Asked};
use crate::cli::{Ending, produce, terminal};
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::produce::{Order, notes, stale, stale_words};
use crate::settings;

pub(super) fn run(options: &Generate) -> Result<Ending, Failure> {
    let overrides = Overrides {
        bit: options.bit.clone(),
        wear: options.wear,
        selection: options.selection.selection(),
        ..Overrides::default()
    };
    let loaded = files::read_job(&options.job, &overrides).inspect_err(|_| {
        let stem = files::stem(&options.job);
        let left = stale(&options.output, &stem, overrides.selection);
        if let Some(words) = stale_words(&left) {
            terminal::note(&words);
        }
    })?;
    let ReadJob {
        mut job,
        mut inputs,
        ..
    } = loaded;
    let written_in = job.units;
    job.units = options.reporting.units_of(&job);
    let mut said = notes(&job);
    let asked = Asked {
        programs: &options.plug,
        sizes: [&options.length, &options.width, &options.thickness],
    };
    let folder = Some(options.output.as_path());
    if let Some((plug, words)) = plug::job(&asked, &options.job, &job, written_in, folder)? {
        (job, said) = (plug, words);
        inputs.extend(options.plug.iter().cloned());
    }
    let order = Order {
        folder: &options.output,
        stem: job.stem.clone(),
        notes: said,
        inputs,
        drawings: options.svg,
        force: options.force,
        boxes: options.boxes,
    };
    let settings = settings::for_job(&job);
    produce::run(&job, &settings, &order, options.reporting.format)
}
