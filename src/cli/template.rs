//! `stepwell template`: the plate that guides a hand-held router.

use crate::cli::arguments::Template;
use crate::cli::failure::Failure;
use crate::cli::{Ending, produce};
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::produce::{Order, Subject, plate_notes};

pub(super) fn run(options: &Template) -> Result<Ending, Failure> {
    let overrides = Overrides {
        bit: options.cutter.clone(),
        wear: options.wear,
        cuts_template: true,
        ..Overrides::default()
    };
    let ReadJob {
        mut job, inputs, ..
    } = files::read_job(&options.job, &overrides)?;
    job.units = options.reporting.units_of(&job);
    let (plate, settings) = Subject::Template.of(job)?;
    let order = Order {
        boxes: None,
        folder: &options.output,
        stem: plate.stem.clone(),
        notes: plate_notes(&plate),
        inputs,
        drawings: options.svg,
        force: false,
    };
    produce::run(&plate, &settings, &order, options.reporting.format)
}
